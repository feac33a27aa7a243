//! What is known, in four classes: seen, measured, inferred, unknown. Sentences an owner can read.

mod inferred;
mod measured;
mod seen;
mod unknown;

use inference::Judgement;
use model::FactId;
use model::assessment::{Class, Statement};
use model::job::Job;
use remedy::Policy;

/// Statements in the order seen, measured, inferred, unknown.
pub(crate) fn statements(job: &Job, judgement: &Judgement, policy: &Policy) -> Vec<Statement> {
    let mut all = seen::statements(job);
    all.extend(measured::statements(job));
    all.extend(inferred::statements(job, judgement, policy));
    all.extend(unknown::statements(job, judgement));
    all
}

fn statement(class: Class, text: String, facts: Vec<FactId>) -> Statement {
    Statement { class, text, facts }
}

#[cfg(test)]
mod tests;
