//! A job file, read.

use crate::check::{self, Finding, Spot};
use crate::decode::walk::Walk;
use crate::decode::{Doubt, Draft, decode};
use crate::fact::Fact;
use crate::fold::{build, forbids, live};
use crate::grammar::ROOT;
use crate::limits;
use crate::problem::{Problem, Severity};
use crate::source::Source;
use crate::tree;
use model::job::Job;
use model::{Date, FactId};
use std::collections::BTreeMap;
use std::ops::Range;

/// What a job file gave.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The job; there if and only if no problem is an error.
    pub job: Option<Job>,
    /// The facts of the file, in its order, superseded ones too. None where a problem is an error: a file is
    /// never half read.
    pub facts: Vec<Fact>,
    /// Every problem found, in the order of the text.
    pub problems: Vec<Problem>,
}

/// Reads a job file, TOML or JSON. `name` is what problems call the file; `today` is the day from which dates
/// count as future.
pub fn read_job(name: &str, text: &str, today: Date) -> Reading {
    if text.len() > limits::FILE_MAX_BYTES {
        let source = Source::new(name, "");
        let message = format!("the file is {} bytes long", text.len());
        let hint =
            format!("at most {} bytes; photos stay outside and are named by hash", limits::FILE_MAX_BYTES);
        return Reading {
            job: None,
            facts: Vec::new(),
            problems: vec![source.error("too-long", 0..0, message, hint)],
        };
    }
    let source = Source::new(name, text);
    let (root, faults) = tree::parse(text);
    let torn = !faults.is_empty();
    let mut problems: Vec<Problem> = faults
        .into_iter()
        .map(|fault| {
            source.problem(fault.code, Severity::Error, fault.span, fault.message, fault.hint, fault.related)
        })
        .collect();
    let mut facts = Vec::new();
    let mut job = None;
    if let Some(root) = root {
        let mut walk = Walk { source: &source, torn, json: tree::is_json(text), problems: Vec::new() };
        walk.table(&root, &ROOT);
        let decoded = decode(&source, &root, torn);
        problems.extend(walk.problems);
        problems.extend(decoded.problems);
        let placed = Placed::new(&source, &decoded.drafts);
        problems.extend(placed.repeated(&decoded.drafts));
        facts = decoded.drafts.iter().map(|draft| draft.fact.clone()).collect();
        let findings = judge(&facts, &decoded.doubt, today);
        let findings = findings.into_iter().filter(|finding| !placed.is_inherited(finding));
        problems.extend(findings.map(|finding| placed.problem(finding)));
        if !forbids(&problems) {
            job = build(&live(&facts, check::Scope::Whole).0);
        }
    }
    if forbids(&problems) {
        facts.clear();
    }
    problems.sort_by_key(|problem| (problem.span.start, problem.severity, problem.code));
    problems.dedup();
    Reading { job, facts, problems: shorten(&source, problems) }
}

fn judge(facts: &[Fact], doubt: &Doubt, today: Date) -> Vec<Finding> {
    let (live, mut findings) = live(facts, check::Scope::Whole);
    findings.retain(|finding| finding.code != "unknown-id" || !points_to_unread(facts, doubt, finding));
    findings.extend(check::check(&live, doubt, Some(today)));
    findings
}

/// Does the finding complain of a pointer to an entry that is in the file but could not be read?
fn points_to_unread(facts: &[Fact], doubt: &Doubt, finding: &Finding) -> bool {
    let fact = facts.iter().find(|fact| Some(fact.id()) == finding.at.fact.as_ref());
    let target = fact.and_then(|fact| fact.supersedes.get(finding.at.field.1));
    target.is_some_and(|target| doubt.ids.contains(&target.0))
}

fn shorten(source: &Source<'_>, mut problems: Vec<Problem>) -> Vec<Problem> {
    let count = problems.len();
    if count > limits::PROBLEMS_MAX {
        // Errors first, so that cutting cannot leave warnings only.
        problems.sort_by_key(|problem| problem.severity);
        problems.truncate(limits::PROBLEMS_MAX);
        problems.sort_by_key(|problem| problem.span.start);
        let message = format!("more than {} problems; the others are not listed", limits::PROBLEMS_MAX);
        problems.push(source.error("too-many", 0..0, message, "mend the first ones and read the file again"));
    }
    problems
}

/// The places of facts in a text.
struct Placed<'a> {
    source: &'a Source<'a>,
    drafts: BTreeMap<FactId, Vec<&'a Draft>>,
}

impl<'a> Placed<'a> {
    fn new(source: &'a Source<'a>, drafts: &'a [Draft]) -> Self {
        let mut by_id: BTreeMap<FactId, Vec<&Draft>> = BTreeMap::new();
        for draft in drafts {
            by_id.entry(draft.fact.id().clone()).or_default().push(draft);
        }
        Placed { source, drafts: by_id }
    }

    fn span(&self, spot: &Spot) -> Range<usize> {
        let drafts = spot.fact.as_ref().and_then(|id| self.drafts.get(id));
        // Of entries that clash over an id the last is shown; the first is named beside it.
        drafts.and_then(|drafts| drafts.last()).map_or(0..0, |draft| draft.spans.of(spot.field))
    }

    /// Is the finding about a time that the entry has only taken over from another, which is told of itself?
    fn is_inherited(&self, finding: &Finding) -> bool {
        let drafts = finding.at.fact.as_ref().and_then(|id| self.drafts.get(id));
        finding.at.field == ("at", 0)
            && drafts.is_some_and(|drafts| {
                drafts.iter().all(|draft| draft.spans.fields.iter().all(|(field, _)| *field != ("at", 0)))
            })
    }

    fn problem(&self, finding: Finding) -> Problem {
        let mut related: Vec<(Range<usize>, String)> =
            finding.related.iter().map(|(spot, words)| (self.span(spot), words.clone())).collect();
        if finding.code == "duplicate-id" {
            let drafts = finding.at.fact.as_ref().and_then(|id| self.drafts.get(id));
            related.extend(
                drafts
                    .and_then(|drafts| drafts.first())
                    .map(|draft| (draft.spans.of(("id", 0)), "first given here".to_owned())),
            );
        }
        let span = self.span(&finding.at);
        related.retain(|(other, _)| *other != span);
        self.source.problem(finding.code, finding.severity, span, finding.message, finding.hint, related)
    }

    /// Entries that say the same twice: they count once, and the reader should know.
    fn repeated(&self, drafts: &[Draft]) -> Vec<Problem> {
        let mut seen: BTreeMap<&FactId, &Draft> = BTreeMap::new();
        let mut problems = Vec::new();
        for draft in drafts {
            match seen.get(draft.fact.id()) {
                Some(first) if first.fact == draft.fact => problems.push(self.source.problem(
                    "repeated-entry",
                    Severity::Warning,
                    draft.spans.whole.clone(),
                    "this entry says exactly what another says; it counts once".to_owned(),
                    Some("if it was a second reading, give it its own `at`; if not, delete it".to_owned()),
                    vec![(first.spans.whole.clone(), "said here first".to_owned())],
                )),
                Some(_) => {}
                None => {
                    seen.insert(draft.fact.id(), draft);
                }
            }
        }
        problems
    }
}
