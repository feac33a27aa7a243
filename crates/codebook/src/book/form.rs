//! The form of the data files `rules/*.toml`, `sources.toml` and `refusals.toml`.

use crate::edition::Edition;
use serde::Deserialize;

/// A value as written: a number, or a word that names a method, a table or an answer.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(untagged)]
pub enum Value {
    /// A number.
    Number(f64),
    /// A word.
    Word(String),
}

impl std::fmt::Display for Value {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Value::Number(number) => write!(f, "{number}"),
            Value::Word(word) => f.write_str(word),
        }
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum StandingWord {
    Published,
    Memory,
    Reported,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct DatedForm {
    pub(crate) from: Edition,
    pub(crate) value: Option<Value>,
    #[serde(default)]
    pub(crate) absent: bool,
    pub(crate) section: String,
    pub(crate) standing: StandingWord,
    #[serde(default)]
    pub(crate) source: Vec<String>,
    pub(crate) note: Option<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RuleForm {
    pub(crate) id: String,
    pub(crate) what: String,
    #[serde(default)]
    pub(crate) unit: String,
    /// Last edition that any source we read, or our memory, speaks of.
    pub(crate) through: Edition,
    pub(crate) dated: Vec<DatedForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RulesForm {
    pub(crate) rule: Vec<RuleForm>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SourceForm {
    pub(crate) id: String,
    pub(crate) what: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct SourcesForm {
    pub(crate) source: Vec<SourceForm>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RefusalForm {
    pub(crate) rules: Vec<String>,
    pub(crate) editions: Vec<Edition>,
    pub(crate) reason: String,
    pub(crate) confirm: String,
    /// Closes a rule that the rule files would answer.
    #[serde(default)]
    pub(crate) close: bool,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ConfirmedForm {
    pub(crate) rule: String,
    pub(crate) edition: Edition,
    pub(crate) value: Option<Value>,
    #[serde(default)]
    pub(crate) absent: bool,
    pub(crate) section: String,
    pub(crate) who: String,
    pub(crate) on: String,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RefusalsForm {
    #[serde(default)]
    pub(crate) refusal: Vec<RefusalForm>,
    #[serde(default)]
    pub(crate) confirmed: Vec<ConfirmedForm>,
}
