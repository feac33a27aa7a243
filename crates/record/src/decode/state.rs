//! Load states out of the tree, with the quick form of their readings.

use super::entry::{Entry, as_number};
use super::{AS_FOUND, Decoder, StateHead};
use crate::fact::{ClampTaken, LoadStateHeld, TemperatureAs, TemperatureTaken};
use crate::text::AsText;
use crate::tree::{Node, Value};
use jiff::civil::DateTime;
use model::Slot;
use model::evidence::{ClampPlace, Surface, TemperatureMethod};
use model::place::Place;

impl Decoder<'_> {
    pub(super) fn states(&mut self, root: &Node) {
        let Some(list) = root.get("state") else { return };
        self.doubt.states |= !matches!(list.value, Value::List(_));
        for node in list.items() {
            let entry = Entry::new(node);
            let Some(name) = entry.text("name").filter(|name| !name.trim().is_empty()) else {
                self.doubt.states = true;
                continue;
            };
            let at = self.at(&entry, self.start());
            self.states.push(StateHead { name: name.to_owned(), at });
            self.state(&entry, name, at);
        }
    }

    fn state(&mut self, entry: &Entry<'_>, name: &str, at: DateTime) {
        let unloaded: Vec<AsText<Slot>> =
            entry.items("unloaded").iter().filter_map(|item| self.located(item).map(AsText)).collect();
        let body = LoadStateHeld {
            name: name.to_owned(),
            words: entry.words("words"),
            held_min: entry.number("held_min"),
            room: entry.temperature("room_c", "room_f"),
            unloaded,
        };
        let fields = entry.fields(&[
            ("name", &["name"]),
            ("held_min", &["held_min"]),
            ("room", &["room_c", "room_f"]),
            ("unloaded", &["unloaded"]),
        ]);
        self.keep(entry, at, fields, body);
        let by = entry.owned("by").or_else(|| self.by.clone());
        for (key, node) in entry.get("amps").map_or(&[] as &[_], |node| node.pairs()) {
            let place = self.located_text::<ClampPlace>(&key.name, key.span.clone());
            let (Some(place), Some(amps)) = (place, as_number(node)) else { continue };
            let instrument = entry.owned("clamp");
            let body = ClampTaken { place: AsText(place), amps, instrument, state: name.to_owned() };
            self.keep_line(key, node, at, by.clone(), body);
        }
        for (name_of_map, unit) in
            [("faces_c", TemperatureAs::C as fn(f64) -> TemperatureAs), ("faces_f", TemperatureAs::F)]
        {
            for (key, node) in entry.get(name_of_map).map_or(&[] as &[_], |node| node.pairs()) {
                let slot = self.located_text::<Slot>(&key.name, key.span.clone());
                let (Some(slot), Some(value)) = (slot, as_number(node)) else { continue };
                let body = TemperatureTaken {
                    place: AsText(Place::Face(slot)),
                    value: unit(value),
                    method: AsText(TemperatureMethod::Infrared),
                    surface: AsText(Surface::Matte),
                    emissivity: None,
                    reflected: None,
                    instrument: entry.owned("thermometer"),
                    state: name.to_owned(),
                };
                self.keep_line(key, node, at, by.clone(), body);
            }
        }
    }

    /// Load state of a reading: as named, or the only one. `None` has been told of.
    pub(super) fn state_of(&mut self, entry: &Entry<'_>) -> Option<StateHead> {
        if let Some(node) = entry.get("state") {
            let Value::Text(name) = &node.value else { return None };
            let at =
                self.states.iter().find(|state| state.name == *name).map_or(self.start(), |state| state.at);
            return Some(StateHead { name: name.clone(), at });
        }
        match self.states.as_slice() {
            [only] if !self.doubt.states => Some(only.clone()),
            // No job comes of it, but what else the reading says is still looked at.
            _ if self.doubt.states => Some(StateHead { name: AS_FOUND.to_owned(), at: self.start() }),
            [] => {
                self.needs_as_found = true;
                Some(StateHead { name: AS_FOUND.to_owned(), at: self.start() })
            }
            several => {
                let names = crate::text::list(several.iter().map(|state| state.name.as_str()));
                let problem = self.source.error(
                    "state-needed",
                    entry.node().span.clone(),
                    "the job has several load states and this reading does not say in which it was taken",
                    format!("add `state = …`: {names}"),
                );
                self.problems.push(problem);
                None
            }
        }
    }

    /// The state of readings that name none in a job that has none.
    pub(super) fn make_as_found(&mut self) {
        if !self.needs_as_found {
            return;
        }
        let body = LoadStateHeld {
            name: AS_FOUND.to_owned(),
            words: String::new(),
            held_min: None,
            room: None,
            unloaded: Vec::new(),
        };
        let fact = crate::fact::Fact::new(self.start(), self.by.clone(), Vec::new(), body.into());
        self.drafts.push(super::Draft { fact, spans: super::Spans::default() });
    }
}
