//! Quotes, the booked day, ticks and used parts, out of the tree.

use super::Decoder;
use super::entry::{Entry, as_text};
use crate::fact::{OutageBooked, PartUsed, QuoteGiven, StepTicked};
use crate::grammar::PhraseId;
use crate::text::{AsText, Textual};
use model::offer::Clock;

/// Ids of a list. `None` where one of them is wrong, which has been told.
fn ids(entry: &Entry<'_>, key: &str) -> Option<Vec<String>> {
    let read = |node| PhraseId::read(&as_text(node)?, None).ok().map(|id| id.0);
    entry.items(key).iter().map(read).collect()
}

/// A time that may be left out. `None` where it is there and wrong.
fn clock(entry: &Entry<'_>, key: &str) -> Option<Option<AsText<Clock>>> {
    if entry.get(key).is_none() { Some(None) } else { entry.read(key).map(|clock| Some(AsText(clock))) }
}

pub(super) fn usd(entry: &Entry<'_>, key: &str) -> Option<u32> {
    entry.count(key).and_then(|count| u32::try_from(count).ok())
}

fn few(entry: &Entry<'_>, key: &str) -> Option<u8> {
    entry.count(key).and_then(|count| u8::try_from(count).ok())
}

impl Decoder<'_> {
    pub(super) fn quote(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = QuoteGiven {
            option: entry.read::<PhraseId>("option")?.0,
            with: ids(entry, "with")?,
            low_usd: usd(entry, "low_usd")?,
            usual_usd: usd(entry, "usual_usd")?,
            high_usd: usd(entry, "high_usd")?,
            valid_until: entry.day("valid_until")?,
            book: entry.words("book"),
            words: entry.words("words"),
        };
        let fields = entry.fields(&[("high_usd", &["high_usd"]), ("valid_until", &["valid_until"])]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn outage(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = OutageBooked {
            option: entry.read::<PhraseId>("option")?.0,
            date: entry.day("date")?,
            asked: match entry.get("asked") {
                None => None,
                Some(_) => Some(entry.day("asked")?),
            },
            start: clock(entry, "start")?,
            crew: few(entry, "crew"),
            cut_from: clock(entry, "cut_from")?,
            cut_to: clock(entry, "cut_to")?,
            inspector_from: clock(entry, "inspector_from")?,
            inspector_to: clock(entry, "inspector_to")?,
            reconnect_from: clock(entry, "reconnect_from")?,
            reconnect_to: clock(entry, "reconnect_to")?,
            reconnect_by: clock(entry, "reconnect_by")?,
            done: ids(entry, "done")?,
            told: entry.words("told"),
        };
        let fields = entry.fields(&[
            ("date", &["date"]),
            ("asked", &["asked"]),
            ("cut_to", &["cut_to"]),
            ("inspector_to", &["inspector_to"]),
            ("reconnect_to", &["reconnect_to"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, Box::new(body));
        Some(())
    }

    pub(super) fn tick(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = StepTicked {
            step: entry.read::<PhraseId>("step")?.0,
            done: entry.flag("done")?,
            people: few(entry, "people"),
            words: entry.words("words"),
        };
        self.keep(entry, self.at(entry, self.start()), entry.fields(&[("step", &["step"])]), body);
        Some(())
    }

    pub(super) fn used(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = PartUsed {
            part: entry.read::<PhraseId>("part")?.0,
            count: usd(entry, "count")?,
            words: entry.words("words"),
        };
        self.keep(entry, self.at(entry, self.start()), entry.fields(&[("part", &["part"])]), body);
        Some(())
    }
}
