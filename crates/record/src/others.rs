//! Facts as they are shown to somebody outside the shop: without place, names, authors and free words.
//!
//! What stays is listed in `data/shown.toml`; all else goes, so that a text somebody adds to a fact one day is left out
//! until it is listed. Names that facts refer to each other by are replaced by numbers in the same order, so that what is
//! concluded from the facts is the same.

use crate::fact::{Body, Fact, JobOpened};
use crate::text::AsText;
use model::FactId;
use serde::Deserialize;
use serde_json::{Map, Value};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// What stands in the place of words that the format asks for.
const LEFT_OUT: &str = "left out";

/// What of one kind of fact is shown.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct Shown {
    codes: Vec<String>,
    dates: Vec<String>,
    labels: Vec<String>,
    fill: Vec<String>,
    names: BTreeMap<String, String>,
}

static SHOWN: LazyLock<BTreeMap<String, Shown>> = LazyLock::new(|| {
    toml::from_str(include_str!("../data/shown.toml")).expect("a test reads the file that is built in")
});

static PLAIN: LazyLock<BTreeSet<&'static str>> = LazyLock::new(|| {
    let lines = include_str!("../data/plain_words.txt").lines();
    lines.filter(|line| !line.starts_with('#')).map(str::trim).collect()
});

/// The facts of a job as somebody outside the shop may see them. `reference` stands in the place of the job's name.
pub fn for_others(facts: &[Fact], reference: &str) -> Vec<Fact> {
    let bodies: Vec<Option<Value>> = facts.iter().map(body_of).collect();
    let words = Words::of(facts, &bodies);
    let shown = facts.iter().zip(bodies).filter_map(|(fact, body)| {
        let body = match (&fact.body, body) {
            (Body::Job(opened), _) => Body::Job(JobOpened {
                job: reference.to_owned(),
                invented: opened.invented,
                // As papers print it: place, comma, town.
                place: "place and town".to_owned(),
                town: LEFT_OUT.to_owned(),
                owner: String::new(),
                opened: opened.opened,
            }),
            (_, Some(Value::Object(body))) => words.body(body)?,
            _ => return None,
        };
        let supersedes: Vec<_> =
            fact.supersedes.iter().filter_map(|id| words.id(&id.0)).map(AsText).collect();
        if supersedes.is_empty() && matches!(body, Body::Retraction(_)) {
            return None;
        }
        Some(Fact { v: fact.v, id: AsText(words.id(fact.id())?), at: fact.at, by: None, supersedes, body })
    });
    shown.collect()
}

/// The body as a tree, where its kind is shown at all.
fn body_of(fact: &Fact) -> Option<Value> {
    SHOWN.get(fact.body.kind())?;
    serde_json::to_value(&fact.body).ok()
}

/// What is put in the place of what.
struct Words {
    /// Number of each name by what it is a name of.
    names: BTreeMap<(String, String), usize>,
    /// Panels and sections whose ids are not plain.
    ids: BTreeMap<String, String>,
    facts: BTreeMap<FactId, FactId>,
}

impl Words {
    fn of(facts: &[Fact], bodies: &[Option<Value>]) -> Words {
        let mut names: BTreeSet<(String, String)> = BTreeSet::new();
        let mut ids: BTreeSet<String> = BTreeSet::new();
        for (fact, body) in facts.iter().zip(bodies) {
            let (Some(shown), Some(body)) = (SHOWN.get(fact.body.kind()), body) else { continue };
            for (path, of) in &shown.names {
                let found = texts_at(body, path);
                names.extend(found.filter(|name| !name.is_empty()).map(|name| (of.clone(), name.to_owned())));
            }
            for path in ["panel", "sections.id"] {
                ids.extend(texts_at(body, path).filter(|id| !is_plain(id)).map(str::to_owned));
            }
        }
        let mut numbers = BTreeMap::new();
        let mut last = (String::new(), 0);
        for (of, name) in names {
            last = if last.0 == of { (of.clone(), last.1 + 1) } else { (of.clone(), 1) };
            numbers.insert((of, name), last.1);
        }
        let own: BTreeSet<&FactId> = facts.iter().map(Fact::id).collect();
        // As many digits for each, so that they are in the order in which they were.
        let fact = |(number, id): (usize, &FactId)| (id.clone(), FactId::new(format!("fact-{number:05}")));
        Words {
            names: numbers,
            ids: ids.into_iter().zip(1..).map(|(id, number)| (id, format!("part-{number}"))).collect(),
            facts: own.into_iter().enumerate().map(fact).collect(),
        }
    }

