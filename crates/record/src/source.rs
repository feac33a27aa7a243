//! A file being read: its name, its lines, and problems at places of it.

use crate::lines::Lines;
use crate::problem::{Problem, Severity};
use std::ops::Range;

/// Longest message or hint, in characters.
const MESSAGE_MAX: usize = 1_000;

/// A text that quotes the file, without what would upset a terminal, and not too long.
fn printable(text: &str) -> String {
    let clean = |c: char| if c.is_control() { '\u{fffd}' } else { c };
    let mut shown: String = text.chars().take(MESSAGE_MAX).map(clean).collect();
    if text.chars().nth(MESSAGE_MAX).is_some() {
        shown.push('…');
    }
    shown
}

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
        let message = printable(&message);
        let hint = hint.map(|hint| printable(&hint));
        Problem { code, severity, message, hint, file: self.name.to_owned(), span, line, column, related }
    }
}
