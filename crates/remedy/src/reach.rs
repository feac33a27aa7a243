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

/// Free conductor that a space asks for, inches; `None` where the side of entry does not say where the cable comes in.
pub fn needed_in(new: &NewPanel, measures: &Measures, entry: EntrySide, number: u16) -> Option<f64> {
    let columns = u16::from(new.n_columns.max(1));
    let rows = new.n_spaces.div_ceil(columns);
    let (row, column) = ((number.checked_sub(1)?) / columns, (number - 1) % columns);
    let side = if column == 0 { Column::Left } else { Column::Right };
    let fed_at_top = new.fed_at != Some(PanelEnd::Bottom);
    let ends = (measures.feed_end_in, measures.far_end_in);
    let (above, below) = if fed_at_top { ends } else { (ends.1, ends.0) };
    let built = above + below + f64::from(rows) * measures.row_in;
    let height = new.cabinet.height.map_or(built, |height| height.inches().max(built));
    let width = new.cabinet.width.map_or(measures.width_in, |width| width.inches());
    let down = above + (f64::from(row) + 0.5) * measures.row_in;
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
        (EntrySide::Back, _) => return None,
    };
    Some(way + measures.allowance_in)
}

/// Spaces that the conductor reaches. `None`: its length or the place of its entry is not known.
pub fn reach(new: &NewPanel, measures: &Measures, conductor: &Conductor) -> Option<BTreeSet<u16>> {
    let (free, entry) = (conductor.free_length?.inches(), conductor.entry?);
    let mut all = BTreeSet::new();
    for number in 1..=new.n_spaces {
        if needed_in(new, measures, entry, number)? <= free {
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
        for entry in [EntrySide::Top, EntrySide::Bottom, EntrySide::Left, EntrySide::Right] {
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
    fn what_was_not_measured_is_not_known() {
        assert_eq!(reached(EntrySide::Back, 30.0), None);
        let measures = Measures::standard().expect("the data is good");
        assert_eq!(reach(&NewPanel::of_spaces(40), &measures, &Conductor::default()), None);
    }
}
