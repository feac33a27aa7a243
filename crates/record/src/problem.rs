//! What is wrong with a record: where, and what would be right.

use std::ops::Range;

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The record cannot be used until it is mended.
    Error,
    /// The record can be used; the reader should know.
    Warning,
}

impl Severity {
    /// The word printed.
    pub const fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
        }
    }
}

/// One problem of a job file or of a set of facts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Stable code, listed in `docs/job-file.md`.
    pub code: &'static str,
    /// Error or warning.
    pub severity: Severity,
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub hint: Option<String>,
    /// Name of the file; for facts that came from no file, `fact` and its id.
    pub file: String,
    /// Bytes of the source; empty at 0 where there is no source.
    pub span: Range<usize>,
    /// Line, from 1; 0 where there is no source.
    pub line: u32,
    /// Column in characters, from 1; 0 where there is no source.
    pub column: u32,
    /// Other places that have to do with it, and how.
    pub related: Vec<(Range<usize>, String)>,
}

impl Problem {
    /// Must it be mended before the record can be used?
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }
}
