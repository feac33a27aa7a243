//! Tables of the days between finding and replacing: the plan, promises, what was done of them.

use super::{FACT_ID, Form, SLOT, Table, TextForm, key, need, text_form, word};
use crate::text::{NotRead, Textual};
use model::PanelId;
use model::plan::{Alarms, Answer, KeptWhat, PromiseKind};

/// A short name of a phrase: `smell`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct PhraseId(pub(crate) String);

impl Textual for PhraseId {
    const WHAT: &'static str = "the id of a phrase";

    fn write(&self) -> String {
        self.0.clone()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        let is_plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if text.is_empty() || 40 < text.len() || !text.chars().all(is_plain) {
            return Err(NotRead::Form {
                text: text.to_owned(),
                what: Self::WHAT,
                right: "lower-case letters, digits and `-`, 40 at most: `smell`".to_owned(),
            });
        }
        Ok(PhraseId(text.to_owned()))
    }
}

pub(super) const PHRASE: TextForm = text_form::<PhraseId>("smell", "^[a-z0-9-]{1,40}$");

/// A plan.
pub(crate) static INTERIM: Table = Table {
    heading: "[[interim]]",
    name: "interim",
    doc: "The plan until the replacement, as it was agreed or declined. The last one counts.",
    keys: &[
        key("off", Form::List(&Form::Text(SLOT)), "Spaces of breakers that are off and must stay off."),
        key(
            "limits",
            Form::List(&Form::Text(PHRASE)),
            "Limits on what may be used, by ids of the plan's phrases.",
        ),
        key("limits_words", Form::Words, "Further limits."),
        key(
            "done",
            Form::Words,
            "What was moved or changed, why the new place was judged sound, what was not looked at.",
        ),
        need(
            "watch",
            Form::List(&Form::Text(PHRASE)),
            "What to watch for, by ids of the plan's phrases: `smell`. One at least.",
        ),
        key("watch_words", Form::Words, "What else to watch for."),
        need(
            "alarms",
            word::<Alarms>(),
            "Smoke alarms: tested and sounding, tested and failed, none there, not tested.",
        ),
        key("alarms_words", Form::Words, "Where they hang, and what was found."),
        need(
            "medical",
            Form::Words,
            "Medical devices, and what bridges an unplanned shut-off; `none` where there are none.",
        ),
        need("food", Form::Words, "Food and medicine that must stay cold; `none` where there is none."),
        need(
            "heat",
            Form::Words,
            "Heating, cooling, pumps that hang on the panel; `none` where nothing does.",
        ),
        need("expires", Form::Day, "Last day of the plan."),
        need("recheck", Form::Day, "Day of the recheck, not after the last day."),
        key("replacement", Form::Day, "Day of the replacement, where it is set."),
        need(
            "slip",
            Form::List(&Form::Text(PHRASE)),
            "What happens if a day passes without what was to be done, by ids of the plan's phrases. One at least.",
        ),
        need("answer", word::<Answer>(), "What the customer said to it."),
        need("answer_words", Form::Words, "The same in the customer's words."),
        need("answer_by", Form::Name, "Who said it, by role."),
        key("reasons", Form::Words, "Why it was advised otherwise, where it was declined."),
    ],
    choices: &[],
    entry: true,
};

/// A promise.
pub(crate) static PROMISE: Table = Table {
    heading: "[[promise]]",
    name: "promise",
    doc: "Something promised, with its day.",
    keys: &[
        key(
            "kind",
            word::<PromiseKind>(),
            "A promise, or a look-back: a visit to compare with the first readings. Left out: `promise`.",
        ),
        need("words", Form::Words, "What was promised."),
        need("due", Form::Day, "By which day."),
    ],
    choices: &[],
    entry: true,
};

/// What was done.
pub(crate) static KEPT: Table = Table {
    heading: "[[kept]]",
    name: "kept",
    doc: "Something due was done.",
    keys: &[
        need("of", Form::Text(FACT_ID), "The `id` of the promise, the work or the plan it settles."),
        need(
            "what",
            word::<KeptWhat>(),
            "Which of its days: the recheck, its end, the look-back, the promise.",
        ),
        need("words", Form::Words, "What was found or done."),
    ],
    choices: &[],
    entry: true,
};
