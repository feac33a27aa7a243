//! A leg that is dead, or lives on what 240 V loads feed back into it.
//!
//! The equations hold currents and resistances apart: a voltage is that of the source less what the currents lose. Under a leg
//! that hardly holds, the current is what the voltage that is left drives, so the voltage settles near nothing whatever the
//! resistance is. Both follow from a divider, V = E/(1 + R·G): a load of conductance G draws G·V, a part V/E of what is usual; and
//! of all values a leg could show, that near V is E/V times as likely as where currents were told without it (the determinant of
//! the change from conductances to currents, normalised by the loads' own scale).
//!
//! Validity: 120/240 V single-phase, loads that draw in proportion to their voltage; one failing leg. Electronics that draw more
//! at less voltage stop altogether this far down.

use super::Problem;
use model::Leg;
use model::breaker::Breaker;
use model::evidence::VoltageReading;
use model::panel::Panel;

/// Voltage that loads are made for, leg to neutral, V.
const NOMINAL_V: f64 = 120.0;
/// A leg that reads less is dead or fed back, V.
pub(super) const DEAD_V: f64 = 0.75 * NOMINAL_V;
/// What a meter still tells from nothing, V.
const LEAST_V: f64 = 1.0;
/// How well three voltages of one state must close, V: each meter's error, and what changes between them.
const CLOSES_V: f64 = 5.0;

impl Problem {
    /// How much of their usual current the loads of a breaker draw in a state: all of it, unless a leg of theirs was read dead.
    pub(super) fn driven(&self, state: usize, panel: &Panel, breaker: &Breaker) -> f64 {
        let Some(known) = self.states.get(state) else { return 1.0 };
        let is_on = |leg: Leg| breaker.spaces.iter().any(|&space| panel.leg_of(space) == leg);
        let of_loads = |reading: &&VoltageReading| {
            let whole = reading.whole_leg();
            whole.is_some_and(|(at, leg)| is_on(leg) && (*at == panel.id || self.fed(at).is_none()))
        };
        let volts = self.job.voltages_in(&known.name).filter(of_loads).map(|reading| reading.value.v().abs());
        let least = volts.fold(NOMINAL_V, f64::min);
        if least < DEAD_V { least.max(LEAST_V) / NOMINAL_V } else { 1.0 }
    }

    /// How many times likelier a voltage is where it is right than its equation says.
    pub(super) fn settles(reading: &VoltageReading) -> f64 {
        let volts = reading.value.v().abs();
        if reading.whole_leg().is_some() && volts < DEAD_V { NOMINAL_V / volts.max(LEAST_V) } else { 1.0 }
    }

    /// Is this the voltage of a leg that hangs on the other one? Through a 240 V load it comes to swing with that leg and not
    /// against it: from leg to leg there is the difference of their voltages and not the sum. Of two that hardly differ the lower
    /// one is fed back.
    pub(super) fn is_fed_back(&self, reading: &VoltageReading) -> bool {
        let Some((panel, leg)) = reading.whole_leg() else { return false };
        let volts = |of: &VoltageReading| of.value.v().abs();
        let own = volts(reading);
        let in_state = || self.job.voltages_in(&reading.state).filter(|of| of.from.panel() == panel);
        let other = in_state().find(|of| of.whole_leg().is_some_and(|(at, on)| at == panel && on != leg));
        let across = in_state().find(|of| of.is_leg_to_leg());
        let (Some(other), Some(across)) = (other.map(volts), across.map(volts)) else { return false };
        let is_lower = own < other || (own <= other && leg == Leg::A);
        is_lower && (across - (other - own)).abs() < CLOSES_V && CLOSES_V < own + other - across - CLOSES_V
    }
}
