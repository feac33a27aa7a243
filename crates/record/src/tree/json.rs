//! JSON (RFC 8259, nothing looser) to the common tree.

use super::{Fault, Key, Node, Value};
use crate::limits::NESTING_MAX;
use jsonc_parser::ast;
use jsonc_parser::common::Ranged;
use jsonc_parser::{CollectOptions, ParseOptions, parse_to_ast};
use std::collections::BTreeMap;

const STRICT: ParseOptions = ParseOptions {
    allow_comments: false,
    allow_loose_object_property_names: false,
    allow_trailing_commas: false,
    allow_missing_commas: false,
    allow_single_quoted_strings: false,
    allow_hexadecimal_numbers: false,
    allow_unary_plus_numbers: false,
    allow_bare_decimal_point_numbers: false,
    allow_non_finite_numbers: false,
    allow_extended_string_escapes: false,
};

pub(super) fn parse(text: &str) -> (Option<Node>, Vec<Fault>) {
    if let Some(fault) = too_deep(text) {
        return (None, vec![fault]);
    }
    match parse_to_ast(text, &CollectOptions::default(), &STRICT) {
        Ok(result) => {
            let mut faults = Vec::new();
            let node = result.value.map(|value| node(value, &mut faults));
            (node, faults)
        }
        Err(error) => {
            let range = error.range();
            let message = format!("the text is not JSON here: {}", lower_first(&error.kind().to_string()));
            let hint = "strict JSON: keys and text between double quotes, a comma between entries and none after \
                        the last, no remarks";
            (None, vec![Fault::syntax(range.start..range.end, message, hint)])
        }
    }
}

fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}

/// The parser recurses, so the depth is checked before it runs.
fn too_deep(text: &str) -> Option<Fault> {
    let (mut depth, mut in_text, mut escaped) = (0_usize, false, false);
    for (position, byte) in text.bytes().enumerate() {
        match (in_text, byte) {
            (true, _) if escaped => escaped = false,
            (true, b'\\') => escaped = true,
            (true, b'"') => in_text = false,
            (true, _) => {}
            (false, b'"') => in_text = true,
            (false, b'{' | b'[') => depth += 1,
            (false, b'}' | b']') => depth = depth.saturating_sub(1),
            (false, _) => {}
        }
        if depth > NESTING_MAX {
            return Some(Fault::syntax(
                position..position + 1,
                "tables or lists are nested too deep",
                format!("at most {NESTING_MAX} deep; the format itself needs fewer"),
            ));
        }
    }
    None
}

fn node(value: ast::Value<'_>, faults: &mut Vec<Fault>) -> Node {
    let range = value.range();
    let span = range.start..range.end;
    let value = match value {
        ast::Value::NullKeyword(_) => Value::Null,
        ast::Value::BooleanLit(flag) => Value::Flag(flag.value),
        ast::Value::StringLit(text) => Value::Text(text.value.into_owned()),
        ast::Value::NumberLit(number) => match (number.value.parse::<i64>(), number.value.parse::<f64>()) {
            (Ok(integer), _) => Value::Integer(integer),
            (Err(_), Ok(float)) => Value::Number(float),
            (Err(_), Err(_)) => Value::Null,
        },
        ast::Value::Array(array) => {
            Value::List(array.elements.into_iter().map(|item| node(item, faults)).collect())
        }
        ast::Value::Object(object) => {
            let mut pairs: Vec<(Key, Node)> = Vec::with_capacity(object.properties.len());
            let mut seen: BTreeMap<String, std::ops::Range<usize>> = BTreeMap::new();
            for property in object.properties {
                let range = property.name.range();
                let key = Key { span: range.start..range.end, name: property.name.into_string() };
                if let Some(first) = seen.get(&key.name) {
                    faults.push(Fault {
                        code: "syntax",
                        span: key.span.clone(),
                        message: format!("the key `{}` stands twice in one object", key.name),
                        hint: Some("give each key once; several entries of a kind go into a list".to_owned()),
                        related: vec![(first.clone(), "first here".to_owned())],
                    });
                    continue;
                }
                seen.insert(key.name.clone(), key.span.clone());
                pairs.push((key, node(property.value, faults)));
            }
            Value::Table(pairs)
        }
    };
    Node { span, value }
}
