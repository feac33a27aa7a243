//! Reading values out of one table of the tree. What is missing or wrong gives `None`; `walk` tells of it.

use super::Field;
use super::moment::{Moment, day, moment};
use crate::fact::{LengthAs, TemperatureAs};
use crate::text::Textual;
use crate::tree::{Node, Value};
use jiff::civil::Date;
use std::ops::Range;

/// The one table under a key, or all of a list of them.
pub(super) fn versions<'n>(root: &'n Node, key: &str) -> Vec<&'n Node> {
    let Some(node) = root.get(key) else { return Vec::new() };
    let all: Vec<&Node> = match &node.value {
        Value::List(items) => items.iter().collect(),
        _ => vec![node],
    };
    all.into_iter().filter(|node| matches!(node.value, Value::Table(_))).collect()
}

/// One table.
#[derive(Debug, Clone, Copy)]
pub(super) struct Entry<'n> {
    node: &'n Node,
    id_key: &'static str,
}

impl<'n> Entry<'n> {
    pub(super) fn new(node: &'n Node) -> Self {
        Entry { node, id_key: "id" }
    }

    /// A table whose `id` is something else than the id of its fact.
    pub(super) fn named(node: &'n Node) -> Self {
        Entry { node, id_key: "fact" }
    }

    pub(super) fn node(&self) -> &'n Node {
        self.node
    }

    pub(super) fn id_key(&self) -> &'static str {
        self.id_key
    }

    pub(super) fn get(&self, key: &str) -> Option<&'n Node> {
        self.node.get(key)
    }

    pub(super) fn items(&self, key: &str) -> &'n [Node] {
        self.get(key).map_or(&[], |node| node.items())
    }

    pub(super) fn text(&self, key: &str) -> Option<&'n str> {
        match &self.get(key)?.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    pub(super) fn owned(&self, key: &str) -> Option<String> {
        self.text(key).map(str::to_owned)
    }

    /// Free text, empty where left out.
    pub(super) fn words(&self, key: &str) -> String {
        self.owned(key).unwrap_or_default()
    }

    pub(super) fn number(&self, key: &str) -> Option<f64> {
        as_number(self.get(key)?)
    }

    pub(super) fn count(&self, key: &str) -> Option<i64> {
        as_count(self.get(key)?)
    }

    pub(super) fn flag(&self, key: &str) -> Option<bool> {
        match self.get(key)?.value {
            Value::Flag(flag) => Some(flag),
            _ => None,
        }
    }

    /// A text that names no panel.
    pub(super) fn read<T: Textual>(&self, key: &str) -> Option<T> {
        T::read(&as_text(self.get(key)?)?, None).ok()
    }

    /// A word, or what holds where it is left out. `None` where it is there and wrong.
    pub(super) fn read_or<T: Textual>(&self, key: &str, default: T) -> Option<T> {
        if self.get(key).is_none() { Some(default) } else { self.read(key) }
    }

    pub(super) fn day(&self, key: &str) -> Option<Date> {
        match &self.get(key)?.value {
            Value::Text(text) | Value::Moment(text) => day(text).ok(),
            _ => None,
        }
    }

    pub(super) fn temperature(&self, celsius: &str, fahrenheit: &str) -> Option<TemperatureAs> {
        let c = self.number(celsius).map(TemperatureAs::C);
        c.or_else(|| self.number(fahrenheit).map(TemperatureAs::F))
    }

    pub(super) fn length(&self, stem: &str) -> Option<LengthAs> {
        let unit = |suffix: &str| self.number(&format!("{stem}_{suffix}"));
        None.or_else(|| unit("in").map(LengthAs::In))
            .or_else(|| unit("mm").map(LengthAs::Mm))
            .or_else(|| unit("ft").map(LengthAs::Ft))
            .or_else(|| unit("m").map(LengthAs::M))
    }

    /// Places of fields, by the first of the keys that is there.
    pub(super) fn fields(&self, wanted: &[(&'static str, &[&str])]) -> Vec<(Field, Range<usize>)> {
        let mut fields = Vec::new();
        for (field, keys) in wanted {
            if let Some(node) = keys.iter().find_map(|key| self.get(key)) {
                fields.push(((*field, 0), node.span.clone()));
                for (idx, item) in node.items().iter().enumerate() {
                    fields.push(((*field, idx + 1), item.span.clone()));
                }
            }
        }
        fields
    }
}

pub(super) fn as_number(node: &Node) -> Option<f64> {
    match node.value {
        Value::Integer(number) => Some(number as f64),
        Value::Number(number) if number.is_finite() => Some(number),
        _ => None,
    }
}

pub(super) fn as_count(node: &Node) -> Option<i64> {
    match node.value {
        Value::Integer(number) => Some(number),
        _ => None,
    }
}

/// A text, or a whole number as text.
pub(super) fn as_text(node: &Node) -> Option<String> {
    match &node.value {
        Value::Text(text) => Some(text.clone()),
        Value::Integer(number) => Some(number.to_string()),
        _ => None,
    }
}

pub(super) fn as_moment(node: &Node) -> Option<Moment> {
    match &node.value {
        Value::Text(text) | Value::Moment(text) => moment(text).ok(),
        _ => None,
    }
}
