//! The plan until the replacement, promises and what was done of them, into the model.

use crate::fact::{Body, Fact};
use model::job::Job;
use model::plan::{Interim, Kept, Promise};

/// Adds a fact of the plan to the job; other facts add nothing.
pub(super) fn add(job: &mut Job, fact: &Fact) {
    let (id, at, by) = (fact.id().clone(), fact.at, fact.by.clone());
    match &fact.body {
        Body::Interim(body) => {
            let body = (**body).clone();
            job.interims.push(Interim {
                fact: id,
                at,
                by,
                off: body.off.into_iter().map(|slot| slot.0).collect(),
                limits: body.limits,
                limits_words: body.limits_words,
                done: body.done,
                watch: body.watch,
                watch_words: body.watch_words,
                alarms: body.alarms.0,
                alarms_words: body.alarms_words,
                medical: body.medical,
                food: body.food,
                heat: body.heat,
                expires: body.expires,
                recheck: body.recheck,
                replacement: body.replacement,
                slip: body.slip,
                answer: body.answer.0,
                answer_words: body.answer_words,
                answer_by: body.answer_by,
                reasons: body.reasons,
            });
        }
        Body::Promise(body) => job.promises.push(Promise {
            fact: id,
            at,
            by,
            kind: body.of_kind.0,
            words: body.words.clone(),
            due: body.due,
        }),
        Body::Kept(body) => job.kept.push(Kept {
            fact: id,
            at,
            of: body.of.0.clone(),
            what: body.what.0,
            words: body.words.clone(),
        }),
        _ => {}
    }
}
