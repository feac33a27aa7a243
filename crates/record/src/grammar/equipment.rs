//! Tables of what is wired: service, panels, sections, breakers, conductors.

use super::{
    Form, Key, PANEL_ID, PER_FOOT, PER_INCH, PER_MM, SECTION_ID, SLOT, SPACE, Table, Unit, WIRE_SIZE,
    at_most_one, exactly_one, key, need, times, word,
};
use crate::limits;
use crate::text::{NotRead, Textual};
use model::PanelId;
use model::breaker::{Attachment, Handle, LoadClass, Protection};
use model::conductor::{EntrySide, Metal, Plating};
use model::panel::Mounting;
use model::service::SupplyPath;
use model::{Leg, System};

/// What stands between the service and a panel's bus.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Main {
    Breaker,
    Lugs,
    Split,
    Feeder,
}

impl Textual for Main {
    const WHAT: &'static str = "a way to feed a panel";
    const WORDS: &'static [&'static str] = &["breaker", "lugs", "split", "feeder"];

    fn write(&self) -> String {
        match self {
            Main::Breaker => "breaker",
            Main::Lugs => "lugs",
            Main::Split => "split",
            Main::Feeder => "feeder",
        }
        .to_owned()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        match text {
            "breaker" => Ok(Main::Breaker),
            "lugs" => Ok(Main::Lugs),
            "split" => Ok(Main::Split),
            "feeder" => Ok(Main::Feeder),
            _ => Err(NotRead::Form {
                text: text.to_owned(),
                what: Self::WHAT,
                right:
                    "`breaker` (one main breaker), `lugs` (straight to the bus), `split` (several sections) \
                        or `feeder` (fed by a breaker of another panel)"
                        .to_owned(),
            }),
        }
    }
}

const fn number(unit: Unit, range: limits::Plausible) -> Form {
    Form::Number(unit, range)
}

static CONDUCTOR_KEYS: &[Key] = &[
    key(
        "size",
        Form::Text(WIRE_SIZE),
        "Size as printed: `14` … `1`, `1/0` … `4/0` AWG, or `250` … `1000` kcmil.",
    ),
    key("metal", word::<Metal>(), "Metal of the conductor."),
    key("insulation", Form::Name, "Insulation as marked or as it looks, for example `NM-B`, `cloth`."),
    key(
        "free_length_in",
        number(Unit::Inches, times(limits::FREE_LENGTH_M, PER_INCH)),
        "Length free inside the cabinet.",
    ),
    key(
        "free_length_mm",
        number(Unit::Millimetres, times(limits::FREE_LENGTH_M, PER_MM)),
        "The same in millimetres.",
    ),
    key("entry", word::<EntrySide>(), "Side of the cabinet where it comes in."),
    key(
        "entry_down_in",
        number(Unit::Inches, times(limits::CABINET_M, PER_INCH)),
        "How far below the top wall it comes in, where it comes through the back.",
    ),
    key(
        "entry_down_mm",
        number(Unit::Millimetres, times(limits::CABINET_M, PER_MM)),
        "The same in millimetres.",
    ),
    key("colour", Form::Name, "Colour of its insulation; of several poles one a pole: `black, red`."),
];

/// A conductor, written in one line between braces.
pub(crate) static CONDUCTOR: Table = Table {
    heading: "a conductor",
    name: "conductor",
    doc: "A conductor at a terminal: `{ size = \"12\", metal = \"copper\" }`. Leave out what was not looked at.",
    keys: CONDUCTOR_KEYS,
    choices: &[
        at_most_one(&["free_length_in", "free_length_mm"]),
        at_most_one(&["entry_down_in", "entry_down_mm"]),
    ],
    entry: false,
};

/// What comes before the panels.
pub(crate) static SERVICE: Table = Table {
    heading: "[service]",
    name: "service",
    doc: "What comes before the panels. Leave out what was not seen.",
    keys: &[
        key("rating_a", number(Unit::Amperes, limits::BUS_RATING_A), "Nominal rating."),
        key("transformer_kva", number(Unit::KilovoltAmperes, limits::TRANSFORMER_KVA), "Transformer rating."),
        key(
            "transformer_impedance_pct",
            number(Unit::Percent, limits::IMPEDANCE_PCT),
            "Transformer impedance.",
        ),
        key("path", word::<SupplyPath>(), "Overhead drop or underground lateral."),
        key("drop", Form::Table(&CONDUCTOR), "Conductor of the drop or lateral."),
        key(
            "drop_length_ft",
            number(Unit::Feet, times(limits::SERVICE_LENGTH_M, PER_FOOT)),
            "Its length, one way.",
        ),
        key("drop_length_m", number(Unit::Metres, limits::SERVICE_LENGTH_M), "The same in metres."),
        key("entrance", Form::Table(&CONDUCTOR), "Conductor from the meter to the panel."),
        key(
            "entrance_length_ft",
            number(Unit::Feet, times(limits::SERVICE_LENGTH_M, PER_FOOT)),
            "Its length, one way.",
        ),
        key("entrance_length_m", number(Unit::Metres, limits::SERVICE_LENGTH_M), "The same in metres."),
        key(
            "electrode_ohm",
            number(Unit::Ohms, limits::ELECTRODE_OHM),
            "Resistance of the electrode to earth, where it was measured.",
        ),
        key("meter", Form::Words, "What the meter and its socket look like."),
        key(
            "other_sources",
            Form::List(&Form::Words),
            "Other sources that were looked for and found, in words.",
        ),
    ],
    choices: &[
        at_most_one(&["drop_length_ft", "drop_length_m"]),
        at_most_one(&["entrance_length_ft", "entrance_length_m"]),
    ],
    entry: true,
};

