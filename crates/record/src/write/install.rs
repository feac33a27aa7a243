//! The new panel as tables, and as facts.

use super::Context;
use super::entry::{Entry, quote};
use super::number::{decimal, small_length, temperature, torque};
use crate::fact::{
    Body, BreakerInstalled, CardHung, CardLine, CircuitFiled, DeviceTried, Fact, LegRead, NeutralClamped,
    PairRead, PermitFiled, StageReached, TerminalTorqued, TerminalVerified, TorqueAs, TorqueFrom,
};
use crate::text::{AsText, Textual};
use jiff::civil::DateTime;
use model::breaker::Protection;
use model::evidence::{Surface, TemperatureMethod};
use model::install::{Install, TorqueSource};
use model::{FactId, Space};

fn list(entry: &mut Entry, key: &str, all: impl Iterator<Item = String>) {
    let all: Vec<String> = all.map(|text| quote(&text)).collect();
    if !all.is_empty() {
        entry.raw(key, &format!("[{}]", all.join(", ")));
    }
}

fn braces(entry: &mut Entry, key: &str, lines: impl Iterator<Item = (String, String)>) {
    let lines: Vec<(String, String)> = lines.map(|(key, value)| (quote(&key), value)).collect();
    entry.braces(key, &lines);
}

fn written(spaces: &[AsText<Space>]) -> impl Iterator<Item = String> {
    spaces.iter().map(|space| space.0.write())
}

/// A fact of the new panel as an entry; nothing for other facts.
pub(super) fn entry(cx: &Context<'_>, fact: &Fact) -> String {
    let start = |heading| cx.entry(heading, fact, cx.start, "id");
    let entry = match &fact.body {
        Body::Permit(body) => {
            let mut entry = start("[[permit]]");
            entry.text("number", &body.number);
            entry.maybe_number("rating_a", body.rating_a);
            entry.maybe_number("spaces", body.spaces.map(f64::from));
            let line = |one: &CircuitFiled| (one.space.0.write(), decimal(one.amps));
            braces(&mut entry, "circuits", body.circuits.iter().map(line));
            if let Some(day) = body.passed {
                entry.raw("passed", &day.to_string());
            }
            if let Some(day) = body.failed {
                entry.raw("failed", &day.to_string());
            }
            list(&mut entry, "flagged", body.flagged.iter().map(|one| one.0.write()));
            entry.words("words", &body.words);
            entry
        }
        Body::Installed(body) => {
            let mut entry = start("[[installed]]");
            list(&mut entry, "spaces", written(&body.spaces));
            entry.number("rating_a", body.rating_a);
            entry.unless("protection", &body.protection.0, &Protection::ThermalMagnetic);
            list(&mut entry, "from", body.from.iter().map(|slot| slot.0.write()));
            entry.maybe_thing("size", body.size.as_ref().map(|size| &size.0));
            entry.maybe_flag("spliced", body.spliced.then_some(true));
            entry.words("words", &body.words);
            entry
        }
        Body::Torqued(body) => torqued(start("[[torqued]]"), body),
        Body::Energised(body) => {
            let mut entry = start("[[energised]]");
            entry.thing("stage", &body.stage.0);
            list(&mut entry, "spaces", written(&body.spaces));
            let line = |one: &PairRead| (one.pair.0.write(), decimal(one.volts));
            braces(&mut entry, "volts", body.readings.iter().map(line));
            let line = |one: &LegRead| (one.leg.0.write(), decimal(one.amps));
            braces(&mut entry, "amps", body.legs.iter().map(line));
            entry.maybe_text("meter", body.meter.as_deref());
            entry
        }
        Body::Verified(body) => {
            let mut entry = start("[[verified]]");
            entry.thing("terminal", &body.terminal.0);
            entry.temperature(("c", "f"), body.value);
            if let Some(room) = body.room {
                entry.temperature(("room_c", "room_f"), room);
            }
            entry.maybe_number("amps", body.amps);
            entry.maybe_number("held_min", body.held_min);
            entry.unless("surface", &body.surface.0, &Surface::Matte);
            entry.unless("method", &body.method.0, &TemperatureMethod::Infrared);
            entry.maybe_text("instrument", body.instrument.as_deref());
            entry
        }
        Body::SharedNeutral(body) => {
            let mut entry = start("[[shared_neutral]]");
            list(&mut entry, "spaces", written(&body.spaces));
            entry.raw("amps", &format!("[{}, {}]", decimal(body.hots[0]), decimal(body.hots[1])));
            entry.number("neutral", body.neutral);
            entry.maybe_number("between", body.between);
            entry
        }
        Body::Tried(body) => {
            let mut entry = start("[[tried]]");
            entry.thing("space", &body.space.0);
            entry.thing("how", &body.how.0);
            entry.maybe_flag("passed", Some(body.passed));
            entry.words("words", &body.words);
            entry
        }
        Body::Card(body) => {
            let mut entry = start("[[card]]");
            entry.length("width", body.width);
            entry.length("height", body.height);
            let lines: Vec<(String, String)> =
                body.lines.iter().map(|one| (quote(&one.space.0.write()), quote(&one.words))).collect();
            entry.raw("lines", &braced(&lines));
            entry
        }
        _ => return String::new(),
    };
    entry.finish()
}

