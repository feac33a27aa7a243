//! The words of the plan, from `data/plan.toml`.

use serde::Deserialize;
use std::collections::BTreeMap;

const FILE: &str = include_str!("../../data/plan.toml");

/// A sentence in both languages.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Said {
    en: String,
    es: String,
}

/// A sign to watch for, and what to do then.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Watched {
    en: String,
    es: String,
    do_en: String,
    do_es: String,
}

/// Words of a paper by their names; one that is missing is caught by a test, and printed as its name.
#[derive(Debug, Clone, Deserialize)]
#[serde(transparent)]
pub(super) struct Phrases(BTreeMap<String, String>);

impl Phrases {
    pub(super) fn get<'a>(&'a self, name: &'a str) -> &'a str {
        self.0.get(name).map_or(name, String::as_str)
    }

    #[cfg(test)]
    pub(super) fn names(&self) -> Vec<&str> {
        self.0.keys().map(String::as_str).collect()
    }

    #[cfg(test)]
    pub(super) fn all(&self) -> impl Iterator<Item = (&String, &String)> {
        self.0.iter()
    }
}

/// The file.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Book {
    pub(super) limit: BTreeMap<String, Said>,
    pub(super) watch: BTreeMap<String, Watched>,
    pub(super) slip: BTreeMap<String, Said>,
    pub(super) sheet: BTreeMap<String, Phrases>,
    tag: BTreeMap<String, Phrases>,
    crew: BTreeMap<String, Phrases>,
}

impl Book {
    pub(super) fn new() -> Book {
        toml::from_str(FILE).expect("data/plan.toml is read in a test")
    }

    /// The words of the owner's sheet; English where there is no such language.
    pub(super) fn sheet(&self, language: &str) -> &Phrases {
        self.sheet.get(language).unwrap_or_else(|| &self.sheet["en"])
    }

    pub(super) fn tag(&self) -> &Phrases {
        &self.tag["en"]
    }

    pub(super) fn crew(&self) -> &Phrases {
        &self.crew["en"]
    }

    /// What may be used, by an id; the id itself where a newer program wrote it.
    pub(super) fn limit<'a>(&'a self, id: &'a str, language: &str) -> &'a str {
        self.limit.get(id).map_or(id, |said| said.in_(language))
    }

    /// What happens if a day passes.
    pub(super) fn slip<'a>(&'a self, id: &'a str, language: &str) -> &'a str {
        self.slip.get(id).map_or(id, |said| said.in_(language))
    }

    /// A sign, and what to do then.
    pub(super) fn watch<'a>(&'a self, id: &'a str, language: &str) -> (&'a str, &'a str) {
        match self.watch.get(id) {
            None => (id, ""),
            Some(one) if language == "es" => (&one.es, &one.do_es),
            Some(one) => (&one.en, &one.do_en),
        }
    }
}

impl Said {
    fn in_(&self, language: &str) -> &str {
        if language == "es" { &self.es } else { &self.en }
    }
}

/// What the form of a plan offers: ids with their English words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanWords {
    /// What may be used, and how far.
    pub limits: Vec<(String, String)>,
    /// What to watch for.
    pub watch: Vec<(String, String)>,
    /// What happens if a day passes.
    pub slip: Vec<(String, String)>,
}

impl PlanWords {
    /// As the file says them.
    pub fn new() -> Self {
        let book = Book::new();
        let said = |all: BTreeMap<String, Said>| all.into_iter().map(|(id, said)| (id, said.en)).collect();
        let mut watch: Vec<(String, String)> = book.watch.into_iter().map(|(id, one)| (id, one.en)).collect();
        // The worst first, whatever its name.
        watch.sort_by_key(|(id, _)| (id != "smoke", id != "smell"));
        PlanWords { limits: said(book.limit), watch, slip: said(book.slip) }
    }
}

impl Default for PlanWords {
    fn default() -> Self {
        PlanWords::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn places(text: &str) -> Vec<&str> {
        let mut all: Vec<&str> = text.split('{').skip(1).filter_map(|rest| rest.split('}').next()).collect();
        all.sort_unstable();
        all
    }

    #[test]
    fn both_languages_say_the_same_things() {
        let book = Book::new();
        let (en, es) = (book.sheet("en"), book.sheet("es"));
        assert_eq!(en.names(), es.names());
        for (name, text) in en.all() {
            assert_eq!(places(text), places(es.get(name)), "{name}");
        }
        let same = |one: &str, other: &str| !one.is_empty() && !other.is_empty() && one != other;
        assert!(book.limit.values().chain(book.slip.values()).all(|said| same(&said.en, &said.es)));
        assert!(book.watch.values().all(|one| same(&one.en, &one.es) && same(&one.do_en, &one.do_es)));
    }

    #[test]
    fn ids_are_such_as_facts_may_hold() {
        let words = PlanWords::new();
        for (id, said) in words.limits.iter().chain(&words.watch).chain(&words.slip) {
            assert!(id.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-'), "{id}");
            assert!(id.len() <= 40 && !said.is_empty());
        }
        assert_eq!(words.watch[0].0, "smoke");
    }
}
