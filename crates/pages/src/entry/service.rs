//! The service: what comes before the panels.

use super::ask::Ask;
use super::taking::Taking;
use super::wire::{self, Names};
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::service::SupplyPath;
use record::Body;
use record::fact::ServiceDescribed;
use record::limits;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "The service",
    lede: "What comes before the panel, looked at from outside. Leave out what was not seen.",
    show,
    read,
    pairs,
    series: None,
};

static DROP: Names = Names {
    size: "drop-size",
    metal: "drop-metal",
    insulation: "drop-insulation",
    free: "drop-free",
    free_unit: "drop-free-unit",
    entry: "drop-entry",
};
static ENTRANCE: Names = Names {
    size: "entrance-size",
    metal: "entrance-metal",
    insulation: "entrance-insulation",
    free: "entrance-free",
    free_unit: "entrance-free-unit",
    entry: "entrance-entry",
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let pad = |name: &'static str, label: &'static str, unit: &'static str, hint: &'static str| Keypad {
        name,
        label,
        unit,
        hint,
        value: None,
        required: false,
    };
    html! {
        div.note { p { "The meter and its socket are the utility’s: look, do not touch. A broken seal found is written down." } }
        (sheet.number(&pad("rating_a", "Nominal rating", "A", "")))
        (sheet.pick("path", "Comes in", "", &[("", "Not seen", ""), ("overhead", "Overhead", "drop"), ("underground", "Underground", "lateral")], ""))
        fieldset.group {
            legend { "Drop or lateral" }
            (wire::show(ask, &DROP, false))
            (wire::length(ask, "drop-length", "drop-length-unit", "Length of the drop", &["ft", "m"]))
        }
        fieldset.group {
            legend { "Meter to panel" }
            (wire::show(ask, &ENTRANCE, false))
            (wire::length(ask, "entrance-length", "entrance-length-unit", "Length to the panel", &["ft", "m"]))
        }
        (sheet.words("meter", "Meter and socket", "Marks, heat, putty, seal, jaws as far as seen.", ""))
        (sheet.words("source", "Other sources", "Generator inlet, solar, battery, a second meter: one a line. None found: leave empty.", ""))
        details.more open[["transformer_kva", "transformer_impedance_pct", "electrode_ohm"].iter().any(|name| ask.values.text(name).is_some())] {
            summary { "Transformer and electrode" }
            (sheet.number(&pad("transformer_kva", "Transformer", "kVA", "From its nameplate, read from the ground.")))
            (sheet.number(&pad("transformer_impedance_pct", "Impedance", "%", "")))
            (sheet.number(&pad("electrode_ohm", "Electrode to earth", "Ω", "Where it was measured.")))
        }
        (moment(ask))
        (actions("Save service"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let sources: Vec<String> = taking
        .reader
        .fields()
        .all("source")
        .flat_map(str::lines)
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .map(str::to_owned)
        .collect();
    if sources.iter().any(|line| limits::WORDS_MAX < line.chars().count()) {
        taking.wrong("source", "Too long: keep to one line a source.");
    }
    let described = ServiceDescribed {
        rating_a: taking.may_number("rating_a", limits::BUS_RATING_A, "A"),
        transformer_kva: taking.may_number("transformer_kva", limits::TRANSFORMER_KVA, "kVA"),
        transformer_impedance_pct: taking.may_number("transformer_impedance_pct", limits::IMPEDANCE_PCT, "%"),
        path: taking.may::<SupplyPath>("path").map(AsText),
        drop: wire::read(taking, &DROP),
        drop_length: wire::read_length(taking, "drop-length", "drop-length-unit", limits::SERVICE_LENGTH_M),
        entrance: wire::read(taking, &ENTRANCE),
        entrance_length: wire::read_length(
            taking,
            "entrance-length",
            "entrance-length-unit",
            limits::SERVICE_LENGTH_M,
        ),
        electrode_ohm: taking.may_number("electrode_ohm", limits::ELECTRODE_OHM, "Ω"),
        meter: Some(taking.words("meter")).filter(|words| !words.is_empty()),
        other_sources: sources,
    };
    // The service is described once: what was said of it before is replaced.
    if taking.supersedes.is_empty() {
        let (view, fields) = (taking.view, taking.reader.fields());
        let earlier = taking
            .standing
            .live
            .iter()
            .filter(|fact| matches!(fact.body, Body::Service(_)) && view.is_known_to(fields, fact.id()));
        taking.supersedes = earlier.map(|fact| fact.id().clone()).collect();
    }
    vec![Box::new(described).into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Service(body) = body else { return Vec::new() };
    let mut pairs = Pairs::new();
    pairs.extend(body.rating_a.map(|value| pair("rating_a", value)));
    pairs.extend(body.transformer_kva.map(|value| pair("transformer_kva", value)));
    pairs.extend(body.transformer_impedance_pct.map(|value| pair("transformer_impedance_pct", value)));
    pairs.push(pair("path", body.path.map(|path| path.0.write()).unwrap_or_default()));
    pairs.extend(wire::pairs(&body.drop, &DROP));
    pairs.extend(wire::length_pairs(body.drop_length, "drop-length", "drop-length-unit"));
    pairs.extend(wire::pairs(&body.entrance, &ENTRANCE));
    pairs.extend(wire::length_pairs(body.entrance_length, "entrance-length", "entrance-length-unit"));
    pairs.extend(body.electrode_ohm.map(|value| pair("electrode_ohm", value)));
    pairs.extend(body.meter.as_ref().map(|words| pair("meter", words)));
    // One value of several lines, as the form shows it: with several values only the first would be shown.
    pairs.extend(super::premises::line_pair("source", body.other_sources.iter().cloned()));
    pairs
}
