//! Entries that are not used and may speak against a dead part: what is set aside must not be overlooked where a hand
//! goes by it.

use super::SetAside;
use crate::fact::{Body, Fact};
use model::FactId;
use model::plan::Doubt;
use std::collections::BTreeMap;

/// Of all facts those that neither are used nor were replaced, and that may mean that something is live.
pub(super) fn doubts(
    facts: &[Fact],
    used: &[&Fact],
    replaced: &BTreeMap<FactId, FactId>,
    aside: &BTreeMap<FactId, SetAside>,
) -> Vec<Doubt> {
    let mut doubts: Vec<Doubt> = facts
        .iter()
        .filter(|fact| speaks_against(&fact.body))
        .filter(|fact| !replaced.contains_key(fact.id()) && !used.contains(fact))
        .filter_map(|fact| {
            let why = aside.get(fact.id())?.why.clone();
            Some(Doubt { fact: fact.id().clone(), at: fact.at, kind: fact.body.kind(), why })
        })
        .collect();
    doubts.sort_by(|a, b| (a.at, &a.fact, a.kind, &a.why).cmp(&(b.at, &b.fact, b.kind, &b.why)));
    doubts.dedup();
    doubts
}

/// A handle moved on, the supply given back, a source that is there, voltage or current. What is no number counts, too.
fn speaks_against(body: &Body) -> bool {
    let shown = |value: f64| value.is_nan() || 0.0 < value.abs();
    match body {
        Body::Handle(body) => body.to.0 == model::isolation::MovedTo::On,
        Body::Cut(body) => body.restored,
        Body::Source(body) => body.found && !body.cut,
        Body::Energised(_) => true,
        Body::Proof(body) => body.readings.iter().any(|reading| shown(reading.volts)),
        Body::Voltage(body) => shown(body.volts),
        Body::Clamp(body) => shown(body.amps),
        Body::Drop(body) => body.amps.is_some_and(shown),
        _ => false,
    }
}
