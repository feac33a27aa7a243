//! What the summary and the option of doing nothing say.

use super::choice;
use crate::sample::sound_panel;
use model::advice::{ChoiceKind, Standing, Urgency};

/// After one likely burnt stab with evidence, six that are suspect by their kind only are told apart from it.
#[test]
fn joints_on_which_nothing_bears_are_told_apart() {
    let mut sample = sound_panel().burnt("main:stab:4", 0.99);
    for id in ["main:stab:1", "main:stab:2", "main:stab:3", "main:stab:5"] {
        sample = sample.burnt(id, 0.22);
        let finding = sample.joints.iter_mut().find(|one| one.joint.id.to_string() == id);
        finding.expect("the stab is there").observed = false;
    }
    let verdict = sample.decide().verdict;
    assert_eq!(
        verdict.summary,
        "The stab under breaker 4 (kitchen) is likely burnt (99 %). 4 more joints carried too little to be judged, or were \
         not read: they cannot be told sound, and are read under load."
    );
    let told: Vec<&str> = verdict.rules.iter().map(|rule| rule.rule.as_str()).collect();
    assert_eq!(told, ["burnt stab", "suspect stab", "worn joint"]);
    let reasons: Vec<&str> = verdict.rules.iter().map(|rule| rule.reason.as_str()).collect();
    assert!(!reasons.join(" ").contains("More likely sound than burnt"), "{reasons:?}");
    // Without the burnt one none stands out, and that is said.
    let none = ["main:stab:1", "main:stab:2", "main:stab:3", "main:stab:5"];
    let several = none.iter().fold(sound_panel(), |sample, id| sample.burnt(id, 0.4)).decide().verdict;
    assert!(several.rules.iter().any(|rule| rule.rule == "several joints, none of them sure"));
    assert!(several.rules.iter().all(|rule| !rule.because.contains("it is not so")), "{:?}", several.rules);
}

/// Several joints a little under the threshold: none is suspect, and that one of them is burnt is no small chance.
#[test]
fn nobody_is_told_that_nothing_happens_where_much_is_open() {
    let five = ["main:stab:1", "main:stab:2", "main:stab:3", "main:stab:4", "main:stab:5"];
    let with = |burnt: f64| five.iter().fold(sound_panel(), |sample, id| sample.burnt(id, burnt)).decide();
    let open = with(0.18);
    assert_eq!(open.verdict.urgency, Urgency::NoAction);
    let leave = choice(&open, ChoiceKind::LeaveAndWatch);
    assert!(!leave.consequences.contains("Most likely nothing happens"), "{}", leave.consequences);
    assert!(leave.consequences.contains("more urgent"), "{}", leave.consequences);
    assert_eq!(leave.standing, Standing::Open);
    let settled = choice(&with(0.01), ChoiceKind::LeaveAndWatch);
    assert!(settled.consequences.contains("Most likely nothing happens"), "{}", settled.consequences);
    assert_eq!(settled.standing, Standing::Recommended);
}
