//! Journeys in a real terminal, the command line, and the house itself: one test program.

mod house;
