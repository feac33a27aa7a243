//! Decisions on samples made by hand: what presses where no single joint stands out.

mod complaints;
mod readings;
mod said;

use crate::Decision;
use crate::sample::Sample;
use model::advice::{Choice, ChoiceKind, Urgency};

fn urgency(sample: &Sample) -> Urgency {
    sample.decide().verdict.urgency
}

fn choice(decision: &Decision, kind: ChoiceKind) -> Choice {
    let found = decision.options.iter().find(|choice| choice.kind == kind);
    found.cloned().unwrap_or_else(|| unreachable!("every option is in the list"))
}
