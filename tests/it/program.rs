//! The program as a process, away from any cellar of the person who runs the tests.

use assert_cmd::Command;

/// `leesline`, with nothing of this machine's settings.
pub(crate) fn leesline() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_leesline"));
    command
        .env_remove("LEESLINE_CELLAR")
        .env("XDG_DATA_HOME", "/nonexistent")
        .env("HOME", "/nonexistent")
        .env("TZ", "UTC");
    command
}
