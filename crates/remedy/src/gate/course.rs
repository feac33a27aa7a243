//! What was moved, cut and ruled out, and how things stood at a moment. Of two entries of one time the one that leaves
//! more live counts.

use super::first_pole;
use crate::isolation::supply_graph::SupplyGraph;
use model::DateTime;
use model::Slot;
use model::installation::Installation;
use model::isolation::{
    Disconnect, HandleMove, MovedTo, Part, Proof, SourceLook, SourceQuestion, UtilityCut,
};
use model::job::Job;
use model::plan::Doubt;
use std::collections::{BTreeMap, BTreeSet};

/// The entries that count, in order of time.
pub(super) struct Course<'a> {
    installation: &'a Installation,
    pub(super) handles: Vec<&'a HandleMove>,
    pub(super) cuts: Vec<&'a UtilityCut>,
    /// When the new panel was found live or switched on.
    pub(super) energised: Vec<DateTime>,
    pub(super) sources: Vec<&'a SourceLook>,
    pub(super) proofs: Vec<&'a Proof>,
    /// What could not be used and may speak against a dead part.
    pub(super) doubts: Vec<&'a Doubt>,
}

/// What an entry says that must count as feeding again.
pub(super) struct Again {
    pub(super) at: DateTime,
    pub(super) words: &'static str,
}

impl<'a> Course<'a> {
    pub(super) fn of(job: &'a Job, at: Option<DateTime>) -> Self {
        let is_past = |time: DateTime| at.is_none_or(|at| time <= at);
        Course {
            installation: &job.installation,
            handles: job.handles.iter().filter(|one| is_past(one.at)).collect(),
            cuts: job.cuts.iter().filter(|one| is_past(one.at)).collect(),
            energised: job.install.energised.iter().map(|one| one.at).filter(|at| is_past(*at)).collect(),
            sources: job.sources.iter().filter(|one| is_past(one.at)).collect(),
            proofs: job.proofs.iter().filter(|one| is_past(one.at)).collect(),
            doubts: job.doubts.iter().filter(|one| is_past(one.at)).collect(),
        }
    }

    /// What stands open by the record, before a moment.
    pub(super) fn opened(
        &self,
        installation: &Installation,
        before: Option<DateTime>,
    ) -> BTreeSet<Disconnect> {
        let mut last: BTreeMap<Disconnect, (DateTime, MovedTo)> = BTreeMap::new();
        for one in self.handles.iter().filter(|one| before.is_none_or(|before| one.at < before)) {
            let what = match &one.what {
                Disconnect::Breaker(slot) => Disconnect::Breaker(first_pole(installation, slot)),
                main => main.clone(),
            };
            let entry = last.entry(what).or_insert((one.at, one.to));
            // On is the lesser of the two: of one time it stays.
            if entry.0 < one.at || (entry.0 == one.at && one.to < entry.1) {
                *entry = (one.at, one.to);
            }
        }
        last.into_iter().filter(|(_, (_, to))| *to == MovedTo::Off).map(|(what, _)| what).collect()
    }

    /// Had the utility cut the supply, before a moment?
    pub(super) fn is_cut(&self, before: Option<DateTime>) -> bool {
        let past = || self.cuts.iter().filter(|one| before.is_none_or(|before| one.at < before));
        let Some(last) = past().map(|one| one.at).max() else { return false };
        // What was switched on since speaks against the cut, whether or not somebody wrote that the supply is back.
        let is_on = self.energised.iter().any(|at| last <= *at && before.is_none_or(|before| *at < before));
        !is_on && past().filter(|one| one.at == last).all(|one| one.is_cut)
    }

    /// The last words on a source, before a moment: found, and cut.
    fn look(&self, source: &str, before: Option<DateTime>) -> Option<(bool, bool)> {
        let mine = || {
            self.sources.iter().filter(|one| {
                one.source.trim().eq_ignore_ascii_case(source.trim())
                    && before.is_none_or(|before| one.at < before)
            })
        };
        let last = mine().map(|one| one.at).max()?;
        let at_last = || mine().filter(|one| one.at == last);
        Some((at_last().any(|one| one.found), at_last().filter(|one| one.found).all(|one| one.is_cut)))
    }

    /// What is missing for a source to count as ruled out or cut.
    pub(super) fn source_missing(&self, question: &SourceQuestion) -> Option<String> {
        let source = &question.source;
        match (self.look(source, None), &question.recorded) {
            (None, Some(recorded)) => Some(format!("On record and not cut: {recorded}.")),
            (None, None) => Some(format!("Not looked for: {source}.")),
            (Some((true, true)), _) | (Some((false, _)), None) => None,
            (Some((true, false)), _) => Some(format!("Found and not cut: {source}.")),
            (Some((false, _)), Some(recorded)) => Some(format!(
                "Ruled out, and yet on record: {recorded}. Cut it, or correct what is on record."
            )),
        }
    }

    /// Parts that are fed by the record, before a moment.
    pub(super) fn live(
        &self,
        graph: &SupplyGraph,
        questions: &[SourceQuestion],
        before: Option<DateTime>,
    ) -> BTreeSet<Part> {
        let shut_down: BTreeSet<Slot> = questions
            .iter()
            .filter(|question| self.look(&question.source, before) == Some((true, true)))
            .filter_map(|question| question.through.clone())
            .collect();
        graph.live_with(&self.opened(self.installation, before), self.is_cut(before), &shut_down)
    }

    /// The first entry, from a moment on, after which a part may be fed again.
    pub(super) fn fed_again(&self, from: DateTime) -> Option<Again> {
        let handles = self.handles.iter().filter(|one| one.to == MovedTo::On);
        let handles = handles.map(|one| Again { at: one.at, words: "a handle was moved on" });
        let cuts = self.cuts.iter().filter(|one| !one.is_cut);
        let cuts = cuts.map(|one| Again { at: one.at, words: "the utility gave the supply back" });
        let sources = self.sources.iter().filter(|one| one.found && !one.is_cut);
        let sources = sources.map(|one| Again { at: one.at, words: "another source was found" });
        let on = self.energised.iter().map(|&at| Again { at, words: "the new panel was switched on" });
        handles
            .chain(cuts)
            .chain(sources)
            .chain(on)
            .filter(|again| from <= again.at)
            .min_by_key(|again| again.at)
    }

    /// Was something done about a contradiction, and when first after it: a handle moved off, a cut, a source looked at?
    pub(super) fn acted_after(&self, moment: DateTime) -> Option<DateTime> {
        let handles = self.handles.iter().filter(|one| one.to == MovedTo::Off).map(|one| one.at);
        let cuts = self.cuts.iter().filter(|one| one.is_cut).map(|one| one.at);
        handles.chain(cuts).chain(self.sources.iter().map(|one| one.at)).filter(|at| moment < *at).min()
    }
}
