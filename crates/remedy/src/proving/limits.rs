//! Limits for proving a new panel, as data with their sources.

use crate::words::StandingWord;
use serde::Deserialize;

const LIMITS: &str = include_str!("../../data/proving.toml");

/// Voltages between which a reading is plausible.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Range {
    pub(super) low_v: f64,
    pub(super) high_v: f64,
    pub(super) source: String,
    pub(super) standing: StandingWord,
}

macro_rules! limit {
    ($($name:ident { $($field:ident: $ty:ty),+ })+) => {
        $(
            #[derive(Debug, Clone, Deserialize)]
            #[serde(deny_unknown_fields)]
            pub(super) struct $name {
                $(pub(super) $field: $ty,)+
                pub(super) source: String,
                pub(super) standing: StandingWord,
            }
        )+
    };
}

limit! {
    Share { share: f64 }
    Volts { volts: f64 }
    Amps { amps: f64 }
    BlockSize { circuits: usize }
    Order { first: Vec<String>, last: Vec<String> }
    Months { months: i32 }
    Clamp { share: f64, amps: f64 }
    Angle { angle_deg: f64 }
    Rise { exponent_low: f64, exponent_high: f64 }
    Comparable { load_share: f64, ratio: f64, rise_k: f64, held_min: f64, reading_k: f64 }
    Days { days: i64 }
    Persons { words: Vec<String>, names: Vec<String> }
    Vague { words: Vec<String> }
}

/// All limits.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Limits {
    pub(super) leg_to_neutral: Range,
    pub(super) line_to_line: Range,
    pub(super) line_to_line_wye: Range,
    pub(super) neutral_to_ground: Range,
    pub(super) sum_of_legs: Share,
    pub(super) legs_apart: Volts,
    pub(super) voltage_moves: Volts,
    pub(super) legs_uneven: Amps,
    pub(super) block: BlockSize,
    pub(super) order: Order,
    pub(super) calibration: Months,
    pub(super) clamp: Clamp,
    pub(super) power_factor: Angle,
    pub(super) rise: Rise,
    pub(super) comparable: Comparable,
    pub(super) look_back: Days,
    pub(super) persons: Persons,
    pub(super) vague: Vague,
}

impl Limits {
    /// Every limit with where it comes from, for a paper.
    pub fn sources(&self) -> Vec<String> {
        let v = |range: &Range| format!("{} to {} V", range.low_v, range.high_v);
        let comparable = &self.comparable;
        let all = [
            (
                format!("leg to neutral {}", v(&self.leg_to_neutral)),
                &self.leg_to_neutral.source,
                self.leg_to_neutral.standing,
            ),
            (
                format!("line to line {}", v(&self.line_to_line)),
                &self.line_to_line.source,
                self.line_to_line.standing,
            ),
            (
                format!("line to line of a wye {}", v(&self.line_to_line_wye)),
                &self.line_to_line_wye.source,
                self.line_to_line_wye.standing,
            ),
            (
                format!("neutral to ground {}", v(&self.neutral_to_ground)),
                &self.neutral_to_ground.source,
                self.neutral_to_ground.standing,
            ),
            (
                format!("sum of the legs within {} %", self.sum_of_legs.share * 100.0),
                &self.sum_of_legs.source,
                self.sum_of_legs.standing,
            ),
            (
                format!("legs apart without load {} V", self.legs_apart.volts),
                &self.legs_apart.source,
                self.legs_apart.standing,
            ),
            (
                format!("a voltage moves by {} V", self.voltage_moves.volts),
                &self.voltage_moves.source,
                self.voltage_moves.standing,
            ),
            (
                format!("legs uneven from {} A", self.legs_uneven.amps),
                &self.legs_uneven.source,
                self.legs_uneven.standing,
            ),
            (format!("{} branches a block", self.block.circuits), &self.block.source, self.block.standing),
            ("order of branches".to_owned(), &self.order.source, self.order.standing),
            (
                format!("calibration {} months", self.calibration.months),
                &self.calibration.source,
                self.calibration.standing,
            ),
            (
                format!("clamp {} % and {} A", self.clamp.share * 100.0, self.clamp.amps),
                &self.clamp.source,
                self.clamp.standing,
            ),
            (
                format!("loads apart by {} °", self.power_factor.angle_deg),
                &self.power_factor.source,
                self.power_factor.standing,
            ),
            (
                format!(
                    "rise with the current to the power {} to {}",
                    self.rise.exponent_low, self.rise.exponent_high
                ),
                &self.rise.source,
                self.rise.standing,
            ),
            (
                format!(
                    "comparable from {} % load, {} min",
                    comparable.load_share * 100.0,
                    comparable.held_min
                ),
                &comparable.source,
                comparable.standing,
            ),
            (
                format!("look-back after {} days", self.look_back.days),
                &self.look_back.source,
                self.look_back.standing,
            ),
            ("words that hang on persons".to_owned(), &self.persons.source, self.persons.standing),
            ("words that are too vague".to_owned(), &self.vague.source, self.vague.standing),
        ];
        all.into_iter().map(|(what, source, standing)| because(&what, source, standing)).collect()
    }
}

/// A limit and where it comes from, in one sentence.
pub(super) fn because(what: &str, source: &str, standing: StandingWord) -> String {
    format!("{what}: {source} ({}).", standing.0)
}

impl Limits {
    /// The limits of the data file.
    ///
    /// # Errors
    /// The data cannot be read: what is wrong and where.
    pub fn standard() -> Result<Limits, String> {
        toml::from_str(LIMITS).map_err(|error| error.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::Limits;

    #[test]
    fn the_limits_are_readable_and_make_sense() {
        let limits = Limits::standard().expect("the data is good");
        for range in [
            &limits.leg_to_neutral,
            &limits.line_to_line,
            &limits.line_to_line_wye,
            &limits.neutral_to_ground,
        ] {
            assert!(range.low_v < range.high_v && !range.source.is_empty());
        }
        assert!(limits.rise.exponent_low < limits.rise.exponent_high);
        assert!(1 <= limits.block.circuits && 1.0 < limits.comparable.ratio);
        let lower = |words: &[String]| words.iter().all(|word| *word == word.to_lowercase());
        assert!(lower(&limits.persons.words) && lower(&limits.persons.names) && lower(&limits.vague.words));
    }
}
