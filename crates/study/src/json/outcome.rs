//! One line of output: an assessment, or why there is none.

use super::trend::TrendOut;
use super::{
    CheckOut, ComplaintOut, JointOut, NoteOut, OptionOut, SamplingOut, StatementOut, SupplyOut, VerdictOut,
    WorkingOut,
};
use record::Problem;
use schemars::JsonSchema;
use serde::Serialize;

/// One line of `assess --json`.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum Outcome {
    /// The file was assessed.
    Assessment(Box<AssessmentOut>),
    /// The file was not assessed.
    Failure(FailureOut),
}

/// The assessment of one job.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct AssessmentOut {
    /// Format of this object; counts up when a meaning changes.
    pub format: u32,
    /// File it came from, as given.
    pub file: Option<String>,
    /// Name of the job.
    pub job: String,
    /// Is the job invented, for the demo or a test?
    pub invented: bool,
    /// Day it was computed for, ISO.
    pub day: String,
    /// Version of the model and its data files.
    pub model_version: String,
    /// Seed of the sampler.
    pub seed: u64,
    /// How the posterior was computed.
    pub sampling: SamplingOut,
    /// Verdict under the shop's policy.
    pub verdict: VerdictOut,
    /// One entry a joint, in a fixed order.
    pub joints: Vec<JointOut>,
    /// State of the supply.
    pub supply: Vec<SupplyOut>,
    /// Causes, one entry a complaint.
    pub causes: Vec<ComplaintOut>,
    /// Options, doing nothing for now included.
    pub options: Vec<OptionOut>,
    /// Checks worth doing next, best first.
    pub next_checks: Vec<CheckOut>,
    /// Statements in the order seen, measured, inferred, unknown.
    pub statements: Vec<StatementOut>,
    /// Places that were read at two visits or more, held against themselves at equal load.
    pub trends: Vec<TrendOut>,
    /// Remarks.
    pub notes: Vec<NoteOut>,
    /// Workings of the figures.
    pub workings: Vec<WorkingOut>,
    /// What the reader should know about the file; nothing in it kept the job from being assessed.
    pub warnings: Vec<ProblemOut>,
}

/// A file that was not assessed.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FailureOut {
    /// File, as given.
    pub file: String,
    /// Everything that is wrong, in one pass.
    pub errors: Vec<ProblemOut>,
}

/// One problem of a file.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ProblemOut {
    /// Stable code.
    pub code: String,
    /// `error` or `warning`.
    pub severity: String,
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub hint: Option<String>,
    /// Line, from 1; null where the problem is about the whole file.
    pub line: Option<u32>,
    /// Column in characters, from 1; null where the problem is about the whole file.
    pub column: Option<u32>,
}

impl ProblemOut {
    /// A problem of a record.
    pub fn of(problem: &Problem) -> ProblemOut {
        let placed = 0 < problem.line;
        ProblemOut {
            code: problem.code.to_string(),
            severity: problem.severity.word().to_owned(),
            message: problem.message.clone(),
            hint: problem.hint.clone(),
            line: placed.then_some(problem.line),
            column: placed.then_some(problem.column),
        }
    }

    /// A problem that is no matter of the record, for example a file that cannot be read.
    pub fn other(code: &str, message: impl Into<String>) -> ProblemOut {
        ProblemOut {
            code: code.to_owned(),
            severity: "error".to_owned(),
            message: message.into(),
            hint: None,
            line: None,
            column: None,
        }
    }
}
