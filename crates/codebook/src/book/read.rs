//! Reading of the data files into a `Book`, with every mistake of every file.

use super::form::{ConfirmedForm, DatedForm, RefusalsForm, RuleForm, RulesForm, SourcesForm, StandingWord};
use super::{BadData, Book, Dated, Rule, Value};
use crate::edition::Edition;
use crate::refusal::{Confirmation, Refusal};
use crate::ruling::Standing;
use crate::{rule, table};
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

pub(super) const REFUSALS: &str = include_str!("../../data/refusals.toml");
const SOURCES: &str = include_str!("../../data/sources.toml");
const RULES: [(&str, &str); 3] = [
    ("rules/load.toml", include_str!("../../data/rules/load.toml")),
    ("rules/size.toml", include_str!("../../data/rules/size.toml")),
    ("rules/ask.toml", include_str!("../../data/rules/ask.toml")),
];

pub(super) fn book(refusals_text: &str) -> Result<Book, Vec<BadData>> {
    let mut bad = vec![];
    let sources = sources(&mut bad);
    let rules = rules(&sources, &mut bad);
    let file: RefusalsForm = parse("refusals.toml", refusals_text, &mut bad).unwrap_or_default();
    let mut book = Book {
        refusals_text: refusals_text.into(),
        refusals: file
            .refusal
            .into_iter()
            .map(|form| Refusal {
                rules: form.rules,
                editions: form.editions,
                reason: form.reason,
                confirm: form.confirm,
                close: form.close,
            })
            .collect(),
        rules,
        sources,
        confirmations: vec![],
        tables: table::Tables::built_in(),
        documents: Edition::ALL.map(|edition| edition.document().into()),
    };
    for (at, refusal) in book.refusals.iter().enumerate() {
        for id in &refusal.rules {
            if let Some(rule) = book.rules.get_mut(id) {
                for edition in &refusal.editions {
                    rule.closed[*edition as usize].get_or_insert(at);
                }
            }
        }
    }
    check_refusals(&book, &mut bad);
    book.confirmations =
        file.confirmed.into_iter().filter_map(|form| confirmation(&book, form, &mut bad)).collect();
    if bad.is_empty() { Ok(book) } else { Err(bad) }
}

pub(crate) fn parse<T: serde::de::DeserializeOwned>(
    file: &str,
    text: &str,
    bad: &mut Vec<BadData>,
) -> Option<T> {
    match toml::from_str(text) {
        Ok(form) => Some(form),
        Err(error) => {
            bad.push(BadData::Form { file: file.to_owned(), message: error.to_string() });
            None
        }
    }
}

pub(crate) fn day(file: &str, text: &str, bad: &mut Vec<BadData>) -> Option<Date> {
    match text.trim().parse::<Date>() {
        Ok(day) => Some(day),
        Err(_) => {
            bad.push(BadData::Day { file: file.to_owned(), day: text.to_owned() });
            None
        }
    }
}

fn sources(bad: &mut Vec<BadData>) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let file: Option<SourcesForm> = parse("sources.toml", SOURCES, bad);
    for source in file.into_iter().flat_map(|file| file.source) {
        if found.insert(source.id.clone(), source.what).is_some() {
            bad.push(BadData::Twice { file: "sources.toml".to_owned(), id: source.id });
        }
    }
    found
}

