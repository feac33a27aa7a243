//! The call sheet: questions for a caller, and what to tell the caller before anybody is there.
//!
//! What is asked, told and why stands in `data/triage.toml`; here is only how its rules are applied.

mod file;
#[cfg(test)]
mod tests;

use model::cite::Cite;
use model::job::CallAnswer;
use std::collections::BTreeMap;

/// The text of the call sheet.
const STANDARD: &str = include_str!("../../data/triage.toml");
/// Most lines told of each kind: a frightened person keeps three.
const LINES_MAX: usize = 3;

/// What a call asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CallUrgency {
    /// Everybody out, the emergency services from outside.
    Emergency,
    /// The utility now, and us.
    UtilityNow,
    /// Us, tonight.
    UsTonight,
    /// Us, tomorrow.
    UsTomorrow,
    /// A visit by appointment.
    PlanVisit,
}

impl CallUrgency {
    /// All urgencies, the most urgent first.
    pub const ALL: [CallUrgency; 5] = [
        CallUrgency::Emergency,
        CallUrgency::UtilityNow,
        CallUrgency::UsTonight,
        CallUrgency::UsTomorrow,
        CallUrgency::PlanVisit,
    ];

    /// The word used in files and addresses.
    pub const fn word(self) -> &'static str {
        match self {
            CallUrgency::Emergency => "emergency",
            CallUrgency::UtilityNow => "utility-now",
            CallUrgency::UsTonight => "us-tonight",
            CallUrgency::UsTomorrow => "us-tomorrow",
            CallUrgency::PlanVisit => "plan-visit",
        }
    }

    /// The words for whoever takes the call.
    pub const fn phrase(self) -> &'static str {
        match self {
            CallUrgency::Emergency => "out of the house, emergency services",
            CallUrgency::UtilityNow => "utility now, and us",
            CallUrgency::UsTonight => "us tonight",
            CallUrgency::UsTomorrow => "us tomorrow",
            CallUrgency::PlanVisit => "plan a visit",
        }
    }
}

/// Who is called first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FirstCall {
    /// The emergency services.
    EmergencyServices,
    /// The utility.
    Utility,
    /// Us.
    Us,
}

impl FirstCall {
    /// The words for whoever takes the call.
    pub const fn phrase(self) -> &'static str {
        match self {
            FirstCall::EmergencyServices => "the emergency services",
            FirstCall::Utility => "the utility",
            FirstCall::Us => "us",
        }
    }
}

/// A question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Id, for [`CallAnswer::question`].
    pub id: String,
    /// The question in the caller's words.
    pub ask: String,
    /// A remark for it; empty where there is none.
    pub hint: String,
    /// May it have several answers?
    pub several: bool,
    /// Answers to tap.
    pub answers: Vec<Answer>,
}

/// An answer to tap.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Id, for [`CallAnswer::answer`].
    pub id: String,
    /// On the button.
    pub label: String,
    /// As a record says it: `it smells of burning now`.
    pub said: String,
}

/// A rule of the sheet.
#[derive(Debug, Clone, PartialEq)]
struct Rule {
    name: String,
    urgency: Option<(CallUrgency, FirstCall)>,
    /// Each holds when one of its answers was given; all must hold.
    when: Vec<Vec<CallAnswer>>,
    do_lines: Vec<String>,
    dont_lines: Vec<String>,
    /// Is its line told whatever else is?
    keep: bool,
    reason: String,
    cite: Cite,
}

impl Rule {
    fn fires(&self, answers: &[CallAnswer]) -> bool {
        self.when.iter().all(|any| any.iter().any(|wanted| answers.contains(wanted)))
    }
}

/// A rule that fired, and why it is there.
#[derive(Debug, Clone, PartialEq)]
pub struct CallRule {
    /// Name.
    pub name: String,
    /// What it asks for, where it asks for an urgency.
    pub urgency: Option<CallUrgency>,
    /// Why the rule is there.
    pub reason: String,
    /// Where it comes from.
    pub cite: Cite,
}

/// What is advised to a caller.
#[derive(Debug, Clone, PartialEq)]
pub struct CallAdvice {
    /// How soon, and who.
    pub urgency: CallUrgency,
    /// Who is called first.
    pub first_call: FirstCall,
    /// First words to the caller.
    pub headline: String,
    /// What the caller does meanwhile, three lines at most.
    pub do_lines: Vec<String>,
    /// What the caller leaves, three lines at most.
    pub dont_lines: Vec<String>,
    /// Last words of what is sent.
    pub closing: String,
    /// Every rule that fired, the most urgent first.
    pub rules: Vec<CallRule>,
    /// Ids of questions without an answer: the advice may become more urgent with them.
    pub not_asked: Vec<String>,
}

