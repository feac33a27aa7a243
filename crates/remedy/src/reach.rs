//! Which spaces of a new panel a conductor reaches without a splice, by its side of entry and its free length.

use model::conductor::{Conductor, EntrySide};
use model::panel::Column;
use model::replacement::{NewPanel, PanelEnd};
use serde::Deserialize;
use std::collections::BTreeSet;

/// The text of the measures.
const MEASURES: &str = include_str!("../data/reach.toml");

/// How cabinets are built, inches. Judgement; see the data file.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measures {
    /// Version of the data.
    pub version: String,
    /// Height of a row.
    pub row_in: f64,
    /// From the fed end to the first row.
    pub feed_end_in: f64,
    /// From the other end to the last row.
    pub far_end_in: f64,
    /// Width where not measured.
    pub width_in: f64,
    /// From a side wall to the terminals of its column.
    pub side_in: f64,
    /// Bends and landing.
    pub allowance_in: f64,
    /// Depth where not measured, and what a conductor takes from the back wall to the front of the terminals.
    pub depth_in: f64,
}

impl Measures {
    /// The measures of the data file.
    ///
    /// # Errors
    /// The text is wrong: what and where.
    pub fn standard() -> Result<Self, String> {
        toml::from_str(MEASURES).map_err(|error| error.to_string())
    }
}

/// Height of the cabinet, and how far below its top a space lies, inches; `None` for a space that there is not.
pub(crate) fn heights_in(new: &NewPanel, measures: &Measures, number: u16) -> Option<(f64, f64)> {
    let columns = u16::from(new.n_columns.max(1));
    let (rows, row) = (new.n_spaces.div_ceil(columns), (number.checked_sub(1)?) / columns);
    let fed_at_top = new.fed_at != Some(PanelEnd::Bottom);
    let ends = (measures.feed_end_in, measures.far_end_in);
    let (above, below) = if fed_at_top { ends } else { (ends.1, ends.0) };
    let built = above + below + f64::from(rows) * measures.row_in;
    let height = new.cabinet.height.map_or(built, |height| height.inches().max(built));
    Some((height, above + (f64::from(row) + 0.5) * measures.row_in))
}

/// Column of a space.
pub(crate) fn column_of(new: &NewPanel, number: u16) -> Column {
    let columns = u16::from(new.n_columns.max(1));
    if (number.max(1) - 1).is_multiple_of(columns) { Column::Left } else { Column::Right }
}

/// Free conductor that a space asks for, inches. A cable through the back comes in `entry_down` below the top wall, between
/// the columns; where that is not known it is taken to come in where the way is longest. `None` for a space that there is not.
pub fn needed_in(
    new: &NewPanel,
    measures: &Measures,
    entry: EntrySide,
    entry_down: Option<f64>,
    number: u16,
) -> Option<f64> {
    let ((height, down), side) = (heights_in(new, measures, number)?, column_of(new, number));
    let width = new.cabinet.width.map_or(measures.width_in, |width| width.inches());
    let across = (width / 2.0 - measures.side_in).max(0.0);
    let way = match (entry, side) {
        (EntrySide::Top, _) => down + across,
        (EntrySide::Bottom, _) => height - down + across,
        (EntrySide::Left, Column::Left) | (EntrySide::Right, Column::Right) => {
            (down - height / 2.0).abs() + measures.side_in
        }
        // Round the nearer end, not across the breakers.
        (EntrySide::Left | EntrySide::Right, _) => {
            height / 2.0 + down.min(height - down) + width - 2.0 * measures.side_in
        }
        // Behind the interior to the wiring space beside it, forward to the terminals, then up or down.
        (EntrySide::Back, _) => {
            let along = entry_down.map_or(down.max(height - down), |entry| (down - entry.min(height)).abs());
            let depth = new.cabinet.depth.map_or(measures.depth_in, |depth| depth.inches());
            along + across + depth
        }
    };
    Some(way + measures.allowance_in)
}

/// Spaces that the conductor reaches. `None`: its length or the place of its entry is not known.
pub fn reach(new: &NewPanel, measures: &Measures, conductor: &Conductor) -> Option<BTreeSet<u16>> {
    let (free, entry) = (conductor.free_length?.inches(), conductor.entry?);
    let entry_down = conductor.entry_down.map(model::Length::inches);
    let mut all = BTreeSet::new();
    for number in 1..=new.n_spaces {
        if needed_in(new, measures, entry, entry_down, number)? <= free {
            all.insert(number);
        }
    }
    Some(all)
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::quantity::Length;

    fn reached(entry: EntrySide, inches: f64) -> Option<BTreeSet<u16>> {
        let conductor = Conductor {
            free_length: Some(Length::from_in(inches)),
            entry: Some(entry),
            ..Conductor::default()
        };
        reach(&NewPanel::of_spaces(40), &Measures::standard().expect("the data is good"), &conductor)
    }

    #[test]
    fn what_is_longer_reaches_all_that_the_shorter_one_does() {
        for entry in [EntrySide::Top, EntrySide::Bottom, EntrySide::Left, EntrySide::Right, EntrySide::Back] {
            let mut before = BTreeSet::new();
            for inches in (0..80).map(f64::from) {
                let now = reached(entry, inches).expect("both are known");
                assert!(before.is_subset(&now), "{entry:?} {inches}");
                before = now;
            }
            assert_eq!(before.len(), 40, "{entry:?}: 79 in reach everything");
        }
    }

    #[test]
    fn a_cable_from_the_top_reaches_the_upper_spaces_first_and_one_from_below_the_lower() {
        let top = reached(EntrySide::Top, 22.0).expect("known");
        assert!(top.contains(&1) && !top.contains(&39), "{top:?}");
        let bottom = reached(EntrySide::Bottom, 22.0).expect("known");
        assert!(bottom.contains(&39) && !bottom.contains(&1), "{bottom:?}");
        let left = reached(EntrySide::Left, 12.0).expect("known");
        assert!(left.iter().all(|number| number % 2 == 1) && !left.is_empty(), "{left:?}");
    }

    #[test]
    fn from_the_back_a_known_height_reaches_no_less_than_an_unknown_one() {
        let (new, measures) = (NewPanel::of_spaces(40), Measures::standard().expect("the data is good"));
        let needed =
            |down, number| needed_in(&new, &measures, EntrySide::Back, down, number).expect("a space");
        // By hand: space 21 is row 10: 9 + 10.5 = 19.5 in down of 34; across 14.5 / 2 - 3.5 = 3.75, depth 3.75, bends 4.
        assert!((needed(Some(19.5), 21) - 11.5).abs() < 1e-9, "{}", needed(Some(19.5), 21));
        assert!((needed(None, 21) - (19.5 + 11.5)).abs() < 1e-9);
        for number in 1..=40 {
            for down in [0.0, 7.0, 20.0, 34.0, 90.0] {
                assert!(needed(Some(down), number) <= needed(None, number) + 1e-9, "{number} {down}");
            }
        }
    }

    #[test]
    fn what_was_not_measured_is_not_known() {
        let measures = Measures::standard().expect("the data is good");
        assert_eq!(reach(&NewPanel::of_spaces(40), &measures, &Conductor::default()), None);
    }
}
