//! Fields of a conductor, a length, and words of lists, for the forms that describe equipment.

use super::ask::Ask;
use super::taking::Taking;
use super::{Pairs, pair};
use crate::form::Keypad;
use maud::{Markup, html};
use model::conductor::{EntrySide, Metal, WireSize};
use model::quantity::Length;
use record::fact::{ConductorDescribed, LengthAs};
use record::limits::{self, Plausible};
use record::text::{AsText, Textual};

/// Names of a conductor's fields.
pub(super) struct Names {
    pub(super) size: &'static str,
    pub(super) metal: &'static str,
    pub(super) insulation: &'static str,
    pub(super) free: &'static str,
    pub(super) free_unit: &'static str,
    pub(super) entry: &'static str,
}

/// Metals of conductors and bars, as choices.
const METALS: [(&str, &str, &str); 4] = [
    ("", "Not known", ""),
    ("copper", "Copper", ""),
    ("aluminium", "Aluminium", ""),
    ("copper-clad-aluminium", "Copper-clad", "aluminium inside"),
];

const SIZES: [&str; 20] = [
    "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0", "250", "300", "350", "400",
    "500", "600", "750",
];

/// Size and metal, and with `full` all the rest.
pub(super) fn show(ask: &Ask<'_>, names: &'static Names, full: bool) -> Markup {
    let sheet = &ask.sheet;
    let sides = [
        ("", "Not looked", ""),
        ("top", "Top", ""),
        ("bottom", "Bottom", ""),
        ("left", "Left", ""),
        ("right", "Right", ""),
        ("back", "Back", ""),
    ];
    html! {
        (sheet.text_among(names.size, "Wire size", "As printed: 12, 2/0, 250. Left empty: not looked.", "", &SIZES))
        (sheet.pick(names.metal, "Metal", "", &METALS, ""))
        @if full {
            (sheet.text_among(names.insulation, "Insulation", "As marked or as it looks; no make.", "", &["NM-B", "THHN", "cloth", "rubber"]))
            (length(ask, names.free, names.free_unit, "Free length in the cabinet", &["in", "mm"]))
            (sheet.pick(names.entry, "Comes in at the", "", &sides, ""))
        }
    }
}

/// A length with its unit.
pub(super) fn length(
    ask: &Ask<'_>,
    name: &'static str,
    unit: &'static str,
    label: &'static str,
    units: &[&'static str; 2],
) -> Markup {
    let choices = units.map(|unit| (unit, unit, ""));
    html! {
        (ask.sheet.number(&Keypad { name, label, unit: "", hint: "", value: None, required: false }))
        (ask.sheet.pick_narrow(unit, &format!("{label}: unit"), "", &choices, units[0]))
    }
}

/// The conductor that the fields say.
pub(super) fn read(taking: &mut Taking<'_>, names: &Names) -> ConductorDescribed {
    ConductorDescribed {
        size: taking.may::<WireSize>(names.size).map(AsText),
        metal: taking.may::<Metal>(names.metal).map(AsText),
        insulation: taking.name(names.insulation),
        free_length: read_length(taking, names.free, names.free_unit, limits::FREE_LENGTH_M),
        entry: taking.may::<EntrySide>(names.entry).map(AsText),
        ..ConductorDescribed::default()
    }
}

/// A length in its unit.
pub(super) fn read_length(
    taking: &mut Taking<'_>,
    name: &str,
    unit: &str,
    range_m: Plausible,
) -> Option<LengthAs> {
    type Of = (&'static str, fn(f64) -> LengthAs, fn(Length) -> f64);
    const UNITS: [Of; 4] = [
        ("in", LengthAs::In, Length::inches),
        ("ft", LengthAs::Ft, Length::feet),
        ("mm", LengthAs::Mm, Length::mm),
        ("m", LengthAs::M, Length::m),
    ];
    taking.text(name)?;
    let word = taking.text(unit).unwrap_or("in");
    let Some((word, of, back)) = UNITS.iter().find(|(one, ..)| *one == word) else {
        taking.wrong(unit, "Choose the unit of the length.");
        return None;
    };
    let range = (back(Length::from_m(range_m.0)), back(Length::from_m(range_m.1)));
    taking.may_number(name, range, word).map(of)
}

/// The fields that would say the same again.
pub(super) fn pairs(from: &ConductorDescribed, names: &Names) -> Pairs {
    let mut pairs = Pairs::new();
    pairs.extend(from.size.map(|size| pair(names.size, size.0.write())));
    pairs.extend(from.metal.map(|metal| pair(names.metal, metal.0.write())));
    pairs.extend(from.insulation.as_ref().map(|insulation| pair(names.insulation, insulation)));
    pairs.extend(length_pairs(from.free_length, names.free, names.free_unit));
    pairs.extend(from.entry.map(|entry| pair(names.entry, entry.0.write())));
    pairs
}

/// The fields of a length.
pub(super) fn length_pairs(length: Option<LengthAs>, name: &str, unit: &str) -> Pairs {
    let Some(length) = length else { return Pairs::new() };
    let word = match length {
        LengthAs::In(_) => "in",
        LengthAs::Ft(_) => "ft",
        LengthAs::Mm(_) => "mm",
        LengthAs::M(_) => "m",
    };
    vec![pair(name, length.number()), pair(unit, word)]
}
