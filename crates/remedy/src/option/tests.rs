//! Decisions on samples made by hand.

use crate::sample::{Sample, sound_panel, split_bus};
use crate::{Decision, Policy};
use model::Leg;
use model::advice::{Choice, ChoiceKind, Standing, Urgency};
use model::assessment::Cause;
use model::evidence::{
    ClampPlace, CurrentReading, Observed, Sign, Surface, TemperatureMethod, TemperatureReading,
};
use model::id::{PanelId, Slot, Space};
use model::place::Place;
use model::plan::{Alarms, Answer, Interim};
use model::quantity::{Current, Temperature};

fn choice(decision: &Decision, kind: ChoiceKind) -> Choice {
    let found = decision.options.iter().find(|choice| choice.kind == kind);
    found.cloned().unwrap_or_else(|| unreachable!("every option is in the list"))
}

fn standing(sample: &Sample, kind: ChoiceKind) -> Standing {
    choice(&sample.decide(), kind).standing
}

fn urgency(sample: &Sample) -> Urgency {
    sample.decide().verdict.urgency
}

#[test]
fn a_sound_panel_needs_no_action_and_nobody_is_sold_a_panel() {
    let sample = sound_panel();
    let decision = sample.decide();
    assert_eq!(decision.verdict.urgency, Urgency::NoAction);
    assert!(decision.verdict.rules.is_empty());
    assert!(
        decision.verdict.summary.starts_with("Nothing was found wrong with the panel"),
        "{}",
        decision.verdict.summary
    );
    assert_eq!(choice(&decision, ChoiceKind::LeaveAndWatch).standing, Standing::Recommended);
    for kind in [
        ChoiceKind::ReplaceInterior,
        ChoiceKind::ReplacePanel,
        ChoiceKind::ReplaceService,
        ChoiceKind::MoveCircuit,
    ] {
        assert_eq!(choice(&decision, kind).standing, Standing::Refused, "{kind:?}");
    }
}

/// What was read presses, and no joint is suspect: that is no panel with nothing wrong.
#[test]
fn a_reading_that_presses_is_said_and_not_that_nothing_is_wrong() {
    for volts in [131.0, 102.0] {
        let verdict = sound_panel().leg_voltage(volts).decide().verdict;
        assert_eq!(verdict.urgency, Urgency::Now);
        assert!(!verdict.summary.contains("Nothing was found wrong"), "{}", verdict.summary);
        assert!(
            verdict.summary.contains(&format!("{volts:.1} V from a leg to neutral")),
            "{}",
            verdict.summary
        );
    }
}

fn read(place: Place, value_c: f64) -> Observed {
    Observed::Temperature(TemperatureReading {
        place,
        value: Temperature::from_c(value_c),
        method: TemperatureMethod::Contact,
        surface: Surface::Matte,
        emissivity: None,
        reflected: None,
        instrument: None,
        state: "evening".to_owned(),
    })
}

/// The policy asks for something within 72 hours: an owner is told what, and not that most likely nothing happens.
#[test]
fn a_hot_reading_has_something_done_about_it() {
    let kitchen = || Slot::new(PanelId::new("main"), Space::whole(4));
    let done = |place: Place, value_c: f64| {
        let decision = sound_panel().observed(read(place, value_c)).decide();
        assert_eq!(decision.verdict.urgency, Urgency::Within72Hours);
        let [leave, off, remake] = [ChoiceKind::LeaveAndWatch, ChoiceKind::MakeSafe, ChoiceKind::RemakeJoint]
            .map(|kind| choice(&decision, kind));
        assert!(!leave.consequences.contains("Most likely nothing"), "{}", leave.consequences);
        assert!(leave.consequences.contains("nobody can say what comes of it"), "{}", leave.consequences);
        (off, remake)
    };
    // No handle takes the load off a lug; it is remade where it reads the same again, with the service cut.
    let (off, remake) = done(Place::Lug(PanelId::new("main"), Leg::A), 90.0);
    assert_eq!((off.standing, remake.standing), (Standing::Refused, Standing::Conditional));
    assert!(remake.reasons_for[0].contains("what was read at the line lug of leg A"));
    assert!(
        remake.conditions[0].contains("read again") && remake.conditions[2].contains("The utility has cut")
    );
    let (off, remake) = done(Place::Load(kitchen()), 90.0);
    assert_eq!((off.standing, remake.standing), (Standing::Recommended, Standing::Conditional));
    assert!(off.consequences.contains("It means breaker 4 (kitchen)."), "{}", off.consequences);
    let (off, remake) = done(Place::Face(kitchen()), 90.0);
    assert_eq!((off.standing, remake.standing), (Standing::Recommended, Standing::Refused));
    assert!(off.reasons_for[0].contains("what was read at the face of breaker 4 (kitchen)"));
}

