//! Ratings: positive, of a panel's size, and whether a breaker of that rating is made.

use crate::check::{Finding, Spot};
use crate::limits::{self, Plausible};
use std::sync::LazyLock;

const TABLE: &str = include_str!("../../../data/standard_ratings.toml");

#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    amps: Vec<f64>,
}

/// Standard ratings, rising.
static STANDARD_A: LazyLock<Vec<f64>> = LazyLock::new(|| {
    let table: Table = toml::from_str(TABLE).expect("the table is part of the program and tested");
    table.amps
});

/// The rating on a breaker's handle.
pub(super) fn breaker(value: f64, what: &str, spot: Spot, findings: &mut Vec<Finding>) {
    if in_range(value, limits::RATING_A, what, &spot, findings) {
        standard(value, spot, findings);
    }
}

/// The rating of a main breaker.
pub(super) fn main(value: f64, spot: Spot, findings: &mut Vec<Finding>) {
    if in_range(value, limits::BUS_RATING_A, "a main breaker", &spot, findings) {
        standard(value, spot, findings);
    }
}

/// The rating of a bus or a service, which need not be a breaker's.
pub(super) fn bus(value: f64, what: &str, spot: Spot, findings: &mut Vec<Finding>) {
    in_range(value, limits::BUS_RATING_A, what, &spot, findings);
}

fn in_range(value: f64, range: Plausible, what: &str, spot: &Spot, findings: &mut Vec<Finding>) -> bool {
    if value.is_finite() && range.0 <= value && value <= range.1 {
        return true;
    }
    let (code, hint) = if value <= 0.0 {
        ("rating-not-positive", "write the number on the handle or label, in amperes")
    } else {
        ("rating-implausible", "write the number on the handle or label, in amperes, without factors")
    };
    findings.push(Finding::error(
        code,
        spot.clone(),
        format!("{what} rated {value} A cannot be right"),
        format!("{hint}: from {} to {} A", range.0, range.1),
    ));
    false
}

/// The standard rating nearest to one that is not standard itself; nothing where it is, or is beyond the table.
pub fn nearest_rating(value: f64) -> Option<f64> {
    if STANDARD_A.contains(&value) || STANDARD_A.last().is_some_and(|largest| *largest < value) {
        return None;
    }
    STANDARD_A.iter().copied().min_by(|a, b| (a - value).abs().total_cmp(&(b - value).abs()))
}

fn standard(value: f64, spot: Spot, findings: &mut Vec<Finding>) {
    let Some(nearest) = nearest_rating(value) else { return };
    findings.push(Finding::warning(
        "rating-not-standard",
        spot,
        format!("{value} A is not a standard rating"),
        format!("the nearest is {nearest} A; if the handle really says {value}, leave it"),
    ));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_rises_and_fits_the_limits() {
        assert!(STANDARD_A.windows(2).all(|pair| pair[0] < pair[1]));
        assert!(limits::RATING_A.0 <= STANDARD_A[0] && STANDARD_A.last() == Some(&limits::RATING_A.1));
    }
}
