//! From the file as written to a policy that can be used.

use super::file::{OptionTable, PlanTable, PolicyFile, RuleTable, ThresholdsTable};
use super::{OptionText, PlanDays, Policy, PolicyProblem, Rule, Thresholds, location};
use crate::words;
use model::advice::ChoiceKind;
use model::cite::Cite;
use std::collections::BTreeMap;
use toml::Spanned;

/// Checks a file and gathers everything that is wrong with it.
pub(super) fn policy(text: &str, file: PolicyFile) -> Result<Policy, Vec<PolicyProblem>> {
    let mut found = Found { text, problems: Vec::new() };
    if file.name.trim().is_empty() {
        found.whole("the policy has no name", "write `name = \"...\"`: it is printed on every paper");
    }
    let thresholds = found.thresholds(&file.thresholds);
    let plan = found.plan(&file.plan);
    let rules = found.rules(file.rule);
    let options = found.options(file.option);
    if found.problems.is_empty() {
        Ok(Policy { name: file.name, version: file.version, thresholds, plan, rules, options })
    } else {
        found.problems.sort_by_key(|problem| (problem.line, problem.column));
        Err(found.problems)
    }
}

struct Found<'t> {
    text: &'t str,
    problems: Vec<PolicyProblem>,
}

impl Found<'_> {
    fn whole(&mut self, message: impl Into<String>, hint: impl Into<String>) {
        let (message, hint) = (message.into(), Some(hint.into()));
        self.problems.push(PolicyProblem { line: 0, column: 0, message, hint });
    }

    fn at(&mut self, byte: usize, message: impl Into<String>, hint: impl Into<String>) {
        self.problems.push(location::at(self.text, byte, message.into(), Some(hint.into())));
    }

    fn number(&mut self, name: &str, value: &Spanned<f64>, low: f64, high: f64) -> f64 {
        let number = *value.get_ref();
        if !(low <= number && number <= high) {
            let message = format!("`{name} = {number}` is outside {low} to {high}");
            self.at(value.span().start, message, format!("write a number from {low} to {high}"));
        }
        number
    }

    fn thresholds(&mut self, table: &ThresholdsTable) -> Thresholds {
        let suspect_burnt = self.number("suspect_burnt", &table.suspect_burnt, 0.0, 1.0);
        let likely_burnt = self.number("likely_burnt", &table.likely_burnt, 0.0, 1.0);
        if likely_burnt < suspect_burnt {
            self.at(
                table.suspect_burnt.span().start,
                format!("`suspect_burnt` ({suspect_burnt}) is above `likely_burnt` ({likely_burnt})"),
                "a joint is suspect before it is likely burnt: make the first the smaller one",
            );
        }
        let days = *table.stop_gap_days.get_ref();
        if !(1..=180).contains(&days) {
            self.at(
                table.stop_gap_days.span().start,
                format!("`stop_gap_days = {days}` is outside 1 to 180"),
                "a stop-gap has an end within half a year",
            );
        }
        let may_become_urgent = table.may_become_urgent.as_ref();
        let may_become_urgent = may_become_urgent
            .map_or(Thresholds::MAY_BECOME_URGENT, |value| self.number("may_become_urgent", value, 0.0, 1.0));
        Thresholds {
            may_become_urgent,
            likely_burnt,
            suspect_burnt,
            likely_worn: self.number("likely_worn", &table.likely_worn, 0.0, 1.0),
            supply_failing: self.number("supply_failing", &table.supply_failing, 0.0, 1.0),
            two_stabs_expected: self.number("two_stabs_expected", &table.two_stabs_expected, 0.0, 100.0),
            likely_cause: self.number("likely_cause", &table.likely_cause, 0.0, 1.0),
            possible_cause: self.number("possible_cause", &table.possible_cause, 0.0, 1.0),
            move_current_limit_a: self.number("move_current_limit_a", &table.move_current_limit_a, 0.0, 60.0),
            stop_gap_days: days,
        }
    }

    fn days(&mut self, name: &str, value: Option<&Spanned<u32>>, usual: u32, most: u32) -> u32 {
        let Some(value) = value else { return usual };
        let days = *value.get_ref();
        if !(1..=most).contains(&days) {
            let message = format!("`{name} = {days}` is outside 1 to {most}");
            self.at(value.span().start, message, format!("write a whole number of days from 1 to {most}"));
        }
        days
    }

    fn plan(&mut self, table: &PlanTable) -> PlanDays {
        let usual = PlanDays::STANDARD;
        let mut days = |name, value: &Option<_>, usual, most| self.days(name, value.as_ref(), usual, most);
        PlanDays {
            recheck_now: days("recheck_now_days", &table.recheck_now_days, usual.recheck_now, 180),
            recheck_within_72_hours: days(
                "recheck_within_72_hours_days",
                &table.recheck_within_72_hours_days,
                usual.recheck_within_72_hours,
                180,
            ),
            recheck_this_month: days(
                "recheck_this_month_days",
                &table.recheck_this_month_days,
                usual.recheck_this_month,
                180,
            ),
            recheck_otherwise: days(
                "recheck_otherwise_days",
                &table.recheck_otherwise_days,
                usual.recheck_otherwise,
                180,
            ),
            look_back: days("look_back_days", &table.look_back_days, usual.look_back, 3650),
        }
    }

    fn rules(&mut self, tables: Vec<Spanned<RuleTable>>) -> Vec<Rule> {
        let mut rules: Vec<Rule> = Vec::new();
        if tables.is_empty() {
            self.whole(
                "the policy has no rule",
                "write at least one `[[rule]]`: without one nothing is urgent",
            );
        }
        for table in tables {
            let table = table.into_inner();
            let (name, start) = (table.name.get_ref().clone(), table.name.span().start);
            if name.trim().is_empty() {
                self.at(
                    start,
                    "a rule without a name",
                    "give it a few words: they are printed when it fires",
                );
            }
            if rules.iter().any(|rule| rule.name == name) {
                self.at(start, format!("two rules are named `{name}`"), "give each rule its own name");
            }
            if table.when.is_empty() {
                self.at(
                    start,
                    format!("the rule `{name}` has an empty `when` and would always fire"),
                    "write at least one condition",
                );
            }
            for condition in &table.when {
                if let Err(wrong) = condition.get_ref().check() {
                    self.at(
                        condition.span().start,
                        format!("in the rule `{name}`: {}", wrong.what),
                        wrong.hint,
                    );
                }
            }
            rules.push(Rule {
                name,
                urgency: table.urgency.0,
                when: table.when.into_iter().map(Spanned::into_inner).collect(),
                reason: table.reason,
                owner: table.owner,
                cite: Cite::new(table.source, "", table.standing.0),
            });
        }
        rules.sort_by_key(|rule| rule.urgency);
        rules
    }

    fn options(
        &mut self,
        tables: BTreeMap<Spanned<String>, Spanned<OptionTable>>,
    ) -> BTreeMap<ChoiceKind, OptionText> {
        let mut options = BTreeMap::new();
        for (name, table) in tables {
            let Some(kind) = words::ALL_CHOICES.into_iter().find(|kind| kind.word() == name.get_ref()) else {
                let known: Vec<&str> = words::ALL_CHOICES.iter().map(|kind| kind.word()).collect();
                let message = format!("`{}` is not an option", name.get_ref());
                self.at(name.span().start, message, format!("the options are {}", known.join(", ")));
                continue;
            };
            let table = table.into_inner();
            let hours_off = self.range(table.hours_off);
            let price_usd = self.range(table.price_usd);
            let cite = Cite::new(table.source, "", table.standing.0);
            let text = OptionText { title: table.title, meaning: table.meaning, hours_off, price_usd, cite };
            options.insert(kind, text);
        }
        for kind in words::ALL_CHOICES {
            if !options.contains_key(&kind) {
                let message = format!("the option `{}` has no entry", kind.word());
                self.whole(message, format!("write `[option.{}]` with its title and meaning", kind.word()));
            }
        }
        options
    }

    fn range(&mut self, range: Option<Spanned<[f64; 2]>>) -> Option<(f64, f64)> {
        let range = range?;
        let [low, high] = *range.get_ref();
        if !(0.0 <= low && low <= high && high.is_finite()) {
            let message = format!("[{low}, {high}] is not a range");
            self.at(range.span().start, message, "write [lowest, highest], neither below zero");
        }
        Some((low, high))
    }
}
