//! Every fact of the job, as recorded.

use super::Record;
use crate::clean::clean;
use crate::number::{amperes, celsius, plain, volts};
use crate::page::{Node, Table, heading, paragraph};
use crate::phrases::fill;
use crate::terms::{self, term};
use model::DateTime;
use model::evidence::{Observation, Observed, TemperatureReading};
use model::id::Slot;

impl Record<'_> {
    pub(super) fn facts(&self) -> Vec<Node> {
        let words = self.words;
        let mut nodes = vec![heading(2, words.facts.clone())];
        let tables = [
            (&words.calls, self.calls()),
            (&words.complaints, self.complaints()),
            (&words.states, self.load_states()),
            (&words.temperatures, self.temperatures()),
            (&words.touches, self.touches()),
            (&words.currents, self.currents()),
            (&words.voltages, self.voltages()),
            (&words.drops, self.drops()),
            (&words.trips, self.trips()),
            (&words.signs, self.signs()),
            (&words.photos, self.photos()),
            (&words.pins, self.pins()),
            (&words.decisions, self.decisions()),
            (&words.work, self.work()),
            (&words.interims, self.interims()),
            (&words.promises, self.promises()),
            (&words.kept, self.kept()),
            (&words.openings, self.openings()),
            (&words.handles, self.handles()),
            (&words.cuts, self.cuts()),
            (&words.sources, self.sources()),
            (&words.proofs, self.proofs()),
        ];
        let mut empty = Vec::new();
        for (title, table) in tables {
            match table.node() {
                Some(table) => nodes.extend([heading(3, title.clone()), table]),
                None => empty.push(title.to_lowercase()),
            }
        }
        if let Some(table) = self.premises().node() {
            nodes.extend([heading(3, words.premises.clone()), table]);
        }
        if let Some(table) = self.prepared().node() {
            nodes.extend([heading(3, words.prepared.clone()), table]);
        }
        if !empty.is_empty() {
            nodes.push(paragraph(fill(&words.nothing, &[("kinds", &empty.join(", "))])));
        }
        nodes.extend(self.fact_names());
        nodes
    }

    fn calls(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.answers, 3.6), (&w.words, 4.5)]);
        for call in &self.job.calls {
            let answers =
                call.answers.iter().map(|it| format!("{}: {}", clean(&it.question), clean(&it.answer)));
            table.row([
                self.fact(&call.fact),
                moment(call.at),
                answers.collect::<Vec<_>>().join(", "),
                clean(&call.words),
            ]);
        }
        table
    }

    fn complaints(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.what, 2.2), (&w.slot, 0.9), (&w.words, 5.0)]);
        for complaint in &self.job.complaints {
            table.row([
                self.fact(&complaint.fact),
                moment(complaint.at),
                self.word("complaint", complaint.kind.word()).to_owned(),
                complaint.slot.as_ref().map(|slot| self.slot(slot)).unwrap_or_default(),
                clean(&complaint.words),
            ]);
        }
        table
    }

    fn load_states(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.fact, 0.6),
            (&w.when, 1.9),
            (&w.name, 1.7),
            (&w.what, 3.4),
            (&w.held, 0.9),
            (&w.room, 1.6),
            (&w.unloaded, 1.4),
        ]);
        for state in &self.job.load_states {
            table.row([
                self.fact(&state.fact),
                moment(state.at),
                clean(&state.name),
                clean(&state.words),
                self.minutes(state.held_min),
                state.room.map(celsius).unwrap_or_default(),
                self.slots(&state.unloaded),
            ]);
        }
        table
    }

    fn temperatures(&self) -> Table {
        let w = self.words;
        let mut table = self.readings(&[(&w.r#where, 2.2), (&w.value, 1.8), (&w.how, 2.6)]);
        self.each(|observation| {
            let Observed::Temperature(reading) = &observation.what else { return };
            let cells = [
                terms::place(self.phrases, &reading.place),
                celsius(reading.value),
                self.how_taken(reading),
                clean(&reading.state),
            ];
            table.row(self.with_origin(observation, cells));
        });
        table
    }

    fn how_taken(&self, reading: &TemperatureReading) -> String {
        let w = self.words;
        let mut parts = vec![
            self.word("method", term::method(reading.method)).to_owned(),
            self.word("surface", term::surface(reading.surface)).to_owned(),
        ];
        if let Some(value) = reading.emissivity {
            parts.push(fill(&w.emissivity, &[("value", &plain(value, 2))]));
        }
        if let Some(value) = reading.reflected {
            parts.push(fill(&w.reflected, &[("value", &celsius(value))]));
        }
        parts.extend(reading.instrument.as_deref().map(clean));
        parts.join(", ")
    }

    fn touches(&self) -> Table {
        let w = self.words;
        let mut table = self.readings(&[(&w.slot, 1.2), (&w.found, 4.0), (&w.remarks, 1.4)]);
        self.each(|observation| {
            let Observed::Touch(touch) = &observation.what else { return };
            let cells = [
                self.slot(&touch.slot),
                self.word("feel", terms::feel(touch.feel)).to_owned(),
                if touch.void { w.void.clone() } else { String::new() },
                clean(&touch.state),
            ];
            table.row(self.with_origin(observation, cells));
        });
        table
    }

    fn currents(&self) -> Table {
        let w = self.words;
        let mut table = self.readings(&[(&w.r#where, 3.0), (&w.value, 1.4), (&w.instrument, 2.0)]);
        self.each(|observation| {
            let Observed::Current(reading) = &observation.what else { return };
            let cells = [
                terms::clamp(self.phrases, &reading.place),
                amperes(reading.value),
                reading.instrument.as_deref().map(clean).unwrap_or_default(),
                clean(&reading.state),
            ];
            table.row(self.with_origin(observation, cells));
        });
        table
    }

    fn voltages(&self) -> Table {
        let w = self.words;
        let columns = [(&*w.from, 2.2), (&*w.to, 2.2), (&*w.value, 1.2), (&*w.instrument, 1.4)];
        let mut table = self.readings(&columns);
        self.each(|observation| {
            let Observed::Voltage(reading) = &observation.what else { return };
            let cells = [
                terms::place(self.phrases, &reading.from),
                terms::place(self.phrases, &reading.to),
                volts(reading.value),
                reading.instrument.as_deref().map(clean).unwrap_or_default(),
                clean(&reading.state),
            ];
            table.row(self.with_origin(observation, cells));
        });
        table
    }

    fn drops(&self) -> Table {
        let w = self.words;
        let columns =
            [(&*w.from, 2.0), (&*w.to, 2.0), (&*w.value, 1.2), (&*w.current, 1.1), (&*w.instrument, 1.4)];
        let mut table = self.readings(&columns);
        self.each(|observation| {
            let Observed::Drop(reading) = &observation.what else { return };
            let cells = [
                terms::place(self.phrases, &reading.from),
                terms::place(self.phrases, &reading.to),
                volts(reading.value),
                reading.current.map(amperes).unwrap_or_default(),
                reading.instrument.as_deref().map(clean).unwrap_or_default(),
                clean(&reading.state),
            ];
            table.row(self.with_origin(observation, cells));
        });
        table
    }

    fn trips(&self) -> Table {
        let w = self.words;
        let mut table = self.readings(&[(&w.slot, 1.4), (&w.current, 1.4), (&w.after, 1.4)]);
        self.each(|observation| {
            let Observed::Trip(trip) = &observation.what else { return };
            let cells = [
                self.slot(&trip.slot),
                trip.current.map(amperes).unwrap_or_default(),
                self.minutes(trip.after_min),
                trip.state.as_deref().map(clean).unwrap_or_default(),
            ];
            table.row(self.with_origin(observation, cells));
        });
        table
    }

    fn signs(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.fact, 0.6),
            (&w.when, 1.9),
            (&w.by, 1.25),
            (&w.what, 2.6),
            (&w.r#where, 1.8),
            (&w.found, 1.5),
            (&w.words, 3.2),
        ]);
        self.each(|observation| {
            let Observed::Sign(sign) = &observation.what else { return };
            let photo = sign.photo.as_ref().map(|photo| format!(" [{}]", self.fact(photo)));
            let cells = [
                self.word("sign", sign.sign.word()).to_owned(),
                terms::scope(self.phrases, &sign.scope),
                if sign.present { w.present.clone() } else { w.absent.clone() },
                clean(&sign.words) + &photo.unwrap_or_default(),
            ];
            table.row(self.with_origin(observation, cells));
        });
        table
    }

    fn photos(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.slot, 0.9), (&w.what, 3.4), (&w.hash, 4.2)]);
        for photo in &self.job.photos {
            table.row([
                self.fact(&photo.fact),
                moment(photo.at),
                photo.slot.as_ref().map(|slot| self.slot(slot)).unwrap_or_default(),
                clean(&photo.words),
                clean(&photo.sha256),
            ]);
        }
        table
    }

    fn pins(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.fact, 0.6),
            (&w.when, 1.9),
            (&w.photo, 0.8),
            (&w.slot, 0.9),
            (&w.r#where, 2.8),
            (&w.words, 4.0),
        ]);
        for photo in &self.job.photos {
            for pin in &photo.pins {
                let (x, y) = (plain(100.0 * pin.x, 0), plain(100.0 * pin.y, 0));
                table.row([
                    self.fact(&pin.fact),
                    moment(pin.at),
                    self.fact(&photo.fact),
                    pin.slot.as_ref().map(|slot| self.slot(slot)).unwrap_or_default(),
                    fill(&w.pin_place, &[("x", &x), ("y", &y)]),
                    clean(&pin.words),
                ]);
            }
        }
        table
    }

    fn decisions(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.by, 1.25), (&w.what, 5.0), (&w.remarks, 1.6)]);
        for decision in &self.job.decisions {
            table.row([
                self.fact(&decision.fact),
                moment(decision.at),
                decision.by.as_deref().map(clean).unwrap_or_default(),
                clean(&decision.words),
                if decision.declined { w.declined.clone() } else { String::new() },
            ]);
        }
        table
    }

    fn work(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.fact, 0.6),
            (&w.when, 1.9),
            (&w.what, 4.4),
            (&w.slot, 1.2),
            (&w.moved_to, 1.0),
            (&w.expires, 1.4),
            (&w.recheck, 1.4),
        ]);
        for work in &self.job.work {
            table.row([
                self.fact(&work.fact),
                moment(work.at),
                clean(&work.words),
                self.slots(&work.slots),
                self.slots(&work.moved_to),
                work.expires.map(|day| day.to_string()).unwrap_or_default(),
                work.recheck.map(|day| day.to_string()).unwrap_or_default(),
            ]);
        }
        table
    }

    fn openings(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.joint, 2.2), (&w.found, 1.0), (&w.words, 4.4)]);
        for opening in &self.job.openings {
            table.row([
                self.fact(&opening.fact),
                moment(opening.at),
                self.joint(&opening.joint),
                self.word("condition", opening.found.word()).to_owned(),
                clean(&opening.words),
            ]);
        }
        table
    }

    /// A table of readings: fact, time and author first, load state last.
    fn readings(&self, columns: &[(&str, f64)]) -> Table {
        let w = self.words;
        let mut all: Vec<(&str, f64)> = vec![(&w.fact, 0.6), (&w.when, 1.9), (&w.by, 1.25)];
        all.extend_from_slice(columns);
        all.push((&w.state, 1.8));
        Table::new(&all)
    }

    fn with_origin(&self, observation: &Observation, cells: impl IntoIterator<Item = String>) -> Vec<String> {
        let mut row = vec![
            self.fact(&observation.fact),
            moment(observation.at),
            observation.by.as_deref().map(clean).unwrap_or_default(),
        ];
        row.extend(cells);
        row
    }

    fn each(&self, visit: impl FnMut(&Observation)) {
        self.job.observations.iter().for_each(visit);
    }

    /// The space, with its panel where there are several.
    pub(super) fn slot(&self, slot: &Slot) -> String {
        if self.job.installation.panels.len() < 2 { slot.space.to_string() } else { clean(&slot.to_string()) }
    }

    pub(super) fn slots(&self, slots: &[Slot]) -> String {
        slots.iter().map(|slot| self.slot(slot)).collect::<Vec<_>>().join(", ")
    }

    pub(super) fn minutes(&self, minutes: Option<f64>) -> String {
        minutes.map(|value| fill(&self.words.minutes, &[("n", &plain(value, 1))])).unwrap_or_default()
    }
}

/// `2026-10-14 09:45`.
pub(super) fn moment(at: DateTime) -> String {
    format!("{} {:02}:{:02}", at.date(), at.hour(), at.minute())
}
