//! How full the wiring space beside each column of a new panel becomes with a layout: its conductors where they are
//! thickest, and its splices as if all of them lay there.

use crate::reach::{Measures, column_of, heights_in};
use model::conductor::{EntrySide, WireSize};
use model::panel::Column;
use model::replacement::NewPanel;
use serde::Deserialize;

const AREAS: &str = include_str!("../data/fill.toml");

/// Areas of conductors and connectors, square inches.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Areas {
    /// Version of the data.
    pub version: String,
    /// Where the wiring space comes from.
    pub space_source: String,
    /// Where the areas of connectors come from.
    pub splice_source: String,
    /// Where the areas of conductors come from.
    pub wire_source: String,
    wire: Vec<WireArea>,
    splice: Vec<SpliceArea>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct WireArea {
    size: String,
    thin: f64,
    thick: f64,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct SpliceArea {
    up_to: String,
    area_in2: f64,
}

impl Areas {
    /// The areas of the data file.
    ///
    /// # Errors
    /// The text is wrong: what and where.
    pub fn standard() -> Result<Self, String> {
        toml::from_str(AREAS).map_err(|error| error.to_string())
    }

    /// Area of one insulated conductor; of one larger than all of the list that of the largest times the ratio of the metal.
    pub fn wire_in2(&self, size: WireSize, insulation: Option<&str>) -> f64 {
        let is_thin = insulation.is_some_and(|text| {
            let text = text.to_ascii_uppercase();
            ["NM-B", "THHN", "THWN", "XHHW", "TW"].iter().any(|mark| text.contains(mark))
        });
        let of = |one: &WireArea| if is_thin { one.thin } else { one.thick };
        let mils = |text: &str| text.parse::<WireSize>().map_or(0.0, WireSize::circular_mils);
        let fits = |one: &&WireArea| size.circular_mils() <= mils(&one.size);
        match (self.wire.iter().find(fits), self.wire.last()) {
            (Some(one), _) => of(one),
            (None, Some(last)) => of(last) * size.circular_mils() / mils(&last.size).max(1.0),
            (None, None) => 0.0,
        }
    }

    /// Area of the connector that lengthens a conductor; of a larger one that of the largest.
    pub fn splice_in2(&self, size: WireSize) -> f64 {
        let fits = |one: &&SpliceArea| {
            one.up_to.parse::<WireSize>().is_ok_and(|most| size.circular_mils() <= most.circular_mils())
        };
        self.splice.iter().find(fits).or(self.splice.last()).map_or(0.0, |one| one.area_in2)
    }
}

/// The conductors that go to one space.
#[derive(Debug, Clone, PartialEq)]
pub struct Bundle {
    /// The space.
    pub number: u16,
    /// Where its cable comes in; `None`: not known, then it is counted from end to end.
    pub entry: Option<EntrySide>,
    /// How far below the top wall, where it comes through the back.
    pub entry_down_in: Option<f64>,
    /// Area of all its conductors, square inches.
    pub wires_in2: f64,
    /// Area of its splices, square inches; zero without.
    pub splices_in2: f64,
}

/// The wiring space beside a column at its fullest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gutter {
    /// Beside which column.
    pub column: Column,
    /// Its cross-section, square inches.
    pub space_in2: f64,
    /// Conductors at the fullest height, square inches.
    pub wires_in2: f64,
    /// All splices of this side, square inches, as if they lay at that height.
    pub splices_in2: f64,
    /// Splices of this side.
    pub n_splices: usize,
}

/// From the upper to the lower height, inches.
type Stretch = (f64, f64);

/// Stretch from one height to another.
fn stretch(one: f64, other: f64) -> Stretch {
    (one.min(other), one.max(other))
}

/// Where a bundle runs: in its own wiring space, and in the other one.
fn runs(bundle: &Bundle, column: Column, height: f64, down: f64) -> (Option<Stretch>, Option<Stretch>) {
    let half = height / 2.0;
    match (bundle.entry, column) {
        (Some(EntrySide::Top), _) => (Some((0.0, down)), None),
        (Some(EntrySide::Bottom), _) => (Some((down, height)), None),
        (Some(EntrySide::Left), Column::Left) | (Some(EntrySide::Right), Column::Right) => {
            (Some(stretch(half, down)), None)
        }
        // Round the nearer end.
        (Some(EntrySide::Left | EntrySide::Right), _) if down < height - down => {
            (Some((0.0, down)), Some((0.0, half)))
        }
        (Some(EntrySide::Left | EntrySide::Right), _) => (Some((down, height)), Some((half, height))),
        (Some(EntrySide::Back), _) => match bundle.entry_down_in {
            Some(entry) => (Some(stretch(entry.min(height), down)), None),
            None => (Some((0.0, height)), None),
        },
        (None, _) => (Some((0.0, height)), None),
    }
}

