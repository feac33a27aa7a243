//! Time limits that the standards set for a new breaker's thermal trip.

use crate::cited::Cited;
use crate::range::{OutOfRange, within};
use crate::table::{self, Word};
use model::Current;

/// Standards with time limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
pub enum Standard {
    /// UL 489, trip tests at 25 °C.
    #[serde(rename = "ul489")]
    Ul489,
    /// IEC 60898-1, reference 30 °C.
    #[serde(rename = "iec60898")]
    Iec60898,
    /// IEC 60947-2, reference usually 40 °C.
    #[serde(rename = "iec60947_2")]
    Iec60947,
    /// Field test at three times the rating, NETA and NEMA AB 4: one pole, cold.
    #[serde(rename = "ab4_field")]
    Ab4Field,
}

/// What a limit asks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// Not to open before the time.
    Hold,
    /// To open within the time.
    Trip,
}

/// One limit for one rating.
#[derive(Debug, Clone, PartialEq)]
pub struct TimeLimit {
    /// Current of the limit.
    pub current: Current,
    /// Current over rating.
    pub multiple: f64,
    /// What it asks.
    pub kind: Kind,
    /// Time, s, with its source.
    pub time_s: Cited<f64>,
}

#[derive(Debug, serde::Deserialize)]
struct Row {
    standard: Standard,
    multiple: f64,
    from_a: f64,
    to_a: f64,
    kind: Kind,
    seconds: f64,
    standing: Word,
    source: String,
}

fn all_rows() -> Vec<Row> {
    table::rows(include_str!("../../data/trip_limits.csv"))
}

/// All limits of a standard for a rating, lowest current first.
///
/// ```text
/// a table: data/trip_limits.csv
/// ```
///
/// | symbol | here     | meaning           | unit |
/// |--------|----------|-------------------|------|
/// | In     | `rating` | rating            | A    |
/// | –      | `standard` | whose limits    | –    |
///
/// - **Source:** a column of the table. UL 489 at 200 % above 30 A, the field test and IEC 60898 at 2.55 In are
///   from memory and carry `Standing::FromMemory`.
/// - **Valid:** new devices under the standard's test conditions. Never read it as "this breaker will open".
/// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
pub fn time_limits(standard: Standard, rating: Current) -> Result<Vec<TimeLimit>, OutOfRange> {
    let rating_a = within("rating", rating.a(), "A", (0.5, 400.0), "breakers of the standards' tables")?;
    Ok(all_rows()
        .into_iter()
        .filter(|row| row.standard == standard && row.from_a < rating_a && rating_a <= row.to_a)
        .map(|row| TimeLimit {
            current: Current::from_a(row.multiple * rating_a),
            multiple: row.multiple,
            kind: row.kind,
            time_s: Cited::new(row.seconds, row.standing.cite(&row.source)),
        })
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_do_not_overlap_and_limits_agree_among_themselves() {
        for standard in [Standard::Ul489, Standard::Iec60898, Standard::Iec60947, Standard::Ab4Field] {
            for rating in [10.0, 15.0, 20.0, 30.0, 32.0, 50.0, 63.0, 100.0, 125.0, 200.0] {
                let limits = time_limits(standard, Current::from_a(rating)).unwrap();
                for pair in limits.windows(2) {
                    let same = pair[0].multiple == pair[1].multiple && pair[0].kind == pair[1].kind;
                    assert!(!same && pair[0].multiple <= pair[1].multiple, "{standard:?} {rating}");
                }
                let trips: Vec<_> = limits.iter().filter(|limit| limit.kind == Kind::Trip).collect();
                assert!(trips.windows(2).all(|pair| pair[1].time_s.value < pair[0].time_s.value));
            }
        }
    }
}
