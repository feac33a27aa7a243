//! What is inferred and what is not known, in plain words.

use super::Letter;
use crate::clean::{clean, shorten};
use crate::mark::Mark;
use crate::phrases::fill;
use model::assessment::{Class, ComplaintFinding};
use model::job::Exposure;

/// A path of the supply is spoken of from this probability that it is failing.
const FAILING_FROM: f64 = 0.33;

impl Letter<'_> {
    pub(super) fn inferred(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let mut texts = Vec::new();
        let n_findings = self.marks.findings().len();
        if 0 < n_findings {
            texts.push(fill(&words.n_findings, &[("n", &n_findings.to_string())]));
        }
        texts.extend(self.supply());
        texts.extend(self.assessment.causes.iter().filter_map(|complaint| self.causes(complaint)));
        texts.extend(self.others());
        if texts.is_empty() {
            let given = self.assessment.statements.iter().filter(|it| it.class == Class::Inferred);
            texts.extend(given.map(|statement| self.plain(&statement.text)));
        }
        texts
    }

    fn supply(&self) -> Vec<String> {
        let failing = self.assessment.supply.iter().filter(|path| FAILING_FROM <= path.failing);
        failing
            .map(|path| {
                let name = clean(&path.path);
                let chance = crate::chance::in_words(self.phrases, path.failing);
                let known = self.phrases.word("supply", &name);
                fill(&self.phrases.letter.supply, &[("path", known), ("chance", &chance)])
            })
            .collect()
    }

    /// The leading cause of a complaint, and the next one where it is not far behind.
    fn causes(&self, complaint: &ComplaintFinding) -> Option<String> {
        let words = &self.phrases.letter;
        let name = |idx: usize| {
            let cause = complaint.causes.get(idx)?;
            let chance = crate::chance::in_words(self.phrases, cause.probability);
            Some((self.phrases.word("cause", cause.cause.word()), chance, cause.probability))
        };
        let (cause, chance, _) = name(0)?;
        let what = match &complaint.slot {
            Some(slot) => {
                let kind = self.phrases.word("complaint", complaint.kind.word());
                fill(&words.complaint_at, &[("kind", kind), ("breaker", &self.breaker_name(slot))])
            }
            None => self.phrases.word("complaint", complaint.kind.word()).to_owned(),
        };
        let mut text = fill(&words.cause, &[("what", &what), ("cause", cause), ("chance", &chance)]);
        if let Some((cause, chance, _)) = name(1).filter(|(_, _, probability)| 0.05 <= *probability) {
            text = format!("{text} {}", fill(&words.next_cause, &[("cause", cause), ("chance", &chance)]));
        }
        Some(text)
    }

    /// What of the observed connections is no finding: looks sound, or is open still.
    fn others(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let count = |wanted: Mark| {
            self.marks.all.iter().filter(|(finding, mark)| finding.observed && *mark == wanted).count()
        };
        let texts = [(count(Mark::Sound), &words.others_sound), (count(Mark::Unknown), &words.others_open)];
        let some = texts.into_iter().filter(|(n, _)| 0 < *n);
        some.map(|(n, template)| fill(template, &[("n", &n.to_string())])).collect()
    }

    pub(super) fn unknown(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let mut texts = Vec::new();
        let all = self.assessment.joints.len();
        let unobserved = self.assessment.joints.iter().filter(|finding| !finding.observed).count();
        if 0 < unobserved {
            let (n, all) = (unobserved.to_string(), all.to_string());
            texts.push(fill(&words.unknown_unobserved, &[("n", &n), ("all", &all)]));
        }
        if self.job.exposure == Exposure::CoverOn {
            texts.push(words.unknown_cover.clone());
        }
        let given = self.assessment.statements.iter().filter(|it| it.class == Class::Unknown);
        texts.extend(given.map(|statement| shorten(&self.plain(&statement.text), 190)));
        texts
    }
}
