//! The program in a pseudo-terminal, timed from a key to the end of the frame it brings.

use std::io::{Read, Write};
use std::sync::mpsc::{self, Receiver};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// The end of a synchronized update: the frame is out.
const FRAME_ENDS: &[u8] = b"\x1b[?2026l";

/// How long a frame may take before the bench stops.
const PATIENCE: Duration = Duration::from_secs(20);

/// The program at 120×40.
pub(crate) struct Program {
    child: Box<dyn Child + Send + Sync>,
    keys: Box<dyn Write + Send>,
    /// When the end of each frame came, and how many bytes came since the one before.
    frames: Receiver<(Instant, usize)>,
    _master: Box<dyn MasterPty + Send>,
}

impl Program {
    pub(crate) fn start(arguments: &[&str]) -> Program {
        let size = PtySize {
            rows: 40,
            cols: 120,
            pixel_width: 0,
            pixel_height: 0,
        };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_leesline"));
        command.args(arguments);
        command.env("TERM", "xterm-256color");
        let child = pair.slave.spawn_command(command).unwrap();
        let keys = pair.master.take_writer().unwrap();
        let mut output = pair.master.try_clone_reader().unwrap();
        let (told, frames) = mpsc::channel();
        std::thread::spawn(move || {
            let (mut buffer, mut seen) = ([0_u8; 8_192], Vec::new());
            while let Ok(count @ 1..) = output.read(&mut buffer) {
                let at = Instant::now();
                seen.extend_from_slice(&buffer[..count]);
                while let Some(end) = seen
                    .windows(FRAME_ENDS.len())
                    .position(|it| it == FRAME_ENDS)
                {
                    let bytes = seen.drain(..end + FRAME_ENDS.len()).len();
                    if told.send((at, bytes)).is_err() {
                        return;
                    }
                }
            }
        });
        Program {
            child,
            keys,
            frames,
            _master: pair.master,
        }
    }

    /// Waits for frames until none has come for so long.
    pub(crate) fn settle(&mut self) -> &mut Program {
        while self.frames.recv_timeout(Duration::from_millis(700)).is_ok() {}
        self
    }

    /// Presses it, and gives how long its frame took and its bytes.
    pub(crate) fn press(&mut self, key: &str) -> (Duration, usize) {
        while self.frames.try_recv().is_ok() {}
        let begun = Instant::now();
        self.keys.write_all(key.as_bytes()).unwrap();
        self.keys.flush().unwrap();
        let (at, bytes) = self.frames.recv_timeout(PATIENCE).unwrap();
        (at - begun, bytes)
    }

    fn process(&self) -> String {
        format!("/proc/{}", self.child.process_id().unwrap())
    }

    /// The most memory it has had so far, MiB; `None` where the system does not say.
    pub(crate) fn most_memory_mib(&self) -> Option<f64> {
        let status = std::fs::read_to_string(format!("{}/status", self.process())).ok()?;
        let line = status.lines().find(|it| it.starts_with("VmHWM:"))?;
        let kib: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
        Some(kib / 1024.0)
    }

    /// How often its threads have gone to sleep so far, which is how often they were awake.
    pub(crate) fn wakings(&self) -> Option<u64> {
        let tasks = std::fs::read_dir(format!("{}/task", self.process())).ok()?;
        let of_task = |task: std::path::PathBuf| -> Option<u64> {
            let status = std::fs::read_to_string(task.join("status")).ok()?;
            let line = status
                .lines()
                .find(|it| it.starts_with("voluntary_ctxt_switches:"))?;
            line.split_whitespace().nth(1)?.parse().ok()
        };
        tasks.map(|it| of_task(it.ok()?.path())).sum()
    }

    pub(crate) fn leave(mut self) {
        self.keys.write_all(b"\x03").unwrap();
        self.child.wait().unwrap();
    }
}
