//! Choices that come from the job: its spaces.

use super::Sheet;
use crate::fields::Reader;
use maud::Markup;
use model::job::Job;
use model::panel::Panel;
use model::{Slot, Space};

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
    #[expect(
        clippy::too_many_arguments,
        reason = "each is a word of the form; a struct would only name them twice"
    )]
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
}

impl Reader<'_> {
    /// A space of the job, as `main/15`; the panel may be left out where there is only one.
    pub(crate) fn slot(&mut self, name: &str, job: Option<&Job>) -> Option<Slot> {
        let home = job.and_then(|job| job.default_panel.clone());
        self.thing::<Slot>(name, home.as_ref())
    }
}
