//! Cards as text: TOML that people can read and keep.

use super::{Card, CardKind, Cards, Reconnect};
use crate::outage::{Minute, clock, minute_of};
use model::{Cents, Date};
use serde::{Deserialize, Serialize};

/// Longest text of a field.
const TEXT_MAX: usize = 600;
/// Most working days that are believed.
const DAYS_MAX: u16 = 400;
/// Most dollars of a fee that are believed.
const FEE_MAX_USD: f64 = 100_000.0;

/// One thing wrong with a card.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{}{message}", whose(card))]
pub struct BadCard {
    /// Its name; empty: the whole text.
    pub card: String,
    /// The field.
    pub field: &'static str,
    /// What is wrong, and what would be right.
    pub message: String,
}

fn whose(card: &str) -> String {
    if card.is_empty() { String::new() } else { format!("card `{card}`: ") }
}

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    #[serde(default)]
    card: Vec<CardText>,
}

/// A card as it is written.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
struct CardText {
    id: String,
    kind: String,
    name: String,
    towns: Vec<String>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    invented: bool,
    source: String,
    told: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_from: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    cut_to: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    notice_days: Option<u16>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reconnect: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reconnect_by: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hours_from: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hours_to: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    inspections: Option<u16>,
    #[serde(skip_serializing_if = "Option::is_none")]
    before_power: Option<bool>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fee_usd: Option<String>,
    #[serde(skip_serializing_if = "String::is_empty")]
    seal: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    emergency: String,
    #[serde(skip_serializing_if = "String::is_empty")]
    words: String,
}

impl Cards {
    /// Reads cards.
    ///
    /// # Errors
    /// Everything that is wrong, card by card; of a text that is no TOML of this form, where it goes wrong first.
    pub fn read(text: &str) -> Result<Cards, Vec<BadCard>> {
        let file: File = toml::from_str(text).map_err(|error| {
            vec![BadCard { card: String::new(), field: "", message: error.to_string().trim().to_owned() }]
        })?;
        let mut bad = Vec::new();
        let mut cards = Cards::default();
        for text in file.card {
            let id = text.id.clone();
            match of_text(text) {
                Ok(card) if cards.card(&card.id).is_some() => bad.push(BadCard {
                    card: id,
                    field: "id",
                    message: "there is a card of this name already".to_owned(),
                }),
                Ok(card) => cards = cards.with(card),
                Err(wrong) => bad.extend(wrong.into_iter().map(|(field, message)| BadCard {
                    card: id.clone(),
                    field,
                    message,
                })),
            }
        }
        if bad.is_empty() { Ok(cards) } else { Err(bad) }
    }

    /// The cards as text that [`Cards::read`] takes.
    pub fn write(&self) -> String {
        let file = File { card: self.all().iter().map(to_text).collect() };
        toml::to_string(&file).expect("text, numbers and lists of them can be written")
    }

    /// Takes one card, checked as in a file.
    ///
    /// # Errors
    /// Everything that is wrong with it.
    pub fn take(&self, card: Card) -> Result<Cards, Vec<BadCard>> {
        let id = card.id.clone();
        let wrong = |wrong: Vec<(&'static str, String)>| {
            wrong.into_iter().map(|(field, message)| BadCard { card: id.clone(), field, message }).collect()
        };
        of_text(to_text(&card)).map(|card| self.with(card)).map_err(wrong)
    }
}

/// Reads a day as `2026-03-02`.
pub fn day_of(text: &str) -> Option<Date> {
    text.trim().parse().ok()
}

/// Reads dollars as `125` or `125.00`.
pub fn money_of(text: &str) -> Option<Cents> {
    let text = text.trim().trim_start_matches('$');
    let usd: f64 = text.parse().ok()?;
    ((0.0..=FEE_MAX_USD).contains(&usd) && !text.contains(['e', 'E'])).then(|| Cents::from_usd(usd))
}

