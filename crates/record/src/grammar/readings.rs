//! Tables of load states, readings and signs.

use super::{
    CLAMP_PLACE, FACT_ID, Form, PANEL_ID, PLACE, SCOPE, SLOT, Table, Unit, at_most_one, exactly_one,
    fahrenheit, key, need, word,
};
use crate::limits;
use crate::text::{NotRead, Textual};
use model::PanelId;
use model::evidence::{Feel, Sign, Surface, TemperatureMethod};

const AMPS: Form = Form::Number(Unit::Amperes, limits::AMPS);
const SURFACE_C: Form = Form::Number(Unit::Celsius, limits::SURFACE_C);
const SURFACE_F: Form = Form::Number(Unit::Fahrenheit, fahrenheit(limits::SURFACE_C));
const STATE_DOC: &str = "Load state by name. Left out: the only state of the job.";
const INSTRUMENT_DOC: &str = "Instrument, by the shop's own name.";

/// A load state, with the quick form of its readings.
pub(crate) static STATE: Table = Table {
    heading: "[[state]]",
    name: "state",
    doc: "A load state: what was running when readings were taken, with a quick form for the readings themselves.",
    keys: &[
        need("name", Form::Name, "Name, unique in the job, for example `dryer on`."),
        key("words", Form::Words, "What was running."),
        key(
            "held_min",
            Form::Number(Unit::Minutes, limits::MINUTES),
            "How long the loads had run before the readings. Left out: not said.",
        ),
        key("room_c", Form::Number(Unit::Celsius, limits::ROOM_C), "Temperature of the room air."),
        key("room_f", Form::Number(Unit::Fahrenheit, fahrenheit(limits::ROOM_C)), "The same in °F."),
        key(
            "unloaded",
            Form::List(&Form::Text(SLOT)),
            "Spaces of poles that carry nothing in this state: switched off or unplugged. Their current is zero, not unknown.",
        ),
        key("amps", Form::Map(CLAMP_PLACE, &AMPS), "Clamp currents: `{ \"5\" = 12.1, \"line:A\" = 31 }`."),
        key("clamp", Form::Name, "Instrument of `amps`, by the shop's own name."),
        key(
            "faces_c",
            Form::Map(SLOT, &SURFACE_C),
            "Infrared temperatures of breaker faces: `{ \"5\" = 61.2 }`.",
        ),
        key("faces_f", Form::Map(SLOT, &SURFACE_F), "The same in °F."),
        key("thermometer", Form::Name, "Instrument of `faces_c` or `faces_f`, by the shop's own name."),
    ],
    choices: &[at_most_one(&["room_c", "room_f"]), at_most_one(&["faces_c", "faces_f"])],
    entry: true,
};

/// Temperature of a breaker face.
pub(crate) static FACE: Table = Table {
    heading: "[[face]]",
    name: "face",
    doc: "Temperature of a breaker face, beside the handle.",
    keys: &[
        need("space", Form::Text(SLOT), "Space of the pole."),
        key("c", SURFACE_C, "Temperature as displayed."),
        key("f", SURFACE_F, "The same in °F."),
        key("method", word::<TemperatureMethod>(), "Infrared spot or contact probe. Left out: `infrared`."),
        key(
            "emissivity",
            Form::Number(Unit::One, limits::EMISSIVITY),
            "Emissivity set on the instrument. Left out: 0.95.",
        ),
        key(
            "reflected_c",
            Form::Number(Unit::Celsius, limits::REFLECTED_C),
            "Reflected temperature set on the instrument.",
        ),
        key(
            "reflected_f",
            Form::Number(Unit::Fahrenheit, fahrenheit(limits::REFLECTED_C)),
            "The same in °F.",
        ),
        key("instrument", Form::Name, INSTRUMENT_DOC),
        key("state", Form::Name, STATE_DOC),
    ],
    choices: &[exactly_one(&["c", "f"]), at_most_one(&["reflected_c", "reflected_f"])],
    entry: true,
};

/// Temperature at any place.
pub(crate) static TEMPERATURE: Table = Table {
    heading: "[[temperature]]",
    name: "temperature",
    doc: "Temperature at any place: a lug, a terminal, the cover.",
    keys: &[
        need("place", Form::Text(PLACE), "Where: `lug:A`, `load:5`, `neutral-bar`, `cover` and the like."),
        key("c", SURFACE_C, "Temperature as displayed."),
        key("f", SURFACE_F, "The same in °F."),
        key("method", word::<TemperatureMethod>(), "Infrared spot or contact probe. Left out: `infrared`."),
        key(
            "surface",
            word::<Surface>(),
            "What the infrared spot looked at: `matte` (plastic, insulation, paint, tape) or `bare-metal`. Needed for infrared where metal may be bare.",
        ),
        key(
            "emissivity",
            Form::Number(Unit::One, limits::EMISSIVITY),
            "Emissivity set on the instrument. Left out: 0.95.",
        ),
        key(
            "reflected_c",
            Form::Number(Unit::Celsius, limits::REFLECTED_C),
            "Reflected temperature set on the instrument.",
        ),
        key(
            "reflected_f",
            Form::Number(Unit::Fahrenheit, fahrenheit(limits::REFLECTED_C)),
            "The same in °F.",
        ),
        key("instrument", Form::Name, INSTRUMENT_DOC),
        key("state", Form::Name, STATE_DOC),
    ],
    choices: &[exactly_one(&["c", "f"]), at_most_one(&["reflected_c", "reflected_f"])],
    entry: true,
};

