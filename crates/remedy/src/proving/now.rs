//! How the panel stands now, readable by somebody who was not there.

use super::limits::Limits;
use super::order::{spaces_on, uneven};
use super::{CAUTIONS, judge_neutral, mismatches, spaces_words, switching_on, system, torque_log, words_of};
use model::breaker::Protection;
use model::install::Stage;
use model::job::Job;
use model::proving::{BreakerNow, NeutralSays, PanelNow};

fn protection_words(protection: Protection) -> &'static str {
    match protection {
        Protection::ThermalMagnetic => "plain",
        Protection::ArcFault => "arc-fault",
        Protection::GroundFault => "ground-fault",
        Protection::ArcAndGroundFault => "arc- and ground-fault",
        Protection::SwitchOnly => "switch only",
    }
}

/// The state of the panel by the last entry of each kind.
pub fn panel_now(job: &Job, limits: &Limits) -> PanelNow {
    let install = &job.install;
    let on = spaces_on(job);
    let order = switching_on(job, limits);
    let torque = torque_log(job, limits);
    let mut breakers = Vec::new();
    for one in install.breakers() {
        let mut missing = Vec::new();
        let is_mine = |terminal: &model::install::Terminal| {
            use model::install::Terminal::{Ground, Neutral, Pole};
            matches!(terminal, Pole(space) | Neutral(space) | Ground(space) if one.spaces.contains(space))
        };
        let mine: Vec<_> = torque.lines.iter().filter(|line| is_mine(&line.terminal)).collect();
        let open = mine.iter().filter(|line| line.fact.is_none()).count();
        if 0 < open {
            missing.push(format!("{open} of {} terminations without torque on record", mine.len()));
        }
        if mine.iter().any(|line| line.fact.is_some() && !line.faults.is_empty()) {
            missing.push("a torque entry with a fault".to_owned());
        }
        let has_device = !matches!(one.protection, Protection::ThermalMagnetic | Protection::SwitchOnly);
        let tried: Vec<_> = install.tried.iter().filter(|tried| one.spaces.contains(&tried.space)).collect();
        if has_device && tried.is_empty() {
            missing.push(format!("{} device not tried", protection_words(one.protection)));
        }
        if tried.last().is_some_and(|tried| !tried.passed) {
            missing.push("the last trial of it failed".to_owned());
        }
        breakers.push(BreakerNow {
            spaces: spaces_words(&one.spaces),
            words: words_of(job, one),
            what: format!("{} A, {}", one.rating.a(), protection_words(one.protection)),
            is_on: one.spaces.iter().any(|space| on.contains(space)),
            missing,
        });
    }
    let mut left: Vec<String> = order.shut.clone();
    left.extend(order.closed.iter().flat_map(|block| block.faults.clone()));
    if 0 < order.n_open {
        left.push(format!("{} branches are still to be switched on, block by block.", order.n_open));
    }
    if 0 < torque.n_missing {
        left.push(format!("{} terminations have no torque on record.", torque.n_missing));
    }
    if 0 < torque.n_faulty {
        left.push(format!("{} torque entries have a fault.", torque.n_faulty));
    }
    left.extend(uneven(job, limits));
    let system = system(job);
    for read in &install.neutrals {
        let verdict = judge_neutral(read, system, limits);
        if verdict.says != NeutralSays::Difference {
            left.push(verdict.sentence);
        }
    }
    if install.cards.is_empty() && !install.installed.is_empty() {
        left.push("The directory card is not on record.".to_owned());
    }
    if install.permits.last().is_none_or(|permit| permit.passed.is_none()) {
        left.push("The final inspection is not on record.".to_owned());
    }
    PanelNow {
        last_entry: last_entry(job),
        supply: supply(job),
        breakers,
        left,
        mismatches: mismatches(job, limits),
        cautions: CAUTIONS.iter().map(|&text| text.to_owned()).collect(),
    }
}

/// Time of the last entry about the new panel or the supply.
fn last_entry(job: &Job) -> Option<model::DateTime> {
    let install = &job.install;
    let times = [
        install.permits.iter().map(|one| one.at).max(),
        install.installed.iter().map(|one| one.at).max(),
        install.torqued.iter().map(|one| one.at).max(),
        install.energised.iter().map(|one| one.at).max(),
        install.verified.iter().map(|one| one.at).max(),
        install.neutrals.iter().map(|one| one.at).max(),
        install.tried.iter().map(|one| one.at).max(),
        install.cards.iter().map(|one| one.at).max(),
        job.cuts.iter().map(|one| one.at).max(),
        job.handles.iter().map(|one| one.at).max(),
        job.proofs.iter().map(|one| one.at).max(),
    ];
    times.into_iter().flatten().max()
}

/// The supply by the last word on record. It never says dead.
fn supply(job: &Job) -> String {
    let last_cut = job.cuts.iter().max_by(|a, b| (a.at, &a.fact).cmp(&(b.at, &b.fact)));
    let last_step =
        job.install.energised.iter().max_by(|a, b| (a.at, a.stage, &a.fact).cmp(&(b.at, b.stage, &b.fact)));
    let day = |at: model::DateTime| at.strftime("%Y-%m-%d %H:%M").to_string();
    match (last_cut, last_step) {
        (Some(cut), step) if cut.is_cut && step.is_none_or(|step| step.at < cut.at) => format!(
            "The utility cut the supply ({}, {}). That is a claim: treat everything as live until you have proven it \
             dead yourself.",
            day(cut.at),
            cut.words
        ),
        (_, Some(step)) => format!(
            "The new panel is live {} by the last entry ({}).",
            match step.stage {
                Stage::Supply => "up to the main",
                Stage::Main => "up to the branch breakers",
                Stage::Branches => "and branches are on",
            },
            day(step.at)
        ),
        (Some(cut), None) => {
            format!(
                "The utility gave the supply back ({}, {}). Everything counts as live.",
                day(cut.at),
                cut.words
            )
        }
        (None, None) => "No cut by the utility is on record. Everything counts as live.".to_owned(),
    }
}
