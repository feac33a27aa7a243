//! The one place where numbers are rounded for the page.

use crate::phrases::{Phrases, fill};
use model::assessment::Interval;
use model::{Current, Length, Temperature, Voltage};

/// Printed where a figure is not a number.
const NO_FIGURE: &str = "not given";

/// With `digits` significant digits and no exponent; large whole numbers are not rounded further than to
/// units.
pub(crate) fn significant(value: f64, digits: usize) -> String {
    if !value.is_finite() {
        return NO_FIGURE.to_owned();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    let rounded = format!("{value:.*e}", digits.saturating_sub(1));
    let exponent: i32 = rounded.rsplit_once('e').and_then(|(_, power)| power.parse().ok()).unwrap_or(0);
    if !(-6..=12).contains(&exponent) {
        return rounded;
    }
    let decimals = (digits as i32 - 1 - exponent).max(0) as usize;
    plain(value, decimals)
}

/// With at most `decimals` decimals, zeros at the end removed, never `-0`.
pub(crate) fn plain(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return NO_FIGURE.to_owned();
    }
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Amperes.
pub(crate) fn amperes(value: Current) -> String {
    format!("{} A", plain(value.a(), 1))
}

/// Volts, or millivolts below one volt.
pub(crate) fn volts(value: Voltage) -> String {
    if value.v().abs() < 1.0 && value.v() != 0.0 {
        format!("{} mV", plain(value.mv(), 1))
    } else {
        format!("{} V", plain(value.v(), 1))
    }
}

/// Degrees Celsius with Fahrenheit behind, for a technician.
pub(crate) fn celsius(value: Temperature) -> String {
    format!("{} °C ({} °F)", plain(value.c(), 1), plain(value.f(), 0))
}

/// Degrees Fahrenheit with Celsius behind, for an owner.
pub(crate) fn fahrenheit(value: Temperature) -> String {
    format!("{} °F ({} °C)", plain(value.f(), 0), plain(value.c(), 0))
}

/// Feet or inches.
pub(crate) fn length(value: Length) -> String {
    if value.feet() < 4.0 {
        format!("{} in", plain(value.inches(), 1))
    } else {
        format!("{} ft", plain(value.feet(), 1))
    }
}

/// A probability with two decimals; near its ends as a bound, never as certainty.
pub(crate) fn probability(value: f64) -> String {
    match value {
        value if !value.is_finite() => NO_FIGURE.to_owned(),
        value if value < 0.005 => "<0.01".to_owned(),
        value if 0.995 <= value => ">0.99".to_owned(),
        value => format!("{value:.2}"),
    }
}

/// Median with its 90 % interval, three and two significant digits, without a unit.
pub(crate) fn interval(value: &Interval) -> String {
    format!(
        "{} ({} to {})",
        significant(value.median, 2),
        significant(value.low, 2),
        significant(value.high, 2)
    )
}

/// Lowest to highest, without a unit; one number where they print alike.
pub(crate) fn range(low: f64, high: f64, decimals: usize) -> String {
    let (low, high) = (plain(low, decimals), plain(high, decimals));
    if low == high { low } else { format!("{low} to {high}") }
}

/// A whole number with commas between thousands.
pub(crate) fn thousands(value: f64) -> String {
    let digits = plain(value.abs(), 0);
    if !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return digits;
    }
    let mut out = String::new();
    for (idx, digit) in digits.chars().enumerate() {
        if 0 < idx && (digits.len() - idx).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    if value < 0.0 && out != "0" { format!("-{out}") } else { out }
}

/// A day spelled out: `October 14, 2026`.
pub(crate) fn long_date(phrases: &Phrases, day: model::Date) -> String {
    let number = day.month().to_string();
    let month = phrases.word("month", &number);
    let (year, day) = (day.year().to_string(), day.day().to_string());
    fill(phrases.word("date", "long"), &[("month", month), ("day", &day), ("year", &year)])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_kept_where_they_mean_something() {
        for (value, printed) in [
            (0.0, "0"),
            (12.345, "12.3"),
            (0.012345, "0.0123"),
            (999.96, "1000"),
            (1234.5, "1234"),
            (35.0, "35"),
            (-0.5, "-0.5"),
            (1e-9, "1.00e-9"),
            (f64::NAN, "not given"),
            (f64::INFINITY, "not given"),
        ] {
            assert_eq!(significant(value, 3), printed, "{value}");
        }
        assert_eq!(plain(-0.01, 1), "0");
        assert_eq!(plain(100.0, 0), "100");
        assert_eq!(thousands(1234567.0), "1,234,567");
        assert_eq!(thousands(999.0), "999");
        assert_eq!(thousands(-1500.0), "-1,500");
    }

    #[test]
    fn a_probability_is_never_printed_as_certain() {
        assert_eq!(probability(1.0), ">0.99");
        assert_eq!(probability(0.0), "<0.01");
        assert_eq!(probability(0.994), "0.99");
        assert_eq!(probability(f64::NAN), "not given");
    }

    #[test]
    fn units_follow_the_size() {
        assert_eq!(volts(Voltage::from_mv(85.0)), "85 mV");
        assert_eq!(volts(Voltage::from_v(121.3)), "121.3 V");
        assert_eq!(celsius(Temperature::from_c(62.0)), "62 °C (144 °F)");
        assert_eq!(fahrenheit(Temperature::from_c(62.0)), "144 °F (62 °C)");
        assert_eq!(length(Length::from_in(14.0)), "14 in");
        assert_eq!(length(Length::from_ft(60.0)), "60 ft");
    }
}
