//! Tables of an isolation: handles moved, cuts by the utility, other sources, proofs of absence of voltage.

use super::{DISCONNECT, Form, PAIR, PART, Table, Unit, key, need, word};
use crate::limits;
use model::isolation::MovedTo;

const VOLTS: Form = Form::Number(Unit::Volts, limits::VOLTS);

/// A movement of a handle.
pub(crate) static HANDLE: Table = Table {
    heading: "[[handle]]",
    name: "handle",
    doc: "A handle that was moved. Where it stands is a claim, not a proof.",
    keys: &[
        need(
            "what",
            Form::Text(DISCONNECT),
            "Which: a breaker by any of its spaces (`9`), or the main of a section (`main:upper`).",
        ),
        need("to", word::<MovedTo>(), "Where to."),
    ],
    choices: &[],
    entry: true,
};

/// A cut by the utility.
pub(crate) static CUT: Table = Table {
    heading: "[[cut]]",
    name: "cut",
    doc: "The utility cut the supply, or gave it back.",
    keys: &[
        key("restored", Form::Flag, "True where it gave the supply back. Left out: false, it was cut."),
        need("words", Form::Words, "By whom and how: the meter pulled, the drop cut."),
    ],
    choices: &[],
    entry: true,
};

/// Another source.
pub(crate) static SOURCE: Table = Table {
    heading: "[[source]]",
    name: "source",
    doc: "Another source that was looked for. One that was not looked for counts as live.",
    keys: &[
        need("what", Form::Name, "What was looked for, as the isolation plan calls it: `a generator`."),
        need("found", Form::Flag, "Is there one: true or false. One that is not looked for has no entry."),
        key("cut", Form::Flag, "True where there is one and it is shut down and cut off. Left out: false."),
        need("looked", Form::Words, "How it was looked for, or how it was cut."),
    ],
    choices: &[],
    entry: true,
};

/// A proof.
pub(crate) static PROOF: Table = Table {
    heading: "[[proof]]",
    name: "proof",
    doc: "A test for absence of voltage: live, dead, live.",
    keys: &[
        need(
            "part",
            Form::Text(PART),
            "Where: the line lugs of a panel (`main`), the bus of a section (`main/lower`), the load side of a breaker (`main/15`).",
        ),
        need("tester", Form::Name, "The tester, by the shop's own name."),
        key("live_before", VOLTS, "What it showed on a known live source before. Left out: not tried."),
        key("live_after", VOLTS, "What it showed on a known live source after. Left out: not tried."),
        need(
            "volts",
            Form::Map(PAIR, &VOLTS),
            "What it showed at the part, pair by pair: `{ \"A-B\" = 0.2, \"A-neutral\" = 0.1 }`.",
        ),
    ],
    choices: &[],
    entry: true,
};
