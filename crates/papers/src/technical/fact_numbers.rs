//! Short numbers for facts: their names are long, because they must be unique on every device.

use super::Record;
use crate::clean::clean;
use crate::page::{Node, Table, heading, paragraph};
use model::id::FactId;
use model::job::Job;
use std::collections::BTreeMap;

/// Number of each fact of a job, from 1, in the order of the record.
pub(super) struct FactNumbers<'a> {
    order: Vec<&'a FactId>,
    by_fact: BTreeMap<&'a FactId, usize>,
}

impl<'a> FactNumbers<'a> {
    pub(super) fn of(job: &'a Job) -> Self {
        let all = (job.calls.iter().map(|it| &it.fact))
            .chain(job.complaints.iter().map(|it| &it.fact))
            .chain(job.load_states.iter().map(|it| &it.fact))
            .chain(job.observations.iter().map(|it| &it.fact))
            .chain(job.photos.iter().map(|it| &it.fact))
            .chain(job.photos.iter().flat_map(|it| &it.pins).map(|it| &it.fact))
            .chain(job.decisions.iter().map(|it| &it.fact))
            .chain(job.work.iter().map(|it| &it.fact))
            .chain(job.interims.iter().map(|it| &it.fact))
            .chain(job.promises.iter().map(|it| &it.fact))
            .chain(job.kept.iter().map(|it| &it.fact))
            .chain(job.openings.iter().map(|it| &it.fact))
            .chain(job.handles.iter().map(|it| &it.fact))
            .chain(job.cuts.iter().map(|it| &it.fact))
            .chain(job.sources.iter().map(|it| &it.fact))
            .chain(job.proofs.iter().map(|it| &it.fact))
            .chain(job.premises.adoption.iter().map(|it| &it.fact))
            .chain(job.premises.dwellings.iter().map(|it| &it.fact))
            .chain(job.premises.appliances.iter().map(|it| &it.fact))
            .chain(job.premises.demand.iter().map(|it| &it.fact))
            .chain(job.premises.site.iter().map(|it| &it.fact))
            .chain(job.replacement.circuits.iter().map(|it| &it.fact))
            .chain(job.replacement.surprises.iter().map(|it| &it.fact))
            .chain(job.replacement.arrangements.iter().map(|it| &it.fact))
            .chain(job.replacement.quotes.iter().map(|it| &it.fact))
            .chain(job.replacement.outages.iter().map(|it| &it.fact))
            .chain(job.replacement.ticks.iter().map(|it| &it.fact))
            .chain(job.replacement.used.iter().map(|it| &it.fact));
        let (mut order, mut by_fact) = (Vec::new(), BTreeMap::new());
        for fact in all {
            by_fact.entry(fact).or_insert_with(|| {
                order.push(fact);
                order.len()
            });
        }
        FactNumbers { order, by_fact }
    }
}

impl Record<'_> {
    /// `F12`; the whole name of a fact that is not in the record.
    pub(super) fn fact(&self, fact: &FactId) -> String {
        match self.facts.by_fact.get(fact) {
            Some(number) => format!("F{number}"),
            None => clean(fact.as_str()),
        }
    }

    /// Which number stands for which fact.
    pub(super) fn fact_names(&self) -> Vec<Node> {
        let w = self.words;
        let mut table = Table::new(&[(&w.fact, 0.6), (&w.name, 4.0), (&w.fact, 0.6), (&w.name, 4.0)]);
        for (idx, pair) in self.facts.order.chunks(2).enumerate() {
            let mut row = Vec::new();
            for (place, fact) in pair.iter().enumerate() {
                row.extend([format!("F{}", 2 * idx + place + 1), clean(fact.as_str())]);
            }
            table.row(row);
        }
        match table.node() {
            Some(table) => {
                vec![heading(3, w.fact_names.clone()), paragraph(w.fact_names_intro.clone()), table]
            }
            None => Vec::new(),
        }
    }
}
