//! Readings and signs out of the tree.

use super::Decoder;
use super::entry::{Entry, as_text};
use crate::fact::{
    ClampTaken, DropTaken, SignLookedFor, TemperatureTaken, TouchTaken, TripSeen, VoltageTaken,
};
use crate::grammar::Legs;
use crate::text::{AsText, Textual};
use crate::tree::Node;
use model::evidence::{ClampPlace, SignScope, Surface, TemperatureMethod};
use model::place::Place;
use model::{PanelId, Slot};

impl<'a> Decoder<'a> {
    pub(super) fn readings(&mut self, root: &Node) {
        let kinds: [super::Kind<'a>; 8] = [
            ("face", Self::face),
            ("temperature", Self::temperature),
            ("touch", Self::touch),
            ("clamp", Self::clamp),
            ("voltage", Self::voltage),
            ("drop", Self::drop),
            ("trip", Self::trip),
            ("sign", Self::sign),
        ];
        for (key, read) in kinds {
            for node in root.get(key).map_or(&[] as &[Node], |node| node.items()) {
                // `None`: what is wrong with the entry has been told already.
                let _ = read(self, &Entry::new(node));
            }
        }
    }

    fn face(&mut self, entry: &Entry<'_>) -> Option<()> {
        let state = self.state_of(entry);
        let slot: Slot = self.located(entry.get("space")?)?;
        self.temperature_at(entry, Place::Face(slot), state?)
    }

    fn temperature(&mut self, entry: &Entry<'_>) -> Option<()> {
        let state = self.state_of(entry);
        let place: Place = self.located(entry.get("place")?)?;
        self.temperature_at(entry, place, state?)
    }

    fn temperature_at(&mut self, entry: &Entry<'_>, place: Place, state: super::StateHead) -> Option<()> {
        let method = entry.read_or("method", TemperatureMethod::Infrared)?;
        let surface = match entry.get("surface") {
            Some(_) => entry.read::<Surface>("surface")?,
            None if method == TemperatureMethod::Contact || place.is_outside() => Surface::Matte,
            None => {
                let span = entry.get("place").map_or(entry.node().span.clone(), |node| node.span.clone());
                let problem = self.source.error(
                    "surface-needed",
                    span,
                    format!("what the infrared spot looked at on `{}` is not said", place.write()),
                    "add `surface = \"matte\"` (insulation, plastic, paint, tape) or `surface = \"bare-metal\"`; a \
                     shiny metal reads far too cold",
                );
                self.problems.push(problem);
                return None;
            }
        };
        let body = TemperatureTaken {
            place: AsText(place),
            value: entry.temperature("c", "f")?,
            method: AsText(method),
            surface: AsText(surface),
            emissivity: entry.number("emissivity"),
            reflected: entry.temperature("reflected_c", "reflected_f"),
            instrument: entry.owned("instrument"),
            state: state.name,
        };
        let at = self.at(entry, state.at);
        let fields = entry.fields(&[
            ("place", &["place", "space"]),
            ("value", &["c", "f"]),
            ("surface", &["surface"]),
            ("emissivity", &["emissivity"]),
            ("reflected", &["reflected_c", "reflected_f"]),
            ("state", &["state"]),
        ]);
        self.keep(entry, at, fields, body);
        Some(())
    }

    fn touch(&mut self, entry: &Entry<'_>) -> Option<()> {
        let state = self.state_of(entry);
        let slot = self.located(entry.get("space")?)?;
        let state = state?;
        let body = TouchTaken {
            slot: AsText(slot),
            feel: AsText(entry.read("feel")?),
            void: entry.flag("void").unwrap_or(false),
            state: state.name,
        };
        let at = self.at(entry, state.at);
        self.keep(entry, at, entry.fields(&[("place", &["space"]), ("state", &["state"])]), body);
        Some(())
    }

    fn clamp(&mut self, entry: &Entry<'_>) -> Option<()> {
        let state = self.state_of(entry);
        let place: ClampPlace = self.located(entry.get("place")?)?;
        let state = state?;
        let body = ClampTaken {
            place: AsText(place),
            amps: entry.number("amps")?,
            instrument: entry.owned("instrument"),
            state: state.name,
        };
        let at = self.at(entry, state.at);
        let fields = entry.fields(&[("place", &["place"]), ("value", &["amps"]), ("state", &["state"])]);
        self.keep(entry, at, fields, body);
        Some(())
    }

