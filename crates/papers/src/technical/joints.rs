//! Probabilities, heat and reasons of every joint.

use super::Record;
use crate::mark::Mark;
use crate::number::{interval, plain, probability};
use crate::page::{Node, Table, heading, paragraph};
use crate::phrases::fill;
use crate::terms::term;
use model::assessment::{Interval, JointFinding, Reason};

impl Record<'_> {
    pub(super) fn joints(&self) -> Vec<Node> {
        let w = self.words;
        let mut nodes = vec![heading(2, w.joints.clone()), paragraph(w.joints_intro.clone())];
        nodes.extend(self.probabilities().node());
        nodes.extend([heading(3, w.heat.clone()), paragraph(w.heat_intro.clone())]);
        nodes.extend(self.heat().node());
        nodes.extend([heading(3, w.reasons.clone()), paragraph(w.reasons_intro.clone())]);
        nodes.extend(self.reasons().node());
        nodes
    }

    fn name(&self, finding: &JointFinding) -> String {
        let mut name = self.joint(&finding.joint.id);
        if let Some(number) = self.marks.number(&finding.joint.id) {
            name = format!("{name} ({number})");
        }
        if finding.observed { name } else { format!("{name} †") }
    }

    fn probabilities(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.joint, 3.0),
            (&w.leg, 0.7),
            (&w.mark, 1.4),
            (&w.burnt, -1.0),
            (&w.error, -1.0),
            (&w.worn, -1.0),
            (&w.sound, -1.0),
            (&w.prior, -1.0),
        ]);
        for (finding, mark) in &self.marks.all {
            let chance = &finding.probability;
            table.row([
                self.name(finding),
                finding.joint.leg.map(|leg| leg.to_string()).unwrap_or_default(),
                self.word("mark", mark.word()).to_owned(),
                probability(chance.burnt),
                plain(chance.burnt_standard_error, 3),
                probability(chance.worn),
                probability(chance.sound),
                probability(finding.prior_burnt),
            ]);
        }
        table
    }

    fn heat(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.joint, 2.4),
            (&w.resistance, 2.0),
            (&w.heat_now, 2.6),
            (&w.heat_rated, 2.6),
            (&w.hot_spot, 1.8),
        ]);
        for (finding, _) in &self.marks.all {
            let now = finding.heat_now_w.as_ref().map(|heat| match &finding.current_now_a {
                Some(current) => self.at_current(heat, current.median),
                None => interval(heat),
            });
            table.row([
                self.name(finding),
                interval(&finding.resistance_mohm),
                now.unwrap_or_else(|| w.not_known.clone()),
                self.at_current(&finding.heat_rated_w, finding.current_rated_a),
                finding.hot_spot_c.as_ref().map_or_else(|| w.not_known.clone(), interval),
            ]);
        }
        table
    }

    fn at_current(&self, heat: &Interval, current_a: f64) -> String {
        fill(&self.words.at_current, &[("heat", &interval(heat)), ("current", &plain(current_a, 1))])
    }

    fn reasons(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.joint, 2.2),
            (&w.weight, -0.8),
            (&w.class, 1.2),
            (&w.reason, 5.6),
            (&w.fact, 0.7),
        ]);
        let (sound, others): (Vec<_>, Vec<_>) =
            self.marks.all.iter().partition(|(_, mark)| *mark == Mark::Sound);
        for (finding, _) in others {
            for (idx, reason) in finding.reasons.iter().enumerate() {
                let name = if idx == 0 { self.name(finding) } else { String::new() };
                self.reason(&mut table, name, reason);
            }
        }
        for (finding, _) in sound {
            if let Some(reason) = finding.reasons.first() {
                self.reason(&mut table, self.name(finding), reason);
            }
        }
        table
    }

    fn reason(&self, table: &mut Table, name: String, reason: &Reason) {
        table.row([
            name,
            signed(reason.weight_db),
            self.word("class", term::class(reason.class)).to_owned(),
            self.named(&reason.text),
            reason.fact.as_ref().map(|fact| self.fact(fact)).unwrap_or_default(),
        ]);
    }
}

/// With its sign, one decimal.
pub(super) fn signed(value: f64) -> String {
    let text = plain(value, 1);
    if 0.0 < value && text != "0" { format!("+{text}") } else { text }
}
