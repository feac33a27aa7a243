//! Facts of the days between finding and replacing: the plan that was agreed, promises, and what was done of them.

use crate::text::{AsText, Textual};
use jiff::civil::Date;
use model::plan::{Alarms, Answer, KeptWhat, PromiseKind};
use model::{FactId, Slot};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A plan until the replacement, as it was agreed or declined.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct InterimPlanned {
    /// Breakers that are off and must stay off.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub off: Vec<AsText<Slot>>,
    /// Limits on what may be used, by ids of the plan's phrases.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub limits: Vec<String>,
    /// Further limits, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub limits_words: String,
    /// What was moved or changed, why the new place was judged sound, what was not looked at.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub done: String,
    /// What to watch for, by ids of the plan's phrases.
    pub watch: Vec<String>,
    /// What else to watch for, in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub watch_words: String,
    /// Smoke alarms.
    pub alarms: AsText<Alarms>,
    /// Where they hang, and what was found.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub alarms_words: String,
    /// Medical devices, and what bridges an unplanned shut-off.
    pub medical: String,
    /// Food and medicine that must stay cold.
    pub food: String,
    /// Heating, cooling, pumps.
    pub heat: String,
    /// Last day of the plan.
    #[schemars(with = "String")]
    pub expires: Date,
    /// Day of the recheck.
    #[schemars(with = "String")]
    pub recheck: Date,
    /// Day of the replacement, where it is set.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub replacement: Option<Date>,
    /// What happens if a day passes without what was to be done, by ids of the plan's phrases.
    pub slip: Vec<String>,
    /// What the customer said to it.
    pub answer: AsText<Answer>,
    /// In the customer's words.
    pub answer_words: String,
    /// Who said it, by role.
    pub answer_by: String,
    /// Why it was advised otherwise, where it was declined.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub reasons: String,
}

impl InterimPlanned {
    pub(super) fn subject(&self) -> String {
        self.expires.to_string()
    }
}

/// A promise with its day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PromiseGiven {
    /// What kind.
    pub of_kind: AsText<PromiseKind>,
    /// What.
    pub words: String,
    /// By which day.
    #[schemars(with = "String")]
    pub due: Date,
}

impl PromiseGiven {
    pub(super) fn subject(&self) -> String {
        self.due.to_string()
    }
}

/// Something due was done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DueKept {
    /// The promise, the work or the plan it settles.
    pub of: AsText<FactId>,
    /// Which of its days.
    pub what: AsText<KeptWhat>,
    /// What was found or done.
    pub words: String,
}

impl DueKept {
    pub(super) fn subject(&self) -> String {
        self.what.0.write()
    }
}
