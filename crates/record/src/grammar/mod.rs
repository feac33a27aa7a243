//! What a job file may hold: every table, key, form, unit and range once, as data. The decoder, the schema
//! and the key tables of the guide are all made from it.

mod course;
mod equipment;
mod install;
mod isolation;
mod offer;
mod plan;
mod premises;
mod readings;
mod replacement;

use crate::limits::Plausible;
use crate::text::{NotRead, Textual};
use model::PanelId;

pub(crate) use course::{
    CALL, COMPLAINT, DECISION, EXPOSURE, Hash, JOB, OPENING, PHOTO, PIN, RETRACTION, WORK,
};
pub(crate) use equipment::{FedBy, Main};
pub(crate) use equipment::{PANEL, SERVICE};
pub(crate) use install::{CARD, ENERGISED, INSTALLED, NEUTRAL, PERMIT, TORQUED, TRIED, VERIFIED};
pub(crate) use isolation::{CUT, HANDLE, PROOF, SOURCE};
pub(crate) use offer::{OUTAGE, QUOTE, TICK, USED};
use plan::PHRASE;
pub(crate) use plan::{INTERIM, KEPT, PROMISE, PhraseId};
pub(crate) use premises::{ADOPTION, APPLIANCE, DEMAND, DWELLING, SITE};
pub(crate) use readings::Legs;
pub(crate) use readings::{CLAMP, DROP, FACE, SIGN, STATE, TEMPERATURE, TOUCH, TRIP, VOLTAGE};
pub(crate) use replacement::{ARRANGEMENT, CIRCUIT, SURPRISE};

/// A table of the file.
#[derive(Debug)]
pub(crate) struct Table {
    /// As a person writes its heading, for messages: `[[panel.breaker]]`.
    pub(crate) heading: &'static str,
    /// Name of its definition in the schema.
    pub(crate) name: &'static str,
    /// What it is.
    pub(crate) doc: &'static str,
    /// Its keys.
    pub(crate) keys: &'static [Key],
    /// Keys of which only one may stand.
    pub(crate) choices: &'static [Choice],
    /// Does it take the keys that every entry takes?
    pub(crate) entry: bool,
}

/// A key of a table.
#[derive(Debug)]
pub(crate) struct Key {
    pub(crate) name: &'static str,
    pub(crate) form: Form,
    /// Must it be there?
    pub(crate) need: bool,
    /// What it means, with what holds where it is left out.
    pub(crate) doc: &'static str,
}

/// Keys of which at most one may stand, or exactly one.
#[derive(Debug)]
pub(crate) struct Choice {
    pub(crate) keys: &'static [&'static str],
    pub(crate) need: bool,
}

/// Units of numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unit {
    Amperes,
    Volts,
    Millivolts,
    Celsius,
    Fahrenheit,
    Minutes,
    Inches,
    Millimetres,
    Feet,
    Metres,
    KilovoltAmperes,
    Kilowatts,
    SquareFeet,
    Percent,
    Ohms,
    One,
}

impl Unit {
    /// The symbol.
    pub(crate) const fn symbol(self) -> &'static str {
        match self {
            Unit::Amperes => "A",
            Unit::Volts => "V",
            Unit::Millivolts => "mV",
            Unit::Celsius => "°C",
            Unit::Fahrenheit => "°F",
            Unit::Minutes => "min",
            Unit::Inches => "in",
            Unit::Millimetres => "mm",
            Unit::Feet => "ft",
            Unit::Metres => "m",
            Unit::KilovoltAmperes => "kVA",
            Unit::Kilowatts => "kW",
            Unit::SquareFeet => "ft²",
            Unit::Percent => "%",
            Unit::Ohms => "Ω",
            Unit::One => "",
        }
    }
}

/// A text with a form of its own.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TextForm {
    pub(crate) what: &'static str,
    pub(crate) words: &'static [&'static str],
    /// May a plain space be written as a number, `5` for `"5"`?
    pub(crate) or_number: bool,
    pub(crate) example: &'static str,
    /// Regular expression of ECMA 262 for the schema; empty where `words` says it all.
    pub(crate) pattern: &'static str,
    pub(crate) check: fn(&str) -> Result<(), NotRead>,
}