fn rules(sources: &BTreeMap<String, String>, bad: &mut Vec<BadData>) -> BTreeMap<String, Rule> {
    let mut found = BTreeMap::new();
    let mut cited = BTreeSet::new();
    for (name, text) in RULES {
        let file: Option<RulesForm> = parse(name, text, bad);
        for form in file.into_iter().flat_map(|file| file.rule) {
            let rule = read_rule(name, form, sources, &mut cited, bad);
            if let Some(before) = found.insert(rule.id.clone(), rule) {
                bad.push(BadData::Twice { file: name.to_owned(), id: before.id });
            }
        }
    }
    for id in rule::ALL.iter().filter(|id| !found.contains_key(id.0)) {
        bad.push(BadData::Unknown {
            file: "rules".to_owned(),
            id: id.0.to_owned(),
            what: "rule in its data",
        });
    }
    for id in found.keys().filter(|id| !rule::ALL.iter().any(|known| known.0 == id.as_str())) {
        bad.push(BadData::Unknown { file: "rules".to_owned(), id: id.clone(), what: "rule that is used" });
    }
    for key in sources.keys().filter(|key| !cited.contains(*key)) {
        bad.push(BadData::Unknown {
            file: "sources.toml".to_owned(),
            id: key.clone(),
            what: "source in use",
        });
    }
    found
}

fn read_rule(
    file: &str,
    form: RuleForm,
    sources: &BTreeMap<String, String>,
    cited: &mut BTreeSet<String>,
    bad: &mut Vec<BadData>,
) -> Rule {
    let id = form.id;
    let mut last: Option<Edition> = None;
    let in_order = form.dated.first().is_some_and(|dated| dated.from == Edition::Y2008)
        && form.dated.iter().all(|dated| last.replace(dated.from).is_none_or(|before| before < dated.from));
    if !in_order {
        bad.push(BadData::Order { file: file.to_owned(), id: id.clone() });
    }
    let dated =
        form.dated.into_iter().map(|dated| read_dated(file, &id, dated, sources, cited, bad)).collect();
    Rule { id, what: form.what, unit: form.unit, through: form.through, dated, closed: Default::default() }
}

fn read_dated(
    file: &str,
    id: &str,
    form: DatedForm,
    sources: &BTreeMap<String, String>,
    cited: &mut BTreeSet<String>,
    bad: &mut Vec<BadData>,
) -> Dated {
    let (file, id, edition) = (file.to_owned(), id.to_owned(), form.from.year());
    // A reported value may be unknown: then only the section is told, and a person fills it in.
    let unknown_allowed = form.standing == StandingWord::Reported;
    if form.value.is_some() == form.absent && !unknown_allowed {
        bad.push(BadData::NoValue { file: file.clone(), id: id.clone(), edition });
    }
    if form.section.trim().is_empty() {
        bad.push(BadData::NoSection { file: file.clone(), id: id.clone(), edition });
    }
    if form.standing != StandingWord::Memory && form.source.is_empty() {
        bad.push(BadData::NoSource { file: file.clone(), id, edition });
    }
    for key in &form.source {
        cited.insert(key.clone());
        if !sources.contains_key(key) {
            bad.push(BadData::Unknown { file: file.clone(), id: key.clone(), what: "source" });
        }
    }
    Dated {
        from: form.from,
        value: form.value,
        section: form.section.into(),
        standing: match form.standing {
            StandingWord::Published => Standing::Published,
            StandingWord::Memory => Standing::FromMemory,
            StandingWord::Reported => Standing::Reported,
        },
        told: form.source.iter().map(|key| sources.get(key).unwrap_or(key).clone()).collect(),
        sources: form.source,
        note: form.note.map(Into::into),
    }
}

/// Every closed place has a refusal, and every refusal closes something or says that it overrides.
fn check_refusals(book: &Book, bad: &mut Vec<BadData>) {
    for rule in book.rules.values() {
        for edition in Edition::ALL {
            if !rule.is_open(edition) && book.refusal(&rule.id, edition).is_none() {
                bad.push(BadData::NoRefusal { id: rule.id.clone(), edition: edition.year() });
            }
        }
    }
    for refusal in &book.refusals {
        for id in &refusal.rules {
            let file = "refusals.toml".to_owned();
            let Some(rule) = book.rules.get(id) else {
                bad.push(BadData::Unknown { file, id: id.clone(), what: "rule" });
                continue;
            };
            for (field, text) in [("reason", &refusal.reason), ("confirm", &refusal.confirm)] {
                if text.trim().is_empty() {
                    bad.push(BadData::Blank { file: file.clone(), id: id.clone(), field });
                }
            }
            for edition in &refusal.editions {
                if rule.is_open(*edition) && !refusal.close {
                    bad.push(BadData::IdleRefusal { id: id.clone(), edition: edition.year() });
                }
            }
        }
    }
}

