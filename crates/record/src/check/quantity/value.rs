//! One number against its range; temperatures with the other unit in mind.

use crate::check::{Finding, Spot};
use crate::fact::TemperatureAs;
use crate::limits::Plausible;

/// Tells of a number outside of its range.
pub(in crate::check) fn number(
    value: f64,
    range: Plausible,
    unit: &str,
    what: &str,
    spot: Spot,
    hint: &str,
    findings: &mut Vec<Finding>,
) {
    if !value.is_finite() {
        findings.push(Finding::error("not-finite", spot, format!("{what} is not a finite number"), hint));
    } else if value < range.0 || range.1 < value {
        let unit = if unit.is_empty() { String::new() } else { format!(" {unit}") };
        findings.push(Finding::error(
            "implausible",
            spot,
            format!("{what} of {value}{unit} cannot be right"),
            hint,
        ));
    }
}

/// A number with one decimal at most, for hints.
fn short(value: f64) -> String {
    let tenths = (value * 10.0).round() / 10.0;
    tenths.to_string()
}

/// Tells of a temperature outside of its range, in its own unit, and whether the other unit would fit.
pub(super) fn temperature(
    value: TemperatureAs,
    range_c: Plausible,
    keys: (&str, &str),
    what: &str,
    spot: Spot,
    findings: &mut Vec<Finding>,
) {
    let fits = |c: f64| range_c.0 <= c && c <= range_c.1;
    let to_c = |f: f64| (f - 32.0) / 1.8;
    let to_f = |c: f64| c * 1.8 + 32.0;
    let number = value.number();
    let (celsius, unit, low, high, other) = match value {
        TemperatureAs::C(c) => {
            let other = fits(to_c(c))
                .then(|| format!("{c} °F would be {} °C and would fit: `{} = {c}`", short(to_c(c)), keys.1));
            (c, "°C", range_c.0, range_c.1, other)
        }
        TemperatureAs::F(f) => {
            let other = fits(f)
                .then(|| format!("{f} °C would be {} °F and would fit: `{} = {f}`", short(to_f(f)), keys.0));
            (to_c(f), "°F", to_f(range_c.0), to_f(range_c.1), other)
        }
    };
    if !number.is_finite() {
        findings.push(Finding::error(
            "not-finite",
            spot,
            format!("{what} is not a finite number"),
            "write what was displayed",
        ));
        return;
    }
    if fits(celsius) {
        return;
    }
    let tenth = match value {
        TemperatureAs::C(c) => fits(c / 10.0),
        TemperatureAs::F(f) => fits(to_c(f / 10.0)),
    };
    let mut hint = format!("from {} to {} {unit}", short(low), short(high));
    match other {
        Some(other) => hint.push_str(&format!("; {other}")),
        None => {
            if tenth && 0.0 < number {
                hint.push_str(&format!("; is a decimal point missing? {}", short(number / 10.0)));
            }
            let why = match value {
                TemperatureAs::C(c) => format!("; it would not fit as °F either ({} °C)", short(to_c(c))),
                TemperatureAs::F(f) => format!("; it would not fit as °C either ({} °F)", short(to_f(f))),
            };
            hint.push_str(&why);
        }
    }
    findings.push(Finding::error(
        "implausible-temperature",
        spot,
        format!("{what} of {number} {unit} cannot be right"),
        hint,
    ));
}
