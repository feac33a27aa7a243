//! The tolerance of a printed number is half a unit of its last digit; anything wider needs a reason.

/// A number as printed, with half a unit of its last digit.
fn read(printed: &str) -> (f64, f64) {
    let bare: String = printed.chars().filter(|letter| !letter.is_whitespace()).collect();
    let (digits, exponent) = bare.split_once(['e', 'E']).unwrap_or((&bare, "0"));
    let exponent: i32 = exponent.parse().unwrap_or_else(|_| bad(printed));
    let decimals = digits.split_once('.').map_or(0, |(_, behind)| behind.len() as i32);
    let value: f64 = bare.parse().unwrap_or_else(|_| bad(printed));
    let unit: f64 = format!("1e{}", exponent - decimals).parse().unwrap_or_else(|_| bad(printed));
    (value, unit / 2.0)
}

#[allow(clippy::panic)] // A test's own number is wrong: nothing else can be done.
fn bad<T>(printed: &str) -> T {
    panic!("`{printed}` is not a number as printed")
}

/// Does the value round to the printed number? A thousandth of the half unit is allowed for binary rounding.
fn agrees(printed: &str, value: f64) -> bool {
    let (want, half) = read(printed);
    (value - want).abs() <= half * 1.001
}

/// The value rounds to the number as printed.
#[track_caller]
pub fn assert_printed(printed: &str, value: f64) {
    let (want, half) = read(printed);
    assert!(
        agrees(printed, value),
        "printed {printed}, computed {value}: off by {}, allowed {half}",
        value - want
    );
}

/// The value differs from the printed number by at most an allowance that has a reason.
///
/// Fails too once the value does round to the printed number: then the allowance is to be taken out.
#[track_caller]
pub fn assert_printed_within(printed: &str, value: f64, allowance: f64, why: &str) {
    let (want, half) = read(printed);
    assert!(!why.is_empty(), "an allowance needs a reason");
    assert!(half < allowance, "an allowance of {allowance} is no wider than the printed digits of {printed}");
    assert!(!agrees(printed, value), "{value} rounds to {printed}: the allowance is no longer needed");
    assert!(
        (value - want).abs() <= allowance,
        "printed {printed}, computed {value}: off by {}, allowed {allowance} ({why})",
        value - want
    );
}

/// The value lies within a tolerance that the source itself states or that is derived beside the call.
#[track_caller]
pub fn assert_within(want: f64, value: f64, tolerance: f64, why: &str) {
    assert!(!why.is_empty(), "a tolerance needs a reason");
    assert!(
        (value - want).abs() <= tolerance,
        "expected {want}, computed {value}: off by {}, allowed {tolerance} ({why})",
        value - want
    );
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::panic::catch_unwind;

    #[test]
    fn half_a_unit_of_the_last_digit() {
        assert_eq!(read("5085.22"), (5085.22, 0.005));
        assert_eq!(read("46 273"), (46_273.0, 0.5));
        assert_eq!(read("2.82e-8"), (2.82e-8, 0.5e-10));
        assert_printed("18.1", 18.149);
        assert!(catch_unwind(|| assert_printed("18.1", 18.16)).is_err());
    }

    #[test]
    fn an_allowance_must_be_needed() {
        assert_printed_within("157", 156.3, 1.0, "rounded base");
        assert!(catch_unwind(|| assert_printed_within("157", 156.8, 1.0, "no longer needed")).is_err());
        assert!(catch_unwind(|| assert_printed_within("157", 155.0, 1.0, "too far")).is_err());
        assert!(catch_unwind(|| assert_printed_within("157", 156.3, 1.0, "")).is_err());
        assert!(catch_unwind(|| assert_within(1.0, 1.2, 0.1, "off")).is_err());
    }
}
