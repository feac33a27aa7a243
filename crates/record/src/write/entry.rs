//! One table of a TOML file, line by line.

use super::number::decimal;
use crate::fact::{LengthAs, TemperatureAs};
use crate::text::Textual;
use std::fmt::Write as _;

/// A heading and its lines.
pub(super) struct Entry {
    text: String,
}

impl Entry {
    pub(super) fn new(heading: &str) -> Self {
        Entry { text: format!("\n{heading}\n") }
    }

    pub(super) fn raw(&mut self, key: &str, value: &str) {
        let _ = writeln!(self.text, "{key} = {value}");
    }

    pub(super) fn text(&mut self, key: &str, value: &str) {
        self.raw(key, &quote(value));
    }

    /// A text, unless it is empty.
    pub(super) fn words(&mut self, key: &str, value: &str) {
        if !value.is_empty() {
            self.text(key, value);
        }
    }

    pub(super) fn maybe_text(&mut self, key: &str, value: Option<&str>) {
        if let Some(value) = value {
            self.text(key, value);
        }
    }

    pub(super) fn thing<T: Textual>(&mut self, key: &str, value: &T) {
        self.text(key, &value.write());
    }

    /// A word, unless it is the one that holds where it is left out.
    pub(super) fn unless<T: Textual + PartialEq>(&mut self, key: &str, value: &T, default: &T) {
        if value != default {
            self.thing(key, value);
        }
    }

    pub(super) fn maybe_thing<T: Textual>(&mut self, key: &str, value: Option<&T>) {
        if let Some(value) = value {
            self.thing(key, value);
        }
    }

    pub(super) fn number(&mut self, key: &str, value: f64) {
        self.raw(key, &decimal(value));
    }

    pub(super) fn maybe_number(&mut self, key: &str, value: Option<f64>) {
        if let Some(value) = value {
            self.number(key, value);
        }
    }

    pub(super) fn maybe_flag(&mut self, key: &str, value: Option<bool>) {
        if let Some(value) = value {
            self.raw(key, if value { "true" } else { "false" });
        }
    }

    pub(super) fn temperature(&mut self, keys: (&str, &str), value: TemperatureAs) {
        match value {
            TemperatureAs::C(c) => self.number(keys.0, c),
            TemperatureAs::F(f) => self.number(keys.1, f),
        }
    }

    pub(super) fn length(&mut self, stem: &str, value: Option<LengthAs>) {
        if let Some(value) = value {
            let (key, number) = length(stem, value);
            self.raw(&key, &number);
        }
    }

    /// A table between braces, unless it is empty.
    pub(super) fn braces(&mut self, key: &str, lines: &[(String, String)]) {
        if !lines.is_empty() {
            let inner: Vec<String> = lines.iter().map(|(key, value)| format!("{key} = {value}")).collect();
            self.raw(key, &format!("{{ {} }}", inner.join(", ")));
        }
    }

    pub(super) fn finish(self) -> String {
        self.text
    }
}

/// Key with its unit, and number.
pub(super) fn length(stem: &str, value: LengthAs) -> (String, String) {
    let unit = match value {
        LengthAs::In(_) => "in",
        LengthAs::Ft(_) => "ft",
        LengthAs::Mm(_) => "mm",
        LengthAs::M(_) => "m",
    };
    (format!("{stem}_{unit}"), decimal(value.number()))
}

/// A basic string of TOML, all on one line.
pub(super) fn quote(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => out.push_str("\\r"),
            '\t' => out.push_str("\\t"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04X}", c as u32);
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn any_text_survives_its_quotes() {
        for text in ["plain", "a \"b\" \\ c", "two\nlines\r\n\ttab", "nul \u{0} del \u{7f} é 漢"] {
            let table: toml::Table = toml::from_str(&format!("a = {}\n", quote(text))).expect("valid TOML");
            assert_eq!(table["a"].as_str(), Some(text));
        }
    }
}
