//! What is off is not failing: voltages of a panel or a circuit that nothing feeds.

use crate::evidence::{Observed, VoltageReading};
use crate::job::Job;
use crate::place::Place;
use crate::{Leg, PanelId};

/// Below this nothing feeds a conductor, V: what is picked up beside live ones is less. Judgement, no source.
pub const OFF_V: f64 = 30.0;

/// The two sides of a panel's lugs, or of its main breaker, at which a leg is read.
#[derive(Clone, Copy, PartialEq)]
enum Side {
    Before,
    Within,
}

impl Job {
    /// Voltages that were read in a load state.
    pub fn voltages_in<'a>(&'a self, state: &'a str) -> impl Iterator<Item = &'a VoltageReading> {
        self.observations.iter().filter_map(move |observation| match &observation.what {
            Observed::Voltage(reading) if reading.state == state => Some(reading),
            _ => None,
        })
    }

    /// Was it read where nothing fed the panel, all its legs being without voltage in the same state? Lugs without voltage say
    /// that of all behind them, not of the conductors before a main breaker that is off; those without voltage say it of both.
    #[must_use]
    pub fn is_read_off(&self, reading: &VoltageReading) -> bool {
        let (panel, state) = (reading.from.panel(), &reading.state);
        self.is_off(panel, state, Side::Before)
            || side(reading) == Side::Within && self.is_off(panel, state, Side::Within)
    }

    fn is_off(&self, panel: &PanelId, state: &str, at: Side) -> bool {
        let Some(known) = self.installation.panel(panel) else { return false };
        let of = |leg: Leg| {
            self.voltages_in(state)
                .filter(move |reading| reading.whole_leg() == Some((panel, leg)) && side(reading) == at)
                .map(|reading| reading.value.v().abs())
        };
        let is_none = |leg: &Leg| of(*leg).next().is_some() && of(*leg).all(|volts| volts < OFF_V);
        known.system.legs().iter().all(is_none)
    }
}

fn side(reading: &VoltageReading) -> Side {
    let is_line = [&reading.from, &reading.to].into_iter().any(|place| matches!(place, Place::Line(..)));
    if is_line { Side::Before } else { Side::Within }
}
