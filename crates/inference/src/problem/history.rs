//! What flowed before a reading: the recorded load states in their order, and before them loads that nobody told of.
//!
//! A body needs about twenty minutes to follow its load and the cabinet an hour, so a pole whose load was switched off just now is
//! still warm. Each thermal reading is a sum over the stretches of its history; with a long stretch it is the steady state.

use super::{Problem, Segment};

/// Stretches of recorded states that are followed back; what lies further back counts with the oldest of them.
const MOST: usize = 3;
/// A longer time between two states leaves it open what ran between them, minutes.
const GAP_MIN: f64 = 360.0;

impl Problem {
    /// Sets the history of each recorded state and returns the states before which loads are unknown.
    pub(super) fn build_history(&mut self) -> Vec<usize> {
        let unsaid_min = self.priors.discrepancy.unsaid_min;
        let states = &self.job.load_states;
        let mut order: Vec<usize> = (0..states.len()).collect();
        order.sort_by_key(|&state| (states[state].at, state));
        let held_s = |state: usize| 60.0 * states[state].held_min.unwrap_or(unsaid_min).max(0.5);
        let follows = |earlier: usize, later: usize| {
            let apart = states[later].at.duration_since(states[earlier].at).as_secs_f64();
            (0.0..=60.0 * GAP_MIN).contains(&apart)
        };
        let mut before_of: Vec<usize> = Vec::new();
        let mut history = vec![Vec::new(); states.len()];
        let mut first = None;
        for (place, &state) in order.iter().enumerate() {
            let begins = place == 0 || !follows(order[place - 1], state);
            if begins {
                first = Some((place, states.len() + before_of.len()));
                before_of.push(state);
            }
            let Some((from, before)) = first else { continue };
            let mut age_s = 0.0;
            for &at in order[from..=place].iter().rev().take(MOST) {
                history[state].push(Segment { state: at, from_s: age_s, to_s: age_s + held_s(at) });
                age_s += held_s(at);
            }
            let end = if place + 1 - from <= MOST { before } else { order[place + 1 - MOST] };
            history[state].push(Segment { state: end, from_s: age_s, to_s: f64::INFINITY });
        }
        self.history = history;
        before_of
    }
}
