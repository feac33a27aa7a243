//! Tables that prepare the replacement: circuits as surveyed, answers to the list of surprises, the chosen layout.

use super::equipment::{CABINET, CONDUCTOR, EVERYWHERE};
use super::offer::USD_MAX;
use super::{Form, PANEL_ID, PHRASE, SLOT, SPACE, Table, Unit, exactly_one, key, need, word};
use crate::limits;
use model::Leg;
use model::breaker::{LoadClass, Protection};
use model::replacement::{Carry, Found, HeldFor, PanelEnd};

/// A surveyed circuit.
pub(crate) static CIRCUIT: Table = Table {
    heading: "[[circuit]]",
    name: "circuit",
    doc: "A circuit as it was surveyed for the replacement. Leave out what was not looked at: it is then not known. The last entry of a circuit counts.",
    keys: &[
        need("space", Form::Text(SLOT), "First space of its breaker in the old panel."),
        key("name", Form::Name, "Number or name on its tag."),
        key("poles", Form::Count(1, 3), "Poles that it needs. Left out: those of its breaker."),
        key(
            "rating_a",
            Form::Number(Unit::Amperes, limits::RATING_A),
            "Rating that it needs in the new panel. Left out: that of its breaker.",
        ),
        key("feeds", Form::Words, "What it feeds. Left out: as described at its breaker."),
        key("room", Form::Name, "In which room; rooms, not persons."),
        key("class", word::<LoadClass>(), "Rough class of the load."),
        key("conductor", Form::Table(&CONDUCTOR), "Its conductor, with side of entry and free length."),
        key("multiwire", Form::Flag, "Is it half of a multiwire circuit? Left out: not known."),
        key("partner", Form::Text(SPACE), "Space of the pole that shares its neutral."),
        key("uses_neutral", Form::Flag, "Does it use the neutral? Left out: not known."),
        key("grounded", Form::Flag, "Does its cable bring an equipment ground? Left out: not known."),
        key("protection", word::<Protection>(), "Protection that it has now."),
        key("protection_after", word::<Protection>(), "Protection that it gets with the new panel."),
        key("continuous", Form::Flag, "Does it run for three hours or more? Left out: not known."),
        key("motor", Form::Flag, "Is it a motor? Left out: not known."),
        key("together", Form::Name, "Name of a group: its circuits stay next to each other."),
        key("words", Form::Words, "Remarks."),
    ],
    choices: &[],
    entry: true,
};

/// An answer to the list of surprises.
pub(crate) static SURPRISE: Table = Table {
    heading: "[[surprise]]",
    name: "surprise",
    doc: "An answer to a question of the list of surprises. The last answer to a question counts.",
    keys: &[
        need("question", Form::Text(PHRASE), "Id of the question: `short-conductors`."),
        need("answer", word::<Found>(), "It is so, it is not so, or nobody knows before the day."),
        key("space", Form::Text(SLOT), "First space of the circuit it is about. Left out: the whole job."),
        key(
            "carry",
            word::<Carry>(),
            "How the price carries it while it is not known. Left out: as the list proposes.",
        ),
        key(
            "hours",
            Form::Number(Unit::One, limits::SURPRISE_H),
            "Hours of all people that it took beyond the plan.",
        ),
        key("cost_usd", Form::Count(0, USD_MAX), "Parts and others that it took, US dollars."),
        key("charged", Form::Flag, "Was it on the bill? Left out: not said."),
        key("words", Form::Words, "What was seen."),
    ],
    choices: &[],
    entry: true,
};

static SEAT: Table = Table {
    heading: "[[arrangement.seat]]",
    name: "arranged-seat",
    doc: "Where one breaker goes in the new panel.",
    keys: &[
        key("circuit", Form::Text(SLOT), "A circuit of the old panel, by the first space of its breaker."),
        key("new", Form::Name, "Or a new circuit, by its `name` under `[[site.new_circuit]]`."),
        need("to", Form::List(&Form::Text(SPACE)), "Its spaces in the new panel, in the order of its poles."),
        key("locked", Form::Flag, "Decided by a person and not to be moved? Left out: false."),
    ],
    choices: &[exactly_one(&["circuit", "new"])],
    entry: false,
};

static HELD: Table = Table {
    heading: "[[arrangement.held]]",
    name: "held-spaces",
    doc: "Spaces held free in the new panel.",
    keys: &[
        need("spaces", Form::List(&Form::Text(SPACE)), "Which."),
        need("for", word::<HeldFor>(), "For what."),
    ],
    choices: &[],
    entry: false,
};

/// A chosen layout.
pub(crate) static ARRANGEMENT: Table = Table {
    heading: "[[arrangement]]",
    name: "arrangement",
    doc: "The layout that was chosen for a new panel: the panel by what it must have, not by make, and where each circuit goes. The last one of a panel counts.",
    keys: &[
        need("panel", Form::Text(PANEL_ID), "The old panel whose circuits move."),
        need("spaces", Form::Count(1, limits::SPACES_MAX as i64), "Spaces of the new panel."),
        key("columns", Form::Count(1, 2), "Columns. Left out: 2."),
        key("first_leg", word::<Leg>(), "Leg of the first row. Left out: `A`."),
        key("fed_at", word::<PanelEnd>(), "Where the bus is fed. Left out: not known."),
        key(
            "half_width",
            Form::Either(&EVERYWHERE, &Form::List(&Form::Count(1, limits::SPACES_MAX as i64))),
            "Where half-width breakers may go: `\"everywhere\"` or a list of spaces. Left out: nowhere, or not known.",
        ),
        key("bus_rating_a", Form::Number(Unit::Amperes, limits::BUS_RATING_A), "Rating of the bus."),
        key(
            "main_a",
            Form::Number(Unit::Amperes, limits::BUS_RATING_A),
            "Rating of its main breaker. Left out: none, or not known.",
        ),
        key(
            "stab_limit_a",
            Form::Number(Unit::Amperes, limits::BUS_RATING_A),
            "Largest sum of the ratings on one stab, where the label states one.",
        ),
        key("cabinet", Form::Table(&CABINET), "Its cabinet."),
        need("seat", Form::Tables(&SEAT), "Where each circuit goes."),
        key("held", Form::Tables(&HELD), "Spaces held free."),
        key("aim", Form::Name, "The aim under which it was made."),
        key("words", Form::Words, "Why this one."),
    ],
    choices: &[],
    entry: true,
};
