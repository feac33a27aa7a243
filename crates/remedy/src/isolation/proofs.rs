//! What must be proven before a part counts as dead.

use model::installation::Installation;
use model::isolation::{Part, ProofDuty, ProofPoint};
use model::system::{Leg, System};

/// Pairs and place for a part. Absence of voltage is tested between all conductors and from each to ground, with a
/// tester proven on a known live source before and after (live, dead, live).
///
/// Source: NFPA 70E 120.5 (2018/2021), each conductor phase-to-phase and phase-to-ground; neutral to ground is common
/// practice, no source.
pub(crate) fn duty(installation: &Installation, part: &Part) -> ProofDuty {
    let (panel_id, at, poles): (_, String, Option<Vec<Leg>>) = match part {
        Part::LineLugs(panel) => (panel, "at the line lugs".to_owned(), None),
        Part::Bus(panel, section) => (
            panel,
            format!("on the bus bars of the {section} section, at the end farthest from their feed"),
            None,
        ),
        Part::Branch(slot) => {
            let panel = installation.panel(&slot.panel);
            let legs = panel.and_then(|panel| {
                let breaker = panel.breaker_at(slot.space)?;
                Some(breaker.spaces.iter().map(|&space| panel.leg_of(space)).collect())
            });
            (&slot.panel, format!("at the load terminals of the breaker in {}", slot.space), legs)
        }
    };
    let system = installation.panel(panel_id).map_or(System::SplitPhase, |panel| panel.system);
    let mut legs = poles.unwrap_or_else(|| system.legs().to_vec());
    legs.sort();
    legs.dedup();
    let mut points: Vec<ProofPoint> = legs.into_iter().map(ProofPoint::Leg).collect();
    points.push(ProofPoint::Neutral);
    points.push(ProofPoint::Ground);
    let mut pairs = Vec::new();
    for (idx, first) in points.iter().enumerate() {
        for second in &points[idx + 1..] {
            pairs.push((*first, *second));
        }
    }
    ProofDuty { part: part.clone(), at, pairs }
}
