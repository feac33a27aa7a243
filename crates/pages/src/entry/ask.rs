//! A form being shown: its values, the job, and the choices that many forms share.

use super::standing::Standing;
use super::words::{enter, feeds, installation, place_words, read_place, read_slot};
use crate::context::{Context, JobView};
use crate::fields::Fields;
use crate::form::Sheet;
use crate::route::EntryKind;
use maud::{Markup, html};
use model::installation::Installation;
use model::job::Exposure;
use model::place::Place;
use model::{Leg, PanelId, Slot};

/// Groups of a list that opens: heading, then value and words of each.
pub(crate) type Groups = Vec<(String, Vec<(String, String)>)>;

/// A form being shown.
#[derive(Clone, Copy)]
pub(crate) struct Ask<'a> {
    /// Its pieces.
    pub(crate) sheet: Sheet<'a>,
    /// Values of a query, of a fact to be corrected, or of what was refused.
    pub(crate) values: &'a Fields,
    /// What the facts say of the present.
    pub(crate) standing: &'a Standing<'a>,
    /// The job.
    pub(crate) view: &'a JobView,
    /// What all pages are made from.
    pub(crate) cx: &'a Context<'a>,
}

impl<'a> Ask<'a> {
    pub(crate) fn installation(&self) -> Option<&'a Installation> {
        installation(self.view)
    }

    /// Is the dead front on, as far as the record says?
    pub(crate) fn cover_on(&self) -> bool {
        self.standing.exposure == Exposure::CoverOn
    }

    /// Every pole of every breaker, as a choice, by panel.
    pub(crate) fn slots(&self) -> Groups {
        self.of_slots(|slot| slot.to_string())
    }

    /// The same with another text as value.
    pub(crate) fn of_slots(&self, value: impl Fn(&Slot) -> String) -> Groups {
        let Some(installation) = self.installation() else { return Vec::new() };
        let of = |panel: &model::panel::Panel| {
            let mut spaces: Vec<_> =
                panel.breakers.iter().flat_map(|breaker| breaker.spaces.iter().copied()).collect();
            spaces.sort();
            let words = |slot: &Slot| format!("{} · {}", slot.space, feeds(Some(installation), slot));
            spaces
                .into_iter()
                .map(|space| Slot::new(panel.id.clone(), space))
                .map(|slot| (value(&slot), words(&slot)))
                .collect()
        };
        installation.panels.iter().map(|panel| (format!("Panel {}", panel.id), of(panel))).collect()
    }

    /// Things of a panel and its legs, as choices.
    pub(crate) fn of_panels(
        &self,
        of_leg: impl Fn(&PanelId, Leg) -> Vec<(String, String)>,
        of_panel: impl Fn(&PanelId) -> Vec<(String, String)>,
    ) -> Groups {
        let panels =
            self.installation().map(|installation| installation.panels.as_slice()).unwrap_or_default();
        panels
            .iter()
            .map(|panel| {
                let legs = panel.system.legs().iter().flat_map(|&leg| of_leg(&panel.id, leg));
                let all = legs.chain(of_panel(&panel.id)).collect();
                (format!("Panel {}", panel.id), all)
            })
            .collect()
    }

    /// A choice for a place, with its words.
    pub(crate) fn place_choice(&self, place: &Place) -> (String, String) {
        (place.to_string(), study::words::capital(&place_words(self.installation(), place)))
    }

    /// A list that opens, its first line asking; a value that the list does not have is added to it.
    pub(crate) fn choose(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        ask: &str,
        groups: Groups,
        usual: &str,
    ) -> Markup {
        let value = self.sheet.value(name, usual);
        let known = value.is_empty() || groups.iter().flat_map(|(_, all)| all).any(|(one, _)| *one == value);
        let mut all = vec![(String::new(), vec![(String::new(), ask.to_owned())])];
        if !known {
            all[0].1.push((value.clone(), value.clone()));
        }
        all.extend(groups.into_iter().filter(|(_, choices)| !choices.is_empty()));
        self.sheet.select(name, label, hint, &all, usual)
    }

    /// A list that opens with a value of its own, whatever the fields hold under that name.
    pub(crate) fn list(
        &self,
        name: &'a str,
        label: &str,
        first: &str,
        groups: &Groups,
        value: &str,
    ) -> Markup {
        let id = self.sheet.id_of(name);
        html! {
            div.field {
                label for=(id) { (label) }
                select id=(id) name=(name) {
                    option value="" { (first) }
                    @for (group, all) in groups {
                        optgroup label=(group) {
                            @for (one, words) in all { option value=(one) selected[one == value] { (words) } }
                        }
                    }
                }
                (self.sheet.error(name))
            }
        }
    }

    /// Which pole: a list that opens.
    pub(crate) fn slot(&self, label: &str, ask: &str) -> Markup {
        self.choose("place", label, "", ask, self.slots(), "")
    }

    /// The load state, with a way to set up another.
    pub(crate) fn state(&self) -> Markup {
        let mut names: Vec<(String, String)> =
            self.standing.states().iter().map(|state| (state.name.clone(), state.name.clone())).collect();
        let present = self.standing.state.clone();
        let value = self.sheet.value("state", &present);
        for name in [present.clone(), value] {
            if !name.is_empty() && names.iter().all(|(known, _)| *known != name) {
                names.insert(0, (name.clone(), name));
            }
        }
        html! {
            (self.sheet.select("state", "Load state", "", &[(String::new(), names)], &present))
            p.aside { a href=(enter(self.view, EntryKind::State, &[])) { "Other loads run now: set up a load state" } }
        }
    }

    /// The instrument, the last one of this kind proposed.
    pub(crate) fn instrument(&self, last: Option<String>, hint: &str) -> Markup {
        let last = last.unwrap_or_default();
        self.sheet.text("instrument", "Instrument", hint, &last)
    }

    /// What lies behind the dead front: closed, with the reason, while the record says that it is on. With `whole` it
    /// is all that the form asks; without, it is folded in any case.
    pub(crate) fn behind(&self, what: &str, whole: bool, inner: Markup) -> Markup {
        let wrong = self.sheet.is_again();
        if !self.cover_on() {
            let caution = html! {
                div.caution { p { "The dead front is off: live parts are open. A qualified person with protective gear only." } }
            };
            return html! {
                @if whole { (caution) (inner) }
                @else { details.more open[wrong] { summary { (what) } (caution) (inner) } }
            };
        }
        let reason = html! {
            div.caution {
                p { "Closed: the dead front is on. This needs it off, by a qualified person with protective gear. Work with it \
                     on first: faces, receptacles, signs. Never pull a breaker for a reading." }
            }
        };
        html! {
            @if whole { (reason) }
            details.more.behind open[wrong] {
                summary { @if whole { "The dead front is off now: open the form" } @else { (what) ": closed, the dead front is on" } }
                @if !whole { (reason) }
                (self.sheet.tick(
                    "cover", "The dead front is off", "taken off by me, a qualified person, or by one beside me", false
                ))
                (inner)
            }
        }
    }

    /// The place that a query names, where it is one.
    pub(crate) fn place(&self, name: &str) -> Option<Place> {
        read_place(self.view, self.values.text(name)?)
    }

    /// The slot that a query names, where it is one.
    pub(crate) fn query_slot(&self) -> Option<Slot> {
        let text = self.values.text("place")?;
        read_slot(self.view, text).or_else(|| read_place(self.view, text)?.slot().cloned())
    }
}
