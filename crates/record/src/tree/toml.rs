//! TOML to the common tree, by the `toml` crate's own parser.
//!
//! A line that is not TOML is told of, blanked, and the rest read again, so that one slip neither hides the
//! next nor makes false ones of what follows it.

use super::{Fault, Key, Node, Value};
use crate::limits::NESTING_MAX;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// Most faulty lines looked for in a small file.
const FAULTS_MAX: usize = 100;
/// Most bytes read over and over in search of them.
const REREAD_MAX_BYTES: usize = 64 * 1024 * 1024;

pub(super) fn parse(text: &str) -> (Option<Node>, Vec<Fault>) {
    let mut faults: Vec<Fault> = Vec::new();
    let mut work = text.to_owned();
    let rounds = (REREAD_MAX_BYTES / text.len().max(1)).clamp(1, FAULTS_MAX);
    for _ in 0..rounds {
        let first = match DeTable::parse(&work) {
            Ok(table) => return (Some(root_node(table, &mut faults)), faults),
            Err(error) => {
                let at = error.span().map_or(work.len(), |span| span.start);
                endless(&work, at).unwrap_or_else(|| fault(text, &error))
            }
        };
        let line = line_of(&work, first.span.start);
        let blank = work[line.clone()].trim().is_empty();
        faults.push(first);
        if blank {
            // Nothing left to take out: a text that never ends.
            return (None, faults);
        }
        blank_out(&mut work, line);
    }
    match DeTable::parse(&work) {
        Ok(table) => (Some(root_node(table, &mut faults)), faults),
        Err(error) => {
            let span = error.span().unwrap_or(text.len()..text.len());
            let hint = "mend the lines listed and read the file again";
            faults.push(Fault::syntax(span, "the file is not read further from here", hint));
            (None, faults)
        }
    }
}

fn root_node(table: Spanned<DeTable<'_>>, faults: &mut Vec<Fault>) -> Node {
    let span = table.span();
    table_node(table.into_inner(), span, 0, faults)
}

/// Most lines looked at for the bracket that opens an endless list, and for one that closes it.
const LOOK_LINES: usize = 200;

/// The list or table without end that an error at a position comes from: the last line up to it that opens
/// more brackets than it closes, where the next entry comes before the closing one.
fn endless(text: &str, position: usize) -> Option<Fault> {
    let mut line = line_of(text, position);
    for _ in 0..LOOK_LINES {
        let shown = &text[line.clone()];
        if shown.trim_start().starts_with('[') {
            return None;
        }
        if let Some(equals) = shown.find('=') {
            let value = &shown[equals + 1..];
            for (open, close, what) in [('[', ']', "list"), ('{', '}', "table")] {
                let start = line.start + equals + 1 + value.find(open).unwrap_or_default();
                if 0 < depth_change(value, open, close) && !closes(&text[line.start..], open, close) {
                    let message = format!("the {what} that begins here has no end");
                    return Some(Fault::syntax(start..line.end, message, format!("close it with `{close}`")));
                }
            }
        }
        line = line_of(text, line.start.checked_sub(1)?);
    }
    None
}

fn depth_change(line: &str, open: char, close: char) -> isize {
    let count = |bracket: char| line.matches(bracket).count() as isize;
    count(open) - count(close)
}

/// Is what the first line opens closed before the next entry?
fn closes(text: &str, open: char, close: char) -> bool {
    let mut depth = 0;
    for (idx, line) in text.lines().take(LOOK_LINES).enumerate() {
        let heading = line.trim_start().starts_with('[') && line.trim_end().ends_with(']') && depth < 2;
        let entry = open == '[' && line.split_once('=').is_some_and(|(key, _)| is_bare_key(key.trim()));
        if 0 < idx && (heading || entry) {
            return false;
        }
        depth += depth_change(line, open, close);
        if depth <= 0 {
            return true;
        }
    }
    false
}

fn is_bare_key(key: &str) -> bool {
    !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '-'))
}

/// Bytes of the line around a position, without its end.
fn line_of(text: &str, position: usize) -> Range<usize> {
    let position = crate::lines::floor(text, position);
    let start = text[..position].rfind('\n').map_or(0, |idx| idx + 1);
    let end = text[position..].find('\n').map_or(text.len(), |idx| position + idx);
    start..end
}

/// Blanks a line; a heading with all that stands under it, which would otherwise fall to the table above.
fn blank_out(work: &mut String, line: Range<usize>) {
    let mut end = line.end;
    if work[line.clone()].trim_start().starts_with('[') {
        while let Some(next) = work.get(end + 1..).filter(|rest| !rest.is_empty()) {
            if next.trim_start_matches([' ', '\t']).starts_with('[') {
                break;
            }
            end = line_of(work, end + 1).end;
        }
    }
    let blank: String = work[line.start..end]
        .chars()
        .flat_map(|c| {
            let (shown, count) = if matches!(c, '\n' | '\r') { (c, 1) } else { (' ', c.len_utf8()) };
            std::iter::repeat_n(shown, count)
        })
        .collect();
    work.replace_range(line.start..end, &blank);
}

