//! What a form sends, and what is wrong with it.

use std::collections::BTreeMap;

/// Fields of a form or of a query, each with one or more values.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Fields {
    values: BTreeMap<String, Vec<String>>,
}

impl Fields {
    /// Fields from pairs, in their order.
    pub fn from_pairs(pairs: impl IntoIterator<Item = (String, String)>) -> Self {
        let mut values: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (name, value) in pairs {
            values.entry(name).or_default().push(value);
        }
        Fields { values }
    }

    /// First value of a field, trimmed; `None` where it is missing or blank.
    pub fn text(&self, name: &str) -> Option<&str> {
        let value = self.values.get(name)?.first()?.trim();
        (!value.is_empty()).then_some(value)
    }

    /// All values of a field that are not blank, trimmed.
    pub fn all<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a str> + use<'a> {
        let values = self.values.get(name).map(Vec::as_slice).unwrap_or_default();
        values.iter().map(|value| value.trim()).filter(|value| !value.is_empty())
    }

    /// Names of the fields that were sent.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.values.keys().map(String::as_str)
    }
}

/// What is wrong with one field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldError {
    /// Name of the field; empty where it is about the whole form.
    pub field: String,
    /// What is wrong and what would be right.
    pub message: String,
}

/// A form that cannot be taken. Everything typed is kept and shown again.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Refusal {
    /// Every mistake.
    pub errors: Vec<FieldError>,
}
