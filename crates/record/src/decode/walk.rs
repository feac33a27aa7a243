//! One pass over the tree beside the grammar: unknown keys, wrong kinds of value, missing keys, texts without
//! form, lists too long. It reads nothing out; it only tells.

use super::moment;
use crate::grammar::{Form, Key, ROOT, Table, TextForm, Unit};
use crate::limits;
use crate::problem::Problem;
use crate::source::Source;
use crate::text::{list, nearest};
use crate::tree::{self, Node, Value};

pub(crate) struct Walk<'a> {
    pub(crate) source: &'a Source<'a>,
    /// The text has faults: a key that is missing may stand in a place that could not be read.
    pub(crate) torn: bool,
    /// The text is JSON: what would be right is said in JSON.
    pub(crate) json: bool,
    pub(crate) problems: Vec<Problem>,
}

impl Walk<'_> {
    fn error(
        &mut self,
        code: &'static str,
        span: std::ops::Range<usize>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) {
        if self.problems.len() <= limits::PROBLEMS_MAX {
            self.problems.push(self.source.error(code, span, message, hint));
        }
    }

    /// Walks a table.
    pub(crate) fn table(&mut self, node: &Node, table: &'static Table) {
        for (key, value) in node.pairs() {
            match table.key(&key.name) {
                Some(known) => self.value(value, &known.form, &key.name),
                None => self.unknown_key(key, table),
            }
        }
        if self.torn {
            return;
        }
        for key in table.all_keys().filter(|key| key.need) {
            if node.get(key.name).is_none() {
                self.missing(node, table, key);
            }
        }
        for choice in table.choices {
            let present: Vec<&(tree::Key, Node)> =
                node.pairs().iter().filter(|(key, _)| choice.keys.contains(&key.name.as_str())).collect();
            if let [first, second, ..] = present.as_slice() {
                let message =
                    format!("{} gives both `{}` and `{}`", table.heading, first.0.name, second.0.name);
                let hint = format!("give one of {}", list(choice.keys.iter().copied()));
                let mut problem = self.source.error("both-given", second.0.span.clone(), message, hint);
                problem.related.push((first.0.span.clone(), "and this".to_owned()));
                self.problems.push(problem);
            }
            if choice.need && present.is_empty() {
                let names = list(choice.keys.iter().copied());
                let docs: Vec<String> = choice
                    .keys
                    .iter()
                    .filter_map(|name| table.key(name))
                    .map(|key| self.line(key.name, &example(&key.form)))
                    .collect();
                self.error(
                    "missing-key",
                    node.span.clone(),
                    format!("{} lacks {names}", table.heading),
                    format!("add one of {}", docs.join(", ")),
                );
            }
        }
    }

    fn missing(&mut self, node: &Node, table: &'static Table, key: &'static Key) {
        let add = match key.form {
            Form::Table(inner) | Form::Tables(inner) | Form::Versions(inner) if !self.json => {
                format!("add `{}`", inner.heading)
            }
            _ => format!("add {}", self.line(key.name, &example(&key.form))),
        };
        // A file without any panel has a code of its own: nothing can be judged without one.
        if key.name == "panel" {
            return self.error(
                "no-panel",
                node.span.start..node.span.start,
                "the file describes no panel",
                "add one: `[[panel]]` with `spaces = 24` and `main = \"breaker\"`, then its breakers",
            );
        }
        let span =
            if table.heading == "the file" { node.span.start..node.span.start } else { node.span.clone() };
        self.error(
            "missing-key",
            span,
            format!("{} lacks `{}`", table.heading, key.name),
            format!("{add}: {}", key.doc),
        );
    }

    fn unknown_key(&mut self, key: &tree::Key, table: &'static Table) {
        let names = || table.all_keys().map(|known| known.name);
        let hint = match nearest(&key.name, names()) {
            Some(name) => format!("did you mean `{name}`?"),
            None => match elsewhere(&ROOT, &key.name) {
                Some(heading) => format!("it has a place of its own: `{heading}`"),
                None => format!("it takes {}", list(names())),
            },
        };
        self.error(
            "unknown-key",
            key.span.clone(),
            format!("`{}` is not a key of {}", key.name, table.heading),
            hint,
        );
    }

    /// A key and its value, as the file would write them.
    fn line(&self, name: &str, value: &str) -> String {
        if self.json { format!("`\"{name}\": {value}`") } else { format!("`{name} = {value}`") }
    }

    fn wrong_kind(&mut self, node: &Node, form: &Form, name: &str) {
        if matches!(node.value, Value::Unread) {
            return;
        }
        let hint = match (&node.value, form) {
            (Value::Null, _) => "leave the key out where nothing is known".to_owned(),
            (Value::Text(text), Form::Number(..) | Form::Count(..)) if text.trim().parse::<f64>().is_ok() => {
                format!("write it without quotes: {}", self.line(name, text.trim()))
            }
            (Value::Text(text), Form::Number(unit, _)) => match split_unit(text) {
                Some(number) => {
                    let line = self.line(name, &number.to_string());
                    format!("the unit is in the key: {line} is {}", unit.symbol())
                }
                None => format!("write {}", self.line(name, &example(form))),
            },
            (Value::Text(text), Form::Flag) if matches!(text.as_str(), "true" | "false") => {
                format!("write it without quotes: {}", self.line(name, text))
            }
            (_, Form::Flag) => {
                format!("write {} or {}", self.line(name, "true"), self.line(name, "false"))
            }
            (Value::Table(_), Form::Tables(inner)) if inner.heading.starts_with("[[") && !self.json => {
                format!("each entry has its own heading in double brackets: `{}`", inner.heading)
            }
            _ => format!("write {}", self.line(name, &example(form))),
        };
        let message = format!("`{name}` takes {}, not {}", takes(form), node.value.what());
        self.error("wrong-type", node.span.clone(), message, hint);
    }

    fn value(&mut self, node: &Node, form: &Form, name: &str) {
        match (form, &node.value) {
            (Form::Name, Value::Text(text)) => self.name(node, text, name),
            (Form::Words, Value::Text(text)) => {
                let count = text.chars().count();
                if count > limits::WORDS_MAX {
                    self.too_long(node, name, count, limits::WORDS_MAX);
                }
            }
            (Form::Flag, Value::Flag(_)) | (Form::Number(..), Value::Integer(_)) => {}
            (Form::Number(..), Value::Number(number)) => {
                if !number.is_finite() {
                    self.error(
                        "not-finite",
                        node.span.clone(),
                        format!("`{name}` is not a finite number"),
                        "write the number that was read; leave the key out where there was none",
                    );
                }
            }
            (Form::Count(low, high), Value::Integer(number)) => {
                if *number < *low || *high < *number {
                    let (code, message, hint) = if name == "panelwright" {
                        let message = format!("the file is of version {number} of the format");
                        ("unknown-version", message, format!("this program reads version {high}"))
                    } else {
                        let message = format!("`{name} = {number}` is out of range");
                        ("out-of-range", message, format!("a whole number from {low} to {high}"))
                    };
                    self.error(code, node.span.clone(), message, hint);
                }
            }
            (Form::Text(form), Value::Text(text)) => self.text(node, text, form),
            (Form::Text(form), Value::Integer(number)) if form.or_number => {
                self.text(node, &number.to_string(), form);
            }
            (Form::Day, Value::Text(text) | Value::Moment(text)) => {
                if let Err(hint) = moment::day(text) {
                    let message = format!("`{}` is not a day", shorten(text));
                    self.error("not-a-date", node.span.clone(), message, hint);
                }
            }
            (Form::Moment, Value::Text(text) | Value::Moment(text)) => {
                if let Err(hint) = moment::moment(text) {
                    let message = format!("`{}` is not a time at the site", shorten(text));
                    self.error("not-a-date", node.span.clone(), message, hint);
                }
            }
            (Form::List(form), Value::List(items)) => {
                if items.len() > limits::READINGS_MAX {
                    return self.too_many(node, name, items.len(), limits::READINGS_MAX);
                }
                for item in items {
                    self.value(item, form, name);
                }
            }
            (Form::FirstLast(high), Value::List(items)) => self.first_last(node, items, *high, name),
            (Form::Either(first, second), value) => {
                let form = if matches!(value, Value::List(_)) { second } else { first };
                self.value(node, form, name);
            }
            (Form::Table(table) | Form::Versions(table), Value::Table(_)) => self.table(node, table),
            (Form::Tables(table) | Form::Versions(table), Value::List(items)) => {
                if items.is_empty() && matches!(form, Form::Versions(_)) {
                    let message = format!("`{name}` is an empty list");
                    return self.error("wrong-type", node.span.clone(), message, "leave the key out");
                }
                let most = most(name);
                if items.len() > most {
                    return self.too_many(node, name, items.len(), most);
                }
                for item in items {
                    match item.value {
                        Value::Table(_) => self.table(item, table),
                        _ => self.wrong_kind(item, form, name),
                    }
                }
            }
            (Form::Map(keys, form), Value::Table(pairs)) => {
                if pairs.len() > limits::READINGS_MAX {
                    return self.too_many(node, name, pairs.len(), limits::READINGS_MAX);
                }
                for (key, value) in pairs {
                    let place = Node { span: key.span.clone(), value: Value::Null };
                    self.text(&place, &key.name, keys);
                    self.value(value, form, &key.name);
                }
            }
            (Form::Tables(table), Value::Table(_)) => {
                self.wrong_kind(node, form, name);
                self.table(node, table);
            }
            _ => self.wrong_kind(node, form, name),
        }
    }

    fn name(&mut self, node: &Node, text: &str, name: &str) {
        let count = text.chars().count();
        if count > limits::NAME_MAX {
            self.too_long(node, name, count, limits::NAME_MAX);
        } else if text.trim().is_empty() {
            self.error(
                "empty-text",
                node.span.clone(),
                format!("`{name}` is empty"),
                "write the words, or leave the key out where it is not needed",
            );
        } else if text.chars().any(char::is_control) || text.trim() != text {
            self.error(
                "bad-text",
                node.span.clone(),
                format!("`{name}` has a line break, a tab or a blank at an end"),
                format!(
                    "one line without blanks around it: \"{}\"",
                    text.split_whitespace().collect::<Vec<_>>().join(" ")
                ),
            );
        }
    }

    fn text(&mut self, node: &Node, text: &str, form: &TextForm) {
        if let Err(error) = (form.check)(text) {
            let code = if form.words.is_empty() { "bad-text" } else { "unknown-word" };
            let message = format!("`{}` is not {}", shorten(text), form.what);
            self.error(code, node.span.clone(), message, error.hint());
        }
    }

    fn first_last(&mut self, node: &Node, items: &[Node], high: i64, name: &str) {
        let numbers: Vec<i64> = items
            .iter()
            .filter_map(|item| match item.value {
                Value::Integer(number) => Some(number),
                _ => None,
            })
            .collect();
        let good = match numbers.as_slice() {
            &[first, last] => items.len() == 2 && 1 <= first && first <= last && last <= high,
            _ => false,
        };
        if !good {
            self.error(
                "bad-text",
                node.span.clone(),
                format!("`{name}` is not a first and a last number"),
                format!("two whole numbers from 1 to {high}, the smaller first: `{name} = [1, 6]`"),
            );
        }
    }

    fn too_long(&mut self, node: &Node, name: &str, count: usize, most: usize) {
        let message = format!("`{name}` is {count} characters long");
        self.error("too-long", node.span.clone(), message, format!("at most {most} characters"));
    }

    fn too_many(&mut self, node: &Node, name: &str, count: usize, most: usize) {
        let message = format!("`{name}` has {count} entries");
        self.error(
            "too-many",
            node.span.clone(),
            message,
            format!("at most {most}; split the job if it really has more"),
        );
    }
}

