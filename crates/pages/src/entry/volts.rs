//! Volts pair by pair: fields of their own, shared by the forms that take them.

use super::taking::Taking;
use super::{Pairs, pair};
use model::Leg;
use model::isolation::ProofPoint;
use record::fact::PairRead;
use record::limits;
use record::text::AsText;

const A: ProofPoint = ProofPoint::Leg(Leg::A);
const B: ProofPoint = ProofPoint::Leg(Leg::B);
const C: ProofPoint = ProofPoint::Leg(Leg::C);
const N: ProofPoint = ProofPoint::Neutral;
const G: ProofPoint = ProofPoint::Ground;

/// Every pair there is, with the name of its field.
pub(super) const PAIRS: [(&str, (ProofPoint, ProofPoint)); 10] = [
    ("v-A-B", (A, B)),
    ("v-A-C", (A, C)),
    ("v-B-C", (B, C)),
    ("v-A-neutral", (A, N)),
    ("v-B-neutral", (B, N)),
    ("v-C-neutral", (C, N)),
    ("v-A-ground", (A, G)),
    ("v-B-ground", (B, G)),
    ("v-C-ground", (C, G)),
    ("v-neutral-ground", (N, G)),
];

/// What was typed; where nothing was, `missing` is told at the field `first`.
pub(super) fn read(taking: &mut Taking<'_>, first: &str, missing: &str) -> Vec<PairRead> {
    let mut readings = Vec::new();
    for (name, pair) in PAIRS {
        if let Some(volts) = taking.may_number(name, limits::VOLTS, "V") {
            readings.push(PairRead { pair: AsText(pair), volts });
        }
    }
    if readings.is_empty() && PAIRS.iter().all(|(name, _)| taking.text(name).is_none()) {
        taking.wrong(first, missing);
    }
    readings
}

/// The fields that give these readings.
pub(super) fn pairs(readings: &[PairRead]) -> Pairs {
    let field = |reading: &PairRead| {
        let (name, _) = PAIRS.iter().find(|(_, one)| *one == reading.pair.0)?;
        Some(pair(name, reading.volts))
    };
    readings.iter().filter_map(field).collect()
}
