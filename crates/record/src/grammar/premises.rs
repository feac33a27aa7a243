//! Tables of what the code book asks: the adopted code, dwellings, appliances, measured demand, the site.

use super::{Form, Key, Table, TextForm, Unit, exactly_one, key, need, text_form, word};
use crate::limits;
use model::conductor::Metal;
use model::dwelling::{Rating, Status, UseKind, Wires};
use model::site::{Area, Outdoor, PlannedWork, ThreeWireNeutral};

const EDITION: Form = Form::Count(2008, 2026);
const AREA_FT2: Form = Form::Number(Unit::SquareFeet, limits::FLOOR_FT2);
const CIRCUITS: Form = Form::Count(0, limits::CIRCUITS_MAX as i64);
const PLATE: Form = Form::Text(RATING);

/// A nameplate.
pub(crate) const RATING: TextForm = text_form::<Rating>(
    "4500 VA",
    "^[0-9]+([./][0-9]+)? ?(VA|W|kVA|kW|A at [0-9]+([.][0-9]+)? V|hp at (115|230) V)$",
);

static EDITIONS: Table = Table {
    heading: "[[adoption.edition]]",
    name: "adopted-edition",
    doc: "An edition that the place took over, the oldest first.",
    keys: &[
        need("edition", EDITION, "Year of the edition: 2008, 2011, 2014, 2017, 2020, 2023 or 2026."),
        need("from", Form::Day, "First day it holds; the next edition ends it."),
        need("document", Form::Name, "The ordinance or statute that says so."),
    ],
    choices: &[],
    entry: false,
};

static AMENDMENTS: Table = Table {
    heading: "[[adoption.amendment]]",
    name: "local-amendment",
    doc: "What the place changed in one rule of one edition.",
    keys: &[
        need("rule", Form::Name, "Id of the rule, as in the register of the code book: `service.least`."),
        need("edition", EDITION, "Edition it amends; it ends with that edition."),
        need("from", Form::Day, "First day it holds."),
        key("number", Form::Number(Unit::One, limits::AMENDED), "The number that holds here."),
        key("word", Form::Name, "The word that holds here, for a rule that names a method or an answer."),
        key("absent", Form::Flag, "True where the place took the rule away."),
        need("document", Form::Name, "The ordinance."),
        need("section", Form::Name, "Its section."),
        key("note", Form::Words, "A remark."),
    ],
    choices: &[exactly_one(&["number", "word", "absent"])],
    entry: false,
};

/// The adopted code.
pub(crate) static ADOPTION: Table = Table {
    heading: "[adoption]",
    name: "adoption",
    doc: "The edition of the electrical code that holds at the address, as looked up. Without it nothing is computed by any edition.",
    keys: &[
        need("place", Form::Name, "Who adopted it: a city, a county, a state."),
        need("edition", Form::Tables(&EDITIONS), "Editions adopted there."),
        key("amendment", Form::Tables(&AMENDMENTS), "What the place changed."),
        key(
            "permit",
            Form::Day,
            "Day on which the permit is applied for: it decides which edition holds. Left out: the day that is computed for.",
        ),
    ],
    choices: &[],
    entry: true,
};

static MANAGED: Table = Table {
    heading: "[[dwelling.managed]]",
    name: "managed",
    doc: "Loads that an energy management system holds to a limit.",
    keys: &[
        need("name", Form::Name, "Name that the appliances refer to."),
        key(
            "limit_a",
            Form::Number(Unit::Amperes, limits::BUS_RATING_A),
            "Largest set point. Left out: asked.",
        ),
        key("listed", Form::Flag, "Is the system listed for this use? Left out: asked."),
    ],
    choices: &[],
    entry: false,
};

