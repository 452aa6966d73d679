//! Leesline's entry point.

fn main() {}
