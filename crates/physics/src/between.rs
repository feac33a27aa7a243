//! A lower and an upper end, where a single figure would claim too much.

/// Everything from `low` to `high`, both included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Between<T> {
    /// Lower end.
    pub low: T,
    /// Upper end.
    pub high: T,
}

impl<T> Between<T> {
    /// From its two ends; the caller gives the lower one first.
    pub const fn new(low: T, high: T) -> Self {
        Between { low, high }
    }

    /// The same interval in other terms. `f` must be increasing.
    pub fn map<U>(self, f: impl Fn(T) -> U) -> Between<U> {
        Between { low: f(self.low), high: f(self.high) }
    }
}

impl<T: PartialOrd + Copy> Between<T> {
    /// Does the interval hold the value?
    pub fn holds(&self, value: T) -> bool {
        self.low <= value && value <= self.high
    }

    /// The interval from the lesser to the greater of two ends.
    pub fn spanning(one: T, other: T) -> Self {
        if one <= other { Between::new(one, other) } else { Between::new(other, one) }
    }
}
