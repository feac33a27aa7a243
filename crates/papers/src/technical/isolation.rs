//! The course of an isolation, as recorded: handles, cuts, other sources, tests for absence of voltage.

use super::Record;
use super::facts::moment;
use crate::clean::clean;
use crate::number::volts;
use crate::page::Table;
use model::Voltage;
use model::isolation::{Disconnect, MovedTo, Part, Proof, ProofPoint};

impl Record<'_> {
    pub(super) fn handles(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.handle, 3.0), (&w.to, 1.5)]);
        for one in &self.job.handles {
            let what = match &one.what {
                Disconnect::Breaker(slot) => self.slot(slot),
                Disconnect::Main(panel, section) => clean(&format!("{panel}/main:{section}")),
            };
            let to = match one.to {
                MovedTo::On => "on",
                MovedTo::Off => "off",
            };
            table.row([self.fact(&one.fact), moment(one.at), what, self.word("handle", to).to_owned()]);
        }
        table
    }

    pub(super) fn cuts(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.what, 1.6), (&w.words, 5.5)]);
        for one in &self.job.cuts {
            let what = if one.is_cut { &w.supply_cut } else { &w.supply_back };
            table.row([self.fact(&one.fact), moment(one.at), what.clone(), clean(&one.words)]);
        }
        table
    }

    pub(super) fn sources(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.what, 2.4), (&w.found, 1.9), (&w.how, 3.4)]);
        for one in &self.job.sources {
            let found = match (one.found, one.is_cut) {
                (false, _) => &w.absent,
                (true, false) => &w.present,
                (true, true) => &w.source_cut,
            };
            table.row([
                self.fact(&one.fact),
                moment(one.at),
                clean(&one.source),
                found.clone(),
                clean(&one.looked),
            ]);
        }
        table
    }

    pub(super) fn proofs(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.fact, 0.6),
            (&w.when, 1.9),
            (&w.by, 1.25),
            (&w.part, 1.4),
            (&w.tester, 1.4),
            (&w.live, 1.6),
            (&w.value, 3.6),
        ]);
        for one in &self.job.proofs {
            let shown = |value: Option<Voltage>| value.map_or_else(|| w.not_tried.clone(), volts);
            table.row([
                self.fact(&one.fact),
                moment(one.at),
                one.by.as_deref().map(clean).unwrap_or_default(),
                part(&one.part),
                clean(&one.tester),
                format!("{}; {}", shown(one.live_before), shown(one.live_after)),
                readings(one),
            ]);
        }
        table
    }
}

/// As job files write it.
fn part(part: &Part) -> String {
    match part {
        Part::LineLugs(panel) => clean(panel.as_str()),
        Part::Bus(panel, section) => clean(&format!("{panel}/{section}")),
        Part::Branch(slot) => clean(&slot.to_string()),
    }
}

fn readings(proof: &Proof) -> String {
    let point = |point| match point {
        ProofPoint::Leg(leg) => leg.to_string(),
        ProofPoint::Neutral => "N".to_owned(),
        ProofPoint::Ground => "G".to_owned(),
    };
    let each = |reading: &model::isolation::PairReading| {
        format!("{}-{} {}", point(reading.pair.0), point(reading.pair.1), volts(reading.value))
    };
    proof.readings.iter().map(each).collect::<Vec<_>>().join(", ")
}