/// The worst joint stands first, those that are likely burnt before those that are only suspect.
#[test]
fn what_is_switched_off_is_named_worst_first() {
    let sample = sound_panel()
        .burnt("main:stab:1", 0.25)
        .burnt("main:stab:4", 0.99)
        .burnt("main:stab:3", 0.6)
        .burnt("main:terminal:5", 0.3);
    let off = choice(&sample.decide(), ChoiceKind::MakeSafe);
    let told = "It means breaker 4 (kitchen) and breaker 3/5 (dryer), likely burnt; to be on the safe side also \
                breaker 1 (lights, upstairs).";
    assert!(off.consequences.contains(told), "{}", off.consequences);
    assert!(!off.consequences.contains("The plan of"), "{}", off.consequences);
}

/// The owner agreed to a plan that leaves some of them on: the letter says so and does not talk past it.
#[test]
fn the_plan_that_was_agreed_to_is_told_beside_it() {
    let slot = |number| Slot::new(PanelId::new("main"), Space::whole(number));
    let consequences = |off: Vec<Slot>, answer: Answer| {
        let mut sample = sound_panel().burnt("main:stab:1", 0.25).burnt("main:stab:4", 0.99);
        sample.job.interims.push(plan(off, answer));
        choice(&sample.decide(), ChoiceKind::MakeSafe).consequences
    };
    let said = consequences(vec![slot(4)], Answer::Accepted);
    assert!(said.contains("The plan of 2026-03-04 leaves breaker 1 (lights, upstairs) on: ask us"), "{said}");
    let said = consequences(vec![slot(1)], Answer::Accepted);
    assert!(said.contains("leaves breaker 4 (kitchen) on: we advise to switch that off, too"), "{said}");
    let said = consequences(vec![slot(1), slot(4)], Answer::Accepted);
    assert!(said.contains("By the plan of 2026-03-04 that is off already."), "{said}");
    assert!(!consequences(vec![slot(4)], Answer::Declined).contains("The plan of"));
}

fn plan(off: Vec<Slot>, answer: Answer) -> Interim {
    let day = model::Date::constant(2026, 3, 4);
    Interim {
        fact: model::FactId::new("plan"),
        at: day.at(9, 0, 0, 0),
        by: None,
        off,
        limits: Vec::new(),
        limits_words: String::new(),
        done: String::new(),
        watch: Vec::new(),
        watch_words: String::new(),
        alarms: Alarms::NotTested,
        alarms_words: String::new(),
        medical: String::new(),
        food: String::new(),
        heat: String::new(),
        expires: day,
        recheck: day,
        replacement: None,
        slip: Vec::new(),
        answer,
        answer_words: String::new(),
        answer_by: String::new(),
        reasons: String::new(),
    }
}

/// A reading that another one denies does not say that a circuit carried too much; one that stands does.
#[test]
fn a_current_above_the_rating_is_not_denied() {
    let clamp = |amps| {
        Observed::Current(CurrentReading {
            place: ClampPlace::Pole(Slot::new(PanelId::new("main"), Space::whole(4))),
            value: Current::from_a(amps),
            instrument: None,
            state: "evening".to_owned(),
        })
    };
    let why = |sample: Sample| choice(&sample.decide(), ChoiceKind::CorrectLoad).reasons_against.join(" ");
    let denied = why(sound_panel().observed(clamp(250.0)).observed(clamp(0.0)));
    assert!(denied.contains("No circuit was found with more load"), "{denied}");
    let read = why(sound_panel().observed(clamp(26.0)));
    assert!(read.contains("Breaker 4 (kitchen) was read above its rating"), "{read}");
}