fn fault(text: &str, error: &toml::de::Error) -> Fault {
    let span = error.span().unwrap_or(text.len()..text.len());
    let line = text[line_of(text, span.start)].trim().to_owned();
    if error.message().contains("duplicate key") {
        let name = text.get(span.clone()).unwrap_or_default();
        return Fault::syntax(
            span,
            format!("`{name}` is given twice in one table"),
            "give each key once; another entry has a heading of its own, as in `[[face]]`",
        );
    }
    let message = format!("the text is not TOML here: {}", error.message());
    Fault::syntax(span, message, hint(&line))
}

/// What would be right, for the slips that people make most.
fn hint(line: &str) -> &'static str {
    let value = line.split_once('=').map(|(_, value)| value.split('#').next().unwrap_or_default().trim());
    match value {
        Some("") => "write a value behind `=`, or take the line out",
        Some(value) if is_comma_number(value) => "write a decimal point, not a comma: `61.2`",
        Some(value) if value.matches('"').count() == 1 => "close the text with a second quote",
        Some(value) if value.starts_with('[') && !value.contains(']') => "close the list with `]`",
        Some(value) if value.starts_with('{') && !value.contains('}') => "close the braces with `}`",
        Some(value) if !value.starts_with(['"', '\'', '[', '{']) => {
            "put text between quotes: `feeds = \"dryer\"`; a number stands alone, its unit is in the key"
        }
        None if line.starts_with('[') => {
            "a heading is `[job]` where there is one, `[[face]]` where there are several"
        }
        None => "one entry a line, `key = value`; a remark begins with `#`",
        Some(_) => "one entry a line, `key = value`, text between quotes, a list between `[` and `]`",
    }
}

/// `20,5`
fn is_comma_number(value: &str) -> bool {
    let plain = value.trim_start_matches(['-', '+']);
    plain.contains(',') && plain.chars().all(|c| c.is_ascii_digit() || c == ',')
}

fn table_node(table: DeTable<'_>, span: Range<usize>, depth: usize, faults: &mut Vec<Fault>) -> Node {
    let mut pairs: Vec<(Key, Node)> = Vec::with_capacity(table.len());
    for (key, value) in table {
        let key = Key { span: key.span(), name: key.into_inner().into_owned() };
        pairs.push((key, node(value, depth + 1, faults)));
    }
    pairs.sort_by_key(|(key, _)| key.span.start);
    Node { span, value: Value::Table(pairs) }
}

fn node(value: Spanned<DeValue<'_>>, depth: usize, faults: &mut Vec<Fault>) -> Node {
    let span = value.span();
    if depth > NESTING_MAX {
        faults.push(Fault::syntax(
            span.clone(),
            "tables or lists are nested too deep",
            format!("at most {NESTING_MAX} deep; the format itself needs fewer"),
        ));
        return Node { span, value: Value::Unread };
    }
    let value = match value.into_inner() {
        DeValue::String(text) => Value::Text(text.into_owned()),
        DeValue::Boolean(flag) => Value::Flag(flag),
        DeValue::Datetime(moment) => Value::Moment(moment.to_string()),
        DeValue::Integer(integer) => match i64::from_str_radix(integer.as_str(), integer.radix()) {
            Ok(number) => Value::Integer(number),
            Err(_) => {
                faults.push(Fault::syntax(
                    span.clone(),
                    format!("`{integer}` is too large for a whole number"),
                    "a number of at most 18 digits",
                ));
                Value::Unread
            }
        },
        DeValue::Float(float) => match float.as_str().parse::<f64>() {
            Ok(number) => Value::Number(number),
            Err(_) => Value::Unread,
        },
        DeValue::Array(items) => {
            Value::List(items.into_iter().map(|item| node(item, depth + 1, faults)).collect())
        }
        DeValue::Table(table) => return table_node(table, span, depth, faults),
    };
    Node { span, value }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<(usize, String)> {
        let (_, mut faults) = parse(text);
        faults.sort_by_key(|fault| fault.span.start);
        faults
            .into_iter()
            .map(|fault| (text[..fault.span.start].matches('\n').count() + 1, fault.message))
            .collect()
    }

    #[test]
    fn one_slip_does_not_hide_the_next() {
        let text = "a = 1\nmain = breaker\nb = 2\n[[x]]\nfeeds \"k\"\nspace = 7\nspace = 9\nk = [1, 2\nl = 3\n[[z\nm = 1\n\
                    [[y]]\nn = 4\nn = 5\n";
        let told = told(text);
        let lines: Vec<usize> = told.iter().map(|(line, _)| *line).collect();
        assert_eq!(lines, [2, 5, 7, 8, 10, 14], "{told:?}");
        let (node, _) = parse(text);
        let node = node.expect("what is good is read");
        assert!(node.get("b").is_some() && node.get("x").is_some() && node.get("y").is_some());
    }

    #[test]
    fn endless_texts_end() {
        for text in
            ["a = \"\"\"\nb = 1\n", "a = [", "a = '''", "[", "=", "\u{feff}a = 1 2", "a = \"\\q\"\r\nb ="]
        {
            assert!(!told(text).is_empty(), "{text}");
        }
    }
}
