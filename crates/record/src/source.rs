//! A file being read: its name, its lines, and problems at places of it.

use crate::lines::Lines;
use crate::problem::{Problem, Severity};
use std::ops::Range;

/// Name and text of a file.
#[derive(Debug)]
pub(crate) struct Source<'a> {
    pub(crate) name: &'a str,
    lines: Lines<'a>,
}

impl<'a> Source<'a> {
    pub(crate) fn new(name: &'a str, text: &'a str) -> Self {
        Source { name, lines: Lines::new(text) }
    }

    /// An error at a place.
    pub(crate) fn error(
        &self,
        code: &'static str,
        span: Range<usize>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Problem {
        self.problem(code, Severity::Error, span, message.into(), Some(hint.into()), Vec::new())
    }

    pub(crate) fn problem(
        &self,
        code: &'static str,
        severity: Severity,
        span: Range<usize>,
        message: String,
        hint: Option<String>,
        related: Vec<(Range<usize>, String)>,
    ) -> Problem {
        let (line, column) = self.lines.line_column(span.start);
        Problem { code, severity, message, hint, file: self.name.to_owned(), span, line, column, related }
    }
}
