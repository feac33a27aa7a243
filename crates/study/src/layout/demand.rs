//! Load states for the balance of the legs: those that were clamped, and three that are worked out.

use super::deci;
use model::breaker::LoadClass;
use model::evidence::{ClampPlace, Observed};
use model::id::{Slot, Space};
use model::job::Job;
use model::panel::Panel;
use remedy::layout::DeciAmps;
use remedy::survey::KnownCircuit;
use std::collections::BTreeMap;

/// Fewest clamp readings that make a load state a scenario.
const CLAMPED: usize = 3;
/// Part of its rating that a pole counts of which no current is known. Judgement.
const UNKNOWN_PART: f64 = 0.5;
/// Part of its rating below which a heavy load was off while it was clamped: then nothing is known of it running. Judgement.
const IDLE_PART: f64 = 0.1;
/// Part of its rating that a load counts which runs for hours and was not clamped: the most that the rule for such loads
/// allows (NFPA 70 210.20(A)).
const LONG_PART: f64 = 0.8;

/// Scenario in which everything runs.
pub(super) const ALL_AT_ONCE: &str = "everything at once";
/// Scenario of what runs for hours.
pub(super) const FOR_HOURS: &str = "what runs for hours";
/// Scenario of the heavy loads alone.
pub(super) const HEAVY: &str = "heavy loads alone";

/// Clamp readings of a panel: by state, the latest of each pole.
pub(super) struct Currents {
    states: BTreeMap<String, BTreeMap<Space, DeciAmps>>,
}

impl Currents {
    pub(super) fn of(job: &Job, panel: &Panel) -> Self {
        let mut states: BTreeMap<String, BTreeMap<Space, DeciAmps>> = BTreeMap::new();
        for observation in &job.observations {
            if let Observed::Current(reading) = &observation.what
                && let ClampPlace::Pole(Slot { panel: of, space }) = &reading.place
                && *of == panel.id
            {
                states.entry(reading.state.clone()).or_default().insert(*space, deci(reading.value.a()));
            }
        }
        Currents { states }
    }

    /// Names of the scenarios.
    pub(super) fn scenarios(&self, circuits: &[KnownCircuit]) -> Vec<String> {
        let clamped = self.states.iter().filter(|(_, clamped)| CLAMPED <= clamped.len());
        let mut all: Vec<String> = clamped.map(|(state, _)| state.clone()).collect();
        all.push(ALL_AT_ONCE.to_owned());
        if circuits.iter().any(KnownCircuit::runs_long) {
            all.push(FOR_HOURS.to_owned());
        }
        if circuits.iter().any(is_heavy) {
            all.push(HEAVY.to_owned());
        }
        all
    }

    /// The largest current of a pole while its circuit ran; a heavy load that was clamped while it was off tells none.
    pub(super) fn running(&self, circuit: &KnownCircuit, space: Space) -> Option<DeciAmps> {
        let idle = deci(circuit.rating.a() * IDLE_PART);
        self.largest(space).filter(|&amps| !is_heavy(circuit) || idle <= amps)
    }

    fn largest(&self, space: Space) -> Option<DeciAmps> {
        self.states.values().filter_map(|state| state.get(&space)).max().copied()
    }

    /// Current of a pole of a circuit in each scenario.
    pub(super) fn demand(
        &self,
        scenarios: &[String],
        circuit: &KnownCircuit,
        space: Option<Space>,
    ) -> Vec<DeciAmps> {
        let known = space.and_then(|space| self.running(circuit, space));
        let rating = circuit.rating.a();
        let guess = known.unwrap_or(deci(rating * UNKNOWN_PART));
        let of = |scenario: &String| match scenario.as_str() {
            ALL_AT_ONCE => guess,
            FOR_HOURS if circuit.runs_long() => known.unwrap_or(deci(rating * LONG_PART)),
            HEAVY if is_heavy(circuit) => guess,
            FOR_HOURS | HEAVY => 0,
            state => space
                .and_then(|space| self.states.get(state).and_then(|state| state.get(&space)))
                .copied()
                .unwrap_or(0),
        };
        scenarios.iter().map(of).collect()
    }
}

fn is_heavy(circuit: &KnownCircuit) -> bool {
    circuit.class.is_some_and(LoadClass::is_heavy)
}