    fn id(&self, id: &FactId) -> Option<FactId> {
        self.facts.get(id).cloned()
    }

    /// The body with what is shown of it; `None` where that says nothing any more.
    fn body(&self, body: Map<String, Value>) -> Option<Body> {
        let kind = body.get("kind")?.as_str()?.to_owned();
        let shown = SHOWN.get(&kind)?;
        let mut kept = match self.tree(Value::Object(body), "", shown)? {
            Value::Object(kept) => kept,
            _ => return None,
        };
        kept.insert("kind".to_owned(), Value::String(kind));
        serde_json::from_value(Value::Object(kept)).ok()
    }

    fn tree(&self, value: Value, path: &str, shown: &Shown) -> Option<Value> {
        match value {
            Value::Object(fields) => {
                let kept = fields.into_iter().filter_map(|(key, value)| {
                    let path = if path.is_empty() { key.clone() } else { format!("{path}.{key}") };
                    Some((key, self.tree(value, &path, shown)?))
                });
                Some(Value::Object(kept.collect()))
            }
            Value::Array(items) => Some(Value::Array(
                items.into_iter().filter_map(|item| self.tree(item, path, shown)).collect(),
            )),
            Value::String(text) => self.text(&text, path, shown).map(Value::String),
            number => Some(number),
        }
    }

    fn text(&self, text: &str, path: &str, shown: &Shown) -> Option<String> {
        let listed = |paths: &[String]| paths.iter().any(|listed| listed == path);
        if listed(&shown.codes) {
            return Some(self.code(text));
        }
        if listed(&shown.dates) {
            return text.parse::<jiff::civil::Date>().ok().map(|date| date.to_string());
        }
        if listed(&shown.labels) {
            return is_plain(text).then(|| text.to_owned());
        }
        if listed(&shown.fill) {
            return Some(LEFT_OUT.to_owned());
        }
        let of = shown.names.get(path)?;
        if text.is_empty() {
            return Some(String::new());
        }
        let number = self.names.get(&(of.clone(), text.to_owned()))?;
        Some(format!("{of} {number:02}"))
    }

    /// A place or word of the format, with other ids in it where those are not plain.
    fn code(&self, text: &str) -> String {
        if self.ids.is_empty() {
            return text.to_owned();
        }
        let is_of_id = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_' | '.');
        let mut out = String::new();
        let mut rest = text;
        while !rest.is_empty() {
            let end = rest.find(|letter| !is_of_id(letter)).unwrap_or(rest.len());
            let (id, after) = rest.split_at(end);
            out.push_str(self.ids.get(id).map_or(id, String::as_str));
            let next = after.find(is_of_id).unwrap_or(after.len());
            out.push_str(&after[..next]);
            rest = &after[next..];
        }
        out
    }
}

/// Texts at a path, arrays passed through.
fn texts_at<'a>(value: &'a Value, path: &str) -> Box<dyn Iterator<Item = &'a str> + 'a> {
    match value {
        Value::Array(items) => {
            let path = path.to_owned();
            Box::new(items.iter().flat_map(move |item| texts_at(item, &path).collect::<Vec<_>>()))
        }
        Value::String(text) if path.is_empty() => Box::new(std::iter::once(text.as_str())),
        Value::Object(fields) => {
            let (key, rest) = path.split_once('.').unwrap_or((path, ""));
            match fields.get(key) {
                Some(value) => texts_at(value, rest),
                None => Box::new(std::iter::empty()),
            }
        }
        _ => Box::new(std::iter::empty()),
    }
}

/// Only words that tell nothing of whose house it is?
fn is_plain(text: &str) -> bool {
    let is_word = |letter: char| letter.is_alphanumeric() || letter == '-';
    let known = |word: &str| {
        let digit = word.len() == 1 && word.bytes().all(|byte| byte.is_ascii_digit());
        digit || PLAIN.contains(word.to_lowercase().as_str())
    };
    let parts = |word: &str| known(word) || word.split('-').all(known);
    let words = text.split(|letter: char| !is_word(letter)).filter(|word| !word.is_empty());
    let fine =
        |letter: char| is_word(letter) || matches!(letter, ' ' | ',' | '.' | '&' | '/' | '+' | '(' | ')');
    text.chars().all(fine) && words.into_iter().all(parts)
}

#[cfg(test)]
mod tests;
