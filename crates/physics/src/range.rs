//! Ranges of validity: a value outside one is refused with the limit and whose limit it is.

/// A value lies outside the range in which a formula or table holds.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("{what} = {value} {unit} is outside {low} … {high} {unit} ({whose})")]
pub struct OutOfRange {
    /// Quantity.
    pub what: &'static str,
    /// Its value.
    pub value: f64,
    /// Unit of the value and of both limits.
    pub unit: &'static str,
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
    /// Whose limit it is.
    pub whose: &'static str,
}

/// Passes the value on if `low <= value <= high`; a value that is not a number is outside every range.
pub fn within(
    what: &'static str,
    value: f64,
    unit: &'static str,
    (low, high): (f64, f64),
    whose: &'static str,
) -> Result<f64, OutOfRange> {
    if low <= value && value <= high {
        Ok(value)
    } else {
        Err(OutOfRange { what, value, unit, low, high, whose })
    }
}

/// Passes the value on if it is above zero and finite.
pub(crate) fn positive(what: &'static str, value: f64, unit: &'static str) -> Result<f64, OutOfRange> {
    within(what, value, unit, (f64::MIN_POSITIVE, f64::MAX), "must be above zero")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn refusal_says_value_limit_and_whose() {
        let error = within("k", 7.0, "W", (1.0, 2.0), "somebody 1999, eq. 3").unwrap_err();
        assert_eq!(error.to_string(), "k = 7 W is outside 1 … 2 W (somebody 1999, eq. 3)");
        assert!(within("k", f64::NAN, "W", (1.0, 2.0), "").is_err());
        assert!(positive("k", 0.0, "W").is_err() && positive("k", f64::INFINITY, "W").is_err());
    }
}
