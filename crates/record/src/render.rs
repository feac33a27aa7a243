//! A problem as text: place, what is wrong, the line with carets, what would be right.

use crate::lines::{floor, line_number};
use crate::problem::{Problem, Severity};
use std::fmt::Write as _;
use std::ops::Range;

/// Longest piece of a source line shown, in characters.
const SHOWN_MAX: usize = 120;

/// The problem as plain text. `source` is the text of the file that it is in.
pub fn render(problem: &Problem, source: &str) -> String {
    render_with(problem, source, false)
}

/// The problem as text with colours for a terminal. They repeat what the words say.
pub fn render_coloured(problem: &Problem, source: &str) -> String {
    render_with(problem, source, true)
}

struct Paint {
    on: bool,
}

impl Paint {
    fn wrap(&self, code: &str, text: &str) -> String {
        if self.on { format!("\u{1b}[{code}m{text}\u{1b}[0m") } else { text.to_owned() }
    }
}

fn render_with(problem: &Problem, source: &str, colour: bool) -> String {
    let paint = Paint { on: colour };
    let mut out = String::new();
    let label = format!("{}[{}]", problem.severity.word(), problem.code);
    let hue = match problem.severity {
        Severity::Error => "1;31",
        Severity::Warning => "1;33",
    };
    let place = match problem.line {
        0 => problem.file.clone(),
        line => format!("{}:{line}:{}", problem.file, problem.column),
    };
    let _ = writeln!(out, "{place}: {}: {}", paint.wrap(hue, &label), problem.message);
    if problem.line > 0 {
        let main = Mark { span: &problem.span, line: problem.line, mark: '^', words: "", hue };
        excerpt(&mut out, source, &main, &paint);
        for (span, words) in &problem.related {
            let line = line_number(source, span.start);
            excerpt(&mut out, source, &Mark { span, line, mark: '-', words, hue: "1;34" }, &paint);
        }
    }
    if let Some(hint) = &problem.hint {
        let _ = writeln!(out, "  {} {hint}", paint.wrap("1", "right would be:"));
    }
    out
}

/// A tab as a blank, so that marks stand right; what would upset a terminal as a mark of its own.
fn shown_as(c: char) -> char {
    match c {
        '\t' => ' ',
        c if c.is_control() => '\u{fffd}',
        c => c,
    }
}

/// What to mark, and how.
struct Mark<'a> {
    span: &'a Range<usize>,
    line: u32,
    mark: char,
    words: &'a str,
    hue: &'a str,
}

/// The line of a span with marks under it.
fn excerpt(out: &mut String, source: &str, what: &Mark<'_>, paint: &Paint) {
    let start = floor(source, what.span.start);
    let end = floor(source, what.span.end.max(start));
    let line_start = source[..start].rfind('\n').map_or(0, |idx| idx + 1);
    let line_end = source[start..].find('\n').map_or(source.len(), |idx| start + idx);
    let whole: Vec<char> =
        source[line_start..line_end].trim_end_matches('\r').chars().map(shown_as).collect();
    let from = source[line_start..start].chars().count().min(whole.len());
    let length = source[start..end].chars().take_while(|&c| c != '\n' && c != '\r').count().max(1);
    let skip = if from < SHOWN_MAX { 0 } else { from - SHOWN_MAX / 2 };
    let shown: String = whole.iter().skip(skip).take(SHOWN_MAX).collect();
    let number = what.line.to_string();
    let gutter = " ".repeat(number.len());
    let count = length.min(SHOWN_MAX.saturating_sub(from - skip)).max(1);
    let marks = what.mark.to_string().repeat(count);
    let tail = if what.words.is_empty() { String::new() } else { format!(" {}", what.words) };
    let marked = paint.wrap(what.hue, &format!("{marks}{tail}"));
    let _ = writeln!(out, "  {number} | {}", shown.trim_end());
    let _ = writeln!(out, "  {gutter} | {}{marked}", " ".repeat(from - skip));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> (Problem, &'static str) {
        let source = "[[face]]\nspace = 55\nc = 61\n";
        let problem = Problem {
            code: "unknown-space",
            severity: Severity::Error,
            message: "panel main has no space 55".to_owned(),
            hint: Some("a number from 1 to 24".to_owned()),
            file: "job.toml".to_owned(),
            span: 17..19,
            line: 2,
            column: 9,
            related: vec![(0..8, "in this entry".to_owned())],
        };
        (problem, source)
    }

    #[test]
    fn plain_text_points_at_the_place() {
        let (problem, source) = sample();
        let expected = "\
job.toml:2:9: error[unknown-space]: panel main has no space 55
  2 | space = 55
    |         ^^
  1 | [[face]]
    | -------- in this entry
  right would be: a number from 1 to 24
";
        assert_eq!(render(&problem, source), expected);
    }

    #[test]
    fn colour_adds_no_words() {
        let (problem, source) = sample();
        let coloured = render_coloured(&problem, source);
        assert!(coloured.contains("\u{1b}[1;31m"));
        let mut plain = coloured;
        for code in ["\u{1b}[1;31m", "\u{1b}[1;34m", "\u{1b}[1m", "\u{1b}[0m"] {
            plain = plain.replace(code, "");
        }
        assert_eq!(plain, render(&problem, source));
    }

    #[test]
    fn spans_outside_the_source_do_not_panic() {
        let (mut problem, _) = sample();
        problem.span = 900..1000;
        assert!(render(&problem, "é").contains("error[unknown-space]"));
        problem.span = 1..1;
        assert!(render(&problem, "é").contains("é"));
    }
}
