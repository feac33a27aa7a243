//! What was prepared for the replacement, out of the tree.

use super::Decoder;
use super::entry::{Entry, as_count};
use super::equipment::{cabinet_of, conductor, conductor_field, half_width};
use super::offer::usd;
use crate::fact::{CircuitSurveyed, LayoutChosen, SeatChosen, SpacesHeld, SurpriseAnswered};
use crate::grammar::PhraseId;
use crate::limits;
use crate::text::{AsText, Textual};
use crate::tree::Node;
use model::{Leg, Space};

/// A thing that may be left out. `None` where it is there and wrong.
fn maybe<T: Textual>(entry: &Entry<'_>, key: &str) -> Option<Option<AsText<T>>> {
    if entry.get(key).is_none() { Some(None) } else { entry.read(key).map(|thing| Some(AsText(thing))) }
}

fn spaces(entry: &Entry<'_>, key: &str) -> Option<Vec<AsText<Space>>> {
    let read = |node| Space::read(&super::entry::as_text(node)?, None).ok().map(AsText);
    entry.items(key).iter().map(read).collect()
}

impl Decoder<'_> {
    pub(super) fn surveyed(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = CircuitSurveyed {
            slot: AsText(self.located(entry.get("space")?)?),
            name: entry.words("name"),
            poles: entry.count("poles").and_then(|count| u8::try_from(count).ok()),
            rating_a: entry.number("rating_a"),
            feeds: entry.words("feeds"),
            room: entry.words("room"),
            class: maybe(entry, "class")?,
            conductor: conductor(entry, "conductor"),
            multiwire: entry.flag("multiwire"),
            partner: maybe(entry, "partner")?,
            uses_neutral: entry.flag("uses_neutral"),
            grounded: entry.flag("grounded"),
            protection: maybe(entry, "protection")?,
            protection_after: maybe(entry, "protection_after")?,
            continuous: entry.flag("continuous"),
            motor: entry.flag("motor"),
            together: entry.words("together"),
            words: entry.words("words"),
        };
        let mut fields = entry.fields(&[
            ("place", &["space"]),
            ("partner", &["partner"]),
            ("poles", &["poles"]),
            ("rating_a", &["rating_a"]),
        ]);
        fields.extend(conductor_field(entry, "conductor", "conductor"));
        self.keep(entry, self.at(entry, self.start()), fields, Box::new(body));
        Some(())
    }

    pub(super) fn surprise(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = SurpriseAnswered {
            question: entry.read::<PhraseId>("question")?.0,
            answer: AsText(entry.read("answer")?),
            slot: self.slot_if_given(entry)?,
            carry: maybe(entry, "carry")?,
            hours: entry.number("hours"),
            cost_usd: usd(entry, "cost_usd"),
            charged: entry.flag("charged"),
            words: entry.words("words"),
        };
        let fields = entry.fields(&[
            ("question", &["question"]),
            ("place", &["space"]),
            ("carry", &["carry"]),
            ("hours", &["hours"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn arrangement(&mut self, entry: &Entry<'_>) -> Option<()> {
        let most = limits::SPACES_MAX;
        let seats: Option<Vec<SeatChosen>> = entry.items("seat").iter().map(|node| self.seat(node)).collect();
        let held: Option<Vec<SpacesHeld>> = entry
            .items("held")
            .iter()
            .map(|node| {
                let entry = Entry::new(node);
                let held_for = AsText(entry.read("for")?);
                Some(SpacesHeld { spaces: spaces(&entry, "spaces")?, held_for })
            })
            .collect();
        let body = LayoutChosen {
            panel: AsText(entry.read("panel")?),
            spaces: u16::try_from(entry.count("spaces")?).ok().filter(|n| 0 < *n && *n <= most)?,
            columns: match entry.get("columns") {
                None => 2,
                Some(node) => as_count(node).filter(|n| (1..=2).contains(n))? as u8,
            },
            first_leg: AsText(entry.read_or("first_leg", Leg::A)?),
            fed_at: maybe(entry, "fed_at")?,
            half_width: entry.get("half_width").and_then(half_width),
            bus_rating_a: entry.number("bus_rating_a"),
            main_a: entry.number("main_a"),
            stab_limit_a: entry.number("stab_limit_a"),
            cabinet: entry.get("cabinet").map(|node| cabinet_of(&Entry::new(node))).unwrap_or_default(),
            seats: seats?,
            held: held?,
            aim: entry.words("aim"),
            words: entry.words("words"),
        };
        let mut fields = entry.fields(&[
            ("panel", &["panel"]),
            ("half_width", &["half_width"]),
            ("bus_rating", &["bus_rating_a"]),
            ("main_a", &["main_a"]),
            ("stab_limit", &["stab_limit_a"]),
            ("cabinet", &["cabinet"]),
        ]);
        for (field, key) in [("seat", "seat"), ("held", "held")] {
            for (idx, node) in entry.items(key).iter().enumerate() {
                fields.push(((field, idx), node.span.clone()));
            }
        }
        self.keep(entry, self.at(entry, self.start()), fields, Box::new(body));
        Some(())
    }

    fn seat(&mut self, node: &Node) -> Option<SeatChosen> {
        let entry = Entry::new(node);
        let circuit = match entry.get("circuit") {
            None => None,
            Some(node) => Some(AsText(self.located(node)?)),
        };
        let new = entry.owned("new");
        if circuit.is_some() == new.is_some() {
            return None;
        }
        Some(SeatChosen {
            circuit,
            new,
            to: spaces(&entry, "to")?,
            locked: entry.flag("locked").unwrap_or(false),
        })
    }
}
