//! The call sheet as it is written, and its check.

use super::{Answer, CallUrgency, FirstCall, Question, Rule, Triage};
use crate::words::StandingWord;
use model::cite::Cite;
use model::job::CallAnswer;
use serde::Deserialize;
use std::collections::BTreeMap;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct SheetFile {
    version: String,
    emergency: String,
    closing: String,
    question: Vec<QuestionTable>,
    headline: BTreeMap<UrgencyWord, String>,
    #[serde(rename = "do")]
    do_lines: BTreeMap<String, String>,
    #[serde(rename = "dont")]
    dont_lines: BTreeMap<String, String>,
    rule: Vec<RuleTable>,
    otherwise: RuleTable,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct QuestionTable {
    id: String,
    ask: String,
    hint: String,
    several: bool,
    answers: Vec<AnswerTable>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct AnswerTable {
    id: String,
    label: String,
    said: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct RuleTable {
    name: String,
    #[serde(default)]
    keep: bool,
    urgency: Option<UrgencyWord>,
    first_call: Option<FirstCallWord>,
    #[serde(default)]
    when: Vec<Vec<String>>,
    #[serde(rename = "do")]
    do_lines: Vec<String>,
    #[serde(rename = "dont")]
    dont_lines: Vec<String>,
    reason: String,
    source: String,
    standing: StandingWord,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum UrgencyWord {
    Emergency,
    UtilityNow,
    UsTonight,
    UsTomorrow,
    PlanVisit,
}

impl From<UrgencyWord> for CallUrgency {
    fn from(word: UrgencyWord) -> Self {
        match word {
            UrgencyWord::Emergency => CallUrgency::Emergency,
            UrgencyWord::UtilityNow => CallUrgency::UtilityNow,
            UrgencyWord::UsTonight => CallUrgency::UsTonight,
            UrgencyWord::UsTomorrow => CallUrgency::UsTomorrow,
            UrgencyWord::PlanVisit => CallUrgency::PlanVisit,
        }
    }
}

#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum FirstCallWord {
    EmergencyServices,
    Utility,
    Us,
}

impl From<FirstCallWord> for FirstCall {
    fn from(word: FirstCallWord) -> Self {
        match word {
            FirstCallWord::EmergencyServices => FirstCall::EmergencyServices,
            FirstCallWord::Utility => FirstCall::Utility,
            FirstCallWord::Us => FirstCall::Us,
        }
    }
}

/// Why a call sheet cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(super) enum SheetError {
    #[error("the call sheet is not TOML of the right form: {0}")]
    Form(String),
    #[error("rule `{rule}` names the answer `{answer}`, which no question has")]
    NoAnswer { rule: String, answer: String },
    #[error("rule `{rule}` tells the line `{line}`, which is not in the list")]
    NoLine { rule: String, line: String },
    #[error("rule `{rule}` gives one of `urgency` and `first_call` without the other")]
    HalfUrgency { rule: String },
    #[error("there is no headline for `{0}`")]
    NoHeadline(&'static str),
}

/// Parses and checks a call sheet.
pub(super) fn parse(text: &str) -> Result<Triage, SheetError> {
    let file: SheetFile = toml::from_str(text).map_err(|error| SheetError::Form(error.to_string()))?;
    let filled = |line: &str| line.replace("{emergency}", &file.emergency);
    let questions: Vec<Question> = file
        .question
        .iter()
        .map(|question| Question {
            id: question.id.clone(),
            ask: question.ask.clone(),
            hint: question.hint.clone(),
            several: question.several,
            answers: question
                .answers
                .iter()
                .map(|answer| Answer {
                    id: answer.id.clone(),
                    label: answer.label.clone(),
                    said: answer.said.clone(),
                })
                .collect(),
        })
        .collect();
    let lines = |rule: &str, names: &[String], from: &BTreeMap<String, String>| {
        let line = |name: &String| {
            let missing = || SheetError::NoLine { rule: rule.to_owned(), line: name.clone() };
            from.get(name).map(|line| filled(line)).ok_or_else(missing)
        };
        names.iter().map(line).collect::<Result<Vec<_>, _>>()
    };
    let rule = |table: &RuleTable| -> Result<Rule, SheetError> {
        let when = table.when.iter().map(|any| answers(&questions, &table.name, any));
        Ok(Rule {
            name: table.name.clone(),
            urgency: match (table.urgency, table.first_call) {
                (Some(urgency), Some(call)) => Some((urgency.into(), call.into())),
                (None, None) => None,
                _ => return Err(SheetError::HalfUrgency { rule: table.name.clone() }),
            },
            when: when.collect::<Result<_, _>>()?,
            do_lines: lines(&table.name, &table.do_lines, &file.do_lines)?,
            dont_lines: lines(&table.name, &table.dont_lines, &file.dont_lines)?,
            keep: table.keep,
            reason: table.reason.clone(),
            cite: Cite::new("", table.source.clone(), table.standing.0),
        })
    };
    let rules: Vec<Rule> = file.rule.iter().map(&rule).collect::<Result<_, _>>()?;
    let otherwise = rule(&file.otherwise)?;
    let headlines: BTreeMap<CallUrgency, String> =
        file.headline.iter().map(|(word, line)| (CallUrgency::from(*word), filled(line))).collect();
    for urgency in CallUrgency::ALL {
        if !headlines.contains_key(&urgency) {
            return Err(SheetError::NoHeadline(urgency.word()));
        }
    }
    let closing = filled(&file.closing);
    Ok(Triage { version: file.version.clone(), questions, rules, otherwise, headlines, closing })
}

fn answers(questions: &[Question], rule: &str, texts: &[String]) -> Result<Vec<CallAnswer>, SheetError> {
    let answer = |text: &String| {
        let known = text.split_once(':').filter(|(question, answer)| {
            let question = questions.iter().find(|one| one.id == *question);
            question.is_some_and(|one| one.answers.iter().any(|it| it.id == *answer))
        });
        let known = known.map(|(question, answer)| CallAnswer {
            question: question.to_owned(),
            answer: answer.to_owned(),
        });
        known.ok_or_else(|| SheetError::NoAnswer { rule: rule.to_owned(), answer: text.clone() })
    };
    texts.iter().map(answer).collect()
}
