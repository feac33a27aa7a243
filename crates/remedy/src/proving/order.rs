//! The order of switching on: no branch before the readings are in and plausible, then block by block.

use super::limits::{Limits, because};
use super::{CAUTIONS, leg_of, spaces_words, system, words_of};
use crate::words::{capital, point_pair};
use model::breaker::LoadClass;
use model::evidence::{ClampPlace, Observed};
use model::id::Space;
use model::install::{Energised, Installed, Stage};
use model::isolation::ProofPoint;
use model::job::Job;
use model::proving::{BlockClosed, Branch, BranchBlock, ReadingNeed, SwitchingOn};
use model::system::{Leg, System};
use model::{Current, Slot, Voltage};
use std::collections::BTreeSet;

/// The order, as far as it may go by what is on record.
pub fn switching_on(job: &Job, limits: &Limits) -> SwitchingOn {
    let system = system(job);
    let readings = needs(job, system, limits);
    let shut = shut(job, system, &readings, limits);
    let closed = closed(job, system, &readings, limits);
    let taken: BTreeSet<Space> = closed.iter().flat_map(|block| block.spaces.iter().copied()).collect();
    let open: Vec<&Installed> = job
        .install
        .breakers()
        .into_iter()
        .filter(|one| one.spaces.iter().all(|space| !taken.contains(space)))
        .collect();
    let n_open = open.len();
    let mut blocks = if shut.is_empty() { blocks(job, system, &open, &taken, limits) } else { Vec::new() };
    // The next one waits for what is wrong with the last.
    let waits = closed.last().is_some_and(|block| !block.faults.is_empty());
    let next = if blocks.is_empty() || waits { None } else { Some(blocks.remove(0)) };
    let mut notes = notes(system, limits);
    if waits && shut.is_empty() && 0 < n_open {
        notes.insert(
            0,
            "No next block before what is wrong with the last one is mended and a new reading is in.".into(),
        );
    }
    SwitchingOn {
        readings,
        shut,
        closed,
        next,
        later: blocks,
        n_open,
        notes,
        cautions: CAUTIONS.iter().map(|&text| text.to_owned()).collect(),
    }
}

/// The readings that come first, each with what was last read.
fn needs(job: &Job, system: System, limits: &Limits) -> Vec<ReadingNeed> {
    let mut needs = Vec::new();
    for stage in [Stage::Supply, Stage::Main] {
        let last = last_of(job, stage);
        for (pair, range) in pairs(system, limits) {
            let shown = last.and_then(|one| one.readings.iter().find(|read| read.pair == pair));
            needs.push(ReadingNeed {
                stage,
                pair,
                low: Voltage::from_v(range.low_v),
                high: Voltage::from_v(range.high_v),
                shown: shown.map(|read| read.value),
            });
        }
    }
    needs
}

fn pairs(system: System, limits: &Limits) -> Vec<((ProofPoint, ProofPoint), &super::limits::Range)> {
    let between = match system {
        System::SplitPhase => &limits.line_to_line,
        System::TwoLegsOfWye | System::ThreePhaseWye => &limits.line_to_line_wye,
    };
    let legs = system.legs();
    let mut pairs = Vec::new();
    for (idx, &first) in legs.iter().enumerate() {
        for &second in &legs[idx + 1..] {
            pairs.push(((ProofPoint::Leg(first), ProofPoint::Leg(second)), between));
        }
    }
    for &leg in legs {
        pairs.push(((ProofPoint::Leg(leg), ProofPoint::Neutral), &limits.leg_to_neutral));
    }
    pairs.push(((ProofPoint::Neutral, ProofPoint::Ground), &limits.neutral_to_ground));
    pairs
}

/// The last step of a stage. What the utility cut since is no longer read.
fn last_of(job: &Job, stage: Stage) -> Option<&Energised> {
    let cut = job.cuts.iter().filter(|one| one.is_cut).map(|one| one.at).max();
    let mine = job.install.energised.iter().filter(|one| one.stage == stage);
    mine.filter(|one| cut.is_none_or(|cut| cut < one.at)).max_by(|a, b| (a.at, &a.fact).cmp(&(b.at, &b.fact)))
}

