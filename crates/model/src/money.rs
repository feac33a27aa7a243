//! Money in whole cents.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Sub};

/// US dollars in whole cents.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Cents(pub i64);

impl Cents {
    /// Dollars, rounded to the cent; half a cent away from zero. Zero where it is no number.
    pub fn from_usd(usd: f64) -> Cents {
        Cents((usd * 100.0).round() as i64)
    }

    /// As dollars.
    pub fn usd(self) -> f64 {
        self.0 as f64 / 100.0
    }

    /// A share of it, rounded to the cent.
    pub fn times(self, factor: f64) -> Cents {
        Cents((self.0 as f64 * factor).round() as i64)
    }

    /// As an estimate is told: to the nearest ten dollars, below 1,000 dollars to the nearest dollar.
    pub const fn rounded(self) -> Cents {
        let step = if self.0.abs() < 100_000 { 100 } else { 1000 };
        Cents((self.0 + step / 2).div_euclid(step) * step)
    }

    /// With the cents: `1,234.50`.
    pub fn exact(self) -> String {
        let sign = if self.0 < 0 { "-" } else { "" };
        format!("{sign}{}.{:02}", grouped(self.0.unsigned_abs() / 100), self.0.unsigned_abs() % 100)
    }
}

/// In whole dollars: `$1,234`.
impl fmt::Display for Cents {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        write!(f, "{sign}${}", grouped((self.0.unsigned_abs() + 50) / 100))
    }
}

fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut out = String::new();
    for (idx, digit) in digits.chars().enumerate() {
        if 0 < idx && (digits.len() - idx).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

impl Add for Cents {
    type Output = Cents;

    fn add(self, other: Cents) -> Cents {
        Cents(self.0.saturating_add(other.0))
    }
}

impl Sub for Cents {
    type Output = Cents;

    fn sub(self, other: Cents) -> Cents {
        Cents(self.0.saturating_sub(other.0))
    }
}

impl Sum for Cents {
    fn sum<I: Iterator<Item = Cents>>(all: I) -> Cents {
        all.fold(Cents(0), Add::add)
    }
}

#[cfg(test)]
mod tests {
    use super::Cents;

    #[test]
    fn money_is_rounded_once_and_grouped() {
        assert_eq!(Cents::from_usd(10.006), Cents(1001));
        assert_eq!(Cents(123_456_789).to_string(), "$1,234,568");
        assert_eq!(Cents(-150).to_string(), "-$2");
        assert_eq!(Cents(123_450).exact(), "1,234.50");
        assert_eq!((Cents(1049).rounded(), Cents(1050).rounded()), (Cents(1000), Cents(1100)));
        assert_eq!((Cents(123_499).rounded(), Cents(123_500).rounded()), (Cents(123_000), Cents(124_000)));
    }
}
