//! The method in short, how well the sampler did, every note, limits and cautions.

use super::Record;
use crate::clean::stopped;
use crate::number::{plain, significant};
use crate::page::{Item, Node, Table, heading, list, paragraph};

impl Record<'_> {
    pub(super) fn method(&self) -> Vec<Node> {
        let w = self.words;
        let mut nodes = vec![heading(2, w.method.clone())];
        nodes.extend([&w.method_1, &w.method_2, &w.method_3].map(|text| paragraph(text.clone())));
        nodes.push(heading(3, w.sampling.clone()));
        nodes.push(self.sampling());
        nodes.push(heading(2, w.notes.clone()));
        nodes.push(self.notes().node().unwrap_or_else(|| paragraph(w.no_notes.clone())));
        nodes.push(heading(2, w.limits.clone()));
        let fixed = [&w.limit_1, &w.limit_2, &w.limit_3, &w.limit_4, &w.limit_5, &w.limit_6];
        let mut items: Vec<Item> = fixed.map(|text| Item::plain(text.clone())).to_vec();
        let own = self.assessment.verdict.cautions.iter().map(|text| Item::plain(stopped(&self.named(text))));
        items.extend(own);
        nodes.push(list(items));
        nodes
    }

    fn sampling(&self) -> Node {
        let w = self.words;
        let report = &self.assessment.sampling;
        let converged = if report.converged { w.yes.clone() } else { w.no.clone() };
        self.pairs([
            (&w.seed, report.seed.to_string()),
            (&w.chains, report.n_chains.to_string()),
            (&w.sweeps, report.n_sweeps.to_string()),
            (&w.draws, report.n_draws.to_string()),
            (&w.effective, plain(report.effective_draws, 0)),
            (&w.r_hat, plain(report.r_hat, 3)),
            (&w.worst_error, significant(report.worst_standard_error, 2)),
            (&w.converged, converged),
            (&w.problem, report.problem.as_deref().map(|text| self.named(text)).unwrap_or_default()),
        ])
    }

    fn notes(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[(&w.about, 2.0), (&w.note, 5.5), (&w.source, 2.6)]);
        for note in &self.assessment.notes {
            table.row([
                self.named(&note.subject),
                self.named(&note.text),
                note.cite.as_ref().map(|cite| self.named(&cite.to_string())).unwrap_or_default(),
            ]);
        }
        table
    }
}
