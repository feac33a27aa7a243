//! Aims of a layout: named weights, as data.

use crate::layout::wish::Weights;
use serde::Deserialize;

/// The text of the aims.
const AIMS: &str = include_str!("../../data/layout-aims.toml");

/// Named weights.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aim {
    /// Name.
    pub name: String,
    /// What it is for.
    pub words: String,
    /// What counts how much.
    pub weights: Weights,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    aim: Vec<Line>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    name: String,
    words: String,
    splice: u32,
    leg_difference: u32,
    tolerance_a: u32,
    continuous_row: u32,
    continuous_pair: u32,
    electronic_pair: u32,
    moved_row: u32,
    apart_row: u32,
}

/// The aims of the data file, the proposed one first.
///
/// # Errors
/// The text is no list of aims: what is wrong and where.
pub fn aims() -> Result<Vec<Aim>, String> {
    read(AIMS)
}

fn read(text: &str) -> Result<Vec<Aim>, String> {
    let file: File = toml::from_str(text).map_err(|error| error.to_string())?;
    let aim = |line: Line| Aim {
        name: line.name,
        words: line.words,
        weights: Weights {
            splice: line.splice.into(),
            leg_difference: line.leg_difference.into(),
            tolerance: i64::from(line.tolerance_a) * 10,
            continuous_row: line.continuous_row.into(),
            continuous_pair: line.continuous_pair.into(),
            electronic_pair: line.electronic_pair.into(),
            moved_row: line.moved_row.into(),
            apart_row: line.apart_row.into(),
        },
    };
    Ok(file.aim.into_iter().map(aim).collect())
}

#[cfg(test)]
mod tests {
    use super::{aims, read};

    #[test]
    fn the_aims_are_readable_and_differ() {
        let aims = aims().expect("the data is good");
        assert!(2 <= aims.len());
        for (k, aim) in aims.iter().enumerate() {
            assert!(aims[..k].iter().all(|other| other.name != aim.name && other.weights != aim.weights));
            assert!(!aim.words.is_empty() && 0 < aim.weights.splice);
        }
    }

    #[test]
    fn a_figure_that_is_none_is_told_with_its_line() {
        let error = read("[[aim]]\nname = \"x\"\nwords = \"y\"\nsplice = -1\n").expect_err("it is negative");
        assert!(error.contains("line 4"), "{error}");
    }
}
