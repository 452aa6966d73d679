//! Journeys, screens, files and faults: one test program.
