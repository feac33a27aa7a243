//! How each figure came about.

use super::Record;
use crate::page::{Node, Table, heading, paragraph};
use model::working::Working;

impl Record<'_> {
    pub(super) fn workings(&self) -> Vec<Node> {
        let w = self.words;
        let mut nodes = vec![heading(2, w.workings.clone())];
        for working in &self.assessment.workings {
            nodes.push(self.working(working));
        }
        if self.assessment.workings.is_empty() {
            nodes.push(paragraph(w.no_workings.clone()));
        }
        nodes
    }

    fn working(&self, working: &Working) -> Node {
        let w = self.words;
        let subject = self.named(&working.subject);
        let mut title = crate::clean::capital(&self.named(&working.title));
        if !subject.is_empty() {
            title = format!("{title}: {subject}");
        }
        let mut nodes = vec![heading(3, title), self.pairs([(&w.formula, self.named(&working.formula))])];
        let mut table =
            Table::new(&[(&w.symbol, 0.9), (&w.meaning, 3.2), (&w.value, 2.2), (&w.input_from, 2.6)]);
        for input in &working.inputs {
            table.row([
                self.named(&input.symbol),
                self.named(&input.meaning),
                self.named(&input.value),
                self.named(&input.from),
            ]);
        }
        nodes.extend(table.node());
        nodes.push(self.pairs([
            (&w.result, self.named(&working.result)),
            (&w.valid, self.named(&working.validity)),
            (&w.source, self.named(&working.cite.to_string())),
        ]));
        Node::Together { nodes }
    }
}
