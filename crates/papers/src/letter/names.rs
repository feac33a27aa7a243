//! What things are called in a letter.

use super::Letter;
use crate::clean::clean;
use crate::phrases::fill;
use crate::terms;
use model::evidence::SignScope;
use model::id::Slot;
use model::place::Place;

impl Letter<'_> {
    /// `breaker 9-11 (main of lower)`.
    pub(super) fn breaker_name(&self, slot: &Slot) -> String {
        let installation = &self.job.installation;
        let spaces = match installation.breaker_at(slot) {
            Some(breaker) => crate::drawing::space_list(&breaker.spaces),
            None => slot.space.to_string(),
        };
        let feeds = terms::short_feeds(self.phrases, installation, slot);
        fill(&self.phrases.letter.breaker, &[("spaces", &spaces), ("feeds", &feeds)])
    }

    /// Where a probe was.
    pub(super) fn place(&self, place: &Place) -> String {
        match place.slot() {
            Some(slot) => self.breaker_name(slot),
            None => self.phrases.word("owner-place", owner_place(place)).to_owned(),
        }
    }

    /// Where a sign was looked for.
    pub(super) fn scope(&self, scope: &SignScope) -> String {
        match scope {
            SignScope::Slot(slot) => self.breaker_name(slot),
            SignScope::Lug(_, leg) | SignScope::Leg(_, leg) => {
                let term = if matches!(scope, SignScope::Lug(..)) { "lug" } else { "leg" };
                fill(self.phrases.word("owner-scope", term), &[("leg", &leg.to_string())])
            }
            SignScope::Neutral(_) => self.phrases.word("owner-scope", "neutral").to_owned(),
            SignScope::Panel(_) => self.phrases.word("owner-scope", "panel").to_owned(),
        }
    }

    /// `a, b and c`.
    pub(super) fn list<S: AsRef<str>>(&self, parts: &[S]) -> String {
        match parts {
            [] => String::new(),
            [only] => only.as_ref().to_owned(),
            [head @ .., last] => {
                let head: Vec<&str> = head.iter().map(AsRef::as_ref).collect();
                fill(&self.phrases.letter.list, &[("head", &head.join(", ")), ("last", last.as_ref())])
            }
        }
    }

    /// A foreign text in which no name of a circuit in brackets has more characters than these; with none, no name is left.
    pub(super) fn with_short_names(&self, text: &str, most_chars: usize) -> String {
        let circuits = self.job.installation.breakers().filter_map(|(_, breaker)| breaker.circuit.as_ref());
        let mut text = text.to_owned();
        for feeds in circuits.map(|circuit| circuit.feeds.as_str()).filter(|feeds| !feeds.is_empty()) {
            let short = crate::clean::shorten(feeds, most_chars);
            if most_chars == 0 {
                text = text.replace(&format!(" ({feeds})"), "");
            } else if short != feeds {
                text = text.replace(&format!("({feeds})"), &format!("({short})"));
            }
        }
        text
    }

    /// A foreign text with the names of joints in the owner's words.
    pub(super) fn plain(&self, text: &str) -> String {
        let name = |id: &model::JointId| terms::joint_for_owner(self.phrases, &self.job.installation, id);
        let text = terms::with_names(&clean(text), self.assessment, name);
        // words in backquotes are meant as quotations
        let mut parts = text.split('`');
        let mut out = parts.next().unwrap_or_default().to_owned();
        for (idx, part) in parts.enumerate() {
            out.push(if idx % 2 == 0 { '“' } else { '”' });
            out.push_str(part);
        }
        out
    }
}

const fn owner_place(place: &Place) -> &'static str {
    match place {
        Place::Lug(..) | Place::Line(..) => "line",
        Place::NeutralLug(_) | Place::NeutralLine(_) | Place::NeutralBar(_) => "neutral",
        Place::Cover(_) => "cover",
        _ => "earth",
    }
}
