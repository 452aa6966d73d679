//! Owns the terminal's state: every mode is turned on here and given back here, once, whether the
//! program ends, panics, is stopped or is told to go.

use std::io::{self, Stdout, Write, stdout};
use std::mem::ManuallyDrop;
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, Sender};
use std::time::SystemTime;

use ratatui::Frame;
use ratatui::backend::CrosstermBackend;
use ratatui::crossterm::cursor::Show;
use ratatui::crossterm::event::{DisableBracketedPaste, EnableBracketedPaste, Event as Raw, read};
use ratatui::crossterm::style::force_color_output;
use ratatui::crossterm::terminal::{
    BeginSynchronizedUpdate, EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen,
    disable_raw_mode, enable_raw_mode, size,
};
use ratatui::crossterm::{execute, queue};

use super::press::Press;

/// Whether our modes are on. Taken by whoever gives the terminal back, so that it happens once.
static TAKEN: AtomicBool = AtomicBool::new(false);

/// The terminal, taken over until this is dropped.
#[derive(Debug)]
pub struct Terminal {
    /// Never dropped: it would show the cursor once more, and panic where the terminal is gone. That is ours to do.
    inner: ManuallyDrop<ratatui::Terminal<CrosstermBackend<Stdout>>>,
}

/// Something from outside.
#[derive(Debug)]
pub enum Event {
    /// A key, and when it was pressed: a slow disk must not make two presses seem one.
    Press(Press, SystemTime),
    /// Text pasted.
    Paste(String),
    /// The terminal has another size.
    Resized,
    /// Told to stop for a moment (SIGTSTP).
    Stop,
    /// Going on after a stop (SIGCONT).
    GoOn,
    /// Told to go (SIGTERM, SIGHUP, SIGINT, SIGQUIT), or the terminal is gone.
    Go,
}

/// How wide the terminal is, where there is one.
pub fn columns() -> Option<u16> {
    size().ok().map(|it| it.0)
}

impl Terminal {
    /// Takes the terminal over; an error when there is none that can be taken over.
    pub fn enter() -> io::Result<Terminal> {
        // We read NO_COLOR ourselves and choose a theme without colours: this version of crossterm
        // answers NO_COLOR with resets that take reverse and dim away too.
        force_color_output(true);
        give_back_on_panic();
        take()?;
        let inner = ratatui::Terminal::new(CrosstermBackend::new(stdout()))?;
        Ok(Terminal {
            inner: ManuallyDrop::new(inner),
        })
    }

    /// Draws a frame, shown all at once where the terminal can.
    pub fn draw(&mut self, view: impl FnOnce(&mut Frame<'_>)) -> io::Result<()> {
        queue!(stdout(), BeginSynchronizedUpdate)?;
        let drawn = self.inner.draw(view).map(|_| ());
        execute!(stdout(), EndSynchronizedUpdate)?;
        drawn
    }

    /// Rings the terminal's bell.
    pub fn ring(&mut self) -> io::Result<()> {
        let mut out = stdout();
        out.write_all(b"\x07")?;
        out.flush()
    }

    /// The next frame draws every cell. Not by the terminal's `clear`, which asks where the cursor
    /// is: the answer would go to the thread that reads the keys.
    pub fn redraw(&mut self) -> io::Result<()> {
        let size = self.inner.size()?;
        self.inner.resize(size.into())
    }

    /// Gives the shell back until we are told to go on.
    #[cfg(unix)]
    pub fn suspend(&mut self) -> io::Result<()> {
        give_back();
        signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP)?;
        self.go_on()
    }

    /// There is no stopping for a moment here.
    #[cfg(not(unix))]
    pub fn suspend(&mut self) -> io::Result<()> {
        self.redraw()
    }

    /// Takes the terminal again after a stop; whoever ran meanwhile may have changed its modes.
    pub fn go_on(&mut self) -> io::Result<()> {
        give_back();
        take()?;
        self.redraw()
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        give_back();
    }
}

fn take() -> io::Result<()> {
    enable_raw_mode()?;
    TAKEN.store(true, Ordering::SeqCst);
    execute!(stdout(), EnterAlternateScreen, EnableBracketedPaste)
}

/// Turns every mode off, once. A terminal that is gone cannot be mended, so failures are let go.
fn give_back() {
    if TAKEN.swap(false, Ordering::SeqCst) {
        let _ = disable_raw_mode();
        let _ = execute!(
            stdout(),
            EndSynchronizedUpdate,
            DisableBracketedPaste,
            LeaveAlternateScreen,
            Show
        );
    }
}

/// A panic gives the terminal back before it prints, and one in a helping thread ends the program:
/// a living screen on a terminal that was given back would be worse.
fn give_back_on_panic() {
    static HOOK: Once = Once::new();
    HOOK.call_once(|| {
        let main = std::thread::current().id();
        let print = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |panic| {
            give_back();
            print(panic);
            if std::thread::current().id() != main {
                std::process::exit(101);
            }
        }));
    });
}

/// Everything from outside, read by threads that only pass it on.
pub fn events() -> io::Result<Receiver<Event>> {
    let (to_us, events) = mpsc::channel();
    pass_signals(to_us.clone())?;
    std::thread::spawn(move || pass_input(&to_us));
    Ok(events)
}

fn pass_input(to: &Sender<Event>) {
    loop {
        let event = match read() {
            Ok(Raw::Key(key)) => match Press::from_event(key) {
                Some(press) => Event::Press(press, SystemTime::now()),
                None => continue,
            },
            Ok(Raw::Paste(text)) => Event::Paste(text),
            Ok(Raw::Resize(..)) => Event::Resized,
            Ok(_) => continue,
            Err(_) => Event::Go,
        };
        let last = matches!(event, Event::Go);
        if to.send(event).is_err() || last {
            return;
        }
    }
}

#[cfg(unix)]
fn pass_signals(to: Sender<Event>) -> io::Result<()> {
    use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGWINCH};
    let mut signals =
        // A resize is heard here too: the thread that reads keys may not have begun to listen.
        signal_hook::iterator::Signals::new([
            SIGTERM, SIGHUP, SIGINT, SIGQUIT, SIGTSTP, SIGCONT, SIGWINCH,
        ])?;
    std::thread::spawn(move || {
        for signal in signals.forever() {
            let event = match signal {
                SIGTSTP => Event::Stop,
                SIGCONT => Event::GoOn,
                SIGWINCH => Event::Resized,
                _ => Event::Go,
            };
            if to.send(event).is_err() {
                return;
            }
        }
    });
    Ok(())
}

#[cfg(not(unix))]
fn pass_signals(_to: Sender<Event>) -> io::Result<()> {
    Ok(())
}