/// Heading of the table of entries that has this name somewhere in the file.
fn elsewhere(table: &'static Table, name: &str) -> Option<&'static str> {
    table.keys.iter().find_map(|key| match key.form {
        Form::Tables(inner) if key.name == name => Some(inner.heading),
        Form::Tables(inner) => elsewhere(inner, name),
        _ => None,
    })
}

/// Most entries of a list of tables.
fn most(name: &str) -> usize {
    match name {
        "panel" => limits::PANELS_MAX,
        "section" => usize::from(limits::SPACES_MAX),
        "breaker" => limits::BREAKERS_MAX,
        "state" => limits::STATES_MAX,
        _ => limits::READINGS_MAX,
    }
}

fn shorten(text: &str) -> String {
    const SHOWN: usize = 60;
    if text.chars().count() <= SHOWN {
        return text.to_owned();
    }
    let cut: String = text.chars().take(SHOWN).collect();
    format!("{cut}…")
}

/// The number of a text such as `61.2 °C`.
fn split_unit(text: &str) -> Option<f64> {
    let trimmed = text.trim();
    let end = trimmed
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '-' | '+')))
        .unwrap_or(trimmed.len());
    trimmed[..end].parse::<f64>().ok().filter(|number| number.is_finite())
}

/// What a form takes, for messages.
fn takes(form: &Form) -> &'static str {
    match form {
        Form::Name | Form::Words => "a text",
        Form::Flag => "true or false",
        Form::Number(..) => "a number",
        Form::Count(..) => "a whole number",
        Form::Text(form) => form.what,
        Form::Day => "a day",
        Form::Moment => "a time",
        Form::List(_) => "a list",
        Form::FirstLast(_) => "a first and a last number",
        Form::Either(..) => "a word or a list",
        Form::Table(_) | Form::Versions(_) => "a table",
        Form::Tables(_) => "a list of tables",
        Form::Map(..) => "a table",
    }
}