fn confirmation(book: &Book, form: ConfirmedForm, bad: &mut Vec<BadData>) -> Option<Confirmation> {
    let file = "refusals.toml".to_owned();
    let Some(rule) = book.rules.get(&form.rule) else {
        bad.push(BadData::Unknown { file, id: form.rule, what: "rule" });
        return None;
    };
    let edition = form.edition;
    if book.refusal(&form.rule, edition).is_none() {
        bad.push(BadData::IdleConfirmation { id: form.rule.clone(), edition: edition.year() });
    }
    for (field, text) in [("who", &form.who), ("section", &form.section)] {
        if text.trim().is_empty() {
            bad.push(BadData::Blank { file: file.clone(), id: form.rule.clone(), field });
        }
    }
    if form.value.is_some() == form.absent {
        bad.push(BadData::NoValue { file: file.clone(), id: form.rule.clone(), edition: edition.year() });
    }
    if let Some(want) = form.value.as_ref().and_then(|value| wrong_kind(rule, value)) {
        bad.push(BadData::Kind { file: file.clone(), id: form.rule.clone(), want });
    }
    let on = day(&file, &form.on, bad)?;
    Some(Confirmation {
        rule: form.rule,
        edition,
        value: form.value,
        section: form.section,
        who: form.who,
        on,
    })
}

/// What a value of the rule must be, if this one is of another kind: a number, or one of the words in use.
pub(crate) fn wrong_kind(rule: &Rule, value: &Value) -> Option<String> {
    let known: Vec<&Value> = rule.dated.iter().filter_map(|dated| dated.value.as_ref()).collect();
    match value {
        Value::Number(number) if !number.is_finite() || *number < 0.0 => {
            Some("a number that is finite and not negative".to_owned())
        }
        Value::Number(_) if known.iter().any(|known| matches!(known, Value::Word(_))) => {
            Some(format!("one of the words {}", words(&known)))
        }
        Value::Word(word)
            if !known.iter().any(|known| matches!(known, Value::Word(other) if other == word)) =>
        {
            Some(if known.iter().any(|known| matches!(known, Value::Number(_))) {
                "a number".to_owned()
            } else {
                format!("one of the words {}", words(&known))
            })
        }
        _ => None,
    }
}

fn words(known: &[&Value]) -> String {
    let words: BTreeSet<String> = known.iter().map(|value| format!("`{value}`")).collect();
    words.into_iter().collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_files_are_right() {
        match book(REFUSALS) {
            Ok(_) => {}
            Err(bad) => panic!("{}", bad.iter().map(|bad| format!("{bad}\n")).collect::<String>()),
        }
    }

    #[test]
    fn every_mistake_of_a_refusals_file_is_told() {
        let text = r#"
            [[refusal]]
            rules = ["no.such"]
            editions = [2026]
            reason = "r"
            confirm = "c"
            [[refusal]]
            rules = ["optional.first"]
            editions = [2008]
            reason = ""
            confirm = "c"
            [[confirmed]]
            rule = "optional.first"
            edition = 2017
            value = "many"
            section = ""
            who = " "
            on = "yesterday"
        "#;
        let bad: Vec<String> =
            book(text).expect_err("it is full of mistakes").iter().map(BadData::to_string).collect();
        for part in [
            "no.such",
            "`reason`",
            "the rule is open there",
            "needs no confirmation",
            "`who`",
            "`section`",
            "must be a number",
            "`yesterday` is no day",
            "nothing says why",
        ] {
            assert!(bad.iter().any(|line| line.contains(part)), "{part} is missing in {bad:#?}");
        }
    }
}
