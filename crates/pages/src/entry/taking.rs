//! A form being taken: its fields, the job it belongs to, and what every entry carries.

use super::standing::Standing;
use crate::context::{Context, JobView};
use crate::fields::{Fields, Reader, Refusal, quoted};
use crate::screen::Entry;
use jiff::civil::DateTime;
use model::job::Exposure;
use model::{FactId, PanelId, Slot};
use record::fact::{ExposureReached, LoadStateHeld, TemperatureAs};
use record::limits::{self, Plausible};
use record::text::{AsText, Textual};
use record::{Body, Fact};

/// Most facts that one entry may take back or correct.
const SUPERSEDES_MAX: usize = 200;

/// A form being taken. Values that cannot be taken are told of in the end, all at once.
pub(crate) struct Taking<'a> {
    /// Typed values of the fields.
    pub(crate) reader: Reader<'a>,
    /// The job.
    pub(crate) view: &'a JobView,
    /// What the facts say of the present.
    pub(crate) standing: Standing<'a>,
    /// When the entry says that it was.
    pub(crate) at: DateTime,
    /// Who says so.
    pub(crate) by: Option<String>,
    /// Facts that the entry corrects or takes back.
    pub(crate) supersedes: Vec<FactId>,
    /// Space that the entry is about, for the page shown next.
    pub(crate) about: Option<Slot>,
    /// Load state of the reading.
    pub(crate) state: Option<String>,
}

impl<'a> Taking<'a> {
    pub(crate) fn new(fields: &'a Fields, view: &'a JobView, cx: &Context<'_>) -> Self {
        let mut reader = Reader::new(fields);
        let at = reader.moment(cx.now);
        let supersedes = ids(&mut reader);
        let by = Some(cx.viewer.name.trim()).filter(|name| !name.is_empty());
        let by = by.map(|name| name.chars().take(limits::NAME_MAX).collect());
        Taking { reader, view, standing: Standing::of(view), at, by, supersedes, about: None, state: None }
    }

    pub(crate) fn wrong(&mut self, field: &str, message: impl Into<String>) {
        self.reader.wrong(field, message);
    }