/// Both wiring spaces of a new panel at their fullest. Conductors run along the walls as for the reach. Service
/// conductors, and the neutral bar's own jumpers, are not in it.
pub fn gutters(new: &NewPanel, measures: &Measures, bundles: &[Bundle]) -> Vec<Gutter> {
    let depth = new.cabinet.depth.map_or(measures.depth_in, |depth| depth.inches());
    let sides = [Column::Left, Column::Right];
    let mut stretches: [Vec<((f64, f64), f64)>; 2] = [Vec::new(), Vec::new()];
    let mut splices = [(0.0, 0); 2];
    for bundle in bundles {
        let Some((height, down)) = heights_in(new, measures, bundle.number) else { continue };
        let column = column_of(new, bundle.number);
        let own = usize::from(column == Column::Right);
        let (here, there) = runs(bundle, column, height, down);
        stretches[own].extend(here.map(|run| (run, bundle.wires_in2)));
        stretches[1 - own].extend(there.map(|run| (run, bundle.wires_in2)));
        if 0.0 < bundle.splices_in2 {
            splices[own].0 += bundle.splices_in2;
            splices[own].1 += 1;
        }
    }
    let fullest = |runs: &[((f64, f64), f64)]| {
        let at = |height: f64| {
            let there = runs.iter().filter(|((from, to), _)| *from <= height && height <= *to);
            there.map(|(_, area)| area).sum::<f64>()
        };
        // A sum of stretches is largest where one of them begins or ends.
        runs.iter().flat_map(|((from, to), _)| [*from, *to]).map(at).fold(0.0, f64::max)
    };
    (0..2)
        .map(|side| Gutter {
            column: sides[side],
            space_in2: measures.side_in * depth,
            wires_in2: fullest(&stretches[side]),
            splices_in2: splices[side].0,
            n_splices: splices[side].1,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bundle(number: u16, entry: Option<EntrySide>, splices_in2: f64) -> Bundle {
        Bundle { number, entry, entry_down_in: None, wires_in2: 0.1, splices_in2 }
    }

    fn of(bundles: &[Bundle]) -> Vec<Gutter> {
        gutters(&NewPanel::of_spaces(20), &Measures::standard().expect("the data is good"), bundles)
    }

    #[test]
    fn the_areas_are_readable_and_grow_with_the_size() {
        let areas = Areas::standard().expect("the data is good");
        let sizes: Vec<WireSize> = areas.wire.iter().map(|one| one.size.parse().expect("a size")).collect();
        for pair in sizes.windows(2) {
            for insulation in [Some("NM-B"), None] {
                assert!(areas.wire_in2(pair[0], insulation) < areas.wire_in2(pair[1], insulation));
            }
        }
        assert!(
            areas.wire_in2(WireSize::Awg(12), Some("THHN"))
                < areas.wire_in2(WireSize::Awg(12), Some("cloth"))
        );
        assert!(areas.wire_in2(WireSize::Aught(1), None) < areas.wire_in2(WireSize::Aught(2), None));
        assert!(areas.splice_in2(WireSize::Awg(12)) < areas.splice_in2(WireSize::Awg(6)));
    }

    #[test]
    fn from_the_top_all_conductors_of_a_column_pass_the_first_row_together() {
        let top = Some(EntrySide::Top);
        let all = of(&[bundle(1, top, 0.4), bundle(3, top, 0.0), bundle(2, top, 0.0)]);
        assert!((all[0].wires_in2 - 0.2).abs() < 1e-12 && (all[1].wires_in2 - 0.1).abs() < 1e-12, "{all:?}");
        // By hand: 3.5 in beside the terminals, 3.75 in deep.
        assert!((all[0].space_in2 - 13.125).abs() < 1e-12);
        assert_eq!((all[0].n_splices, all[1].n_splices), (1, 0));
    }

    #[test]
    fn top_and_bottom_do_not_meet_where_they_do_not_cross() {
        let all = of(&[bundle(1, Some(EntrySide::Top), 0.0), bundle(19, Some(EntrySide::Bottom), 0.0)]);
        assert!((all[0].wires_in2 - 0.1).abs() < 1e-12, "{all:?}");
        let crossed = of(&[bundle(19, Some(EntrySide::Top), 0.0), bundle(1, Some(EntrySide::Bottom), 0.0)]);
        assert!((crossed[0].wires_in2 - 0.2).abs() < 1e-12, "{crossed:?}");
    }

    #[test]
    fn what_nobody_looked_at_counts_from_end_to_end_and_from_the_other_side_in_both() {
        let all = of(&[bundle(1, None, 0.0), bundle(19, Some(EntrySide::Bottom), 0.0)]);
        assert!((all[0].wires_in2 - 0.2).abs() < 1e-12, "{all:?}");
        let round = of(&[bundle(1, Some(EntrySide::Right), 0.0)]);
        assert!(0.0 < round[0].wires_in2 && 0.0 < round[1].wires_in2, "{round:?}");
    }
}
