//! Verdict with the rules that fired, options, next checks.

use super::Record;
use crate::clean::stopped;
use crate::letter::standing_word;
use crate::number::{plain, range, thousands};
use crate::page::{Item, Node, Table, heading, list, paragraph};
use crate::phrases::fill;
use crate::terms;
use model::advice::{CheckAdvice, Choice};

impl Record<'_> {
    pub(super) fn verdict(&self) -> Vec<Node> {
        let w = self.words;
        let verdict = &self.assessment.verdict;
        let urgency = self.word("urgency", verdict.urgency.word());
        let mut nodes = vec![
            heading(2, w.verdict.clone()),
            Node::Paragraph(Item::led(stopped(urgency), self.named(&verdict.summary))),
            heading(3, w.rules.clone()),
        ];
        let mut table =
            Table::new(&[(&w.rule, 1.7), (&w.asks_for, 1.8), (&w.because, 3.4), (&w.why_rule, 3.4)]);
        for rule in &verdict.rules {
            table.row([
                self.named(&rule.rule),
                self.word("urgency", rule.urgency.word()).to_owned(),
                self.named(&rule.because),
                self.named(&rule.reason),
            ]);
        }
        nodes.push(table.node().unwrap_or_else(|| paragraph(w.no_rules.clone())));
        if !verdict.would_change.is_empty() {
            nodes.push(heading(3, w.would_change.clone()));
            nodes.push(list(verdict.would_change.iter().map(|text| Item::plain(self.named(text))).collect()));
        }
        if let Some(change) = &verdict.may_change {
            let numbers = [
                ("more", crate::number::probability(change.more_urgent)),
                ("less", crate::number::probability(change.less_urgent)),
                ("basis", self.named(&change.basis)),
            ];
            let numbers: Vec<(&str, &str)> =
                numbers.iter().map(|(name, text)| (*name, text.as_str())).collect();
            nodes.push(paragraph(fill(&w.may_change, &numbers)));
            let checks = change.checks.iter().map(|check| {
                let chance = crate::number::probability(check.chance);
                let what = self.named(&check.what);
                Item::plain(fill(&w.may_change_check, &[("check", &what), ("chance", &chance)]))
            });
            let checks: Vec<Item> = checks.collect();
            if !checks.is_empty() {
                nodes.push(list(checks));
            }
        }
        for option in &self.assessment.options {
            nodes.extend(self.option(option));
        }
        if self.assessment.options.is_empty() {
            nodes.push(paragraph(w.no_options.clone()));
        }
        nodes
    }

    fn option(&self, option: &Choice) -> Vec<Node> {
        let w = self.words;
        let join = |texts: &[String]| {
            texts.iter().map(|text| stopped(&self.named(text))).collect::<Vec<_>>().join(" ")
        };
        let hours = option.hours_off.map(|(low, high)| range(low, high, 1)).unwrap_or_default();
        let price = option
            .price_usd
            .map(|(low, high)| fill(&w.price_range, &[("low", &thousands(low)), ("high", &thousands(high))]))
            .unwrap_or_default();
        let pairs = self.pairs([
            (&w.standing, self.word("standing", standing_word(option.standing)).to_owned()),
            (&w.consequences, self.named(&option.consequences)),
            (&w.r#for, join(&option.reasons_for)),
            (&w.against, join(&option.reasons_against)),
            (&w.leaves, join(&option.leaves)),
            (&w.conditions, join(&option.conditions)),
            (&w.changes, self.named(&option.would_change)),
            (&w.hours_off, hours),
            (&w.price, price),
        ]);
        let title = heading(3, fill(&w.option, &[("title", &self.named(&option.title))]));
        vec![Node::Together { nodes: vec![title, pairs] }]
    }

    pub(super) fn checks(&self) -> Vec<Node> {
        let w = self.words;
        let mut nodes = vec![heading(2, w.checks.clone())];
        for check in &self.assessment.next_checks {
            nodes.push(self.check(check));
        }
        if self.assessment.next_checks.is_empty() {
            nodes.push(paragraph(w.no_checks.clone()));
        }
        nodes
    }

    fn check(&self, check: &CheckAdvice) -> Node {
        let w = self.words;
        let places: Vec<String> =
            check.places.iter().map(|place| terms::place(self.phrases, place)).collect();
        let expects: Vec<String> = check
            .expects
            .iter()
            .map(|(rival, reading)| format!("{}: {}", self.named(rival), self.named(reading)))
            .collect();
        let cautions: Vec<String> = check.cautions.iter().map(|text| stopped(&self.named(text))).collect();
        let pairs = self.pairs([
            (&w.kind, self.named(&check.kind)),
            (&w.r#where, places.join(", ")),
            (&w.exposure, self.word("exposure", check.exposure.word()).to_owned()),
            (&w.who, self.named(&check.who)),
            (&w.takes, self.minutes(Some(check.minutes))),
            (&w.gain, fill(&w.bits, &[("n", &plain(check.gain_bits, 2))])),
            (&w.tells, self.joint_list(&check.joints)),
            (&w.expects, expects.join("; ")),
            (&w.cautions, cautions.join(" ")),
        ]);
        Node::Together { nodes: vec![heading(3, self.named(&check.what)), pairs] }
    }
}
