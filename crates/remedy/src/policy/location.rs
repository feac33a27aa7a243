//! Where in the file a problem is.

use super::PolicyProblem;

/// Line and column, both from 1, of a byte.
pub(super) fn line_column(text: &str, byte: usize) -> (usize, usize) {
    let before = text.get(..byte).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
    (line, column)
}

/// A problem at a byte of the file.
pub(super) fn at(text: &str, byte: usize, message: String, hint: Option<String>) -> PolicyProblem {
    let (line, column) = line_column(text, byte);
    PolicyProblem { line, column, message, hint }
}

/// What the TOML reader says, with its place.
pub(super) fn of_toml(text: &str, error: &toml::de::Error) -> PolicyProblem {
    let message = error.message().trim().to_owned();
    let hint = message
        .starts_with("unknown field")
        .then(|| "every key is listed in the standard policy; look for a spelling mistake".to_owned());
    match error.span() {
        Some(span) => at(text, span.start, message, hint),
        None => PolicyProblem { line: 0, column: 0, message, hint },
    }
}