    fn voltage(&mut self, entry: &Entry<'_>) -> Option<()> {
        let state = self.state_of(entry);
        let (from, to) = match entry.get("leg") {
            Some(leg) => self.leg_voltage(entry, leg)?,
            None => {
                let from = self.located(entry.get("from")?);
                if entry.get("to").is_none() {
                    let problem = self.source.error(
                        "missing-key",
                        entry.node().span.clone(),
                        "[[voltage]] has `from` but no `to`",
                        "add `to = \"neutral-bar\"`, the place of the other probe",
                    );
                    self.problems.push(problem);
                }
                let to = self.located(entry.get("to")?);
                (from?, to?)
            }
        };
        let state = state?;
        let body = VoltageTaken {
            from: AsText(from),
            to: AsText(to),
            volts: entry.number("volts")?,
            instrument: entry.owned("instrument"),
            state: state.name,
        };
        let at = self.at(entry, state.at);
        let fields = entry.fields(&[
            ("from", &["from", "leg"]),
            ("to", &["to", "leg"]),
            ("value", &["volts"]),
            ("state", &["state"]),
            ("panel", &["panel"]),
        ]);
        self.keep(entry, at, fields, body);
        Some(())
    }

    /// `leg = "A"`: line lug to neutral bar. `leg = "A-B"`: line lug to line lug.
    fn leg_voltage(&mut self, entry: &Entry<'_>, leg: &Node) -> Option<(Place, Place)> {
        let legs: Legs = Legs::read(&as_text(leg)?, None).ok()?;
        let panel: PanelId = match (entry.get("panel"), &self.home) {
            (Some(_), _) => entry.read("panel")?,
            (None, super::Home::One(panel)) => panel.clone(),
            (None, super::Home::Several) => {
                let problem = self.source.error(
                    "panel-needed",
                    leg.span.clone(),
                    format!("`{}` does not say which panel", legs.write()),
                    "the job has several panels: add `panel = \"main\"`",
                );
                self.problems.push(problem);
                return None;
            }
            (None, super::Home::Unknown) => return None,
        };
        let to = match legs.1 {
            None => Place::NeutralBar(panel.clone()),
            Some(second) => Place::Lug(panel.clone(), second),
        };
        Some((Place::Lug(panel, legs.0), to))
    }

    fn drop(&mut self, entry: &Entry<'_>) -> Option<()> {
        let state = self.state_of(entry);
        let from = entry.get("from").and_then(|node| self.located::<Place>(node));
        let to = entry.get("to").and_then(|node| self.located::<Place>(node));
        let state = state?;
        let body = DropTaken {
            from: AsText(from?),
            to: AsText(to?),
            mv: entry.number("mv")?,
            amps: entry.number("amps"),
            instrument: entry.owned("instrument"),
            state: state.name,
        };
        let at = self.at(entry, state.at);
        let fields = entry.fields(&[
            ("from", &["from"]),
            ("to", &["to"]),
            ("value", &["mv"]),
            ("amps", &["amps"]),
            ("state", &["state"]),
        ]);
        self.keep(entry, at, fields, body);
        Some(())
    }

    fn trip(&mut self, entry: &Entry<'_>) -> Option<()> {
        let slot = self.located(entry.get("space")?)?;
        let state = match entry.get("state") {
            Some(_) => Some(self.state_of(entry)?),
            None => None,
        };
        let at = self.at(entry, state.as_ref().map_or(self.start(), |state| state.at));
        let body = TripSeen {
            slot: AsText(slot),
            amps: entry.number("amps"),
            after_min: entry.number("after_min"),
            state: state.map(|state| state.name),
        };
        let fields = entry.fields(&[
            ("place", &["space"]),
            ("amps", &["amps"]),
            ("after_min", &["after_min"]),
            ("state", &["state"]),
        ]);
        self.keep(entry, at, fields, body);
        Some(())
    }

    fn sign(&mut self, entry: &Entry<'_>) -> Option<()> {
        let scope: SignScope = match (entry.get("place"), &self.home) {
            (Some(node), _) => self.located(node)?,
            (None, super::Home::One(panel)) => SignScope::Panel(panel.clone()),
            (None, super::Home::Several) => {
                let problem = self.source.error(
                    "panel-needed",
                    entry.node().span.clone(),
                    "the sign does not say at which panel it was looked for",
                    "the job has several panels: add `place = \"main/panel\"`, or the very place",
                );
                self.problems.push(problem);
                return None;
            }
            (None, super::Home::Unknown) => return None,
        };
        let body = SignLookedFor {
            sign: AsText(entry.read("what")?),
            scope: AsText(scope),
            seen: entry.flag("seen").unwrap_or(true),
            words: entry.words("words"),
            photo: entry.read("photo").map(AsText),
        };
        let at = self.at(entry, self.start());
        self.keep(entry, at, entry.fields(&[("place", &["place"]), ("photo", &["photo"])]), body);
        Some(())
    }
}
