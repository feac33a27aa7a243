//! The parts of the guide that are made from the grammar: key tables and the list of problem codes, as
//! Markdown.

use crate::codes::CODES;
use crate::grammar::{ENTRY_KEYS, Form, Key, ROOT, Table, TextForm};
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// One table of keys for each table of the job file.
pub fn key_tables() -> String {
    let mut out = String::new();
    let mut done = BTreeSet::new();
    let _ = writeln!(out, "### Keys that every entry takes\n");
    keys(&mut out, ENTRY_KEYS);
    section(&mut out, &ROOT, &mut done);
    out
}

fn section(out: &mut String, table: &'static Table, done: &mut BTreeSet<&'static str>) {
    if !done.insert(table.name) {
        return;
    }
    let title = match table.heading {
        "the file" => "The file".to_owned(),
        heading if heading.starts_with('[') => format!("`{heading}`"),
        heading => {
            let mut words = heading.trim_start_matches("a ").trim_start_matches("the ").chars();
            words.next().map_or_else(String::new, |first| first.to_uppercase().chain(words).collect())
        }
    };
    let entry = if table.entry { " Takes the keys of every entry, too." } else { "" };
    let _ = writeln!(out, "\n### {title}\n\n{}{entry}\n", table.doc);
    keys(out, table.keys);
    for key in table.keys {
        if let Form::Table(inner) | Form::Tables(inner) | Form::Versions(inner) = key.form {
            section(out, inner, done);
        }
    }
}

fn keys(out: &mut String, keys: &[Key]) {
    let _ = writeln!(out, "| key | value | needed | meaning |\n|---|---|---|---|");
    for key in keys {
        let need = if key.need { "yes" } else { "" };
        let _ = writeln!(out, "| `{}` | {} | {need} | {} |", key.name, value(&key.form), cell(key.doc));
    }
}

fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

fn value(form: &Form) -> String {
    match form {
        Form::Name => "text".to_owned(),
        Form::Words => "words".to_owned(),
        Form::Flag => "`true` or `false`".to_owned(),
        Form::Number(unit, (low, high)) => {
            let (low, high, symbol) = (round(*low), round(*high), unit.symbol());
            format!("{low} … {high} {symbol}").trim_end().to_owned()
        }
        Form::Count(low, high) if low == high => format!("{low}"),
        Form::Count(low, high) => format!("{low} … {high}"),
        Form::Text(form) => text(form),
        Form::Day => "day".to_owned(),
        Form::Moment => "time".to_owned(),
        Form::List(inner) => format!("list of: {}", value(inner)),
        Form::FirstLast(_) => "`[first, last]`".to_owned(),
        Form::Either(first, second) => format!("{}, or {}", value(first), value(second)),
        Form::Table(inner) | Form::Tables(inner) | Form::Versions(inner)
            if inner.heading.starts_with('[') =>
        {
            format!("`{}`", inner.heading)
        }
        Form::Table(inner) | Form::Tables(inner) | Form::Versions(inner) => inner.heading.to_owned(),
        Form::Map(keys, inner) => format!("`{{ \"{}\" = … }}`, each {}", keys.example, value(inner)),
    }
}

fn text(form: &TextForm) -> String {
    if form.words.is_empty() {
        return form.what.to_owned();
    }
    let words: Vec<String> = form.words.iter().map(|word| format!("`{word}`")).collect();
    words.join(", ")
}

/// A bound as a person would write it.
fn round(bound: f64) -> String {
    let rounded = if 10.0 <= bound.abs() { bound.round() } else { (bound * 100.0).round() / 100.0 };
    rounded.to_string()
}

/// Every problem code with its meaning.
pub fn code_table() -> String {
    let mut out = String::from("| code | | meaning |\n|---|---|---|\n");
    for (code, severity, meaning) in CODES {
        let _ = writeln!(out, "| `{code}` | {} | {meaning} |", severity.word());
    }
    out
}
