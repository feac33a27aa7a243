//! The values of a job file with their places in the text, the same for TOML and JSON.

mod json;
mod toml;

use std::ops::Range;

/// A value and its bytes in the text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Node {
    pub(crate) span: Range<usize>,
    pub(crate) value: Value,
}

/// A key of a table.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Key {
    pub(crate) name: String,
    pub(crate) span: Range<usize>,
}

/// Kinds of value.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Value {
    Null,
    /// Something that has been told of as a fault.
    Unread,
    Flag(bool),
    Integer(i64),
    Number(f64),
    Text(String),
    /// A date or time of TOML, as written; JSON has them as text.
    Moment(String),
    List(Vec<Node>),
    /// In the order of the text.
    Table(Vec<(Key, Node)>),
}

impl Value {
    /// What it is, for messages.
    pub(crate) fn what(&self) -> &'static str {
        match self {
            Value::Null | Value::Unread => "null",
            Value::Flag(_) => "true or false",
            Value::Integer(_) | Value::Number(_) => "a number",
            Value::Text(_) => "a text",
            Value::Moment(_) => "a date or time",
            Value::List(_) => "a list",
            Value::Table(_) => "a table",
        }
    }
}

impl Node {
    /// The value under a key.
    pub(crate) fn get(&self, name: &str) -> Option<&Node> {
        self.pairs().iter().find(|(key, _)| key.name == name).map(|(_, node)| node)
    }

    /// Keys and values of a table, none for other values.
    pub(crate) fn pairs(&self) -> &[(Key, Node)] {
        match &self.value {
            Value::Table(pairs) => pairs,
            _ => &[],
        }
    }

    /// Items of a list, none for other values.
    pub(crate) fn items(&self) -> &[Node] {
        match &self.value {
            Value::List(items) => items,
            _ => &[],
        }
    }
}

/// A fault of the text itself.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Fault {
    pub(crate) code: &'static str,
    pub(crate) span: Range<usize>,
    pub(crate) message: String,
    pub(crate) hint: Option<String>,
    pub(crate) related: Vec<(Range<usize>, String)>,
}

impl Fault {
    fn syntax(span: Range<usize>, message: impl Into<String>, hint: impl Into<String>) -> Self {
        Fault { code: "syntax", span, message: message.into(), hint: Some(hint.into()), related: Vec::new() }
    }
}

/// The tree of a text, TOML or, where the first character that is not blank is `{`, JSON. With faults the
/// tree is what could be made out beside them, or nothing.
pub(crate) fn parse(text: &str) -> (Option<Node>, Vec<Fault>) {
    if is_json(text) { json::parse(text) } else { toml::parse(text) }
}

/// Does the text begin like a JSON object?
pub(crate) fn is_json(text: &str) -> bool {
    text.trim_start_matches('\u{feff}').trim_start().starts_with('{')
}
