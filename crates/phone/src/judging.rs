//! Judging on the phone: whole, begun for chains that run elsewhere, or a first look meanwhile.

use crate::ask::Ask;
use crate::fold::day;
use crate::shelf::{Done, First, Ground, Shelf};
use pages::{JobView, Judged};
use record::Fact;
use std::fmt::Write;
use study::{Begun, OneThread, Settings};

/// What a judgement is of.
pub(crate) fn key(ask: &Ask, view: &JobView) -> String {
    let desk = &ask.desk;
    let mut key = format!("{}\n{} {} {}\n", day(ask), desk.seed, desk.sweeps, desk.chains);
    let _ = writeln!(key, "{}\n{}", desk.policy, desk.experience);
    // In which order they arrived makes no difference. Two facts of one name differ in what they say.
    let line = |fact: &Fact| match fact.has_derived_id() {
        true => fact.id().to_string(),
        false => fact.to_json(),
    };
    let mut lines: Vec<String> = view.facts.iter().map(line).collect();
    lines.sort();
    for line in lines {
        let _ = writeln!(key, "{line}");
    }
    key
}

/// Is the judgement of these very facts at hand?
pub(crate) fn is_judged(ask: &Ask, view: &JobView, shelf: &Shelf) -> bool {
    shelf.judged(&view.name).is_some_and(|done| done.of == key(ask, view))
}

/// Judges a job whole, where that is not done yet.
pub(crate) fn judge(ask: &Ask, view: &JobView, ground: &Ground, shelf: &mut Shelf) -> Result<(), String> {
    let of = key(ask, view);
    if is_judged(ask, view, shelf) {
        return Ok(());
    }
    let settings = settings(ask, ground)?;
    let judged = view.ready().and_then(|job| {
        study::assess_keeping(job, &settings, None, &OneThread)
            .map_err(|refusal| study::words::sentence(&refusal.to_string()))
    });
    let (outcome, warm) = match judged {
        Ok((assessment, warm)) => (Ok(assessment), Some(warm)),
        Err(why) => (Err(why), None),
    };
    shelf.keep_judged(&view.name, Done { of, outcome, warm });
    Ok(())
}

/// Takes a first look at new facts of a job of which an earlier judgement is at hand; once for the same facts.
pub(crate) fn first_look(
    ask: &Ask,
    view: &JobView,
    ground: &Ground,
    shelf: &mut Shelf,
) -> Result<(), String> {
    let of = key(ask, view);
    let Some(done) = shelf.judged(&view.name) else { return Ok(()) };
    if done.of == of || shelf.first(&view.name).is_some_and(|first| first.of == of) {
        return Ok(());
    }
    let (Some(warm), Ok(job)) = (&done.warm, view.ready()) else { return Ok(()) };
    let look = study::first_look(job, &settings(ask, ground)?, warm, &OneThread);
    // A job that cannot be judged is told of by the whole judgement.
    shelf.keep_first(&view.name, First { of, look: look.ok().flatten() });
    Ok(())
}

/// Goes the way of a first look where the judgement of these very facts is at hand.
pub(crate) fn rehearse(ask: &Ask, view: &JobView, ground: &Ground, shelf: &Shelf) -> Result<(), String> {
    let Some(done) = shelf.judged(&view.name).filter(|done| done.of == key(ask, view)) else { return Ok(()) };
    if let (Some(warm), Ok(job)) = (&done.warm, view.ready()) {
        // What it comes to was told when the job was judged.
        study::rehearse_look(job, &settings(ask, ground)?, warm, &OneThread).unwrap_or_default();
    }
    Ok(())
}

fn settings(ask: &Ask, ground: &Ground) -> Result<Settings, String> {
    Ok(Settings {
        day: day(ask),
        seed: ask.desk.seed.parse().map_err(|_| "the seed of the judgement is no number".to_owned())?,
        policy: ground.policy.clone(),
        n_sweeps: ask.desk.sweeps,
        n_chains: ask.desk.chains,
        experience: ground.experience.clone(),
    })
}

/// Begins the judgement of a job where that is not done yet and the job is complete enough.
pub(crate) fn begin(ask: &Ask, view: &JobView, shelf: &mut Shelf) -> Result<(), String> {
    let of = key(ask, view);
    if shelf.begun(&of).is_none()
        && let Ok(job) = view.ready()
    {
        let settings = settings(ask, &*shelf.ground(&ask.desk)?)?;
        let begun = Begun::of(job, &settings).map_err(|refusal| refusal.to_string())?;
        shelf.keep_begun(of, begun);
    }
    Ok(())
}

/// What a page shows: the judgement at hand, and the first look where that is of fewer facts.
pub(crate) fn judged_of(ask: &Ask, view: &JobView, shelf: &Shelf) -> Judged {
    let Some(done) = shelf.judged(&view.name) else { return Judged::Waiting };
    let of = key(ask, view);
    match (&done.outcome, done.of == of) {
        (Ok(assessment), current) => {
            let first = shelf.first(&view.name).filter(|first| !current && first.of == of);
            let first = first.and_then(|first| first.look.clone()).map(Box::new);
            Judged::Done { assessment: Box::new(assessment.clone()), current, first }
        }
        (Err(why), true) => Judged::NotPossible(why.clone()),
        // What was missing may be there now.
        (Err(_), false) => Judged::Waiting,
    }
}