fn stage_words(stage: Stage) -> &'static str {
    match stage {
        Stage::Supply => "at the line side of the open main",
        Stage::Main => "with the main closed and every branch open",
        Stage::Branches => "with branches closed",
    }
}

fn shut(job: &Job, system: System, readings: &[ReadingNeed], limits: &Limits) -> Vec<String> {
    let mut shut = Vec::new();
    for need in readings {
        let pair = capital(&point_pair(need.pair));
        let place = stage_words(need.stage);
        match need.shown {
            None => shut.push(format!("{pair} is not read yet, {place}.")),
            Some(shown) if !need.is_met() => shut.push(format!(
                "{pair} reads {} V {place}; plausible is {} to {} V. Close nothing; find out why.",
                shown.v(),
                need.low.v(),
                need.high.v()
            )),
            Some(_) => {}
        }
    }
    for stage in [Stage::Supply, Stage::Main] {
        shut.extend(disagree(job, system, stage, limits));
    }
    shut
}

/// What the readings of one stage say against each other.
fn disagree(job: &Job, system: System, stage: Stage, limits: &Limits) -> Vec<String> {
    let Some(last) = last_of(job, stage) else { return Vec::new() };
    disagreement(last, system, limits)
        .into_iter()
        .map(|sentence| format!("{sentence} {}", "Close nothing; read again, then call the utility."))
        .collect()
}

fn read(step: &Energised, pair: (ProofPoint, ProofPoint)) -> Option<f64> {
    step.readings.iter().find(|one| one.pair == pair).map(|one| one.value.v())
}

fn disagreement(step: &Energised, system: System, limits: &Limits) -> Vec<String> {
    let mut said = Vec::new();
    let leg = |leg| read(step, (ProofPoint::Leg(leg), ProofPoint::Neutral));
    let legs: Vec<(Leg, f64)> = system.legs().iter().filter_map(|&one| Some((one, leg(one)?))).collect();
    let low = legs.iter().map(|one| one.1).fold(f64::INFINITY, f64::min);
    let high = legs.iter().map(|one| one.1).fold(f64::NEG_INFINITY, f64::max);
    if 1 < legs.len() && limits.legs_apart.volts < high - low {
        said.push(format!(
            "The legs differ by {:.1} V with nothing on them: the service neutral may be open or loose.",
            high - low
        ));
    }
    if let (System::SplitPhase, [(a, va), (b, vb)]) = (system, legs.as_slice())
        && let Some(between) = read(step, (ProofPoint::Leg(*a), ProofPoint::Leg(*b)))
        && limits.sum_of_legs.share * between < (va + vb - between).abs()
    {
        said.push(format!(
            "{va} V and {vb} V do not add up to {between} V: a reading is wrong, or was taken at another time."
        ));
    }
    said
}