/// A dwelling.
pub(crate) static DWELLING: Table = Table {
    heading: "[dwelling]",
    name: "dwelling",
    doc: "Areas and circuits of the dwelling, for the load calculation. What is left out is asked, never assumed. A building of two dwellings has two such tables, each with its `unit`.",
    keys: &[
        key("unit", Form::Name, "Which dwelling, where there are two."),
        key(
            "floor_ft2",
            AREA_FT2,
            "Floor area by the outside dimensions, without open porches, garages and unfinished space.",
        ),
        key(
            "adaptable_ft2",
            AREA_FT2,
            "Unfinished space that could become habitable, no garage: 0 where there is none.",
        ),
        key("adaptable_garage_ft2", AREA_FT2, "Garage that could become habitable: 0 where there is none."),
        key(
            "small_appliance_circuits",
            CIRCUITS,
            "20 A circuits that serve the counters of kitchen, pantry and dining.",
        ),
        key(
            "laundry_circuits",
            CIRCUITS,
            "Laundry circuits: 0 where the dwelling has no laundry of its own.",
        ),
        key("managed", Form::Tables(&MANAGED), "Energy management groups."),
    ],
    choices: &[],
    entry: true,
};

/// An appliance.
pub(crate) static APPLIANCE: Table = Table {
    heading: "[[appliance]]",
    name: "appliance",
    doc: "An appliance with its nameplate, for the load calculation: there, to be added or to be taken out.",
    keys: &[
        need("name", Form::Name, "What you call it."),
        need("what", word::<UseKind>(), "What it is. A water heater is an `appliance`."),
        key("unit", Form::Name, "Which dwelling, where there are two."),
        key(
            "rating",
            PLATE,
            "Nameplate: `4500 VA`, `12 kW`, `19 A at 240 V` or `1/2 hp at 115 V`; of a heat pump the compressor's. Left out: asked.",
        ),
        key(
            "wires",
            word::<Wires>(),
            "How it is connected. Left out: asked where it matters and is not clear from what it is.",
        ),
        key("motor", PLATE, "The part of the rating that is one motor."),
        key(
            "controls",
            Form::Count(1, 100),
            "Of `heat`: how many separate controls. A central furnace is one. Left out: asked.",
        ),
        key(
            "supplement",
            PLATE,
            "Of a `heat-pump`: supplemental electric heat, `0 VA` where there is none. Left out: asked.",
        ),
        key(
            "together",
            Form::Flag,
            "Of a `heat-pump`: do compressor and supplement run together? Left out: asked.",
        ),
        key("status", word::<Status>(), "There, to be added, or to be taken out. Left out: `existing`."),
        key("managed", Form::Name, "Energy management group it belongs to."),
    ],
    choices: &[],
    entry: true,
};

/// A measured demand.
pub(crate) static DEMAND: Table = Table {
    heading: "[demand]",
    name: "demand",
    doc: "Greatest demand of the service, measured or read out of meter data (`panelwright meter`).",
    keys: &[
        need(
            "least_kw",
            Form::Number(Unit::Kilowatts, limits::DEMAND_KW),
            "The greatest demand was at least this.",
        ),
        need(
            "most_kw",
            Form::Number(Unit::Kilowatts, limits::DEMAND_KW),
            "And at most this; the same where it is known.",
        ),
        need("interval_min", Form::Count(1, 1440), "Averaging time, minutes."),
        key(
            "days",
            Form::Count(1, 400),
            "Days of a recording without a break. Left out: a year of meter data.",
        ),
        key(
            "own_generation",
            Form::Flag,
            "Is there solar, a battery or peak shaving on the same supply? Left out: asked.",
        ),
        key("occupied", Form::Flag, "Was the house lived in as usual? Left out: asked."),
        key(
            "season_included",
            Form::Flag,
            "Of a recording: does it hold the larger of heating and cooling? Left out: asked.",
        ),
        key(
            "power_factor",
            Form::Number(Unit::One, limits::POWER_FACTOR),
            "Power factor at the peak. Left out: taken as 1, with a note.",
        ),
        key("words", Form::Words, "Where it comes from."),
    ],
    choices: &[],
    entry: true,
};

static NEW_CIRCUIT: Table = Table {
    heading: "[[site.new_circuit]]",
    name: "new-circuit",
    doc: "A circuit that is to be added.",
    keys: &[
        need("name", Form::Name, "What you call it."),
        need("amps", Form::Count(10, 200), "Its rating, A."),
        key("area", word::<Area>(), "What it serves. Left out: asked."),
        key("is_120_v", Form::Flag, "Is it a 120 V circuit? Left out: true."),
        key("receptacles", Form::Flag, "Does it end in receptacles? Left out: true."),
    ],
    choices: &[],
    entry: false,
};

