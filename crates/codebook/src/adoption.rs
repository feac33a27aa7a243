//! Adoption profiles: which edition holds at an address on a day, and what the city changed in it.

use crate::book::{BadData, Book, Value};
use crate::edition::Edition;
use crate::law::Law;
use jiff::civil::Date;
use serde::Deserialize;

/// An edition taken over by a city or state.
#[derive(Debug, Clone, PartialEq)]
pub struct Adopted {
    /// Edition.
    pub edition: Edition,
    /// First day it holds; the next one ends it.
    pub from: Date,
    /// The ordinance or statute that says so.
    pub document: String,
}

/// A change that a city made to one rule of one edition.
#[derive(Debug, Clone, PartialEq)]
pub struct Amendment {
    /// Rule it changes.
    pub rule: String,
    /// Edition it amends; it ends with that edition.
    pub amends: Edition,
    /// First day it holds.
    pub from: Date,
    /// The value here; `None` where the city took the rule away.
    pub value: Option<Value>,
    /// Ordinance.
    pub document: String,
    /// Its section.
    pub section: String,
    /// A remark.
    pub note: Option<String>,
}

/// Which code holds in one place, written by the shop.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// Name of the place.
    pub name: String,
    /// Invented, for a demonstration or a test?
    pub invented: bool,
    /// Editions, oldest first.
    pub adopted: Vec<Adopted>,
    /// Amendments.
    pub amendments: Vec<Amendment>,
}

/// No edition holds there on that day, as far as the profile knows.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the profile of {place} knows no code that holds on {day}: its first is adopted on {first}")]
pub struct NotYetAdopted {
    /// Place.
    pub place: String,
    /// Day asked for.
    pub day: Date,
    /// First day of its first edition.
    pub first: Date,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AdoptedForm {
    edition: Edition,
    from: String,
    document: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AmendmentForm {
    rule: String,
    amends: Edition,
    from: String,
    value: Option<Value>,
    #[serde(default)]
    absent: bool,
    document: String,
    section: String,
    note: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ProfileForm {
    name: String,
    #[serde(default)]
    invented: bool,
    adopted: Vec<AdoptedForm>,
    #[serde(default)]
    amendment: Vec<AmendmentForm>,
}

impl Profile {
    /// The profile of a city that does not exist, as an example of the form.
    pub fn example_text() -> &'static str {
        include_str!("../data/adoption-example.toml")
    }

    /// Reads a profile from its text; reports every mistake.
    pub fn read(book: &Book, text: &str) -> Result<Profile, Vec<BadData>> {
        let file = "adoption profile";
        let mut bad = vec![];
        let Some(form) = crate::book::parse::<ProfileForm>(file, text, &mut bad) else { return Err(bad) };
        let mut adopted: Vec<Adopted> = vec![];
        for entry in form.adopted {
            let Some(from) = crate::book::day(file, &entry.from, &mut bad) else { continue };
            adopted.push(Adopted { edition: entry.edition, from, document: entry.document });
        }
        let mut amendments: Vec<Amendment> = vec![];
        for entry in form.amendment {
            if entry.value.is_some() == entry.absent {
                let edition = entry.amends.year();
                bad.push(BadData::NoValue { file: file.to_owned(), id: entry.rule.clone(), edition });
            }
            // A day that cannot be read is told of; the rest of the entry is checked all the same.
            let from = crate::book::day(file, &entry.from, &mut bad).unwrap_or(Date::MIN);
            amendments.push(Amendment {
                rule: entry.rule,
                amends: entry.amends,
                from,
                value: entry.value,
                document: entry.document,
                section: entry.section,
                note: entry.note,
            });
        }
        match Profile::of(book, form.name, form.invented, adopted, amendments) {
            Ok(profile) if bad.is_empty() => Ok(profile),
            Ok(_) => Err(bad),
            Err(more) => {
                bad.extend(more);
                Err(bad)
            }
        }
    }

    /// A profile from its parts; reports every mistake: editions out of order, amendments of nothing.
    pub fn of(
        book: &Book,
        name: String,
        invented: bool,
        adopted: Vec<Adopted>,
        amendments: Vec<Amendment>,
    ) -> Result<Profile, Vec<BadData>> {
        let file = "adoption profile";
        let mut bad = vec![];
        for (idx, entry) in adopted.iter().enumerate() {
            let before = idx.checked_sub(1).map(|idx| &adopted[idx]);
            if before.is_some_and(|last| entry.from <= last.from || entry.edition <= last.edition) {
                bad.push(BadData::AdoptionOrder { edition: entry.edition.year() });
            }
            blank(&name, "document", &entry.document, &mut bad);
        }
        if adopted.is_empty() {
            bad.push(BadData::Blank { file: file.to_owned(), id: name.clone(), field: "adopted" });
        }
        for (idx, entry) in amendments.iter().enumerate() {
            blank(&entry.rule, "document", &entry.document, &mut bad);
            blank(&entry.rule, "section", &entry.section, &mut bad);
            match book.rules.get(&entry.rule) {
                None => {
                    let id = entry.rule.clone();
                    bad.push(BadData::Unknown { file: file.to_owned(), id, what: "rule" });
                }
                Some(rule) => {
                    if let Some(want) =
                        entry.value.as_ref().and_then(|value| crate::book::wrong_kind(rule, value))
                    {
                        bad.push(BadData::Kind { file: file.to_owned(), id: entry.rule.clone(), want });
                    }
                }
            }
            if !adopted.iter().any(|adopted| adopted.edition == entry.amends) {
                bad.push(BadData::AmendsNothing { rule: entry.rule.clone(), edition: entry.amends.year() });
            }
            // Two that hold at once are an error, not a silent winner.
            let same = |other: &Amendment| {
                other.rule == entry.rule && other.amends == entry.amends && other.from == entry.from
            };
            if amendments[..idx].iter().any(same) {
                bad.push(BadData::Twice { file: file.to_owned(), id: entry.rule.clone() });
            }
        }
        if bad.is_empty() { Ok(Profile { name, invented, adopted, amendments }) } else { Err(bad) }
    }

    /// The code that holds here on a day, as a rule the day of the permit application.
    pub fn on<'b>(&'b self, book: &'b Book, permit_day: Date) -> Result<Law<'b>, NotYetAdopted> {
        let Some(adopted) = self.adopted.iter().rev().find(|adopted| adopted.from <= permit_day) else {
            let first = self.adopted.first().expect("reading refuses a profile without an edition").from;
            return Err(NotYetAdopted { place: self.name.clone(), day: permit_day, first });
        };
        let mut amendments: Vec<&Amendment> = self
            .amendments
            .iter()
            .filter(|amendment| amendment.amends == adopted.edition && amendment.from <= permit_day)
            .collect();
        // Newest first: a later amendment of the same rule takes the place of the earlier one.
        amendments.sort_by_key(|amendment| std::cmp::Reverse(amendment.from));
        let invented = if self.invented { " (invented)" } else { "" };
        let chosen = format!(
            "{} in {}{invented}, by {}, in force from {}, asked for {permit_day}",
            adopted.edition.document(),
            self.name,
            adopted.document,
            adopted.from,
        );
        Ok(Law::adopted(book, adopted.edition, amendments, chosen))
    }
}

fn blank(id: &str, field: &'static str, text: &str, bad: &mut Vec<BadData>) {
    if text.trim().is_empty() {
        bad.push(BadData::Blank { file: "adoption profile".to_owned(), id: id.to_owned(), field });
    }
}