impl CallAdvice {
    /// The advice as a text message.
    pub fn text(&self) -> String {
        let mut text = self.headline.clone();
        for (title, lines) in [("Do:", &self.do_lines), ("Do not:", &self.dont_lines)] {
            if !lines.is_empty() {
                text.push_str(&format!("\n\n{title}"));
                lines.iter().for_each(|line| text.push_str(&format!("\n- {line}")));
            }
        }
        text.push_str(&format!("\n\n{}", self.closing));
        text
    }
}

/// The call sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Triage {
    version: String,
    questions: Vec<Question>,
    rules: Vec<Rule>,
    otherwise: Rule,
    headlines: BTreeMap<CallUrgency, String>,
    closing: String,
}

impl Triage {
    /// The call sheet that comes with the program.
    pub fn standard() -> Triage {
        file::parse(STANDARD).expect("the call sheet is checked by a test")
    }

    /// Its version, as written in records.
    pub fn version(&self) -> &str {
        &self.version
    }

    /// The questions, in the order in which they are asked.
    pub fn questions(&self) -> &[Question] {
        &self.questions
    }

    /// What the answers come to. An answer that the sheet does not know counts for nothing; adding an answer never
    /// makes the advice less urgent.
    pub fn advise(&self, answers: &[CallAnswer]) -> CallAdvice {
        let mut fired: Vec<&Rule> = self.rules.iter().filter(|rule| rule.fires(answers)).collect();
        // Stable: rules of one urgency stay in the order of the sheet; those without one come last.
        fired.sort_by_key(|rule| (rule.urgency.is_none(), rule.urgency.map(|(urgency, _)| urgency)));
        let at = fired.iter().position(|rule| rule.urgency.is_none()).unwrap_or(fired.len());
        if at == 0 {
            fired.insert(0, &self.otherwise);
        }
        let (urgency, first_call) =
            fired.iter().find_map(|rule| rule.urgency).unwrap_or((CallUrgency::PlanVisit, FirstCall::Us));
        let told: Vec<&Rule> = if urgency == CallUrgency::Emergency {
            fired.iter().copied().filter(|rule| rule.urgency == Some((urgency, rule_call(rule)))).collect()
        } else {
            fired.clone()
        };
        let is_answered = |question: &Question| answers.iter().any(|answer| answer.question == question.id);
        CallAdvice {
            urgency,
            first_call,
            headline: self.headlines.get(&urgency).cloned().unwrap_or_default(),
            do_lines: lines(&told, |rule| &rule.do_lines),
            dont_lines: lines(&told, |rule| &rule.dont_lines),
            closing: self.closing.clone(),
            rules: fired
                .into_iter()
                .map(|rule| CallRule {
                    name: rule.name.clone(),
                    urgency: rule.urgency.map(|(urgency, _)| urgency),
                    reason: rule.reason.clone(),
                    cite: rule.cite.clone(),
                })
                .collect(),
            not_asked: self
                .questions
                .iter()
                .filter(|question| !is_answered(question))
                .map(|question| question.id.clone())
                .collect(),
        }
    }

    /// The answers as a record says them, in the order of the sheet; what the sheet does not know as it is written.
    pub fn said(&self, answers: &[CallAnswer]) -> Vec<String> {
        let mut said = Vec::new();
        let mut known = Vec::new();
        for question in &self.questions {
            for answer in &question.answers {
                let this = CallAnswer { question: question.id.clone(), answer: answer.id.clone() };
                if answers.contains(&this) {
                    said.push(answer.said.clone());
                    known.push(this);
                }
            }
        }
        let unknown = answers.iter().filter(|answer| !known.contains(answer));
        said.extend(unknown.map(|answer| format!("{}: {}", answer.question, answer.answer)));
        said
    }
}

fn rule_call(rule: &Rule) -> FirstCall {
    rule.urgency.map_or(FirstCall::Us, |(_, call)| call)
}

/// The first lines that the rules ask for, each once; one of a rule that keeps its line is always among them.
fn lines(rules: &[&Rule], of: impl Fn(&Rule) -> &[String]) -> Vec<String> {
    let kept = rules.iter().filter(|rule| rule.keep).find_map(|rule| of(rule).first());
    let mut told: Vec<String> = Vec::new();
    for line in rules.iter().flat_map(|rule| of(rule)) {
        if !told.contains(line) {
            told.push(line.clone());
        }
    }
    if let Some(line) = kept
        && told.iter().position(|one| one == line).is_some_and(|idx| LINES_MAX <= idx)
    {
        told.insert(LINES_MAX - 1, line.clone());
    }
    told.truncate(LINES_MAX);
    told
}
