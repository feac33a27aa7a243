//! Do nothing for now, and watch. Always on the list, with its consequences.

use super::draft::{Draft, named};
use crate::situation::Situation;
use crate::words::{self, percent};
use model::advice::{Choice, ChoiceKind, Standing, Urgency, Verdict};
use model::assessment::Cause;

pub(super) fn choice(situation: &Situation<'_>, verdict: &Verdict) -> Choice {
    let mut draft = Draft::new(situation, ChoiceKind::LeaveAndWatch);
    let suspect = situation.suspect(|_| true);
    let failing = situation.supply_failing(|_| true).filter(|_| situation.is_failing(|_| true));
    let overload = situation.is_likely_cause(Cause::Overload);
    // Where much is open, nobody can say that most likely nothing happens.
    let more_urgent = verdict.may_change.as_ref().map_or(0.0, |change| change.more_urgent);
    let is_open = situation.thresholds().may_become_urgent <= more_urgent;
    match verdict.urgency {
        Urgency::NoAction => {
            draft.speaks_for("No rule of the policy asks for work on the panel.");
            draft.standing(if overload || is_open { Standing::Open } else { Standing::Recommended });
        }
        Urgency::PlanIt | Urgency::ThisMonth => {
            draft.speaks_for("There is time to get a second opinion and more than one price.");
        }
        Urgency::Within72Hours => {
            draft.speaks_against("A rule of the policy asks for action within 72 hours.");
        }
        Urgency::Now => {
            draft.speaks_against("A rule of the policy asks not to leave it energized as it is.");
            draft.condition(
                "The owner decides it against advice, and the decision is recorded in the owner's words.",
            );
            draft.condition("Smoke alarms were tested today, one of them near the panel.");
            draft.condition("The owner knows the watch list and what to do when something on it happens.");
            draft.standing(Standing::Conditional);
        }
    }
    if !suspect.is_empty() {
        draft.speaks_against(format!("Suspect: {}.", named(&suspect)));
        draft.leaves("The suspect joints stay as they are and go on warming whenever they are loaded.");
        draft.then(
            "A burnt joint does not heal. It can get worse without any sign, and it trips no breaker: joints have \
             glowed for days behind breakers that held. Nobody can say when.",
        );
    }
    if let Some((path, _)) = failing {
        draft.speaks_against(format!("The supply path “{path}” is failing."));
        if path == "neutral" {
            draft.then("Lights and appliances on one half of the house get too much voltage and may be ruined, at any hour.");
        } else {
            draft.then("The joint that is failing goes on burning where nobody in the house can see it.");
        }
    }
    if suspect.is_empty() && failing.is_none() {
        let unobserved = situation.n_unobserved();
        if 0 < unobserved {
            draft.leaves(format!("{unobserved} joints on which no observation bears stay unknown."));
        }
        // What presses without a suspect joint: a reading, a mark, water.
        let is_pressing = verdict.urgency <= Urgency::ThisMonth;
        let why = verdict.rules.iter().find(|rule| is_pressing && rule.urgency == verdict.urgency);
        if let Some(rule) = why {
            let because = || format!("{}.", words::capital(&rule.because));
            draft.then(rule.owner.clone().unwrap_or_else(because));
            draft.then("It stays as it is, and nobody can say what comes of it.");
        }
        draft.then(if overload {
            "The breaker goes on opening whenever the circuit carries too much. That protects the wire.".to_owned()
        } else if why.is_some() {
            "A watch alone does not settle it.".to_owned()
        } else if is_open {
            format!(
                "Too little is known to say that nothing happens: with {} more knowledge makes it more urgent. The next checks tell.",
                percent(more_urgent)
            )
        } else {
            "Most likely nothing happens. A look in a year, under the same loads, would show a change.".to_owned()
        });
    }
    draft.speaks_for("It costs nothing today, and it is the owner's right to choose it.");
    draft.done("Smell, buzz, warmth, flicker, brighter lights, or a breaker that opens: switch off what can be switched off and call.")
}
