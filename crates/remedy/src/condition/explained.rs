//! What is asked of a complaint: whether some causes together explain it, or leave it open.

use super::Senseless;
use crate::situation::Situation;
use crate::words::{self, CauseWord, ComplaintWord, percent};
use model::assessment::{CauseFinding, ComplaintFinding};
use serde::Deserialize;

/// Complaints, the causes that may explain them, and a probability of all these causes together.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Explanation {
    pub(super) complaint: Vec<ComplaintWord>,
    by: Vec<CauseWord>,
    at_least: f64,
}

impl Explanation {
    /// Complaints and causes, in words.
    pub(super) fn named(&self) -> [String; 2] {
        let complaints: Vec<&str> = self.complaint.iter().map(|one| one.0.word()).collect();
        let causes: Vec<&str> = self.by.iter().map(|cause| cause.0.word()).collect();
        [words::listed(&complaints), words::listed(&causes)]
    }

    pub(super) fn at_least(&self) -> String {
        percent(self.at_least)
    }

    pub(super) fn check(&self) -> Result<(), Senseless> {
        let senseless =
            |what: &str, hint: &str| Err(Senseless { what: what.to_owned(), hint: hint.to_owned() });
        if self.complaint.is_empty() {
            return senseless("no complaint is named", "write `complaint = [\"smell\"]`");
        }
        if self.by.is_empty() {
            return senseless("no cause is named", "write `by = [\"overload\"]`");
        }
        super::probability(self.at_least)
    }

    /// A complaint that these causes explain.
    pub(super) fn explained(&self, situation: &Situation<'_>) -> Option<String> {
        let (complaint, share) =
            self.shares(situation).max_by(|(_, one), (_, other)| one.total_cmp(other))?;
        if share < self.at_least {
            return None;
        }
        let causes = self.causes(situation, complaint);
        let spoken_of = causes.filter(|cause| situation.thresholds().possible_cause <= cause.probability);
        let named: Vec<String> = spoken_of
            .map(|cause| format!("{} ({})", cause.cause.phrase(), percent(cause.probability)))
            .collect();
        let by = if named.is_empty() {
            String::new()
        } else {
            format!(", above all by {}", words::listed(&named))
        };
        Some(format!("complaint: {}, explained with {}{by}", complaint.kind.word(), percent(share)))
    }

    /// A complaint that these causes do not explain.
    pub(super) fn not_explained(&self, situation: &Situation<'_>) -> Option<String> {
        let least = self.shares(situation).min_by(|(_, one), (_, other)| one.total_cmp(other));
        if let Some((complaint, share)) = least {
            return (share < self.at_least).then(|| {
                let others: Vec<&str> = self.by.iter().map(|cause| cause.0.phrase()).collect();
                format!(
                    "complaint: {}, which is explained with {} only by {}",
                    complaint.kind.word(),
                    percent(share),
                    words::listed(&others)
                )
            });
        }
        let made = situation.job.complaints.iter().find(|made| self.is_asked(ComplaintWord(made.kind)))?;
        Some(format!("complaint: {}, which nothing explains", made.kind.word()))
    }

    fn is_asked(&self, kind: ComplaintWord) -> bool {
        self.complaint.contains(&kind)
    }

    /// The complaints asked about, each with the probability that one of the causes explains it.
    fn shares<'s, 'a>(
        &'s self,
        situation: &'s Situation<'a>,
    ) -> impl Iterator<Item = (&'a ComplaintFinding, f64)> + 's {
        let asked = situation.findings.causes.iter().filter(|found| self.is_asked(ComplaintWord(found.kind)));
        asked.map(|found| (found, self.causes(situation, found).map(|cause| cause.probability).sum()))
    }

    /// Those of its causes that are asked about. One whose joints have all proved not burnt explains nothing any more.
    fn causes<'s, 'a>(
        &'s self,
        situation: &'s Situation<'a>,
        found: &'a ComplaintFinding,
    ) -> impl Iterator<Item = &'a CauseFinding> + 's {
        let asked = found.causes.iter().filter(|cause| self.by.contains(&CauseWord(cause.cause)));
        asked.filter(|cause| cause.joints.is_empty() || situation.may_be_burnt(&cause.joints))
    }
}
