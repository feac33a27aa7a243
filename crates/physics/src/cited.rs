//! A value that never travels without its source.

use model::{Cite, Standing};

/// A value with its source.
#[derive(Debug, Clone, PartialEq)]
pub struct Cited<T> {
    /// The value.
    pub value: T,
    /// Where it comes from and how far it was checked.
    pub cite: Cite,
}

impl<T> Cited<T> {
    /// A value and its source.
    pub fn new(value: T, cite: Cite) -> Self {
        Cited { value, cite }
    }

    /// Was the value read in a published source or derived from such? If not, it is no fact to print.
    pub fn is_verified(&self) -> bool {
        matches!(self.cite.standing, Standing::Published | Standing::Derived)
    }

    /// The same source for another form of the value.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Cited<U> {
        Cited { value: f(self.value), cite: self.cite }
    }
}
