//! The supply as inferred, the causes side by side, and the statements by class.

use super::Record;
use super::joints::signed;
use crate::clean::{clean, stopped};
use crate::number::{interval, probability};
use crate::page::{Item, Node, Table, heading, list, paragraph};
use crate::phrases::fill;
use crate::terms::term;
use model::assessment::{Class, ComplaintFinding};
use model::trend::NO_DATE;

impl Record<'_> {
    pub(super) fn causes(&self) -> Vec<Node> {
        let w = self.words;
        let mut nodes = Vec::new();
        if let Some(table) = self.supply().node() {
            nodes.extend([heading(3, w.supply.clone()), table]);
        }
        nodes.extend(self.trends());
        nodes.push(heading(2, w.causes.clone()));
        for complaint in &self.assessment.causes {
            nodes.extend(self.complaint(complaint));
        }
        if self.assessment.causes.is_empty() {
            nodes.push(paragraph(w.no_complaint.clone()));
        }
        nodes.extend(self.statements());
        nodes
    }

    /// What was read at two visits, held against itself.
    fn trends(&self) -> Vec<Node> {
        let items: Vec<Item> = self
            .assessment
            .trends
            .iter()
            .map(|trend| {
                let facts = [&trend.first.fact, &trend.last.fact].map(|fact| self.fact(fact)).join(", ");
                Item::plain(format!("{} [{facts}]", crate::clean::capital(&clean(&trend.sentence))))
            })
            .collect();
        if items.is_empty() {
            return Vec::new();
        }
        vec![heading(3, self.words.trends.clone()), list(items), paragraph(NO_DATE.to_owned())]
    }

    fn supply(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.supply_path, 1.4), (&w.resistance, 2.0), (&w.failing, -1.0), (&w.reasons, 5.0)]);
        for finding in &self.assessment.supply {
            let reasons: Vec<String> = finding
                .reasons
                .iter()
                .map(|reason| format!("{} ({} dB)", self.named(&reason.text), signed(reason.weight_db)))
                .collect();
            table.row([
                clean(&finding.path),
                interval(&finding.resistance_mohm),
                probability(finding.failing),
                reasons.join("; "),
            ]);
        }
        table
    }

    fn complaint(&self, complaint: &ComplaintFinding) -> Vec<Node> {
        let w = self.words;
        let said = clean(&complaint.words);
        let mut title = self.word("complaint", complaint.kind.word()).to_owned();
        if said.is_empty() {
            title = w.no_complaint.clone();
        }
        if let Some(slot) = &complaint.slot {
            title = format!("{title}, {} {}", w.slot.to_lowercase(), self.slot(slot));
        }
        let mut nodes = vec![heading(3, crate::clean::capital(&title))];
        if !said.is_empty() {
            nodes.push(paragraph(format!("“{said}”")));
        }
        let mut table =
            Table::new(&[(&w.cause, 3.0), (&w.probability, -1.1), (&w.reasons, 4.0), (&w.points_at, 2.2)]);
        for cause in &complaint.causes {
            let reasons: Vec<String> = cause.reasons.iter().map(|text| self.named(text)).collect();
            table.row([
                cause.cause.phrase().to_owned(),
                probability(cause.probability),
                reasons.join("; "),
                self.joint_list(&cause.joints),
            ]);
        }
        nodes.extend(table.node());
        if let Some(text) = &complaint.separates {
            nodes.push(paragraph(stopped(&fill(&w.separates, &[("text", &self.named(text))]))));
        }
        nodes
    }

    /// Every statement, in the order seen, measured, inferred, unknown.
    fn statements(&self) -> Vec<Node> {
        let classes = [Class::Seen, Class::Measured, Class::Inferred, Class::Unknown];
        let mut items = Vec::new();
        for class in classes {
            for statement in self.assessment.statements.iter().filter(|statement| statement.class == class) {
                let facts: Vec<String> = statement.facts.iter().map(|fact| self.fact(fact)).collect();
                let facts = if facts.is_empty() { String::new() } else { format!(" [{}]", facts.join(", ")) };
                let name = crate::clean::capital(self.word("class", term::class(class)));
                items.push(Item::led(format!("{name}:"), self.named(&statement.text) + &facts));
            }
        }
        if items.is_empty() {
            return Vec::new();
        }
        vec![heading(3, self.words.statements.clone()), list(items)]
    }
}
