//! What a circuit draws when it is switched on to be read: the data file, read.

use crate::priors::PriorsError;
use model::breaker::{Breaker, LoadClass};
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Running {
    #[serde(rename = "version")]
    _version: String,
    pub(crate) check: CheckData,
    settling: Settling,
    class: BTreeMap<String, Draws>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CheckData {
    /// Share of the rating below which a load is next to nothing.
    pub(crate) little_share: f64,
    /// Probability of burnt from which a circuit is not loaded to be read.
    pub(crate) not_loaded: f64,
    /// Probability of burnt from which a circuit is left off where all is switched on.
    pub(crate) left_off: f64,
    /// Breakers for which it is worked out.
    pub(crate) most: usize,
    /// How long the load runs, minutes.
    pub(crate) hold_min: f64,
    /// What of a person's time it takes, minutes.
    pub(crate) minutes: f64,
    #[serde(rename = "source")]
    _source: String,
    #[serde(rename = "standing")]
    standing: String,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Settling {
    tau_min: f64,
    #[serde(rename = "source")]
    _source: String,
    standing: String,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Draws {
    run: String,
    share: Option<f64>,
    heater_a: Option<f64>,
    most_share: Option<f64>,
    #[serde(rename = "source")]
    _source: String,
    standing: String,
}

/// A circuit switched on: what to run, and what it then draws.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SwitchedOn {
    pub(crate) run: String,
    pub(crate) amps: f64,
    /// Something brought along, that is plugged in.
    pub(crate) plugged: bool,
}

impl Running {
    /// The file of the program.
    pub(crate) fn built_in() -> Result<Self, PriorsError> {
        toml::from_str(include_str!("../data/running.toml"))
            .map_err(|error| PriorsError::Form { file: "running.toml", message: error.to_string() })
    }

    /// What a breaker's circuit draws when it is run; `None` where that is not known.
    pub(crate) fn of(&self, breaker: &Breaker) -> Option<SwitchedOn> {
        let circuit = breaker.circuit.as_ref()?;
        let class = match circuit.class {
            Some(class) => class,
            None if breaker.n_poles() == 1 => LoadClass::General,
            None => return None,
        };
        // What feeds, is fed from, or is empty has no row.
        let draws = self.class.get(class.word())?;
        let rating_a = breaker.rating.a();
        let amps = match (draws.share, draws.heater_a) {
            (Some(share), _) => share * rating_a,
            (None, Some(heater_a)) => heater_a.min(draws.most_share.unwrap_or(1.0) * rating_a),
            (None, None) => return None,
        };
        // A portable heater has no plug for 240 V.
        let plugged = draws.heater_a.is_some();
        (!plugged || breaker.n_poles() == 1).then(|| SwitchedOn { run: draws.run.clone(), amps, plugged })
    }

    /// Part of its steady rise that a face has when it is read.
    pub(crate) fn settled_part(&self) -> f64 {
        -libm::expm1(-self.check.hold_min / self.settling.tau_min)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testjob::breaker;

    #[test]
    fn every_class_that_can_be_run_has_a_row_and_stays_below_the_rating() {
        let running = Running::built_in().expect("the file of the program");
        for class in [
            LoadClass::General,
            LoadClass::SmallAppliance,
            LoadClass::Dryer,
            LoadClass::Cooking,
            LoadClass::WaterHeater,
            LoadClass::Cooling,
            LoadClass::SpaceHeat,
            LoadClass::Vehicle,
            LoadClass::Motor,
        ] {
            for rating_a in [15.0, 20.0, 50.0] {
                let found = running.of(&breaker(&[1], rating_a, Some(class))).expect("a row");
                assert!(0.2 * rating_a < found.amps && found.amps <= 0.8 * rating_a, "{class:?}");
            }
        }
        for class in [LoadClass::Feeder, LoadClass::Source, LoadClass::Spare] {
            assert_eq!(running.of(&breaker(&[1], 20.0, Some(class))), None);
        }
        assert_eq!(
            running.of(&breaker(&[1, 3], 20.0, Some(LoadClass::General))),
            None,
            "no heater for 240 V"
        );
    }

    #[test]
    fn every_row_says_how_it_stands() {
        const STANDINGS: [&str; 5] = ["published", "derived", "common-practice", "from-memory", "judgement"];
        let running = Running::built_in().expect("the file of the program");
        let rows = running.class.values().map(|draws| &draws.standing);
        for standing in rows.chain([&running.check.standing, &running.settling.standing]) {
            assert!(STANDINGS.contains(&standing.as_str()), "{standing}");
        }
        assert!((running.settled_part() - 0.777).abs() < 1e-3);
    }
}