/// The blocks that were closed, and what is wrong with each.
fn closed(job: &Job, system: System, needs: &[ReadingNeed], limits: &Limits) -> Vec<BlockClosed> {
    let met = needs.iter().all(ReadingNeed::is_met);
    let first = |pair| last_of(job, Stage::Main).and_then(|step| read(step, pair));
    let known: BTreeSet<Space> = job.install.breakers().iter().flat_map(|one| one.spaces.clone()).collect();
    let cut = job.cuts.iter().filter(|one| one.is_cut).map(|one| one.at).max();
    let mut steps: Vec<&Energised> =
        job.install.energised.iter().filter(|one| one.stage == Stage::Branches).collect();
    // What was on before the last cut is open again.
    steps.retain(|one| cut.is_none_or(|cut| cut < one.at));
    let is_main = |one: &&Energised| one.stage == Stage::Main && cut.is_none_or(|cut| cut < one.at);
    let mains: Vec<_> = job.install.energised.iter().filter(is_main).map(|one| one.at).collect();
    let mut closed = Vec::new();
    for step in steps {
        let mut faults = Vec::new();
        let is_after = mains.iter().any(|main| *main <= step.at);
        // A later reading with every branch open says that this one is open again.
        if is_after && mains.iter().any(|main| step.at < *main) {
            continue;
        }
        if !met || !is_after {
            faults.push(
                "Closed before the first readings were in and plausible. Open it, and read.".to_owned(),
            );
        }
        for space in step.spaces.iter().filter(|space| !known.contains(space)) {
            faults.push(format!("No breaker is on record in space {space}."));
        }
        for need in needs.iter().filter(|need| need.stage == Stage::Main) {
            let Some(now) = read(step, need.pair) else {
                faults.push(format!("Not read after it: {}.", point_pair(need.pair)));
                continue;
            };
            let pair = capital(&point_pair(need.pair));
            if now < need.low.v() || need.high.v() < now {
                faults.push(format!("{pair} reads {now} V after it. Open the block; find out why."));
            } else if let Some(before) = first(need.pair)
                && limits.voltage_moves.volts < (now - before).abs()
            {
                faults.push(format!("{pair} moved from {before} to {now} V. Look at the service neutral."));
            }
        }
        let mut legs = step.legs.clone();
        legs.sort_by_key(|one| one.0);
        for leg in system.legs().iter().filter(|leg| legs.iter().all(|one| one.0 != **leg)) {
            faults.push(format!("Leg {leg} was not clamped after it."));
        }
        closed.push(BlockClosed {
            fact: step.fact.clone(),
            at: step.at,
            spaces: step.spaces.clone(),
            legs,
            faults,
        });
    }
    // A fault of an earlier block that a later step has read again is past, except what was closed too early.
    let last = closed.len().saturating_sub(1);
    for block in closed.iter_mut().take(last) {
        block.faults.retain(|fault| fault.starts_with("Closed before") || fault.starts_with("No breaker"));
    }
    closed
}

fn branch(job: &Job, one: &Installed) -> Branch {
    let old = |slot: &Slot| {
        let mine = job.observations.iter().filter_map(|seen| match &seen.what {
            Observed::Current(read) if read.place == ClampPlace::Pole(slot.clone()) => Some(read.value.a()),
            _ => None,
        });
        mine.fold(None, |most: Option<f64>, amps| Some(most.map_or(amps, |most| most.max(amps))))
    };
    let known = one
        .from
        .iter()
        .filter_map(old)
        .fold(None, |most: Option<f64>, amps| Some(most.map_or(amps, |most| most.max(amps))));
    Branch {
        spaces: one.spaces.clone(),
        legs: one.spaces.iter().map(|&space| leg_of(job, space)).collect(),
        rating: one.rating,
        words: words_of(job, one),
        known: known.map(Current::from_a),
    }
}

/// Place in the order: what is named first, what is not named, what is named last.
fn rank(job: &Job, one: &Installed, limits: &Limits) -> usize {
    let class = one.from.iter().find_map(|slot| job.installation.breaker_at(slot)?.circuit.as_ref()?.class);
    let name = class.map(LoadClass::word).unwrap_or_default();
    let (first, last) = (&limits.order.first, &limits.order.last);
    if let Some(idx) = first.iter().position(|word| word == name) {
        return idx;
    }
    match last.iter().position(|word| word == name) {
        Some(idx) => first.len() + 1 + idx,
        None => first.len(),
    }
}

/// What a branch may add to a leg: what was clamped, else half of its rating.
fn likely_a(branch: &Branch) -> f64 {
    branch.known.map_or(branch.rating.a() / 2.0, |known| known.a())
}

