//! The plan until the replacement, promises and what was done of them, as tables and as facts.

use super::Context;
use super::entry::{Entry, quote};
use crate::fact::{Body, DueKept, Fact, InterimPlanned, PromiseGiven};
use crate::text::{AsText, Textual};
use model::plan::{Interim, Kept, Promise, PromiseKind};

fn texts(entry: &mut Entry, key: &str, all: impl Iterator<Item = String>, always: bool) {
    let all: Vec<String> = all.map(|text| quote(&text)).collect();
    if always || !all.is_empty() {
        entry.raw(key, &format!("[{}]", all.join(", ")));
    }
}

/// A fact of the plan as an entry; nothing for other facts.
pub(super) fn entry(cx: &Context<'_>, fact: &Fact) -> String {
    let start = |heading| cx.entry(heading, fact, cx.start, "id");
    let entry = match &fact.body {
        Body::Interim(body) => {
            let mut entry = start("[[interim]]");
            texts(&mut entry, "off", body.off.iter().map(|slot| slot.0.write()), false);
            texts(&mut entry, "limits", body.limits.iter().cloned(), false);
            entry.words("limits_words", &body.limits_words);
            entry.words("done", &body.done);
            texts(&mut entry, "watch", body.watch.iter().cloned(), true);
            entry.words("watch_words", &body.watch_words);
            entry.thing("alarms", &body.alarms.0);
            entry.words("alarms_words", &body.alarms_words);
            entry.text("medical", &body.medical);
            entry.text("food", &body.food);
            entry.text("heat", &body.heat);
            entry.raw("expires", &body.expires.to_string());
            entry.raw("recheck", &body.recheck.to_string());
            if let Some(day) = body.replacement {
                entry.raw("replacement", &day.to_string());
            }
            texts(&mut entry, "slip", body.slip.iter().cloned(), true);
            entry.thing("answer", &body.answer.0);
            entry.text("answer_words", &body.answer_words);
            entry.text("answer_by", &body.answer_by);
            entry.words("reasons", &body.reasons);
            entry
        }
        Body::Promise(body) => {
            let mut entry = start("[[promise]]");
            entry.unless("kind", &body.of_kind.0, &PromiseKind::Promise);
            entry.text("words", &body.words);
            entry.raw("due", &body.due.to_string());
            entry
        }
        Body::Kept(body) => {
            let mut entry = start("[[kept]]");
            entry.text("of", body.of.0.as_str());
            entry.thing("what", &body.what.0);
            entry.text("words", &body.words);
            entry
        }
        _ => return String::new(),
    };
    entry.finish()
}

/// The fact of a plan.
pub(super) fn interim(from: &Interim) -> InterimPlanned {
    let from = from.clone();
    InterimPlanned {
        off: from.off.into_iter().map(AsText).collect(),
        limits: from.limits,
        limits_words: from.limits_words,
        done: from.done,
        watch: from.watch,
        watch_words: from.watch_words,
        alarms: AsText(from.alarms),
        alarms_words: from.alarms_words,
        medical: from.medical,
        food: from.food,
        heat: from.heat,
        expires: from.expires,
        recheck: from.recheck,
        replacement: from.replacement,
        slip: from.slip,
        answer: AsText(from.answer),
        answer_words: from.answer_words,
        answer_by: from.answer_by,
        reasons: from.reasons,
    }
}

/// The fact of a promise.
pub(super) fn promise(from: &Promise) -> PromiseGiven {
    PromiseGiven { of_kind: AsText(from.kind), words: from.words.clone(), due: from.due }
}

/// The fact of what was done.
pub(super) fn kept(from: &Kept) -> DueKept {
    DueKept { of: AsText(from.of.clone()), what: AsText(from.what), words: from.words.clone() }
}