/// Forms of a value.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Form {
    /// A short text on one line.
    Name,
    /// Free text.
    Words,
    /// True or false.
    Flag,
    /// A number with its unit and range.
    Number(Unit, Plausible),
    /// A whole number in a range.
    Count(i64, i64),
    /// A text with a form of its own.
    Text(TextForm),
    /// A calendar day.
    Day,
    /// A day and a time of day, or one of them.
    Moment,
    /// A list of a form.
    List(&'static Form),
    /// First and last of something.
    FirstLast(i64),
    /// One form or the other.
    Either(&'static Form, &'static Form),
    /// One table.
    Table(&'static Table),
    /// A list of tables.
    Tables(&'static Table),
    /// One table, or a list of them where earlier ones were superseded.
    Versions(&'static Table),
    /// A table whose keys are texts of a form.
    Map(TextForm, &'static Form),
}

fn check<T: Textual>(text: &str) -> Result<(), NotRead> {
    // Any panel will do here: whether it exists is asked later, with all panels at hand.
    T::read(text, Some(&PanelId::new("main"))).map(|_| ())
}

pub(crate) const fn text_form<T: Textual>(example: &'static str, pattern: &'static str) -> TextForm {
    TextForm { what: T::WHAT, words: T::WORDS, or_number: false, example, pattern, check: check::<T> }
}

/// One of the words of `T`.
pub(crate) const fn word<T: Textual>() -> Form {
    Form::Text(text_form::<T>(T::WORDS[0], ""))
}

const fn or_number(mut form: TextForm) -> TextForm {
    form.or_number = true;
    form
}

macro_rules! id_pattern {
    () => {
        // Letters, digits, `-`, `.` and `_`, said by what is left out: not every reader of a schema knows
        // `\p{L}`.
        r"[^\s!-,/:-@\[-^`{-~]{1,64}"
    };
}
macro_rules! space_pattern {
    () => {
        "[1-9][0-9]{0,4}[abAB]?"
    };
}

const ID_PATTERN: &str = concat!("^", id_pattern!(), "$");
pub(crate) const SPACE: TextForm =
    or_number(text_form::<model::Space>("5", concat!("^", space_pattern!(), "$")));
pub(crate) const SLOT: TextForm =
    or_number(text_form::<model::Slot>("5", concat!("^(", id_pattern!(), "/)?", space_pattern!(), "$")));
pub(crate) const PLACE: TextForm = text_form::<model::place::Place>(
    "lug:A",
    concat!(
        "^(",
        id_pattern!(),
        "/)?((face|load|wire|neutral-wire|receptacle):",
        space_pattern!(),
        "|(lug|line):[ABC]|neutral-lug|neutral-line|neutral-bar|cover|earth)$"
    ),
);
pub(crate) const CLAMP_PLACE: TextForm = or_number(text_form::<model::evidence::ClampPlace>(
    "5",
    concat!("^(", id_pattern!(), "/)?(", space_pattern!(), "|(lug|line):[ABC]|neutral|electrode)$"),
));
pub(crate) const SCOPE: TextForm = or_number(text_form::<model::evidence::SignScope>(
    "5",
    concat!("^(", id_pattern!(), "/)?(", space_pattern!(), "|(lug|leg):[ABC]|neutral|panel)$"),
));
pub(crate) const JOINT: TextForm = text_form::<model::JointId>(
    "stab:5",
    concat!(
        "^(",
        id_pattern!(),
        ":)?((stab|terminal|neutral):",
        space_pattern!(),
        "|lug:[ABC]|neutral:lug|feeder:",
        id_pattern!(),
        ":[ABC])$"
    ),
);
pub(crate) const WIRE_SIZE: TextForm =
    or_number(text_form::<model::conductor::WireSize>("12", "^#?([0-9]{1,4}|[1-4]/0)( ?(AWG|awg|kcmil))?$"));
const FED_BY: TextForm = or_number(text_form::<FedBy>(
    "lugs",
    concat!("^(lugs|main-breaker|(", id_pattern!(), "/)?", space_pattern!(), ")$"),
));
pub(crate) const PART: TextForm = or_number(text_form::<model::isolation::Part>(
    "main/lower",
    concat!("^", id_pattern!(), "(/(section:)?", id_pattern!(), ")?$"),
));
pub(crate) const DISCONNECT: TextForm = or_number(text_form::<model::isolation::Disconnect>(
    "9",
    concat!("^(", id_pattern!(), "/)?(", space_pattern!(), "|main:", id_pattern!(), ")$"),
));
pub(crate) const PAIR: TextForm = text_form::<(model::isolation::ProofPoint, model::isolation::ProofPoint)>(
    "A-neutral",
    "^([ABC]|neutral|ground)-([ABC]|neutral|ground)$",
);
pub(crate) const LEG: TextForm = text_form::<model::Leg>("A", "^[ABC]$");
pub(crate) const PANEL_ID: TextForm = text_form::<PanelId>("main", ID_PATTERN);
const SECTION_ID: TextForm = text_form::<model::SectionId>("upper", ID_PATTERN);
const FACT_ID: TextForm = text_form::<model::FactId>("reading-1", ID_PATTERN);

const fn key(name: &'static str, form: Form, doc: &'static str) -> Key {
    Key { name, form, need: false, doc }
}

const fn need(name: &'static str, form: Form, doc: &'static str) -> Key {
    Key { name, form, need: true, doc }
}

const fn at_most_one(keys: &'static [&'static str]) -> Choice {
    Choice { keys, need: false }
}

const fn exactly_one(keys: &'static [&'static str]) -> Choice {
    Choice { keys, need: true }
}

const fn fahrenheit(celsius: Plausible) -> Plausible {
    (celsius.0 * 1.8 + 32.0, celsius.1 * 1.8 + 32.0)
}

const fn times(metres: Plausible, factor: f64) -> Plausible {
    (metres.0 * factor, metres.1 * factor)
}

const PER_INCH: f64 = 1.0 / 0.0254;
const PER_FOOT: f64 = 1.0 / 0.3048;
const PER_MM: f64 = 1000.0;

/// Keys that every entry takes.
pub(crate) static ENTRY_KEYS: &[Key] = &[
    ENTRY_AT,
    ENTRY_BY,
    key(
        "id",
        Form::Text(FACT_ID),
        "A name of your own for the entry, so that others can point to it. Left out: one is made from what the entry says.",
    ),
    ENTRY_SUPERSEDES,
];

const ENTRY_AT: Key = key(
    "at",
    Form::Moment,
    "When: `2026-03-04T14:30`, local time at the site. Left out: the time of the entry's load state, else the day the job was opened. A time alone is on that day.",
);
const ENTRY_BY: Key = key("by", Form::Name, "Who, by role or initials. Left out: `by` of the job.");
const ENTRY_SUPERSEDES: Key = key(
    "supersedes",
    Form::List(&Form::Text(FACT_ID)),
    "Ids of entries that no longer hold because of this one.",
);

/// The whole file.
pub(crate) static ROOT: Table = Table {
    heading: "the file",
    name: "job-file",
    doc: "A Panelwright job file: one address, what is wired there, and what was seen, measured, decided and done.",
    keys: &[
        need("panelwright", Form::Count(1, 1), "Version of the format: 1."),
        need("job", Form::Versions(&JOB), "The job."),
        key("service", Form::Versions(&SERVICE), "What comes before the panels."),
        need("panel", Form::Tables(&PANEL), "The panels, one at least."),
        key("state", Form::Tables(&STATE), "Load states: what was running when readings were taken."),
        key("face", Form::Tables(&FACE), "Temperatures of breaker faces."),
        key("temperature", Form::Tables(&TEMPERATURE), "Temperatures at other places."),
        key("touch", Form::Tables(&TOUCH), "A bare hand on a breaker face."),
        key("clamp", Form::Tables(&CLAMP), "Clamp currents."),
        key("voltage", Form::Tables(&VOLTAGE), "Voltages."),
        key("drop", Form::Tables(&DROP), "Millivolt drops."),
        key("trip", Form::Tables(&TRIP), "Breakers that opened by themselves."),
        key("sign", Form::Tables(&SIGN), "Signs that were looked for."),
        key("call", Form::Tables(&CALL), "Telephone calls: what the caller was asked and said."),
        key("complaint", Form::Tables(&COMPLAINT), "What the caller complains of."),
        key("photo", Form::Tables(&PHOTO), "Photos, by hash."),
        key("pin", Form::Tables(&PIN), "Marks on photos."),
        key("decision", Form::Tables(&DECISION), "What was decided."),
        key("work", Form::Tables(&WORK), "Work done."),
        key("opening", Form::Tables(&OPENING), "What was found at joints that were opened."),
        key("handle", Form::Tables(&HANDLE), "Handles that were moved, and when."),
        key("cut", Form::Tables(&CUT), "Cuts by the utility, and when it gave the supply back."),
        key("source", Form::Tables(&SOURCE), "Other sources that were looked for."),
        key("proof", Form::Tables(&PROOF), "Tests for absence of voltage."),
        key(
            "interim",
            Form::Tables(&INTERIM),
            "Plans until the replacement, as they were agreed or declined.",
        ),
        key("promise", Form::Tables(&PROMISE), "What was promised, with its day."),
        key("kept", Form::Tables(&KEPT), "What was done of what is due."),
        key("circuit", Form::Tables(&CIRCUIT), "Circuits as surveyed for the replacement."),
        key("surprise", Form::Tables(&SURPRISE), "Answers to the list of surprises."),
        key("arrangement", Form::Tables(&ARRANGEMENT), "Layouts that were chosen for a new panel."),
        key("permit", Form::Tables(&PERMIT), "The permit as it was filed."),
        key("installed", Form::Tables(&INSTALLED), "Breakers as they went into the new panel."),
        key("torqued", Form::Tables(&TORQUED), "Terminations of the new panel, and how they were tightened."),
        key("energised", Form::Tables(&ENERGISED), "Steps of switching the new panel on."),
        key("verified", Form::Tables(&VERIFIED), "Temperatures of the new panel under load."),
        key("shared_neutral", Form::Tables(&NEUTRAL), "Shared neutrals of the new panel, clamped."),
        key("tried", Form::Tables(&TRIED), "Devices and circuits of the new panel that were tried."),
        key("card", Form::Tables(&CARD), "The directory card as it hangs in the door."),
        key(
            "adoption",
            Form::Versions(&ADOPTION),
            "The edition of the electrical code that holds at the address.",
        ),
        key("dwelling", Form::Versions(&DWELLING), "Areas and circuits of the dwelling, or of each of two."),
        key("appliance", Form::Tables(&APPLIANCE), "Appliances with their nameplates."),
        key("demand", Form::Versions(&DEMAND), "Greatest demand of the service, measured."),
        key("site", Form::Versions(&SITE), "Place of the panel, planned work, electrodes."),
        key("quote", Form::Tables(&QUOTE), "Quotes as they were given."),
        key("outage", Form::Tables(&OUTAGE), "The day without power, as booked."),
        key("tick", Form::Tables(&TICK), "Steps of the day, begun and done."),
        key("used", Form::Tables(&USED), "Parts that were used."),
        key("exposure", Form::Tables(&EXPOSURE), "How far the panel was opened, and when."),
        key("retraction", Form::Tables(&RETRACTION), "Entries taken back with nothing in their place."),
    ],
    choices: &[],
    entry: false,
};

impl Table {
    /// Its keys, those of every entry last.
    pub(crate) fn all_keys(&self) -> impl Iterator<Item = &'static Key> + use<> {
        let common: &'static [Key] = if self.entry { ENTRY_KEYS } else { &[] };
        self.keys.iter().chain(common)
    }

    /// The key with this name.
    pub(crate) fn key(&self, name: &str) -> Option<&'static Key> {
        self.all_keys().find(|key| key.name == name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    fn visit(table: &'static Table, seen: &mut BTreeSet<&'static str>) {
        if !seen.insert(table.name) {
            return;
        }
        let names: BTreeSet<&str> = table.all_keys().map(|key| key.name).collect();
        assert_eq!(names.len(), table.all_keys().count(), "{}: a key twice", table.name);
        for choice in table.choices {
            for name in choice.keys {
                assert!(names.contains(name), "{}: choice of the unknown key {name}", table.name);
            }
        }
        for key in table.all_keys() {
            assert!(key.doc.ends_with('.') && !key.doc.is_empty(), "{}.{}: no doc", table.name, key.name);
            match key.form {
                Form::Table(inner) | Form::Tables(inner) | Form::Versions(inner) => visit(inner, seen),
                Form::Text(form) => assert!((form.check)(form.example).is_ok(), "{}: example", key.name),
                _ => {}
            }
        }
    }

    #[test]
    fn every_table_is_whole() {
        let mut seen = BTreeSet::new();
        visit(&ROOT, &mut seen);
        assert!(seen.contains("breaker") && seen.contains("conductor"), "{seen:?}");
    }
}