fn braced(lines: &[(String, String)]) -> String {
    let inner: Vec<String> = lines.iter().map(|(key, value)| format!("{key} = {value}")).collect();
    if inner.is_empty() { "{}".to_owned() } else { format!("{{ {} }}", inner.join(", ")) }
}

fn torqued(mut entry: Entry, body: &TerminalTorqued) -> Entry {
    entry.thing("terminal", &body.terminal.0);
    let key = match body.value {
        TorqueAs::LbIn(_) => "lb_in",
        TorqueAs::LbFt(_) => "lb_ft",
        TorqueAs::Nm(_) => "nm",
    };
    entry.number(key, body.value.number());
    match &body.source {
        TorqueFrom::Label(hash) => entry.text("label", hash),
        TorqueFrom::Sheet(words) => entry.text("sheet", words),
    }
    entry.text("tool", &body.tool);
    entry.raw("calibrated", &body.calibrated.to_string());
    if let Some(day) = body.due {
        entry.raw("due", &day.to_string());
    }
    entry
}

/// Takes a fact with its id, time and author.
type Add<'a> = &'a mut dyn FnMut(Option<&FactId>, DateTime, Option<&String>, Body);

/// The facts of the new panel.
pub(super) fn facts_of(install: &Install, add: Add<'_>) {
    let spaces = |all: &[Space]| all.iter().copied().map(AsText).collect::<Vec<_>>();
    for one in &install.permits {
        let filed = |(spaces, amps): &(Vec<Space>, model::Current)| {
            spaces.first().map(|space| CircuitFiled { space: AsText(*space), amps: amps.a() })
        };
        let body = PermitFiled {
            number: one.number.clone(),
            rating_a: one.rating.map(|rating| rating.a()),
            spaces: one.n_spaces,
            circuits: one.circuits.iter().filter_map(filed).collect(),
            passed: one.passed,
            failed: one.failed,
            flagged: one.flagged.iter().copied().map(AsText).collect(),
            words: one.words.clone(),
        };
        add(Some(&one.fact), one.at, None, body.into());
    }
    for one in &install.installed {
        let body = BreakerInstalled {
            spaces: spaces(&one.spaces),
            rating_a: one.rating.a(),
            protection: AsText(one.protection),
            from: one.from.iter().cloned().map(AsText).collect(),
            size: one.size.map(AsText),
            spliced: one.spliced,
            words: one.words.clone(),
        };
        add(Some(&one.fact), one.at, one.by.as_ref(), body.into());
    }
    for one in &install.torqued {
        let body = TerminalTorqued {
            terminal: AsText(one.terminal),
            value: torque(one.value),
            source: match &one.source {
                TorqueSource::Label(hash) => TorqueFrom::Label(hash.clone()),
                TorqueSource::Sheet(words) => TorqueFrom::Sheet(words.clone()),
            },
            tool: one.tool.clone(),
            calibrated: one.calibrated,
            due: one.due,
        };
        add(Some(&one.fact), one.at, one.by.as_ref(), body.into());
    }
    for one in &install.energised {
        let reading = |read: &model::isolation::PairReading| PairRead {
            pair: AsText(read.pair),
            volts: read.value.v(),
        };
        let body = StageReached {
            stage: AsText(one.stage),
            spaces: spaces(&one.spaces),
            readings: one.readings.iter().map(reading).collect(),
            legs: one.legs.iter().map(|(leg, amps)| LegRead { leg: AsText(*leg), amps: amps.a() }).collect(),
            meter: one.meter.clone(),
        };
        add(Some(&one.fact), one.at, one.by.as_ref(), body.into());
    }
    for one in &install.verified {
        let body = TerminalVerified {
            terminal: AsText(one.terminal),
            value: temperature(one.value),
            room: one.room.map(temperature),
            amps: one.current.map(|amps| amps.a()),
            held_min: one.held_min,
            surface: AsText(one.surface),
            method: AsText(one.method),
            instrument: one.instrument.clone(),
        };
        add(Some(&one.fact), one.at, one.by.as_ref(), body.into());
    }
    for one in &install.neutrals {
        let body = NeutralClamped {
            spaces: one.spaces.map(AsText),
            hots: one.hots.map(|amps| amps.a()),
            neutral: one.neutral.a(),
            between: one.between.map(|volts| volts.v()),
        };
        add(Some(&one.fact), one.at, one.by.as_ref(), body.into());
    }
    for one in &install.tried {
        let body = DeviceTried {
            space: AsText(one.space),
            how: AsText(one.how),
            passed: one.passed,
            words: one.words.clone(),
        };
        add(Some(&one.fact), one.at, one.by.as_ref(), body.into());
    }
    for one in &install.cards {
        let line =
            |(space, words): &(Space, String)| CardLine { space: AsText(*space), words: words.clone() };
        let body = CardHung {
            width: one.width.map(small_length),
            height: one.height.map(small_length),
            lines: one.lines.iter().map(line).collect(),
        };
        add(Some(&one.fact), one.at, None, body.into());
    }
}
