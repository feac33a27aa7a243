//! Tables of the new panel: the permit, breakers as they went in, torque, switching on, readings, the card.

use super::course::HASH;
use super::{Form, LEG, PAIR, SLOT, SPACE, Table, TextForm, Unit, WIRE_SIZE, exactly_one, key, need};
use super::{at_most_one, fahrenheit, text_form, times, word};
use crate::limits;
use model::breaker::Protection;
use model::evidence::{Surface, TemperatureMethod};
use model::install::{Flagged, Stage, Terminal, Trial};

const TERMINAL: TextForm = text_form::<Terminal>(
    "pole:7",
    "^(lug:[ABC]|neutral-lug|bond|electrode|(pole|neutral|ground):[1-9][0-9]{0,4}[abAB]?)$",
);
const FLAGGED: Form = word::<Flagged>();
const VOLTS: Form = Form::Number(Unit::Volts, limits::VOLTS);
const AMPS: Form = Form::Number(Unit::Amperes, limits::AMPS);
const RATING: Form = Form::Number(Unit::Amperes, limits::RATING_A);
const SPACES: Form = Form::List(&Form::Text(SPACE));
const SIDE_IN: Form = Form::Number(Unit::Inches, times(limits::CABINET_M, super::PER_INCH));
const SIDE_MM: Form = Form::Number(Unit::Millimetres, times(limits::CABINET_M, super::PER_MM));

/// The permit.
pub(crate) static PERMIT: Table = Table {
    heading: "[[permit]]",
    name: "permit",
    doc: "The permit as it was filed. The last one counts.",
    keys: &[
        need("number", Form::Name, "Its number."),
        key(
            "rating_a",
            Form::Number(Unit::Amperes, limits::BUS_RATING_A),
            "Rating of the new panel as filed.",
        ),
        key("spaces", Form::Count(1, limits::SPACES_MAX as i64), "Spaces of the new panel as filed."),
        key(
            "circuits",
            Form::Map(SPACE, &RATING),
            "Circuits as filed: rating of the breaker by its first space, `{ \"1\" = 20 }`.",
        ),
        key("passed", Form::Day, "Day on which the final inspection passed."),
        key("failed", Form::Day, "Day on which an inspection did not pass."),
        key("flagged", Form::List(&FLAGGED), "What the inspector flagged."),
        key("words", Form::Words, "Remarks."),
    ],
    choices: &[],
    entry: true,
};

/// A breaker of the new panel.
pub(crate) static INSTALLED: Table = Table {
    heading: "[[installed]]",
    name: "installed",
    doc: "A breaker as it went into the new panel. Of two in one space the later counts.",
    keys: &[
        need("spaces", SPACES, "Its spaces in the new panel, first pole first."),
        need("rating_a", RATING, "Rating on its handle."),
        key("protection", word::<Protection>(), "What makes it open. Left out: `thermal-magnetic`."),
        key(
            "from",
            Form::List(&Form::Text(SLOT)),
            "Spaces of the old panel that the circuit comes from. Left out: a new circuit.",
        ),
        key("size", Form::Text(WIRE_SIZE), "Size of its conductors, as looked at."),
        key("spliced", Form::Flag, "True where a conductor was lengthened. Left out: false."),
        key("words", Form::Words, "What it feeds, and what the next electrician should know."),
    ],
    choices: &[],
    entry: true,
};

/// A termination.
pub(crate) static TORQUED: Table = Table {
    heading: "[[torqued]]",
    name: "torqued",
    doc: "A termination that was tightened. A value without its source is refused.",
    keys: &[
        need("terminal", Form::Text(TERMINAL), "Where: `lug:A`, `neutral-lug`, `pole:7`, `neutral:7`."),
        key("lb_in", Form::Number(Unit::One, limits::TORQUE_LB_IN), "Value, pound-force inches."),
        key("lb_ft", Form::Number(Unit::One, limits::TORQUE_LB_FT), "Value, pound-force feet."),
        key("nm", Form::Number(Unit::One, limits::TORQUE_NM), "Value, newton metres."),
        key("label", Form::Text(HASH), "SHA-256 of the photo of the label that gives the value."),
        key("sheet", Form::Words, "The maker's sheet that gives the value: which, and where in it."),
        need("tool", Form::Name, "The tool, by the shop's own name."),
        need("calibrated", Form::Day, "Day of its last calibration."),
        key("due", Form::Day, "Day on which the next is due, where the certificate gives one."),
    ],
    choices: &[exactly_one(&["lb_in", "lb_ft", "nm"]), exactly_one(&["label", "sheet"])],
    entry: true,
};