/// Not urgent, but open: the circuit may stay off until the reading is taken again.
#[test]
fn a_reading_that_fits_nothing_leaves_the_handle_to_the_owner() {
    let mut sample =
        sound_panel().observed(read(Place::Face(Slot::new(PanelId::new("main"), Space::whole(4))), 60.0));
    assert_eq!(standing(&sample, ChoiceKind::MakeSafe), Standing::Refused);
    sample.unexplained.push(sample.job.observations[0].fact.clone());
    assert_eq!(standing(&sample, ChoiceKind::MakeSafe), Standing::Open);
}

#[test]
fn an_overloaded_circuit_is_corrected_and_the_panel_left_alone() {
    let sample = sound_panel().cause(Cause::Overload, 0.9);
    let decision = sample.decide();
    assert_eq!(decision.verdict.urgency, Urgency::NoAction);
    assert!(decision.verdict.summary.contains("Nothing was found wrong with the panel"));
    assert!(decision.verdict.summary.contains("breaker 4 (kitchen)"));
    assert_eq!(choice(&decision, ChoiceKind::CorrectLoad).standing, Standing::Recommended);
    assert_eq!(choice(&decision, ChoiceKind::ReplacePanel).standing, Standing::Refused);
}

#[test]
fn a_joint_that_nothing_bears_on_is_not_called_sound() {
    let mut sample = sound_panel();
    sample.joints.iter_mut().for_each(|finding| finding.observed = false);
    let decision = sample.decide();
    assert!(decision.verdict.summary.contains("Too little was observed"), "{}", decision.verdict.summary);
    assert!(decision.notes.iter().any(|note| note.text.contains("unknown is not sound")));
}

#[test]
fn one_burnt_stab_of_a_modest_circuit_may_be_moved_under_conditions() {
    let sample = sound_panel().burnt("main:stab:4", 0.9);
    let decision = sample.decide();
    assert_eq!(decision.verdict.urgency, Urgency::Within72Hours);
    assert_eq!(choice(&decision, ChoiceKind::MakeSafe).standing, Standing::Recommended);
    let moved = choice(&decision, ChoiceKind::MoveCircuit);
    assert_eq!(moved.standing, Standing::Conditional);
    let conditions = moved.conditions.join("\n");
    for needed in
        ["proven dead", "Exactly one stab", "leg B", "listed", "reaches", "written date within 30 days"]
    {
        assert!(conditions.contains(needed), "{needed} is missing in {conditions}");
    }
}

#[test]
fn a_move_is_refused_for_each_of_its_reasons() {
    let refused = |sample: Sample, because: &str| {
        let moved = choice(&sample.decide(), ChoiceKind::MoveCircuit);
        assert_eq!(moved.standing, Standing::Refused, "{because}");
        assert!(moved.reasons_against.join("\n").contains(because), "{because}: {:?}", moved.reasons_against);
        assert!(moved.price_usd.is_none() && moved.conditions.is_empty());
    };
    refused(sound_panel(), "nothing to move away from");
    refused(sound_panel().burnt("main:stab:4", 0.9).burnt("main:stab:2", 0.9), "More than one stab");
    refused(sound_panel().burnt("main:stab:3", 0.9), "heavy load");
    refused(sound_panel().burnt("main:stab:4", 0.9).burnt("main:lug:A", 0.6), "lug or main connection");
    refused(sound_panel().burnt("main:stab:4", 0.9).sign(Sign::Moisture), "water marks");
    refused(split_bus().burnt("main:stab:6", 0.9).burnt("main:stab:2", 0.3), "feeds a section");
    let mut loaded = sound_panel().burnt("main:stab:4", 0.9);
    for finding in &mut loaded.joints {
        finding.current_now_a =
            finding.current_now_a.map(|current| model::assessment::Interval { median: 19.0, ..current });
    }
    refused(loaded, "It carried about 19 A");
}

#[test]
fn two_burnt_stabs_speak_for_a_new_panel() {
    let sample = sound_panel().burnt("main:stab:4", 0.9).burnt("main:stab:2", 0.8);
    assert_eq!(standing(&sample, ChoiceKind::ReplacePanel), Standing::Recommended);
    let one = sound_panel().burnt("main:stab:4", 0.9);
    assert_eq!(standing(&one, ChoiceKind::ReplacePanel), Standing::Open);
}

