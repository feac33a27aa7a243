//! Tables of the course of a job: the job itself, complaints, photos, decisions, work, openings.

use super::{Form, JOINT, SLOT, Table, TextForm, Unit, key, need, text_form, word};
use crate::fact::WorkKind;
use crate::limits;
use crate::text::{NotRead, Textual};
use model::PanelId;
use model::job::{CallAnswer, ComplaintKind, Condition, Exposure};

/// The job.
pub(crate) static JOB: Table = Table {
    heading: "[job]",
    name: "job",
    doc: "The job: one address, from the call to the look-back.",
    keys: &[
        need("id", Form::Name, "Name of the job, unique in the shop."),
        need("opened", Form::Day, "Day the job was opened: `2026-03-04`."),
        key("place", Form::Name, "How the papers call the place."),
        key("town", Form::Name, "Town, as printed."),
        key("owner", Form::Name, "How the papers address the owner."),
        key("invented", Form::Flag, "True for a demo or a test: the papers say so. Left out: false."),
        key(
            "exposure",
            word::<Exposure>(),
            "How far the panel was opened: dead front on, dead front off, or proven dead. Left out: `cover-on`.",
        ),
        key("by", Form::Name, "Who took the record, by role or initials; an entry may name another."),
        key("opened_by", Form::Name, "Who opened the job, where it was somebody else."),
        super::ENTRY_AT,
        key("fact", Form::Text(super::FACT_ID), "Id of this entry (in other entries: `id`)."),
        super::ENTRY_SUPERSEDES,
    ],
    choices: &[],
    entry: false,
};

/// An exposure, with its time.
pub(crate) static EXPOSURE: Table = Table {
    heading: "[[exposure]]",
    name: "exposure",
    doc: "How far the panel was opened, and when; the widest of them counts.",
    keys: &[need("reached", word::<Exposure>(), "How far.")],
    choices: &[],
    entry: true,
};

/// A complaint.
pub(crate) static COMPLAINT: Table = Table {
    heading: "[[complaint]]",
    name: "complaint",
    doc: "What the caller complains of.",
    keys: &[
        need("kind", word::<ComplaintKind>(), "What of."),
        key("space", Form::Text(SLOT), "Space of the circuit it is about, where it is about one."),
        key("words", Form::Words, "The caller's words."),
    ],
    choices: &[],
    entry: true,
};

/// SHA-256 in hex.
#[derive(Debug, Clone)]
pub(crate) struct Hash(String);

impl Textual for Hash {
    const WHAT: &'static str = "a SHA-256 hash";

    fn write(&self) -> String {
        self.0.clone()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        if text.len() == 64 && text.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Ok(Hash(text.to_ascii_lowercase()));
        }
        let shown: String = text.chars().take(80).collect();
        let right = format!(
            "64 hex digits, as `sha256sum photo.jpg` prints them; these are {} characters",
            text.chars().count()
        );
        Err(NotRead::Form { text: shown, what: Self::WHAT, right })
    }
}

pub(super) const HASH: TextForm = text_form::<Hash>(
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "^[0-9a-fA-F]{64}$",
);

/// A photo.
pub(crate) static PHOTO: Table = Table {
    heading: "[[photo]]",
    name: "photo",
    doc: "A photo, kept by the hash of its file.",
    keys: &[
        need("sha256", Form::Text(HASH), "SHA-256 of the file, 64 hex digits."),
        key("words", Form::Words, "What it shows."),
        key("space", Form::Text(SLOT), "Space it shows, where it shows one."),
    ],
    choices: &[],
    entry: true,
};

