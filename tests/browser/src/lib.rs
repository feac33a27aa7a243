//! The web face in a real browser: all that is here is tests.
