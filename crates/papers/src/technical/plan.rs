//! The days until the replacement, as recorded: plans with what was agreed, promises, what was done of them.

use super::Record;
use super::facts::moment;
use crate::clean::clean;
use crate::page::Table;
use model::plan::{Alarms, Answer, KeptWhat, PromiseKind};

impl Record<'_> {
    pub(super) fn interims(&self) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.fact, 0.6),
            (&w.when, 1.9),
            (&w.by, 1.25),
            (&w.slot, 1.0),
            (&w.what, 4.4),
            (&w.decided, 3.0),
            (&w.expires, 1.4),
            (&w.recheck, 1.4),
        ]);
        for plan in &self.job.interims {
            let alarms = match plan.alarms {
                Alarms::Tested => "tested",
                Alarms::Failed => "one failed",
                Alarms::NoneThere => "none there",
                Alarms::NotTested => "not tested",
            };
            // Limits, watch list and what follows from a slip stand in their words on the sheets; here by their ids.
            let what = format!(
                "{} {} {}; watch: {} {}; slip: {}; alarms {alarms} {}; medical: {}; food: {}; heat: {}",
                plan.limits.join(", "),
                clean(&plan.limits_words),
                clean(&plan.done),
                plan.watch.join(", "),
                clean(&plan.watch_words),
                plan.slip.join(", "),
                clean(&plan.alarms_words),
                clean(&plan.medical),
                clean(&plan.food),
                clean(&plan.heat),
            );
            let answer = if plan.answer == Answer::Accepted { "accepted" } else { "declined" };
            let decided = format!(
                "{answer}, {}: {} {}",
                clean(&plan.answer_by),
                clean(&plan.answer_words),
                clean(&plan.reasons)
            );
            table.row([
                self.fact(&plan.fact),
                moment(plan.at),
                plan.by.as_deref().map(clean).unwrap_or_default(),
                self.slots(&plan.off),
                clean(&what),
                clean(&decided),
                plan.expires.to_string(),
                plan.recheck.to_string(),
            ]);
        }
        table
    }

    pub(super) fn promises(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.by, 1.25), (&w.what, 5.0), (&w.due, 1.4)]);
        for one in &self.job.promises {
            let kind = match one.kind {
                PromiseKind::Promise => "",
                PromiseKind::LookBack => "look-back: ",
            };
            table.row([
                self.fact(&one.fact),
                moment(one.at),
                one.by.as_deref().map(clean).unwrap_or_default(),
                format!("{kind}{}", clean(&one.words)),
                one.due.to_string(),
            ]);
        }
        table
    }

    pub(super) fn kept(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.what, 1.4), (&w.of_fact, 1.0), (&w.words, 5.0)]);
        for one in &self.job.kept {
            let what = match one.what {
                KeptWhat::Recheck => "recheck",
                KeptWhat::End => "end",
                KeptWhat::LookBack => "look-back",
                KeptWhat::Promise => "promise",
            };
            table.row([
                self.fact(&one.fact),
                moment(one.at),
                what.to_owned(),
                self.fact(&one.of),
                clean(&one.words),
            ]);
        }
        table
    }
}