static BUS: Table = Table {
    heading: "the bus",
    name: "bus",
    doc: "Bus bars: `{ metal = \"aluminium\", plating = \"tin\", rating_a = 200 }`.",
    keys: &[
        key("metal", word::<Metal>(), "Metal of bars and stabs."),
        key("plating", word::<Plating>(), "Plating of bars and stabs."),
        key("rating_a", number(Unit::Amperes, limits::BUS_RATING_A), "Rating on the label."),
    ],
    choices: &[],
    entry: false,
};

pub(super) static CABINET: Table = Table {
    heading: "the cabinet",
    name: "cabinet",
    doc: "The cabinet: sizes and how it sits in the wall.",
    keys: &[
        key("width_in", number(Unit::Inches, times(limits::CABINET_M, PER_INCH)), "Width."),
        key(
            "width_mm",
            number(Unit::Millimetres, times(limits::CABINET_M, PER_MM)),
            "The same in millimetres.",
        ),
        key("height_in", number(Unit::Inches, times(limits::CABINET_M, PER_INCH)), "Height."),
        key(
            "height_mm",
            number(Unit::Millimetres, times(limits::CABINET_M, PER_MM)),
            "The same in millimetres.",
        ),
        key("depth_in", number(Unit::Inches, times(limits::CABINET_M, PER_INCH)), "Depth."),
        key(
            "depth_mm",
            number(Unit::Millimetres, times(limits::CABINET_M, PER_MM)),
            "The same in millimetres.",
        ),
        key("mounting", word::<Mounting>(), "How it sits in the wall. Left out: flush."),
    ],
    choices: &[
        at_most_one(&["width_in", "width_mm"]),
        at_most_one(&["height_in", "height_mm"]),
        at_most_one(&["depth_in", "depth_mm"]),
    ],
    entry: false,
};

/// A panel.
pub(crate) static PANEL: Table = Table {
    heading: "[[panel]]",
    name: "panel",
    doc: "A panel.",
    keys: &[
        key("id", Form::Text(PANEL_ID), "Id, unique in the job. Left out: `main`."),
        key("place", Form::Name, "Where it hangs, in words."),
        key("system", word::<System>(), "Supply system. Left out: `120/240`."),
        need("spaces", Form::Count(1, limits::SPACES_MAX as i64), "Number of spaces."),
        key("columns", Form::Count(1, 2), "One or two columns. Left out: 2."),
        key(
            "first_leg",
            word::<Leg>(),
            "Leg of the top row; the following rows take the next legs in turn. Left out: `A`.",
        ),
        need(
            "main",
            word::<Main>(),
            "What feeds it: one main `breaker` (add `main_a`), `lugs` straight to the bus, a `split` bus (add sections), or the `feeder` of another panel (add `fed_by`).",
        ),
        key("main_a", number(Unit::Amperes, limits::BUS_RATING_A), "Rating of the main breaker."),
        key(
            "fed_by",
            Form::Text(SLOT),
            "For a sub-panel: first space of the breaker that feeds it, with its panel: `main/6`.",
        ),
        key(
            "feeder",
            Form::Table(&CONDUCTOR),
            "Conductor that feeds it, from the service or from that breaker.",
        ),
        key("bus", Form::Table(&BUS), "Bus bars."),
        key("cabinet", Form::Table(&CABINET), "Cabinet."),
        key(
            "half_width",
            Form::Either(&EVERYWHERE, &Form::List(&Form::Count(1, limits::SPACES_MAX as i64))),
            "Where half-width breakers may go: `\"everywhere\"` or a list of spaces. Left out: nowhere, or not known.",
        ),
        key(
            "year",
            Form::Count(limits::YEAR.0 as i64, limits::YEAR.1 as i64),
            "Year it was put in. Age alone is not evidence.",
        ),
        key("moisture", Form::Flag, "Signs of water in the cabinet? Left out: not looked for."),
        key("section", Form::Tables(&SECTION), "Bus sections of a split bus, top first."),
        key("breaker", Form::Tables(&BREAKER), "Breakers."),
        super::ENTRY_AT,
        super::ENTRY_BY,
        key("fact", Form::Text(super::FACT_ID), "Id of this entry (in other entries: `id`)."),
        super::ENTRY_SUPERSEDES,
    ],
    choices: &[],
    entry: false,
};

