//! TOML to the common tree, by the `toml` crate's own parser, which goes on after a fault.

use super::{Fault, Key, Node, Value};
use crate::limits::NESTING_MAX;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

pub(super) fn parse(text: &str) -> (Option<Node>, Vec<Fault>) {
    let (table, errors) = DeTable::parse_recoverable(text);
    let mut faults: Vec<Fault> = errors.iter().map(|error| fault(text, error)).collect();
    let span = table.span();
    let node = table_node(table.into_inner(), span, 0, &mut faults);
    (Some(node), faults)
}

fn fault(text: &str, error: &toml::de::Error) -> Fault {
    let span = error.span().unwrap_or(text.len()..text.len());
    let message = format!("the text is not TOML here: {}", error.message());
    let hint = hint(text, &span, error.message());
    Fault::syntax(span, message, hint)
}

/// What would be right, for the slips that people make most.
fn hint(text: &str, span: &Range<usize>, message: &str) -> String {
    let start = crate::lines::floor(text, span.start);
    let line_start = text[..start].rfind('\n').map_or(0, |idx| idx + 1);
    let line_end = text[start..].find('\n').map_or(text.len(), |idx| start + idx);
    let line = text[line_start..line_end].trim();
    if message.contains("duplicate key") {
        return "give each key once in its table; start another entry with its own heading, as in `[[face]]`"
            .to_owned();
    }
    let comma_in_number = line.split_once('=').is_some_and(|(_, value)| {
        let value = value.trim();
        value.chars().all(|c| c.is_ascii_digit() || matches!(c, ',' | '-' | '+' | ' ')) && value.contains(',')
    });
    if comma_in_number {
        return "write a decimal point, not a comma: `61.2`".to_owned();
    }
    let bare_text =
        line.split_once('=').is_some_and(|(_, value)| value.trim().starts_with(|c: char| c.is_alphabetic()));
    if bare_text {
        return "put text between quotes: `feeds = \"dryer\"`".to_owned();
    }
    if !line.contains('=') && !line.starts_with('[') {
        return "one entry a line, `key = value`; a remark begins with `#`".to_owned();
    }
    "one entry a line, `key = value`, text between quotes, a list between `[` and `]`".to_owned()
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
        return Node { span, value: Value::Null };
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
                Value::Null
            }
        },
        DeValue::Float(float) => match float.as_str().parse::<f64>() {
            Ok(number) => Value::Number(number),
            Err(_) => Value::Null,
        },
        DeValue::Array(items) => {
            Value::List(items.into_iter().map(|item| node(item, depth + 1, faults)).collect())
        }
        DeValue::Table(table) => return table_node(table, span, depth, faults),
    };
    Node { span, value }
}
