//! A small builder of SVG text: every value escaped, every number rounded alike.

use crate::number::plain;
use std::fmt::Write;

/// A value of an attribute.
#[derive(Debug, Clone)]
pub(crate) enum Value {
    /// A number, printed with at most two decimals.
    Number(f64),
    /// Text, escaped when printed.
    Text(String),
}

impl From<f64> for Value {
    fn from(value: f64) -> Self {
        Value::Number(value)
    }
}

impl From<&str> for Value {
    fn from(value: &str) -> Self {
        Value::Text(value.to_owned())
    }
}

impl From<String> for Value {
    fn from(value: String) -> Self {
        Value::Text(value)
    }
}

/// A list of attributes: `attrs![x = 1.0, "stroke-width" = 0.5]`.
macro_rules! attrs {
    ($($name:tt = $value:expr),* $(,)?) => {
        &[$((crate::svg::attr_name(stringify!($name)), crate::svg::Value::from($value))),*]
    };
}
pub(crate) use attrs;

/// The name of an attribute as written, without the quotation marks that a name with a hyphen needs in Rust.
pub(crate) fn attr_name(written: &'static str) -> &'static str {
    written.trim_matches('"')
}

/// Name and value.
pub(crate) type Attr = (&'static str, Value);

/// SVG text under construction.
#[derive(Debug, Default)]
pub(crate) struct Svg {
    out: String,
    open: Vec<&'static str>,
}

impl Svg {
    fn start(&mut self, tag: &'static str, attrs: &[Attr]) {
        for _ in 0..self.open.len() {
            self.out.push(' ');
        }
        self.out.push('<');
        self.out.push_str(tag);
        for (name, value) in attrs {
            let text = match value {
                Value::Number(number) => plain(*number, 2),
                Value::Text(text) => escape(text),
            };
            // writing to a String cannot fail
            let _ = write!(self.out, " {name}=\"{text}\"");
        }
    }

    /// Opens an element that holds others.
    pub(crate) fn open(&mut self, tag: &'static str, attrs: &[Attr]) {
        self.start(tag, attrs);
        self.out.push_str(">\n");
        self.open.push(tag);
    }

    /// Closes the element opened last.
    pub(crate) fn close(&mut self) {
        if let Some(tag) = self.open.pop() {
            for _ in 0..self.open.len() {
                self.out.push(' ');
            }
            self.out.push_str("</");
            self.out.push_str(tag);
            self.out.push_str(">\n");
        }
    }

    /// An element without content.
    pub(crate) fn empty(&mut self, tag: &'static str, attrs: &[Attr]) {
        self.start(tag, attrs);
        self.out.push_str("/>\n");
    }

    /// An element that holds text only.
    pub(crate) fn text(&mut self, tag: &'static str, attrs: &[Attr], text: &str) {
        self.start(tag, attrs);
        self.out.push('>');
        self.out.push_str(&escape(text));
        self.out.push_str("</");
        self.out.push_str(tag);
        self.out.push_str(">\n");
    }

    /// Closes what is open and gives the text.
    pub(crate) fn finish(mut self) -> String {
        while !self.open.is_empty() {
            self.close();
        }
        self.out
    }
}

/// Escapes what has a meaning in XML.
pub(crate) fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for mark in text.chars() {
        match mark {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // not allowed in XML, not even escaped
            '\u{FFFE}' | '\u{FFFF}' => {}
            mark if mark.is_control() => {}
            mark => out.push(mark),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_is_escaped_and_closed() {
        let mut svg = Svg::default();
        svg.open("g", attrs![id = "a\"<b", "stroke-width" = 0.125]);
        svg.text("title", attrs![], "</title><script>&'");
        assert_eq!(
            svg.finish(),
            "<g id=\"a&quot;&lt;b\" stroke-width=\"0.12\">\n \
             <title>&lt;/title&gt;&lt;script&gt;&amp;&#39;</title>\n</g>\n"
        );
    }
}
