//! Random houses: what is live, and how few movements suffice, against plain trial.

use crate::house::panel;
use crate::isolation::{isolate, live_parts};
use model::breaker::LoadClass;
use model::id::Slot;
use model::installation::Installation;
use model::isolation::{Disconnect, IsolationGoal, Part};
use model::panel::Feed;
use proptest::prelude::*;
use std::collections::BTreeSet;

/// What is live, found by going over the record again and again until nothing changes: no graph, no solver.
fn live_by_trial(installation: &Installation, opened: &BTreeSet<Disconnect>) -> BTreeSet<Part> {
    let mut live = BTreeSet::new();
    loop {
        let before = live.len();
        for panel in &installation.panels {
            for section in &panel.sections {
                let bus = Part::Bus(panel.id.clone(), section.id.clone());
                let lugs = Part::LineLugs(panel.id.clone());
                let closed = match &section.feed {
                    Feed::ServiceLugs | Feed::MainBreaker { .. } => {
                        live.insert(lugs.clone());
                        let main = Disconnect::Main(panel.id.clone(), section.id.clone());
                        matches!(section.feed, Feed::ServiceLugs) || !opened.contains(&main)
                    }
                    Feed::Breaker { slot } => {
                        match installation.breaker_at(slot) {
                            Some(breaker) => {
                                let branch = Part::Branch(Slot::new(slot.panel.clone(), breaker.spaces[0]));
                                if live.contains(&branch) {
                                    live.insert(bus.clone());
                                }
                                if live.contains(&bus) {
                                    live.insert(branch);
                                }
                            }
                            None => {
                                live.insert(bus.clone());
                            }
                        }
                        false
                    }
                };
                if closed {
                    live.insert(bus.clone());
                }
                for breaker in &panel.breakers {
                    if panel.section_of(breaker.spaces[0]).map(|section| &section.id) != Some(&section.id) {
                        continue;
                    }
                    let slot = Slot::new(panel.id.clone(), breaker.spaces[0]);
                    let branch = Part::Branch(slot.clone());
                    if breaker.circuit.as_ref().and_then(|circuit| circuit.class) == Some(LoadClass::Source) {
                        live.insert(branch.clone());
                    }
                    if opened.contains(&Disconnect::Breaker(slot)) {
                        continue;
                    }
                    if live.contains(&bus) {
                        live.insert(branch.clone());
                    }
                    if live.contains(&branch) {
                        live.insert(bus.clone());
                    }
                }
            }
        }
        if live.len() == before {
            return live;
        }
    }
}

fn disconnects(installation: &Installation) -> Vec<Disconnect> {
    let mut all = Vec::new();
    for panel in &installation.panels {
        for section in &panel.sections {
            if matches!(section.feed, Feed::MainBreaker { .. }) {
                all.push(Disconnect::Main(panel.id.clone(), section.id.clone()));
            }
        }
        for breaker in &panel.breakers {
            all.push(Disconnect::Breaker(Slot::new(panel.id.clone(), breaker.spaces[0])));
        }
    }
    all
}

/// A main panel, perhaps split, perhaps with a sub-panel and sources; few enough handles to try every set of them.
fn any_house() -> impl Strategy<Value = Installation> {
    let kinds = prop::collection::vec(0_u8..4, 6);
    (0_u8..4, kinds, prop::option::of(prop::collection::vec(0_u8..4, 1..3))).prop_map(|(feed, kinds, sub)| {
        let mut text = match feed {
            0 => "whole main 1-6;".to_owned(),
            1 => "whole lugs 1-6;".to_owned(),
            2 => "upper lugs 1-3; lower main/1 4-6; 1,3 lower;".to_owned(),
            _ => "upper main 1-3; lower main/1 4-6; 1,3 lower;".to_owned(),
        };
        for (idx, kind) in kinds.iter().enumerate() {
            let space = 2 * (idx + 1);
            match kind {
                0 => {}
                1 | 2 => text.push_str(&format!("{space} circuit {space};")),
                _ => text.push_str(&format!("{space} source {space};")),
            }
        }
        if sub.is_some() {
            text.push_str("9,11 sub;");
        }
        let mut panels = vec![panel("main", &text)];
        if let Some(kinds) = sub {
            let mut text = "whole main/9 1-2;".to_owned();
            for (idx, kind) in kinds.iter().enumerate() {
                let word = if *kind == 3 { "source" } else { "circuit" };
                text.push_str(&format!("{} {word};", idx + 1));
            }
            panels.push(panel("sub", &text));
        }
        Installation { panels, ..Installation::default() }
    })
}

/// Parts of the goal: for everything, the circuits that are no source.
fn wanted(installation: &Installation, goal: &IsolationGoal) -> BTreeSet<Part> {
    if let IsolationGoal::Part(part) = goal {
        return BTreeSet::from([part.clone()]);
    }
    let mut all = BTreeSet::new();
    for (panel, breaker) in installation.breakers() {
        let slot = Slot::new(panel.id.clone(), breaker.spaces[0]);
        let is_source = breaker.circuit.as_ref().and_then(|circuit| circuit.class) == Some(LoadClass::Source);
        if !is_source && installation.sections_fed_by(&slot).next().is_none() {
            all.insert(Part::Branch(slot));
        }
    }
    all
}

/// The smallest number of movements that leaves nothing of `wanted` live, found by trying every set.
fn fewest_by_trial(installation: &Installation, wanted: &BTreeSet<Part>) -> Option<usize> {
    let all = disconnects(installation);
    (0_u32..1 << all.len())
        .filter(|set| {
            let opened =
                (0..all.len()).filter(|idx| set >> idx & 1 == 1).map(|idx| all[idx].clone()).collect();
            live_by_trial(installation, &opened).is_disjoint(wanted)
        })
        .map(|set| set.count_ones() as usize)
        .min()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn what_is_live_after_each_movement_is_what_a_plain_search_finds(installation in any_house()) {
        let mut goals = vec![IsolationGoal::Everything];
        goals.extend(live_parts(&installation, &BTreeSet::new()).into_iter().map(IsolationGoal::Part));
        for goal in goals {
            let plan = isolate(&installation, &goal).expect("the part is there");
            let mut opened = BTreeSet::new();
            let mut before = live_by_trial(&installation, &opened);
            for movement in &plan.movements {
                opened.insert(movement.opens.clone());
                let after = live_by_trial(&installation, &opened);
                prop_assert_eq!(movement.still_live.iter().cloned().collect::<BTreeSet<_>>(), after.clone());
                let cut: BTreeSet<Part> = before.difference(&after).cloned().collect();
                prop_assert_eq!(movement.cuts.iter().cloned().collect::<BTreeSet<_>>(), cut);
                before = after;
            }
            prop_assert_eq!(plan.stays_live.iter().cloned().collect::<BTreeSet<_>>(), before);
        }
    }

    #[test]
    fn no_smaller_set_of_movements_does_it(installation in any_house()) {
        let mut goals = vec![IsolationGoal::Everything];
        goals.extend(live_parts(&installation, &BTreeSet::new()).into_iter().map(IsolationGoal::Part));
        for goal in goals {
            let plan = isolate(&installation, &goal).expect("the part is there");
            let fewest = fewest_by_trial(&installation, &wanted(&installation, &goal));
            prop_assert_eq!(plan.by_hand, fewest.is_some());
            if let Some(fewest) = fewest {
                prop_assert_eq!(plan.movements.len(), fewest, "{:?}", goal);
            }
        }
    }
}
