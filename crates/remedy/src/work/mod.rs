//! What a replacement is made of, as data: steps with their durations, surprises, parts, contested items.

mod parts;
mod steps;
mod surprises;

pub use parts::{Basis, Contested, Part, contested, parts};
pub use steps::{Per, Step, Steps, VisitKind, VisitText, When, steps};
pub use surprises::{Falls, falls};

use model::advice::ChoiceKind;
use serde::{Deserialize, Deserializer};

/// The options that are priced and planned, in order.
pub const OPTIONS: [ChoiceKind; 5] = [
    ChoiceKind::MakeSafe,
    ChoiceKind::MoveCircuit,
    ChoiceKind::ReplaceInterior,
    ChoiceKind::ReplacePanel,
    ChoiceKind::ReplaceService,
];

/// The option with a word.
pub fn option_of_word(word: &str) -> Option<ChoiceKind> {
    OPTIONS.into_iter().find(|option| option.word() == word)
}

/// An option in words, as on a quote.
pub const fn option_words(option: ChoiceKind) -> &'static str {
    match option {
        ChoiceKind::MakeSafe => "Make safe for now",
        ChoiceKind::MoveCircuit => "Move one circuit, as a stop-gap",
        ChoiceKind::ReplaceInterior => "New interior in the old cabinet",
        ChoiceKind::ReplacePanel => "New panel",
        ChoiceKind::ReplaceService => "New panel and service",
        _ => "Another option",
    }
}

/// What an option does not do, in words, as on a quote.
pub const fn option_leaves(option: ChoiceKind) -> &'static str {
    match option {
        ChoiceKind::MakeSafe => "The circuit stays off. The damage stays.",
        ChoiceKind::MoveCircuit => {
            "A stop-gap with a last day. The damaged stab stays, and so does the old panel."
        }
        ChoiceKind::ReplaceInterior => {
            "Cabinet, service conductors, meter socket and grounding stay as they are."
        }
        ChoiceKind::ReplacePanel => {
            "Service conductors, meter socket and drop stay. Faults in the branch wiring stay."
        }
        ChoiceKind::ReplaceService => "Faults in the branch wiring stay.",
        _ => "",
    }
}

fn options<'de, D: Deserializer<'de>>(from: D) -> Result<Vec<ChoiceKind>, D::Error> {
    let words = Vec::<String>::deserialize(from)?;
    words
        .iter()
        .map(|word| {
            option_of_word(word)
                .ok_or_else(|| serde::de::Error::custom(format!("`{word}` is no option that is priced")))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn steps_are_in_order_and_wait_only_for_what_comes_before() {
        let all = steps();
        let mut seen = BTreeSet::new();
        for step in &all.steps {
            assert!(step.after.iter().all(|id| all.steps.iter().any(|one| one.id == *id)), "{}", step.id);
            for option in OPTIONS {
                let before = step.after.iter().filter(|id| all.of(option).any(|one| one.id == **id));
                assert!(before.into_iter().all(|id| seen.contains(id)), "{}: {:?}", step.id, step.after);
            }
            assert!(seen.insert(step.id.clone()), "{} twice", step.id);
            assert!(!step.source.is_empty() && 0 < step.people);
        }
    }

    #[test]
    fn every_option_has_work_and_what_is_dark_lies_between_cut_and_back() {
        let all = steps();
        for option in OPTIONS {
            assert!(all.of(option).count() != 0, "{}", option.word());
            let ids: Vec<&str> = all.of(option).map(|step| step.id.as_str()).collect();
            let dark = all.of(option).any(|step| step.dark);
            assert_eq!(dark, all.of(option).any(|step| step.back), "{}", option.word());
            assert_eq!(dark, ids.contains(&"cut") && ids.contains(&"prove") && ids.contains(&"reconnect"));
        }
    }

    #[test]
    fn no_work_in_the_dark_comes_before_the_proof() {
        let all = steps();
        for option in OPTIONS {
            // What a step waits for, through all steps before it.
            for step in all.of(option).filter(|step| step.dark && step.id != "prove") {
                let mut open = vec![step];
                let mut found = false;
                while let Some(one) = open.pop() {
                    found |= one.id == "prove";
                    open.extend(all.of(option).filter(|before| one.after.contains(&before.id)));
                }
                assert!(found, "{}: {} does not wait for the proof", option.word(), step.id);
            }
        }
    }

    #[test]
    fn surprises_fall_at_steps_that_their_options_have() {
        let all = steps();
        let list = crate::surprise::surprises().expect("the list is good");
        for at in falls() {
            assert!(list.iter().any(|one| one.id == at.id), "{}: not in the list", at.id);
            assert!(!at.exclude.is_empty() && (0.0..=1.0).contains(&at.before_power));
            for option in at.options.iter().filter(|_| !at.step.is_empty()) {
                let there = all.of(*option).any(|step| step.id == at.step);
                assert!(there, "{}: no step {} in {}", at.id, at.step, option.word());
            }
        }
        for one in &list {
            assert!(falls().iter().any(|at| at.id == one.id), "{} falls nowhere", one.id);
        }
    }

    #[test]
    fn contested_items_have_a_part_an_option_and_a_point_of_the_code() {
        for item in contested() {
            assert!(!item.options.is_empty() && !item.words.is_empty() && !item.subject.is_empty());
            assert!(0 < item.count);
        }
        let ids: BTreeSet<String> = parts().into_iter().map(|part| part.id).collect();
        assert_eq!(ids.len(), parts().len());
    }
}
