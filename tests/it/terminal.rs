//! A real pseudo-terminal with the program in it: keys go in, the screen is read, and nothing sleeps
//! but where a person has to read first.

use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};

/// How long any wait may take before the test fails with what is on the screen.
const PATIENCE: Duration = Duration::from_secs(20);

/// The program running in a terminal of its own.
pub(crate) struct Terminal {
    child: Box<dyn Child + Send + Sync>,
    master: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    seen: Arc<Mutex<Seen>>,
}

struct Seen {
    screen: vt100::Parser,
    bytes: Vec<u8>,
    ended: bool,
}

impl Terminal {
    /// Reads what is asked: a press within the second is no answer to it.
    pub(crate) fn read(&mut self) -> &mut Terminal {
        std::thread::sleep(Duration::from_millis(1_100));
        self
    }

    /// Starts `leesline` with these arguments in a terminal of that size.
    pub(crate) fn start(
        columns: u16,
        rows: u16,
        arguments: &[&str],
        variables: &[(&str, &str)],
    ) -> Terminal {
        let program = env!("CARGO_BIN_EXE_leesline");
        Terminal::run(program, columns, rows, arguments, variables)
    }

    /// Starts any program.
    pub(crate) fn run(
        program: &str,
        columns: u16,
        rows: u16,
        arguments: &[&str],
        variables: &[(&str, &str)],
    ) -> Terminal {
        let size = PtySize {
            rows,
            cols: columns,
            pixel_width: 0,
            pixel_height: 0,
        };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(program);
        command.args(arguments);
        command.cwd(std::env::temp_dir());
        for name in ["NO_COLOR", "COLORTERM", "LEESLINE_CELLAR"] {
            command.env_remove(name);
        }
        command.env("TERM", "xterm-256color");
        for (name, value) in variables {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).unwrap();
        let keys = pair.master.take_writer().unwrap();
        let mut output = pair.master.try_clone_reader().unwrap();
        let screen = vt100::Parser::new(cells(rows), cells(columns), 0);
        let seen = Arc::new(Mutex::new(Seen {
            screen,
            bytes: Vec::new(),
            ended: false,
        }));
        let reader = Arc::clone(&seen);
        std::thread::spawn(move || {
            let mut buffer = [0_u8; 4096];
            while let Ok(count) = output.read(&mut buffer) {
                if count == 0 {
                    break;
                }
                let mut seen = reader.lock().unwrap();
                seen.screen.process(&buffer[..count]);
                seen.bytes.extend_from_slice(&buffer[..count]);
            }
            reader.lock().unwrap().ended = true;
        });
        Terminal {
            child,
            master: pair.master,
            keys,
            seen,
        }
    }

    /// Types these characters as they are.
    pub(crate) fn press(&mut self, keys: &str) -> &mut Terminal {
        self.keys.write_all(keys.as_bytes()).unwrap();
        self.keys.flush().unwrap();
        self
    }

    /// Waits until the screen shows this text.
    pub(crate) fn see(&mut self, text: &str) -> &mut Terminal {
        self.wait(&format!("to see {text:?}"), |seen| {
            seen.screen.screen().contents().contains(text)
        })
    }

    /// Waits until the screen no longer shows this text.
    pub(crate) fn miss(&mut self, text: &str) -> &mut Terminal {
        self.wait(&format!("to no longer see {text:?}"), |seen| {
            !seen.screen.screen().contents().contains(text)
        })
    }

    /// Waits until the screen is as wanted.
    pub(crate) fn until(&mut self, what: &str, done: impl Fn(&str) -> bool) -> &mut Terminal {
        self.wait(what, |seen| done(&seen.screen.screen().contents()))
    }

    /// The screen as it is now.
    pub(crate) fn screen(&self) -> String {
        self.seen.lock().unwrap().screen.screen().contents()
    }

    /// Every byte the program has written.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        self.seen.lock().unwrap().bytes.clone()
    }

    /// Changes the size of the terminal.
    pub(crate) fn resize(&mut self, columns: u16, rows: u16) -> &mut Terminal {
        self.seen
            .lock()
            .unwrap()
            .screen
            .screen_mut()
            .set_size(cells(rows), cells(columns));
        self.master
            .resize(PtySize {
                rows,
                cols: columns,
                pixel_width: 0,
                pixel_height: 0,
            })
            .unwrap();
        self
    }

    /// Sends the program a signal by name, such as `TERM`.
    pub(crate) fn signal(&mut self, name: &str) -> &mut Terminal {
        let process = self.child.process_id().unwrap().to_string();
        let sent = std::process::Command::new("kill")
            .args(["-s", name, &process])
            .status()
            .unwrap();
        assert!(sent.success());
        self
    }

    /// Waits for the program to end, and checks that it gave the terminal back: main screen, cursor
    /// shown, no mouse and no bracketed paste left on.
    pub(crate) fn end(mut self) -> ExitStatus {
        let deadline = Instant::now() + PATIENCE;
        let status = loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                break status;
            }
            assert!(
                Instant::now() < deadline,
                "the program did not end:\n{}",
                self.screen()
            );
            std::thread::sleep(Duration::from_millis(2));
        };
        self.wait("the end of its output", |seen| seen.ended);
        let seen = self.seen.lock().unwrap();
        let screen = seen.screen.screen();
        assert!(
            !screen.alternate_screen(),
            "the alternate screen is still on"
        );
        assert!(!screen.hide_cursor(), "the cursor is still hidden");
        assert!(!screen.bracketed_paste(), "bracketed paste is still on");
        drop(seen);
        status
    }

    fn wait(&mut self, what: &str, done: impl Fn(&Seen) -> bool) -> &mut Terminal {
        let deadline = Instant::now() + PATIENCE;
        loop {
            let seen = self.seen.lock().unwrap();
            if done(&seen) {
                break;
            }
            let screen = seen.screen.screen().contents();
            drop(seen);
            assert!(
                Instant::now() < deadline,
                "waited in vain {what}; the screen is:\n{screen}"
            );
            std::thread::sleep(Duration::from_millis(2));
        }
        self
    }
}

fn cells(count: u16) -> NonZeroU16 {
    NonZeroU16::new(count).unwrap()
}

/// A path as an argument.
pub(crate) fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}