/// An example of a form, as TOML writes it.
pub(crate) fn example(form: &Form) -> String {
    match form {
        Form::Name | Form::Words => "\"…\"".to_owned(),
        Form::Flag => "true".to_owned(),
        Form::Number(unit, _) => match unit {
            Unit::Amperes => "20".to_owned(),
            Unit::Volts => "119.5".to_owned(),
            Unit::Millivolts => "12.5".to_owned(),
            Unit::Celsius => "41.5".to_owned(),
            Unit::Fahrenheit => "107".to_owned(),
            Unit::Minutes => "45".to_owned(),
            Unit::One => "0.95".to_owned(),
            _ => "10".to_owned(),
        },
        Form::Count(low, high) => 24.clamp(*low, *high).to_string(),
        Form::Text(form) if form.or_number && form.example.parse::<u16>().is_ok() => form.example.to_owned(),
        Form::Text(form) => format!("\"{}\"", form.example),
        Form::Day => "2026-03-04".to_owned(),
        Form::Moment => "2026-03-04T14:30".to_owned(),
        Form::List(form) => format!("[{}]", example(form)),
        Form::FirstLast(_) => "[1, 6]".to_owned(),
        Form::Either(first, _) => example(first),
        Form::Table(_) | Form::Versions(_) => "{ … }".to_owned(),
        Form::Tables(_) => "[{ … }]".to_owned(),
        Form::Map(keys, form) => format!("{{ \"{}\" = {} }}", keys.example, example(form)),
    }
}