/// A touch.
pub(crate) static TOUCH: Table = Table {
    heading: "[[touch]]",
    name: "touch",
    doc: "What a bare hand on the plastic of a breaker face felt in the first one to three seconds.",
    keys: &[
        need("space", Form::Text(SLOT), "Space of the pole."),
        need("feel", word::<Feel>(), "What was felt."),
        key(
            "void",
            Form::Flag,
            "True where a glove, a callus, a cold or wet hand or less than a second spoils it. Left out: false.",
        ),
        key("state", Form::Name, STATE_DOC),
    ],
    choices: &[],
    entry: true,
};

/// A clamp reading.
pub(crate) static CLAMP: Table = Table {
    heading: "[[clamp]]",
    name: "clamp",
    doc: "A steady current read with a clamp.",
    keys: &[
        need(
            "place",
            Form::Text(CLAMP_PLACE),
            "Around which conductor: a space (`5`), `line:A`, `neutral` or `electrode`.",
        ),
        need("amps", AMPS, "Current as displayed."),
        key("instrument", Form::Name, INSTRUMENT_DOC),
        key("state", Form::Name, STATE_DOC),
    ],
    choices: &[],
    entry: true,
};

/// Legs between which a voltage was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Legs(pub(crate) model::Leg, pub(crate) Option<model::Leg>);

impl Textual for Legs {
    const WHAT: &'static str = "a leg or two";

    fn write(&self) -> String {
        match self.1 {
            None => self.0.to_string(),
            Some(second) => format!("{}-{second}", self.0),
        }
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        let leg = |text: &str| model::Leg::read(text, None);
        let pair = match text.split_once('-') {
            None => leg(text).map(|first| Legs(first, None)),
            Some((first, second)) => {
                leg(first).and_then(|first| leg(second).map(|second| Legs(first, Some(second))))
            }
        };
        match pair {
            Ok(Legs(first, second)) if second != Some(first) => Ok(Legs(first, second)),
            _ => Err(NotRead::Form {
                text: text.to_owned(),
                what: Self::WHAT,
                right: "`A` for leg A to neutral, `A-B` for leg A to leg B".to_owned(),
            }),
        }
    }
}

/// A voltage.
pub(crate) static VOLTAGE: Table = Table {
    heading: "[[voltage]]",
    name: "voltage",
    doc: "A voltage between two places, or of a leg.",
    keys: &[
        key(
            "leg",
            Form::Text(super::text_form::<Legs>("A", "^[ABC](-[ABC])?$")),
            "`A`: line lug of leg A to the neutral bar. `A-B`: line lug to line lug.",
        ),
        key("panel", Form::Text(PANEL_ID), "With `leg`: which panel, where the job has several."),
        key("from", Form::Text(PLACE), "One place."),
        key("to", Form::Text(PLACE), "The other place."),
        need("volts", Form::Number(Unit::Volts, limits::VOLTS), "As displayed."),
        key("instrument", Form::Name, INSTRUMENT_DOC),
        key("state", Form::Name, STATE_DOC),
    ],
    choices: &[exactly_one(&["leg", "from"]), at_most_one(&["leg", "to"])],
    entry: true,
};

/// A drop.
pub(crate) static DROP: Table = Table {
    heading: "[[drop]]",
    name: "drop",
    doc: "A millivolt drop along a conductor path under load.",
    keys: &[
        need("from", Form::Text(PLACE), "Place nearer the source: `lug:A`."),
        need(
            "to",
            Form::Text(PLACE),
            "Place nearer the load: `load:5`. The other way round is understood where one end is an unloaded tap, the clamps tell, or it lies further along.",
        ),
        need(
            "mv",
            Form::Number(Unit::Millivolts, limits::DROP_MV),
            "As displayed; a reading with the load off is already subtracted.",
        ),
        key("amps", AMPS, "Current in the path at that moment."),
        key("instrument", Form::Name, INSTRUMENT_DOC),
        key("state", Form::Name, STATE_DOC),
    ],
    choices: &[],
    entry: true,
};

/// A trip.
pub(crate) static TRIP: Table = Table {
    heading: "[[trip]]",
    name: "trip",
    doc: "A breaker opened by itself.",
    keys: &[
        need("space", Form::Text(SLOT), "Any space of the breaker."),
        key("amps", Form::Number(Unit::Amperes, limits::TRIP_AMPS), "Current before it opened, where known."),
        key("after_min", Form::Number(Unit::Minutes, limits::MINUTES), "How long that current had flowed."),
        key("state", Form::Name, "Load state by name, where it happened in one."),
    ],
    choices: &[],
    entry: true,
};

/// A sign.
pub(crate) static SIGN: Table = Table {
    heading: "[[sign]]",
    name: "sign",
    doc: "A sign that was looked for: found, or looked for and not found.",
    keys: &[
        need("what", word::<Sign>(), "Which sign."),
        key(
            "place",
            Form::Text(SCOPE),
            "Where: a space (`5`), `lug:A`, `neutral`, `leg:A` (everything on the leg) or `panel`. Left out: the whole panel.",
        ),
        key("seen", Form::Flag, "False: looked for and not found. Left out: true."),
        key("words", Form::Words, "What was seen."),
        key("photo", Form::Text(FACT_ID), "Id of the photo that shows it."),
    ],
    choices: &[],
    entry: true,
};
