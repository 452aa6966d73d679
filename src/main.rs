//! Leesline's entry point.

use std::process::ExitCode;

fn main() -> ExitCode {
    leesline::cli::main(std::env::args_os())
}
