//! Papers for a permit: the load sheet with its full working, and the one-line diagram. Black and white.

mod marks;
mod one_line;
mod sheet;
mod words;

pub use one_line::{OneLine, Stage, Symbol, Wire, one_line_paper, one_line_svg};
pub use sheet::load_sheet;

use model::Note;
use model::working::Working;

/// What is printed at the head of both papers.
#[derive(Debug, Clone, PartialEq)]
pub struct PermitHead {
    /// Name of the job.
    pub job: String,
    /// Place with its town.
    pub place: String,
    /// Invented?
    pub invented: bool,
    /// Day it was computed for, ISO.
    pub day: String,
    /// The code that was used, in one line.
    pub code: String,
    /// Supply system.
    pub supply: String,
    /// Rating of the service that loads are held against, A.
    pub service_a: Option<f64>,
    /// Cautions; every one is printed.
    pub cautions: Vec<String>,
}

/// A method of load calculation.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodRow {
    /// Its name, with the dwelling where there are two.
    pub name: String,
    /// Its figures, or why there are none.
    pub figures: Result<MethodFigures, String>,
}

/// Figures of a method.
#[derive(Debug, Clone, PartialEq)]
pub struct MethodFigures {
    /// Calculated load, A.
    pub load_a: f64,
    /// Next standard rating, A.
    pub rating_a: Option<f64>,
    /// Least rating, A.
    pub least_a: f64,
    /// Neutral, A.
    pub neutral_a: Option<f64>,
    /// What is left of the service, A.
    pub left_a: Option<f64>,
    /// What would exceed it, in one sentence.
    pub exceed: Option<String>,
    /// Other readings of what is disputed, each in one sentence.
    pub otherwise: Vec<String>,
    /// Every working.
    pub workings: Vec<Working>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// A size.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeRow {
    /// What it is.
    pub name: String,
    /// The size, or why there is none.
    pub size: Result<String, String>,
    /// Its workings.
    pub workings: Vec<Working>,
}

/// A question that is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenQuestion {
    /// What it is about.
    pub about: String,
    /// The question.
    pub ask: String,
    /// Why it matters.
    pub why: String,
}

/// The load sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadPaper {
    /// Head.
    pub head: PermitHead,
    /// Methods, in order.
    pub methods: Vec<MethodRow>,
    /// Sizes.
    pub sizes: Vec<SizeRow>,
    /// What is not known.
    pub questions: Vec<OpenQuestion>,
}