/// A step of switching on.
pub(crate) static ENERGISED: Table = Table {
    heading: "[[energised]]",
    name: "energised",
    doc: "The new panel was switched on this far, and what was read after it.",
    keys: &[
        need(
            "stage",
            word::<Stage>(),
            "How far: supply at the open main, the main closed with every branch open, branches closed.",
        ),
        key("spaces", SPACES, "With `branches`: first spaces of the breakers closed in this step."),
        key(
            "volts",
            Form::Map(PAIR, &VOLTS),
            "Voltages after it, pair by pair: `{ \"A-B\" = 241.3, \"A-neutral\" = 120.5 }`.",
        ),
        key("amps", Form::Map(LEG, &AMPS), "Currents of the legs after it: `{ A = 12.1, B = 9.4 }`."),
        key("meter", Form::Name, "The meter, by the shop's own name."),
    ],
    choices: &[],
    entry: true,
};

/// A temperature at the new panel.
pub(crate) static VERIFIED: Table = Table {
    heading: "[[verified]]",
    name: "verified",
    doc: "A temperature at the new panel under load, to hold against the first readings.",
    keys: &[
        need("terminal", Form::Text(TERMINAL), "Where; of a breaker face its pole: `pole:7`."),
        key("c", Form::Number(Unit::Celsius, limits::SURFACE_C), "The reading."),
        key("f", Form::Number(Unit::Fahrenheit, fahrenheit(limits::SURFACE_C)), "The reading."),
        key("room_c", Form::Number(Unit::Celsius, limits::ROOM_C), "Room air."),
        key("room_f", Form::Number(Unit::Fahrenheit, fahrenheit(limits::ROOM_C)), "Room air."),
        key("amps", AMPS, "Current through it meanwhile."),
        key("held_min", Form::Number(Unit::Minutes, limits::MINUTES), "How long it had flowed."),
        key("surface", word::<Surface>(), "What the surface is. Left out: `matte`."),
        key("method", word::<TemperatureMethod>(), "How it was taken. Left out: `infrared`."),
        key("instrument", Form::Name, "The instrument, by the shop's own name."),
    ],
    choices: &[exactly_one(&["c", "f"]), at_most_one(&["room_c", "room_f"])],
    entry: true,
};

/// A shared neutral.
pub(crate) static NEUTRAL: Table = Table {
    heading: "[[shared_neutral]]",
    name: "shared-neutral",
    doc: "Two circuits on one neutral, clamped at the same time at the new panel.",
    keys: &[
        need("spaces", SPACES, "Their two spaces."),
        need("amps", Form::List(&AMPS), "Their two currents."),
        need("neutral", AMPS, "Current of the neutral."),
        key("between", VOLTS, "Voltage between the two hot conductors."),
    ],
    choices: &[],
    entry: true,
};

/// A device that was tried.
pub(crate) static TRIED: Table = Table {
    heading: "[[tried]]",
    name: "tried",
    doc: "A protective device or a circuit that was tried at the new panel.",
    keys: &[
        need("space", Form::Text(SPACE), "First space of its breaker."),
        need("how", word::<Trial>(), "How: its button, a tester, its load, insulation resistance."),
        need("passed", Form::Flag, "True where it did what it should."),
        key("words", Form::Words, "What was seen."),
    ],
    choices: &[],
    entry: true,
};

/// The card.
pub(crate) static CARD: Table = Table {
    heading: "[[card]]",
    name: "card",
    doc: "The directory card as it hangs in the door. The last one counts.",
    keys: &[
        key("width_in", SIDE_IN, "Width of the place for it."),
        key("width_mm", SIDE_MM, "Width of the place for it."),
        key("height_in", SIDE_IN, "Height of the place for it."),
        key("height_mm", SIDE_MM, "Height of the place for it."),
        need(
            "lines",
            Form::Map(SPACE, &Form::Name),
            "What it says of each breaker by its first space: `{ \"1\" = \"kitchen counter, left\" }`.",
        ),
    ],
    choices: &[at_most_one(&["width_in", "width_mm"]), at_most_one(&["height_in", "height_mm"])],
    entry: true,
};
