//! Facts of the new panel out of the tree.

use super::Decoder;
use super::entry::{Entry, as_number, as_text};
use crate::fact::{
    BreakerInstalled, CardHung, CardLine, CircuitFiled, DeviceTried, LegRead, NeutralClamped, PairRead,
    PermitFiled, StageReached, TerminalTorqued, TerminalVerified, TorqueAs, TorqueFrom,
};
use crate::grammar::Hash;
use crate::text::{AsText, Textual};
use model::Space;
use model::breaker::Protection;
use model::evidence::{Surface, TemperatureMethod};
use model::install::{Flagged, Stage};

/// Spaces of the new panel. `None` where one of them is wrong, which has been told.
fn spaces(entry: &Entry<'_>) -> Option<Vec<AsText<Space>>> {
    let read = |node| Space::read(&as_text(node)?, None).ok().map(AsText);
    entry.items("spaces").iter().map(read).collect()
}

/// Keys of a map with their values. `None` where one of them is wrong, which has been told.
fn map<K: Textual, T>(
    entry: &Entry<'_>,
    key: &str,
    keep: impl Fn(K, &crate::tree::Node) -> Option<T>,
) -> Option<Vec<T>> {
    let Some(node) = entry.get(key) else { return Some(Vec::new()) };
    node.pairs().iter().map(|(key, node)| keep(K::read(&key.name, None).ok()?, node)).collect()
}