static THREE_WIRE: Table = Table {
    heading: "[[site.three_wire]]",
    name: "three-wire",
    doc: "A range or dryer circuit without an equipment ground.",
    keys: &[
        need("name", Form::Name, "What you call it."),
        key("neutral", word::<ThreeWireNeutral>(), "Its neutral. Left out: asked."),
        key("metal", word::<Metal>(), "Metal of the neutral. Left out: asked."),
    ],
    choices: &[],
    entry: false,
};

static SITE_KEYS: &[Key] = &[
    key("work", word::<PlannedWork>(), "What is planned. Left out: nothing yet."),
    key("outdoor", word::<Outdoor>(), "What stands outdoors after the work."),
    key("dwellings", Form::Count(1, 1000), "Dwellings in the building."),
    key(
        "disconnects",
        Form::Count(1, 100),
        "Movements of the hand that open the whole service after the work.",
    ),
    key("neutrals_at_terminal", Form::Count(0, 20), "Most neutrals under one terminal."),
    key("rods", Form::Count(0, 20), "Ground rods."),
    key(
        "service_a",
        Form::Number(Unit::Amperes, limits::BUS_RATING_A),
        "Rating of the service after the work.",
    ),
    key(
        "extension_ft",
        Form::Number(Unit::Feet, limits::EXTENSION_FT),
        "Longest new piece of branch circuit outside enclosures.",
    ),
    key(
        "highest_handle_in",
        Form::Number(Unit::Inches, limits::HEIGHT_IN),
        "Centre of the highest handle above the floor.",
    ),
    key(
        "space_depth_in",
        Form::Number(Unit::Inches, limits::HEIGHT_IN),
        "Depth of the clear space before the panel.",
    ),
    key("space_width_in", Form::Number(Unit::Inches, limits::HEIGHT_IN), "Its width."),
    key("space_height_in", Form::Number(Unit::Inches, limits::HEIGHT_IN), "Its height."),
    key(
        "fault_a",
        Form::Number(Unit::Amperes, limits::FAULT_A),
        "Most fault current at the service, as the utility told it.",
    ),
    key(
        "interrupting_a",
        Form::Number(Unit::Amperes, limits::FAULT_A),
        "Interrupting rating of the main as marked.",
    ),
    key("rod_spacing_ft", Form::Number(Unit::Feet, limits::EXTENSION_FT), "Distance of two rods."),
    key(
        "in_one_enclosure",
        Form::Flag,
        "Are all service disconnects in one enclosure after the work? True or false.",
    ),
    key("surge", Form::Flag, "Is there a surge device at the service after the work? True or false."),
    key("adds_outlets", Form::Flag, "Are outlets or devices added? True or false."),
    key("in_bathroom", Form::Flag, "Is the panel in a bathroom? True or false."),
    key(
        "in_closet",
        Form::Flag,
        "Is it in a clothes closet, or near easily ignitable material? True or false.",
    ),
    key("over_stairs", Form::Flag, "Is it over steps? True or false."),
    key("directory", Form::Flag, "Is every circuit described in the directory? True or false."),
    key("openings", Form::Flag, "Are there unused openings in cabinet or dead front? True or false."),
    key(
        "interior_evaluated",
        Form::Flag,
        "Has a new interior been evaluated together with this cabinet? True or false.",
    ),
    key("water_pipe", Form::Flag, "Is there a metal water pipe, 10 ft or more in the earth? True or false."),
    key(
        "other_electrode",
        Form::Flag,
        "Is there another electrode besides water pipe and rods, for example in concrete? True or false.",
    ),
    key("intersystem", Form::Flag, "Is there a bonding termination for other systems? True or false."),
    key("new_circuit", Form::Tables(&NEW_CIRCUIT), "Circuits that are added."),
    key("three_wire", Form::Tables(&THREE_WIRE), "Range and dryer circuits without an equipment ground."),
];

/// The site.
pub(crate) static SITE: Table = Table {
    heading: "[site]",
    name: "site",
    doc: "Place of the panel, planned work, electrodes: what the code asks. What is left out is asked where it matters.",
    keys: SITE_KEYS,
    choices: &[],
    entry: true,
};
