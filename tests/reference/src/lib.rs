//! Assertions that hold a computed value against a number as it is printed in a source.

mod printed;

pub use printed::{assert_printed, assert_printed_within, assert_within};
