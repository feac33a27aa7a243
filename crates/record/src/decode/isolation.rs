//! Facts of an isolation out of the tree.

use super::Decoder;
use super::entry::{Entry, as_number};
use crate::fact::{DeadProven, HandleMoved, PairRead, SourceLooked, UtilityCutMade};
use crate::text::{AsText, Textual};
use model::isolation::ProofPoint;

impl Decoder<'_> {
    pub(super) fn handle(&mut self, entry: &Entry<'_>) -> Option<()> {
        let what = self.located(entry.get("what")?)?;
        let body = HandleMoved { what: AsText(what), to: AsText(entry.read("to")?) };
        self.keep(entry, self.at(entry, self.start()), entry.fields(&[("place", &["what"])]), body);
        Some(())
    }

    pub(super) fn cut(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = UtilityCutMade {
            restored: entry.flag("restored").unwrap_or(false),
            words: entry.owned("words")?,
        };
        self.keep(entry, self.at(entry, self.start()), entry.fields(&[("words", &["words"])]), body);
        Some(())
    }

    pub(super) fn looked_for(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = SourceLooked {
            source: entry.owned("what")?,
            found: entry.flag("found")?,
            cut: entry.flag("cut").unwrap_or(false),
            looked: entry.owned("looked")?,
        };
        let fields = entry.fields(&[("source", &["what"]), ("cut", &["cut"]), ("looked", &["looked"])]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn proof(&mut self, entry: &Entry<'_>) -> Option<()> {
        let part = self.located(entry.get("part")?)?;
        let mut readings = Vec::new();
        let mut fields = entry.fields(&[
            ("place", &["part"]),
            ("live_before", &["live_before"]),
            ("live_after", &["live_after"]),
        ]);
        for (key, node) in entry.get("volts")?.pairs() {
            let pair = <(ProofPoint, ProofPoint)>::read(&key.name, None).ok()?;
            fields.push((("volts", readings.len()), node.span.clone()));
            readings.push(PairRead { pair: AsText(pair), volts: as_number(node)? });
        }
        let body = DeadProven {
            part: AsText(part),
            tester: entry.owned("tester")?,
            live_before: entry.number("live_before"),
            live_after: entry.number("live_after"),
            readings,
        };
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }
}