impl Decoder<'_> {
    pub(super) fn permit(&mut self, entry: &Entry<'_>) -> Option<()> {
        let filed = |space, node: &_| Some(CircuitFiled { space: AsText(space), amps: as_number(node)? });
        let day = |key| match entry.get(key) {
            None => Some(None),
            Some(_) => entry.day(key).map(Some),
        };
        let flagged = entry.items("flagged").iter();
        let flagged: Option<Vec<_>> =
            flagged.map(|node| Flagged::read(&as_text(node)?, None).ok().map(AsText)).collect();
        let body = PermitFiled {
            number: entry.owned("number")?,
            rating_a: entry.number("rating_a"),
            spaces: entry.count("spaces").and_then(|count| u16::try_from(count).ok()),
            circuits: map(entry, "circuits", filed)?,
            passed: day("passed")?,
            failed: day("failed")?,
            flagged: flagged?,
            words: entry.words("words"),
        };
        let fields = entry.fields(&[
            ("number", &["number"]),
            ("rating_a", &["rating_a"]),
            ("circuits", &["circuits"]),
            ("passed", &["passed"]),
            ("failed", &["failed"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn installed(&mut self, entry: &Entry<'_>) -> Option<()> {
        let from: Option<Vec<_>> =
            entry.items("from").iter().map(|item| self.located(item).map(AsText)).collect();
        let size = match entry.get("size") {
            None => None,
            Some(_) => Some(AsText(entry.read("size")?)),
        };
        let body = BreakerInstalled {
            spaces: spaces(entry)?,
            rating_a: entry.number("rating_a")?,
            protection: AsText(entry.read_or("protection", Protection::ThermalMagnetic)?),
            from: from?,
            size,
            spliced: entry.flag("spliced").unwrap_or(false),
            words: entry.words("words"),
        };
        let fields =
            entry.fields(&[("spaces", &["spaces"]), ("rating_a", &["rating_a"]), ("from", &["from"])]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn torqued(&mut self, entry: &Entry<'_>) -> Option<()> {
        let value = None
            .or_else(|| entry.number("lb_in").map(TorqueAs::LbIn))
            .or_else(|| entry.number("lb_ft").map(TorqueAs::LbFt))
            .or_else(|| entry.number("nm").map(TorqueAs::Nm));
        let label = entry.text("label").and_then(|text| Hash::read(text, None).ok());
        let source = label.map(|hash| TorqueFrom::Label(hash.write()));
        let due = match entry.get("due") {
            None => None,
            Some(_) => Some(entry.day("due")?),
        };
        let body = TerminalTorqued {
            terminal: AsText(entry.read("terminal")?),
            value: value?,
            source: source.or_else(|| entry.owned("sheet").map(TorqueFrom::Sheet))?,
            tool: entry.owned("tool")?,
            calibrated: entry.day("calibrated")?,
            due,
        };
        let fields = entry.fields(&[
            ("value", &["lb_in", "lb_ft", "nm"]),
            ("source", &["label", "sheet"]),
            ("tool", &["tool"]),
            ("calibrated", &["calibrated"]),
            ("due", &["due"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn energised(&mut self, entry: &Entry<'_>) -> Option<()> {
        let pair = |pair, node: &_| Some(PairRead { pair: AsText(pair), volts: as_number(node)? });
        let leg = |leg, node: &_| Some(LegRead { leg: AsText(leg), amps: as_number(node)? });
        let body = StageReached {
            stage: AsText(entry.read::<Stage>("stage")?),
            spaces: spaces(entry)?,
            readings: map(entry, "volts", pair)?,
            legs: map(entry, "amps", leg)?,
            meter: entry.owned("meter"),
        };
        let fields = entry.fields(&[
            ("stage", &["stage"]),
            ("spaces", &["spaces"]),
            ("volts", &["volts"]),
            ("legs", &["amps"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn verified(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = TerminalVerified {
            terminal: AsText(entry.read("terminal")?),
            value: entry.temperature("c", "f")?,
            room: entry.temperature("room_c", "room_f"),
            amps: entry.number("amps"),
            held_min: entry.number("held_min"),
            surface: AsText(entry.read_or("surface", Surface::Matte)?),
            method: AsText(entry.read_or("method", TemperatureMethod::Infrared)?),
            instrument: entry.owned("instrument"),
        };
        let fields = entry.fields(&[
            ("value", &["c", "f"]),
            ("room", &["room_c", "room_f"]),
            ("amps", &["amps"]),
            ("held_min", &["held_min"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn shared_neutral(&mut self, entry: &Entry<'_>) -> Option<()> {
        let hots: Vec<f64> = entry.items("amps").iter().filter_map(as_number).collect();
        let two = |what: &str, n: usize| {
            let message = format!("a shared neutral has two circuits; `{what}` lists {n}");
            self.source.error("not-two", entry.node().span.clone(), message, "list two")
        };
        let all = spaces(entry)?;
        let wrong = match (all.len(), hots.len()) {
            (2, 2) => None,
            (2, n) => Some(two("amps", n)),
            (n, _) => Some(two("spaces", n)),
        };
        if let Some(problem) = wrong {
            self.problems.push(problem);
            return None;
        }
        let body = NeutralClamped {
            spaces: [all[0], all[1]],
            hots: [hots[0], hots[1]],
            neutral: entry.number("neutral")?,
            between: entry.number("between"),
        };
        let fields = entry.fields(&[
            ("spaces", &["spaces"]),
            ("hots", &["amps"]),
            ("neutral", &["neutral"]),
            ("between", &["between"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn tried(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = DeviceTried {
            space: AsText(entry.read("space")?),
            how: AsText(entry.read("how")?),
            passed: entry.flag("passed")?,
            words: entry.words("words"),
        };
        self.keep(entry, self.at(entry, self.start()), Vec::new(), body);
        Some(())
    }

    pub(super) fn card(&mut self, entry: &Entry<'_>) -> Option<()> {
        let line = |space, node: &_| Some(CardLine { space: AsText(space), words: as_text(node)? });
        let body = CardHung {
            width: entry.length("width"),
            height: entry.length("height"),
            lines: map(entry, "lines", line)?,
        };
        let fields = entry.fields(&[
            ("width", &["width_in", "width_mm"]),
            ("height", &["height_in", "height_mm"]),
            ("lines", &["lines"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }
}
