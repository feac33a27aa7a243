//! Action class of a temperature difference in a thermographic survey.

use crate::range::{OutOfRange, within};
use crate::table;
use model::{Cite, Note, Standing};

/// Action classes, least first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ActionClass {
    /// Below every band.
    #[serde(skip)]
    None,
    /// Possible deficiency.
    Possible,
    /// Probable deficiency.
    Probable,
    /// To be watched until corrected.
    Monitor,
    /// Major discrepancy.
    Major,
}

impl ActionClass {
    /// The class in the words of the table.
    pub const fn words(self) -> &'static str {
        match self {
            ActionClass::None => "below the table's first band",
            ActionClass::Possible => "possible deficiency; investigate",
            ActionClass::Probable => "probable deficiency; repair as time permits",
            ActionClass::Monitor => "monitor until corrected",
            ActionClass::Major => "major discrepancy; repair immediately",
        }
    }
}

/// What a difference is taken against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Basis {
    /// A similar part under similar load.
    Similar,
    /// Ambient air.
    Air,
}

#[derive(Debug, serde::Deserialize)]
struct Row {
    basis: Basis,
    low_k: f64,
    high_k: Option<f64>,
    class: ActionClass,
}

fn all_rows() -> Vec<Row> {
    table::rows(include_str!("../data/severity.csv"))
}

/// Source of the table.
pub fn cite() -> Cite {
    Cite::new("ANSI/NETA MTS", "thermographic survey, suggested actions by ΔT", Standing::Published)
}

/// A class with how it was reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Severity {
    /// Class.
    pub class: ActionClass,
    /// Remarks that must reach the page.
    pub notes: Vec<Note>,
}

/// Class of a temperature difference.
///
/// ```text
/// a table: 1–3, 4–15, >15 K against a similar part; 1–10, 11–20, 21–40, >40 K over air
/// ```
///
/// | symbol | here      | meaning                    | unit |
/// |--------|-----------|----------------------------|------|
/// | ΔT     | `delta_k` | temperature difference     | K    |
/// | –      | `basis`   | what it is taken against   | –    |
///
/// - **Source:** ANSI/NETA MTS thermographic survey table, `data/severity.csv`.
/// - **Valid:** steady load; the table knows no load, wind or emissivity. A value between two bands (3–4 K,
///   10–11 K, 20–21 K) is not defined there: it is put into the higher band, with a note.
/// - **Checked:** `tests/reference/tests/physics/severity.rs`.
pub fn severity(basis: Basis, delta_k: f64) -> Result<Severity, OutOfRange> {
    let delta = within("temperature difference", delta_k, "K", (-200.0, 1500.0), "solid parts of a panel")?;
    let rows = all_rows();
    // The band that holds the value as printed, else the next band above it.
    let holds = |row: &&Row| {
        row.basis == basis
            && match row.high_k {
                Some(high) => row.low_k <= delta && delta <= high,
                None => row.low_k < delta,
            }
    };
    let next = |row: &&Row| row.basis == basis && delta < row.low_k && row.high_k.is_some();
    let mut notes = vec![];
    let class = if delta < 1.0 {
        ActionClass::None
    } else if let Some(row) = rows.iter().find(holds) {
        row.class
    } else {
        let row = rows.iter().find(next).expect("a test walks the table without finding a hole");
        notes.push(Note {
            subject: "severity".into(),
            text: format!(
                "{delta} K lies between two bands of the table, which does not say what it is; taken as the \
                 higher band."
            ),
            cite: Some(cite()),
        });
        row.class
    };
    Ok(Severity { class, notes })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_hole_and_never_milder_for_a_larger_difference() {
        for basis in [Basis::Similar, Basis::Air] {
            let mut last = ActionClass::None;
            for tenth in -20..=6000 {
                let class = severity(basis, f64::from(tenth) / 10.0).unwrap().class;
                assert!(last <= class, "{basis:?} {tenth}");
                last = class;
            }
            assert_eq!(last, ActionClass::Major);
        }
    }
}