/// A mark on a photo.
pub(crate) static PIN: Table = Table {
    heading: "[[pin]]",
    name: "pin",
    doc: "A mark on a photo.",
    keys: &[
        need("photo", Form::Text(HASH), "SHA-256 of the photo, 64 hex digits."),
        need(
            "x",
            Form::Number(Unit::One, limits::FRACTION),
            "From the left edge of the upright picture, as a fraction of its width.",
        ),
        need(
            "y",
            Form::Number(Unit::One, limits::FRACTION),
            "From the top edge of the upright picture, as a fraction of its height.",
        ),
        key("space", Form::Text(SLOT), "Space it marks, where it marks one."),
        key("words", Form::Words, "What is there."),
    ],
    choices: &[],
    entry: true,
};

const ANSWER: Form = Form::Text(text_form::<CallAnswer>("smell:now", "^[a-z0-9-]{1,40}:[a-z0-9-]{1,40}$"));

/// A call.
pub(crate) static CALL: Table = Table {
    heading: "[[call]]",
    name: "call",
    doc: "A telephone call: what the caller was asked and said.",
    keys: &[
        key(
            "answers",
            Form::List(&ANSWER),
            "Answers to the questions of the call sheet, each as question and answer: `smell:now`. A question may have several.",
        ),
        key("words", Form::Words, "What else the caller said, in the caller's words."),
    ],
    choices: &[],
    entry: true,
};

/// A decision.
pub(crate) static DECISION: Table = Table {
    heading: "[[decision]]",
    name: "decision",
    doc: "Something decided.",
    keys: &[
        need("words", Form::Words, "What, in the words of who decided; `by` says who."),
        key("declined", Form::Flag, "Was advice declined? Left out: false."),
    ],
    choices: &[],
    entry: true,
};

impl Textual for WorkKind {
    const WHAT: &'static str = "a kind of work";
    const WORDS: &'static [&'static str] = &["lasting", "stop-gap"];

    fn write(&self) -> String {
        match self {
            WorkKind::Lasting => "lasting",
            WorkKind::StopGap => "stop-gap",
        }
        .to_owned()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        match text {
            "lasting" => Ok(WorkKind::Lasting),
            "stop-gap" => Ok(WorkKind::StopGap),
            _ => Err(NotRead::Form {
                text: text.to_owned(),
                what: Self::WHAT,
                right: "`lasting`, or `stop-gap` with days in `expires` and `recheck`".to_owned(),
            }),
        }
    }
}

/// Work.
pub(crate) static WORK: Table = Table {
    heading: "[[work]]",
    name: "work",
    doc: "Work done.",
    keys: &[
        need("kind", word::<WorkKind>(), "Meant to last, or a stop-gap until something better."),
        need("words", Form::Words, "What was done."),
        key("spaces", Form::List(&Form::Text(SLOT)), "Spaces it touched."),
        key(
            "moved_to",
            Form::List(&Form::Text(SLOT)),
            "Spaces to which the circuit was moved. A move is always a stop-gap.",
        ),
        key("expires", Form::Day, "Day on which a stop-gap expires. A stop-gap without one is refused."),
        key(
            "recheck",
            Form::Day,
            "Day on which a stop-gap is looked at again, not after it expires. A stop-gap without one is refused.",
        ),
    ],
    choices: &[],
    entry: true,
};

/// An opening.
pub(crate) static OPENING: Table = Table {
    heading: "[[opening]]",
    name: "opening",
    doc: "What was found at a joint when it was opened, proven dead.",
    keys: &[
        need(
            "joint",
            Form::Text(JOINT),
            "Which joint: `stab:5`, `terminal:5`, `neutral:5`, `lug:A`, `neutral:lug`, `feeder:lower:A`.",
        ),
        need("found", word::<Condition>(), "Its condition."),
        key("words", Form::Words, "What it looked like."),
    ],
    choices: &[],
    entry: true,
};

/// A retraction.
pub(crate) static RETRACTION: Table = Table {
    heading: "[[retraction]]",
    name: "retraction",
    doc: "Takes back the entries that it `supersedes`, with nothing in their place.",
    keys: &[key("words", Form::Words, "Why.")],
    choices: &[],
    entry: true,
};