/// `"everywhere"`.
#[derive(Debug, Clone, Copy)]
struct Everywhere;

impl Textual for Everywhere {
    const WHAT: &'static str = "`everywhere` or a list of spaces";
    const WORDS: &'static [&'static str] = &["everywhere"];

    fn write(&self) -> String {
        "everywhere".to_owned()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        if text == "everywhere" {
            return Ok(Everywhere);
        }
        let right = "write `\"everywhere\"`, or the spaces that take half-width breakers: `[1, 2, 3, 4]`";
        Err(NotRead::Form { text: text.to_owned(), what: Self::WHAT, right: right.to_owned() })
    }
}

pub(super) static EVERYWHERE: Form = word::<Everywhere>();

/// What a section says feeds it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum FedBy {
    Lugs,
    MainBreaker,
    Breaker(model::Slot),
}

impl Textual for FedBy {
    const WHAT: &'static str = "a feed of a section";

    fn write(&self) -> String {
        match self {
            FedBy::Lugs => "lugs".to_owned(),
            FedBy::MainBreaker => "main-breaker".to_owned(),
            FedBy::Breaker(slot) => slot.write(),
        }
    }

    fn read(text: &str, home: Option<&PanelId>) -> Result<Self, NotRead> {
        match text {
            "lugs" => Ok(FedBy::Lugs),
            "main-breaker" => Ok(FedBy::MainBreaker),
            _ => model::Slot::read(text, home).map(FedBy::Breaker).map_err(|_| NotRead::Form {
                text: text.to_owned(),
                what: Self::WHAT,
                right:
                    "`lugs`, `main-breaker`, or the first space of the breaker that feeds it: `2`, `main/6`"
                        .to_owned(),
            }),
        }
    }
}

/// A bus section.
pub(crate) static SECTION: Table = Table {
    heading: "[[panel.section]]",
    name: "section",
    doc: "A section of a split bus.",
    keys: &[
        need("id", Form::Text(SECTION_ID), "Id, unique in the panel, for example `upper`."),
        key(
            "rows",
            Form::FirstLast(limits::SPACES_MAX as i64),
            "First and last row, from 1 at the top: `[1, 6]`.",
        ),
        key(
            "spaces",
            Form::FirstLast(limits::SPACES_MAX as i64),
            "The same by first and last space: `[1, 12]`.",
        ),
        need(
            "fed_by",
            Form::Text(super::FED_BY),
            "`lugs`, `main-breaker` (add `main_a`), or the first space of the breaker that feeds it.",
        ),
        key("main_a", number(Unit::Amperes, limits::BUS_RATING_A), "Rating of its main breaker."),
        key("feeder", Form::Table(&CONDUCTOR), "Conductor that feeds it."),
    ],
    choices: &[exactly_one(&["rows", "spaces"])],
    entry: false,
};

/// A breaker.
pub(crate) static BREAKER: Table = Table {
    heading: "[[panel.breaker]]",
    name: "breaker",
    doc: "A breaker of the panel above it.",
    keys: &[
        key("space", Form::Text(SPACE), "Space of its first pole: `5`, or `\"5a\"` for the upper half."),
        key(
            "spaces",
            Form::List(&Form::Text(SPACE)),
            "Spaces of all its poles, where they do not simply follow each other down the column: `[\"5b\", \"7a\"]`.",
        ),
        key(
            "poles",
            Form::Count(1, 3),
            "Number of poles; they follow each other down the column. Left out: 1.",
        ),
        need("rating_a", number(Unit::Amperes, limits::RATING_A), "Rating on the handle."),
        key("feeds", Form::Words, "What it feeds, in the words of the directory or of the tracer."),
        key("class", word::<LoadClass>(), "Rough class of the load."),
        key("handle", word::<Handle>(), "Where the handle stood when first seen. Left out: `on`."),
        key("protection", word::<Protection>(), "What makes it open. Left out: `thermal-magnetic`."),
        key("attachment", word::<Attachment>(), "How it meets the bus. Left out: `plug-on`."),
        key(
            "other_make",
            Form::Flag,
            "Of another make than the panel's list names? Left out: nobody has read the list. Name no make.",
        ),
        key("later", Form::Flag, "Put in later than the panel? Left out: not known."),
        key("partner", Form::Text(SPACE), "Multiwire circuit: space of the pole that shares the neutral."),
        key("uses_neutral", Form::Flag, "Does the circuit use the neutral? Left out: not known."),
        key("doubled", Form::Flag, "More than one conductor under the load terminal? Left out: not looked."),
        key("conductor", Form::Table(&CONDUCTOR), "Conductor at the load terminal."),
    ],
    choices: &[exactly_one(&["space", "spaces"]), at_most_one(&["spaces", "poles"])],
    entry: true,
};