    pub(crate) fn text(&self, field: &str) -> Option<&'a str> {
        self.reader.fields().text(field)
    }

    /// The panel meant where a text names none.
    pub(crate) fn home(&self) -> Option<PanelId> {
        self.view.settled.job.as_ref().and_then(|job| job.default_panel.clone())
    }

    /// A thing with a text form, where the field is filled.
    pub(crate) fn may<T: Textual>(&mut self, field: &str) -> Option<T> {
        let home = self.home();
        self.reader.thing(field, home.as_ref())
    }

    /// A thing with a text form that must be there; `missing` says what to do.
    pub(crate) fn need<T: Textual>(&mut self, field: &str, missing: &str) -> Option<T> {
        let home = self.home();
        self.reader.need(field, home.as_ref(), missing)
    }

    /// Several things with a text form; fields may hold several of them, too.
    pub(crate) fn several<T: Textual>(&mut self, field: &str) -> Vec<T> {
        let home = self.home();
        let fields = self.reader.fields();
        let texts = fields
            .all(field)
            .flat_map(|text| text.split([',', ';', ' ', '/']))
            .filter(|text| !text.is_empty());
        let mut all = Vec::new();
        for text in texts.take(limits::READINGS_MAX) {
            match T::read(text, home.as_ref()) {
                Ok(thing) => all.push(thing),
                Err(error) => self.reader.wrong(field, quoted(&format!("{error}: {}.", error.hint()))),
            }
        }
        all
    }

    /// Several slots; their texts hold a slash.
    pub(crate) fn slots(&mut self, field: &str) -> Vec<Slot> {
        let home = self.home();
        let mut all = Vec::new();
        for text in self.reader.fields().all(field).take(limits::READINGS_MAX) {
            match Slot::read(text, home.as_ref()) {
                Ok(slot) if all.contains(&slot) => {}
                Ok(slot) => all.push(slot),
                Err(error) => self.reader.wrong(field, quoted(&format!("{error}: {}.", error.hint()))),
            }
        }
        all
    }

    pub(crate) fn number(&mut self, field: &str, missing: &str, range: Plausible, unit: &str) -> Option<f64> {
        self.reader.need_number(field, unit, range, missing)
    }

    pub(crate) fn may_number(&mut self, field: &str, range: Plausible, unit: &str) -> Option<f64> {
        self.reader.number(field, unit, range)
    }

    /// A temperature, its unit in the field `unit`, where it is filled.
    pub(crate) fn may_temperature(&mut self, field: &str, range_c: Plausible) -> Option<TemperatureAs> {
        if self.text("unit") == Some("f") {
            let range = (range_c.0 * 1.8 + 32.0, range_c.1 * 1.8 + 32.0);
            self.may_number(field, range, "°F").map(TemperatureAs::F)
        } else {
            self.may_number(field, range_c, "°C").map(TemperatureAs::C)
        }
    }

    /// Free text; empty where there is none.
    pub(crate) fn words(&mut self, field: &str) -> String {
        self.reader.text(field, limits::WORDS_MAX).unwrap_or_default()
    }

    /// A short name.
    pub(crate) fn name(&mut self, field: &str) -> Option<String> {
        self.reader.text(field, limits::NAME_MAX)
    }

    /// The load state of a reading: the one chosen, else the present one. One that nobody has described yet is
    /// described by its name together with the reading.
    pub(crate) fn state(&mut self) -> String {
        let chosen = self.name("state").unwrap_or_else(|| self.standing.state.clone());
        self.state = Some(chosen.clone());
        chosen
    }

    /// How far the panel was open at the time of the entry, the box on the form counted.
    pub(crate) fn exposure(&self) -> Exposure {
        let known = self.standing.exposure_at(self.at);
        if self.reader.ticked("cover") { known.max(Exposure::CoverOff) } else { known }
    }

    /// Something was reached behind the dead front: the record or the box must say that it is off.
    pub(crate) fn needs_cover_off(&mut self) {
        if self.exposure() < Exposure::CoverOff {
            self.wrong(
                "cover",
                "The record says that the dead front is on. If a qualified person has taken it off, say so here.",
            );
        }
    }

    /// The facts, each with author and time; or what is wrong.
    pub(crate) fn finish(self, bodies: Vec<Body>, go: String) -> Result<Entry, Refusal> {
        let Taking { reader, view, standing, at, by, supersedes, state, .. } = self;
        let mut facts = Vec::new();
        let mut add = |supersedes: Vec<FactId>, body: Body| {
            facts.push(Fact::new(at, by.clone(), supersedes, body));
        };
        if reader.ticked("cover") && standing.exposure_at(at) == Exposure::CoverOn {
            add(Vec::new(), ExposureReached { reached: AsText(Exposure::CoverOff) }.into());
        }
        if let Some(name) = state.filter(|name| !standing.has_state(name)) {
            let held = LoadStateHeld {
                name,
                words: String::new(),
                held_min: None,
                room: None,
                unloaded: Vec::new(),
            };
            add(Vec::new(), held.into());
        }
        // What is corrected is replaced by the first of the new facts; the others stand beside it.
        let mut supersedes = supersedes;
        for body in bodies {
            add(std::mem::take(&mut supersedes), body);
        }
        reader.finish()?;
        Ok(Entry { job: view.name.clone(), facts, go })
    }
}

fn ids(reader: &mut Reader<'_>) -> Vec<FactId> {
    let mut all: Vec<FactId> = Vec::new();
    for text in reader.fields().all("supersedes") {
        match FactId::read(text, None) {
            Ok(id) if all.contains(&id) => {}
            Ok(_) if SUPERSEDES_MAX <= all.len() => {
                reader.wrong("supersedes", format!("At most {SUPERSEDES_MAX} entries at once."));
                break;
            }
            Ok(id) => all.push(id),
            Err(error) => reader.wrong("supersedes", quoted(&format!("{error}: {}.", error.hint()))),
        }
    }
    all
}
