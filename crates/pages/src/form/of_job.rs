//! Choices that come from the job: its spaces and its load states.

use super::Sheet;
use crate::context::Context;
use crate::fields::Reader;
use jiff::civil::DateTime;
use maud::{Markup, html};
use model::job::Job;
use model::panel::Panel;
use model::{PanelId, Slot, Space};
use record::Fact;
use record::fact::LoadStateHeld;
use record::limits;
use record::text::Textual;

/// Which spaces a choice offers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Spaces {
    /// Those with a breaker.
    Breakers,
    /// All of them.
    All,
}

/// A space in a few words: `15 · 20 A · kitchen receptacles`.
pub(crate) fn slot_words(panel: &Panel, space: Space) -> String {
    match panel.breaker_at(space) {
        None => format!("{space} · empty"),
        Some(breaker) => {
            format!("{space} · {} A · {}", crate::fields::plain(breaker.rating.a()), breaker.feeds_label())
        }
    }
}

/// The spaces of a panel, in order; halves where half-width breakers sit.
pub(crate) fn spaces_of(panel: &Panel, which: Spaces) -> Vec<Space> {
    let mut spaces: Vec<Space> =
        panel.breakers.iter().flat_map(|breaker| breaker.spaces.iter().copied()).collect();
    if which == Spaces::All {
        let free: Vec<Space> = (1..=panel.n_spaces)
            .map(Space::whole)
            .filter(|space| !spaces.iter().any(|taken| taken.overlaps(*space)))
            .collect();
        spaces.extend(free);
    }
    spaces.sort();
    spaces.dedup();
    spaces
}

impl<'a> Sheet<'a> {
    /// A choice among the spaces of the job's panels, as `main/15`. `none` are the words for no space at all, where
    /// that may be.
    pub(crate) fn place(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        job: Option<&Job>,
        which: Spaces,
        none: Option<&str>,
    ) -> Markup {
        self.place_or(name, label, hint, job, which, none, "")
    }

    /// The same, with one chosen already.
    #[expect(clippy::too_many_arguments, reason = "each is a word of the form; a struct would only name them twice")]
    pub(crate) fn place_or(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        job: Option<&Job>,
        which: Spaces,
        none: Option<&str>,
        usual: &str,
    ) -> Markup {
        let mut groups = vec![(String::new(), vec![(String::new(), none.unwrap_or("Choose …").to_owned())])];
        let panels = job.map(|job| job.installation.panels.as_slice()).unwrap_or_default();
        for panel in panels {
            let slots = spaces_of(panel, which)
                .into_iter()
                .map(|space| (Slot::new(panel.id.clone(), space).to_string(), slot_words(panel, space)))
                .collect();
            let group = if panel.place.is_empty() {
                format!("Panel {}", panel.id)
            } else {
                format!("Panel {}: {}", panel.id, panel.place)
            };
            groups.push((group, slots));
        }
        self.select(name, label, hint, &groups, usual)
    }

    /// The load state a reading was taken in, latest first, or a new one; fields `state`, `state-new`, `state-held`.
    pub(crate) fn load_state(&self, job: Option<&Job>) -> Markup {
        let states = job.map(|job| job.load_states.as_slice()).unwrap_or_default();
        let named = |word: &str| (word.to_owned(), word.to_owned());
        let new = html! {
            (self.text_among(
                "state-new",
                if states.is_empty() { "What is running?" } else { "What is running now?" },
                "A name for the loads while you measure, as in: range and dryer on.",
                "",
                &["as found", "dryer on", "range on", "dryer and range on", "all off"],
            ))
            (self.whole("state-held", "For how many minutes already?", "Leave it out if it is long or not known.", None))
        };
        if states.is_empty() {
            return html! { fieldset.group { legend { "Load state" } (new) } };
        }
        let latest: Vec<(String, String)> = states.iter().rev().map(|state| named(&state.name)).collect();
        let usual = latest.first().map(|(name, _)| name.clone()).unwrap_or_default();
        let open = self.is_again() && !self.value("state-new", "").is_empty();
        html! {
            (self.select("state", "Load state", "", &[(String::new(), latest)], &usual))
            details.more open[open] { summary { "Something else is running now" } (new) }
        }
    }
}

impl Reader<'_> {
    /// A space of the job, as `main/15`; the panel may be left out where there is only one.
    pub(crate) fn slot(&mut self, name: &str, job: Option<&Job>) -> Option<Slot> {
        let home = job.and_then(|job| job.default_panel.clone());
        self.thing::<Slot>(name, home.as_ref())
    }

    /// As [`Reader::slot`], and it must be there.
    pub(crate) fn need_slot(&mut self, name: &str, job: Option<&Job>) -> Option<Slot> {
        let home: Option<PanelId> = job.and_then(|job| job.default_panel.clone());
        self.need::<Slot>(name, home.as_ref(), "Choose the space.")
    }

    /// The load state of [`Sheet::load_state`]: its name, and the fact of it where it is new.
    pub(crate) fn load_state(
        &mut self,
        cx: &Context<'_>,
        at: DateTime,
        missing: &str,
    ) -> Option<(String, Option<Fact>)> {
        let held = self.number("state-held", "min", limits::MINUTES);
        let new = self.text("state-new", limits::NAME_MAX);
        let states = cx.settled_job().map(|job| job.load_states.as_slice()).unwrap_or_default();
        match new {
            Some(name) if states.iter().any(|state| state.name == name) => Some((name, None)),
            Some(name) => {
                let body = LoadStateHeld {
                    name: name.clone(),
                    words: String::new(),
                    held_min: held,
                    room: None,
                    unloaded: Vec::new(),
                };
                Some((name, Some(cx.fact(at, Vec::new(), body))))
            }
            None => {
                let name = self.text("state", limits::NAME_MAX);
                if name.is_none() && self.fields().text("state").is_none() {
                    let field = if states.is_empty() { "state-new" } else { "state" };
                    self.wrong(field, missing);
                }
                name.map(|name| (name, None))
            }
        }
    }
}

/// The text of a thing in a form.
pub(crate) fn text_of<T: Textual>(thing: Option<&T>) -> String {
    thing.map(T::write).unwrap_or_default()
}