/// Branches that are still open, in blocks: by rank, and within a rank the one that keeps the legs nearest.
fn blocks(
    job: &Job,
    system: System,
    open: &[&Installed],
    taken: &BTreeSet<Space>,
    limits: &Limits,
) -> Vec<BranchBlock> {
    let mut legs: Vec<(Leg, f64)> = system.legs().iter().map(|&leg| (leg, 0.0)).collect();
    for one in job.install.breakers() {
        if one.spaces.iter().any(|space| taken.contains(space)) {
            add(&mut legs, &branch(job, one));
        }
    }
    let mut left: Vec<(usize, Branch)> =
        open.iter().map(|one| (rank(job, one, limits), branch(job, one))).collect();
    let mut blocks: Vec<BranchBlock> = Vec::new();
    let mut block: Vec<Branch> = Vec::new();
    while !left.is_empty() {
        let rank = left.iter().map(|one| one.0).min().unwrap_or_default();
        let spread_with = |one: &Branch| {
            let mut legs = legs.clone();
            add(&mut legs, one);
            spread(&legs)
        };
        let best = left
            .iter()
            .enumerate()
            .filter(|(_, one)| one.0 == rank)
            .min_by(|a, b| {
                spread_with(&a.1.1).total_cmp(&spread_with(&b.1.1)).then(a.1.1.spaces.cmp(&b.1.1.spaces))
            })
            .map(|(idx, _)| idx)
            .unwrap_or_default();
        let (_, one) = left.remove(best);
        add(&mut legs, &one);
        block.push(one);
        if block.len() == limits.block.circuits.max(1) || left.is_empty() {
            let legs = legs.iter().map(|&(leg, amps)| (leg, Current::from_a(amps))).collect();
            blocks.push(BranchBlock { branches: std::mem::take(&mut block), legs });
        }
    }
    blocks
}

fn add(legs: &mut [(Leg, f64)], branch: &Branch) {
    for leg in &branch.legs {
        if let Some(mine) = legs.iter_mut().find(|one| one.0 == *leg) {
            mine.1 += likely_a(branch);
        }
    }
}

fn spread(legs: &[(Leg, f64)]) -> f64 {
    let high = legs.iter().map(|one| one.1).fold(f64::NEG_INFINITY, f64::max);
    let low = legs.iter().map(|one| one.1).fold(f64::INFINITY, f64::min);
    high - low
}

fn notes(system: System, limits: &Limits) -> Vec<String> {
    let between = match system {
        System::SplitPhase => &limits.line_to_line,
        System::TwoLegsOfWye | System::ThreePhaseWye => &limits.line_to_line_wye,
    };
    vec![
        because("Leg to neutral", &limits.leg_to_neutral.source, limits.leg_to_neutral.standing),
        because("Line to line", &between.source, between.standing),
        because("Neutral to ground", &limits.neutral_to_ground.source, limits.neutral_to_ground.standing),
        because("Legs apart without load", &limits.legs_apart.source, limits.legs_apart.standing),
        because("Order", &limits.order.source, limits.order.standing),
        because("Size of a block", &limits.block.source, limits.block.standing),
        "Where nothing was clamped, half of the rating is counted (judgement). Legs of the new panel: by the chosen \
         layout, else by rows in turn from A at the top; prove it at the panel."
            .to_owned(),
    ]
}

/// First spaces of branches that were closed by the record, and are not open again since.
pub(super) fn spaces_on(job: &Job) -> BTreeSet<Space> {
    let cut = job.cuts.iter().filter(|one| one.is_cut).map(|one| one.at).max();
    let steps = job.install.energised.iter().filter(|one| cut.is_none_or(|cut| cut < one.at));
    let steps: Vec<&Energised> = steps.collect();
    // A new reading with every branch open comes after the branches that were on.
    let reset = steps.iter().filter(|one| one.stage != Stage::Branches).map(|one| one.at).max();
    let after =
        steps.iter().filter(|one| one.stage == Stage::Branches && reset.is_none_or(|reset| reset <= one.at));
    after.flat_map(|one| one.spaces.iter().copied()).collect()
}

/// Uneven legs after the last block, in a sentence.
pub(super) fn uneven(job: &Job, limits: &Limits) -> Option<String> {
    let last = job.install.energised.iter().rfind(|one| !one.legs.is_empty())?;
    let legs: Vec<(Leg, f64)> = last.legs.iter().map(|one| (one.0, one.1.a())).collect();
    let apart = spread(&legs);
    (1 < legs.len() && limits.legs_uneven.amps < apart).then(|| {
        format!(
            "The legs differed by {apart:.0} A after {}. A look, no fault.",
            if last.spaces.is_empty() { "the last reading".to_owned() } else { spaces_words(&last.spaces) }
        )
    })
}
