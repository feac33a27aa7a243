//! What was permitted, installed and labelled, and does not agree.

use super::card::{plain, said};
use super::limits::Limits;
use super::{card_lines, spaces_words, words_of};
use model::id::Space;
use model::job::Job;
use model::proving::Mismatch;
use model::replacement::Seated;

/// Everything that does not agree, by space.
pub fn mismatches(job: &Job, limits: &Limits) -> Vec<Mismatch> {
    let mut found = Vec::new();
    let breakers = job.install.breakers();
    if let Some(permit) = job.install.permits.last() {
        for (spaces, rating) in &permit.circuits {
            let Some(&space) = spaces.first() else { continue };
            match breakers.iter().find(|one| one.spaces.contains(&space)) {
                None => found.push(mismatch(
                    space,
                    format!("Filed: a breaker of {} A. Installed: none on record.", rating.a()),
                    "Record the breaker, or tell the building department.",
                )),
                Some(one) if one.rating != *rating => found.push(mismatch(
                    space,
                    format!("Filed: {} A. Installed: {} A.", rating.a(), one.rating.a()),
                    "Change the breaker, or have the permit changed before the final.",
                )),
                Some(_) => {}
            }
        }
        if !permit.circuits.is_empty() {
            let is_filed = |space: &Space| permit.circuits.iter().any(|(spaces, _)| spaces.contains(space));
            for one in breakers.iter().filter(|one| !one.spaces.iter().any(is_filed)) {
                let Some(&space) = one.spaces.first() else { continue };
                found.push(mismatch(
                    space,
                    format!("Installed: {} A. Filed: nothing.", one.rating.a()),
                    "Tell the building department, or take it out.",
                ));
            }
        }
        let highest = breakers.iter().flat_map(|one| &one.spaces).map(|space| space.number).max();
        if let (Some(filed), Some(highest)) = (permit.n_spaces, highest)
            && filed < highest
        {
            found.push(Mismatch {
                subject: "the panel".to_owned(),
                sentence: format!("Filed: {filed} spaces. Installed: a breaker in space {highest}."),
                mend: "Have the permit changed before the final.".to_owned(),
            });
        }
    }
    found.extend(against_layout(job));
    if let Some(card) = job.install.cards.last() {
        for one in &breakers {
            let Some(&space) = one.spaces.first() else { continue };
            let words = words_of(job, one);
            match said(&card.lines, &one.spaces) {
                None => found.push(mismatch(
                    space,
                    format!("Installed: {words}. The card says nothing."),
                    "Write the line.",
                )),
                Some(label) if plain(label) != plain(&words) => found.push(mismatch(
                    space,
                    format!("Installed: {words}. The card says: {label}."),
                    "Trace it, then make both say the same.",
                )),
                Some(_) => {}
            }
        }
        let is_in = |space: &Space| breakers.iter().any(|one| one.spaces.contains(space));
        for (space, words) in card.lines.iter().filter(|(space, _)| !is_in(space)) {
            found.push(mismatch(
                *space,
                format!("The card says: {words}. Installed: nothing on record."),
                "Take the line off, or record the breaker.",
            ));
        }
    }
    for one in &breakers {
        let sizes = one
            .from
            .iter()
            .filter_map(|slot| job.installation.breaker_at(slot)?.circuit.as_ref()?.conductor.size);
        if let (Some(seen), Some(before)) = (one.size, sizes.into_iter().next())
            && seen != before
        {
            let spaces = spaces_words(&one.spaces);
            found.push(Mismatch {
                subject: format!("space {spaces}"),
                sentence: format!("Surveyed: {before}. Installed: {seen}."),
                mend: "Look again; the breaker must fit the smaller.".to_owned(),
            });
        }
    }
    for line in card_lines(job, limits).into_iter().filter(|line| !line.faults.is_empty()) {
        found.push(Mismatch {
            subject: format!("space {}", line.spaces),
            sentence: format!("Card: \u{201c}{}\u{201d}. {}", line.words, line.faults.join(" ")),
            mend: "Write the line anew.".to_owned(),
        });
    }
    found
}

/// Circuits that went elsewhere than the chosen layout says. Nothing while no breaker is on record.
fn against_layout(job: &Job) -> Vec<Mismatch> {
    let mut found = Vec::new();
    let breakers = job.install.breakers();
    let Some(chosen) = job.replacement.arrangements.last().filter(|_| !breakers.is_empty()) else {
        return found;
    };
    for seat in &chosen.seats {
        let Seated::Circuit(slot) = &seat.what else { continue };
        let Some(one) = breakers.iter().find(|one| one.from.contains(slot)) else { continue };
        if !seat.spaces.iter().all(|space| one.spaces.contains(space))
            && let Some(&space) = one.spaces.first()
        {
            found.push(mismatch(
                space,
                format!(
                    "Chosen: the circuit of old space {} in {}. Installed: in {}.",
                    slot.space,
                    spaces_words(&seat.spaces),
                    spaces_words(&one.spaces)
                ),
                "Move it, or record the layout as it is: legs and partners follow from it.",
            ));
        }
    }
    found
}

fn mismatch(space: Space, sentence: String, mend: &str) -> Mismatch {
    Mismatch { subject: format!("space {space}"), sentence, mend: mend.to_owned() }
}