type Wrong = Vec<(&'static str, String)>;

fn of_text(text: CardText) -> Result<Card, Wrong> {
    let mut wrong = Wrong::new();
    if text.id.is_empty()
        || !text.id.chars().all(|one| one.is_ascii_lowercase() || one.is_ascii_digit() || one == '-')
    {
        wrong.push(("id", "the name within the cards has small letters, digits and hyphens only".to_owned()));
    }
    let kind = CardKind::ALL.into_iter().find(|kind| kind.word() == text.kind);
    if kind.is_none() {
        wrong.push(("kind", format!("`{}` is neither `utility` nor `permit`", text.kind)));
    }
    let towns: Vec<String> =
        text.towns.iter().map(|town| town.trim().to_owned()).filter(|town| !town.is_empty()).collect();
    for (field, is_empty, message) in [
        ("name", text.name.trim().is_empty(), "the name of the utility or office is missing"),
        ("towns", towns.is_empty(), "no town is named for which it holds"),
        ("source", text.source.trim().is_empty(), "it is not said who told it, or which paper says so"),
    ] {
        if is_empty {
            wrong.push((field, message.to_owned()));
        }
    }
    let long = [&text.name, &text.source, &text.seal, &text.emergency, &text.words];
    if long.into_iter().chain(&towns).any(|one| TEXT_MAX < one.chars().count()) {
        wrong.push(("words", format!("a text is longer than {TEXT_MAX} letters")));
    }
    let told = day_of(&text.told);
    if told.is_none() {
        wrong.push(("told", format!("`{}` is no day: write when it was told, as `2026-03-02`", text.told)));
    }
    let cut = window(("cut_from", &text.cut_from), ("cut_to", &text.cut_to), &mut wrong);
    let hours = window(("hours_from", &text.hours_from), ("hours_to", &text.hours_to), &mut wrong);
    let reconnect_by = time("reconnect_by", &text.reconnect_by, &mut wrong);
    let reconnect = text.reconnect.as_ref().and_then(|word| {
        let found = Reconnect::ALL.into_iter().find(|one| one.word() == word);
        if found.is_none() {
            wrong.push(("reconnect", format!("`{word}` is neither `same-day` nor `later-day`")));
        }
        found
    });
    let fee = text.fee_usd.as_ref().and_then(|fee| {
        let read = money_of(fee);
        if read.is_none() {
            wrong.push(("fee_usd", format!("`{fee}` is no sum in US dollars: write `125.00`")));
        }
        read
    });
    if text.notice_days.is_some_and(|days| DAYS_MAX < days) {
        wrong.push(("notice_days", format!("more than {DAYS_MAX} working days are not believed")));
    }
    match (kind, told) {
        (Some(kind), Some(told)) if wrong.is_empty() => Ok(Card {
            id: text.id,
            kind,
            name: text.name.trim().to_owned(),
            towns,
            invented: text.invented,
            source: text.source.trim().to_owned(),
            told,
            cut,
            notice_days: text.notice_days,
            reconnect,
            reconnect_by,
            hours,
            inspections: text.inspections,
            before_power: text.before_power,
            fee,
            seal: text.seal,
            emergency: text.emergency,
            words: text.words,
        }),
        _ => Err(wrong),
    }
}

fn time(field: &'static str, text: &Option<String>, wrong: &mut Wrong) -> Option<Minute> {
    let text = text.as_ref()?;
    let minute = minute_of(text.trim());
    if minute.is_none() {
        wrong.push((field, format!("`{text}` is no time: write `08:00`")));
    }
    minute
}

fn window(
    (from_name, from): (&'static str, &Option<String>),
    (to_name, to): (&'static str, &Option<String>),
    wrong: &mut Wrong,
) -> Option<(Minute, Minute)> {
    if from.is_some() != to.is_some() {
        wrong.push((
            if from.is_some() { to_name } else { from_name },
            "a window has a begin and an end".to_owned(),
        ));
    }
    let (from, to) = (time(from_name, from, wrong)?, time(to_name, to, wrong)?);
    if to < from {
        wrong.push((to_name, "the window ends before it begins".to_owned()));
    }
    Some((from, to))
}

fn to_text(card: &Card) -> CardText {
    let at = |minute: Minute| Some(clock(minute));
    let (cut_from, cut_to) = card.cut.map_or((None, None), |(from, to)| (at(from), at(to)));
    let (hours_from, hours_to) = card.hours.map_or((None, None), |(from, to)| (at(from), at(to)));
    CardText {
        id: card.id.clone(),
        kind: card.kind.word().to_owned(),
        name: card.name.clone(),
        towns: card.towns.clone(),
        invented: card.invented,
        source: card.source.clone(),
        told: card.told.to_string(),
        cut_from,
        cut_to,
        notice_days: card.notice_days,
        reconnect: card.reconnect.map(|one| one.word().to_owned()),
        reconnect_by: card.reconnect_by.and_then(at),
        hours_from,
        hours_to,
        inspections: card.inspections,
        before_power: card.before_power,
        fee_usd: card.fee.map(|fee| format!("{:.2}", fee.usd())),
        seal: card.seal.clone(),
        emergency: card.emergency.clone(),
        words: card.words.clone(),
    }
}
