//! The options, one file each, each with reasons for and against, conditions, and what it leaves unsolved.

mod call_utility;
mod correct_load;
mod draft;
mod leave;
mod make_safe;
mod move_circuit;
mod remake;
mod replace;

use crate::situation::Situation;
use model::advice::{Choice, Verdict};

/// Every option, in the order of [`model::advice::ChoiceKind`].
pub(crate) fn options(situation: &Situation<'_>, verdict: &Verdict) -> Vec<Choice> {
    vec![
        leave::choice(situation, verdict),
        make_safe::choice(situation),
        call_utility::choice(situation),
        correct_load::choice(situation),
        move_circuit::choice(situation),
        remake::choice(situation),
        replace::interior(situation),
        replace::panel(situation),
        replace::service(situation),
    ]
}

#[cfg(test)]
mod tests;
