//! The domain, pure: no SQL, no clock, no drawing.
