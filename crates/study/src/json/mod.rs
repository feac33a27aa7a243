//! The machine-readable form of an assessment. Its schema is published as `docs/assessment.schema.json`.
//!
//! The shape is stable: keys are added, never renamed or taken away, and `format` counts up when a meaning changes.

mod advice;
mod convert;
mod finding;
mod outcome;
mod trend;

pub use advice::{CheckChanceOut, MayChangeOut};
pub use advice::{CheckOut, ExpectOut, OptionOut, RangeOut, RuleOut, VerdictOut};
pub use finding::{
    CauseOut, ComplaintOut, IntervalOut, JointOut, NoteOut, ProbabilityOut, ReasonOut, SamplingOut,
    StatementOut, SupplyOut, WorkingInputOut, WorkingOut,
};
pub use outcome::{AssessmentOut, FailureOut, Outcome, ProblemOut};
pub use trend::TrendOut;

use model::assessment::Assessment;
use model::job::Job;
use record::Problem;
use serde_json::Value;

/// The assessment as a value. `assess --json` prints the same with the file it came from.
pub fn assessment(job: &Job, assessment: &Assessment) -> Value {
    serde_json::to_value(convert::assessment(job, assessment))
        .expect("the shape holds only what JSON can hold")
}

/// One line for a file that was assessed, with the warnings that its reading gave.
pub fn line(file: &str, job: &Job, assessment: &Assessment, warnings: &[Problem]) -> String {
    let mut out = convert::assessment(job, assessment);
    out.file = Some(file.to_owned());
    out.warnings = warnings.iter().map(ProblemOut::of).collect();
    text(&Outcome::Assessment(Box::new(out)))
}

/// One line for a file that could not be assessed.
pub fn failure(file: &str, errors: Vec<ProblemOut>) -> String {
    text(&Outcome::Failure(FailureOut { file: file.to_owned(), errors }))
}

/// The JSON Schema of one line of output.
pub fn schema() -> Value {
    let mut schema = schemars::schema_for!(Outcome);
    schema.insert("$id".to_owned(), "assessment.schema.json".into());
    schema.to_value()
}

fn text(outcome: &Outcome) -> String {
    serde_json::to_string(outcome).expect("the shape holds only what JSON can hold")
}

#[cfg(test)]
mod tests;
