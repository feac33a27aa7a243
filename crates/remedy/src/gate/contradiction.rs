//! Voltage or current where the record says that there is none: the record of how it is fed is wrong, or a contact has
//! not opened. Everything stops until something is done about it and the part is proven again.

use super::proof::{faults, is_dead};
use super::{Site, first_pole};
use crate::isolation::proofs;
use crate::words::{capital, part as part_words, point_pair};
use model::evidence::{ClampPlace, Observed};
use model::isolation::Part;
use model::place::Place;
use model::{Current, DateTime, FactId, Slot};

/// A current that a clamp shows where none flows, A. Judgement: below it may be noise of the clamp.
const NO_CURRENT_A: f64 = 0.5;

fn is_current(shown: Current) -> bool {
    NO_CURRENT_A < shown.a()
}

/// Something found where there should be nothing.
#[derive(Debug, Clone)]
pub(super) struct Contradiction {
    pub(super) fact: FactId,
    pub(super) at: DateTime,
    pub(super) part: Part,
    pub(super) sentence: String,
}

impl Contradiction {
    /// Was something done about it, and the part proven after that?
    pub(super) fn is_resolved(&self, site: &Site<'_>) -> bool {
        let Some(acted) = site.course.acted_after(self.at) else { return false };
        let duty = proofs::duty(&site.job.installation, &self.part);
        let mut later = site.course.proofs.iter().filter(|proof| proof.part == self.part && acted < proof.at);
        later.any(|proof| faults(proof, &duty).is_empty())
    }
}

/// Everything that contradicts the record, in order of time.
pub(super) fn all(site: &Site<'_>) -> Vec<Contradiction> {
    let mut found = Vec::new();
    for proof in &site.course.proofs {
        let hot = proof.readings.iter().find(|reading| !is_dead(reading.value));
        if let Some(hot) = hot
            && is_claimed(site, &proof.part, proof.at)
        {
            let shown = format!("{} V, {}", hot.value.v(), point_pair(hot.pair));
            found.push(contradiction(site, &proof.fact, proof.at, &proof.part, &shown));
        }
    }
    for seen in site.job.observations.iter().filter(|seen| site.at.is_none_or(|at| seen.at <= at)) {
        let Some((parts, shown)) = shown(site, &seen.what) else { continue };
        // Between a live and a dead part a meter may show voltage through a load: that contradicts nothing.
        if !parts.is_empty() && parts.iter().all(|part| is_claimed(site, part, seen.at)) {
            found.push(contradiction(site, &seen.fact, seen.at, &parts[0], &shown));
        }
    }
    found.sort_by(|a, b| (a.at, &a.fact).cmp(&(b.at, &b.fact)));
    found
}

/// Was the part cut off by the record before that moment?
fn is_claimed(site: &Site<'_>, part: &Part, at: DateTime) -> bool {
    !site.course.live(&site.graph, &site.questions, Some(at)).contains(part)
}

fn contradiction(site: &Site<'_>, fact: &FactId, at: DateTime, part: &Part, shown: &str) -> Contradiction {
    let name = capital(&part_words(&site.job.installation, part));
    let sentence = format!(
        "{name} should be cut off by the record, and {shown} were found there at {}. Hands off: it is live. Find what \
         feeds it, record what you cut or switch off, then prove it dead again.",
        at.strftime("%H:%M")
    );
    Contradiction { fact: fact.clone(), at, part: part.clone(), sentence }
}

/// Parts at which an observation found voltage or current, and what it showed.
fn shown(site: &Site<'_>, what: &Observed) -> Option<(Vec<Part>, String)> {
    let branch = |slot: &Slot| Part::Branch(first_pole(&site.job.installation, slot));
    let of_place = |place: &Place| match place {
        Place::Load(slot) | Place::Wire(slot) | Place::NeutralWire(slot) | Place::Receptacle(slot) => {
            Some(branch(slot))
        }
        Place::Lug(panel, _) | Place::Line(panel, _) => Some(Part::LineLugs(panel.clone())),
        _ => None,
    };
    match what {
        Observed::Voltage(reading) if !is_dead(reading.value) => {
            let parts = [&reading.from, &reading.to].into_iter().filter_map(of_place).collect();
            Some((parts, format!("{} V", reading.value.v())))
        }
        Observed::Current(reading) if is_current(reading.value) => {
            let part = match &reading.place {
                ClampPlace::Pole(slot) => branch(slot),
                ClampPlace::Line(panel, _) => Part::LineLugs(panel.clone()),
                ClampPlace::Neutral(_) | ClampPlace::Electrode(_) => return None,
            };
            Some((vec![part], format!("{} A", reading.value.a())))
        }
        Observed::Drop(reading) => {
            let current = reading.current.filter(|&current| is_current(current))?;
            let parts = [&reading.from, &reading.to].into_iter().filter_map(of_place).collect();
            Some((parts, format!("{} A", current.a())))
        }
        _ => None,
    }
}