#[test]
fn a_failing_neutral_calls_the_utility_now() {
    let sample = sound_panel().failing("neutral", 0.97);
    let decision = sample.decide();
    assert_eq!(decision.verdict.urgency, Urgency::Now);
    assert_eq!(choice(&decision, ChoiceKind::CallUtility).standing, Standing::Recommended);
    assert!(decision.verdict.cautions.iter().any(|caution| caution.contains("open no bond")));
    assert_eq!(choice(&decision, ChoiceKind::ReplacePanel).standing, Standing::Refused);
}

#[test]
fn a_measured_voltage_alone_can_make_it_urgent() {
    assert_eq!(urgency(&sound_panel().leg_voltage(131.0)), Urgency::Now);
    assert_eq!(urgency(&sound_panel().leg_voltage(104.0)), Urgency::Now);
    assert_eq!(urgency(&sound_panel().leg_voltage(121.0)), Urgency::NoAction);
}

#[test]
fn the_stab_of_a_section_main_is_more_urgent_than_that_of_a_circuit() {
    assert_eq!(urgency(&split_bus().burnt("main:stab:4", 0.6)), Urgency::Now);
    assert_eq!(urgency(&split_bus().burnt("main:stab:6", 0.6)), Urgency::Within72Hours);
    assert_eq!(urgency(&split_bus()), Urgency::PlanIt);
}

#[test]
fn doing_nothing_is_always_there_with_its_consequences() {
    let samples = [
        sound_panel(),
        sound_panel().burnt("main:stab:4", 0.9),
        sound_panel().failing("neutral", 0.9),
        split_bus().burnt("main:stab:2", 0.9),
    ];
    for sample in samples {
        let leave = choice(&sample.decide(), ChoiceKind::LeaveAndWatch);
        assert!(leave.standing != Standing::Refused && !leave.consequences.is_empty());
    }
}

#[test]
fn nothing_ever_asks_for_a_live_pull() {
    for sample in [sound_panel().burnt("main:stab:4", 0.9), split_bus().burnt("main:stab:2", 0.9)] {
        let decision = sample.decide();
        assert!(decision.verdict.cautions.iter().any(|caution| caution.contains("Do not pull the breaker")));
        for option in decision.options.iter().filter(|option| option.standing != Standing::Refused) {
            let moves = matches!(option.kind, ChoiceKind::MoveCircuit | ChoiceKind::RemakeJoint);
            let dead =
                option.conditions.iter().any(|condition| condition.to_lowercase().contains("proven dead"));
            assert!(!moves || dead, "{:?}", option.kind);
        }
    }
}

#[test]
fn what_would_change_the_advice_is_computed() {
    let decision = sound_panel().burnt("main:stab:4", 0.9).decide();
    let text = decision.verdict.would_change.join("\n");
    assert!(text.contains("If the stab under breaker 4 (kitchen) proves sound: no action"), "{text}");
    let two = sound_panel().burnt("main:stab:4", 0.9).burnt("main:stab:2", 0.9).decide();
    assert!(two.verdict.would_change[0].contains("If all suspect joints prove sound"), "{:?}", two.verdict);
}

#[test]
fn a_sound_supply_would_change_the_advice() {
    let decision = sound_panel().failing("neutral", 0.97).decide();
    let text = decision.verdict.would_change.join("\n");
    assert!(
        text.contains("leg voltages stay steady") && text.contains("no action needed on the panel"),
        "{text}"
    );
}

#[test]
fn a_policy_of_the_shop_changes_the_advice() {
    let text = Policy::standard_text().replacen(
        "urgency = \"within-72-hours\"\nwhen = [{ burnt = { joints = [\"stab\"]",
        "urgency = \"now\"\nwhen = [{ burnt = { joints = [\"stab\"]",
        1,
    );
    let strict = Policy::parse("strict.toml", &text).expect("a policy");
    let sample = sound_panel().burnt("main:stab:4", 0.9);
    assert_eq!(sample.decide_under(&strict).verdict.urgency, Urgency::Now);
}

#[test]
fn age_is_no_evidence() {
    let mut old = sound_panel();
    old.job.installation.panels[0].year = Some(1958);
    assert_eq!(old.decide(), sound_panel().decide());
}
