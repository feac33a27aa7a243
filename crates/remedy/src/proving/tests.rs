//! The gate, the order, torque, shared neutrals and comparisons on jobs made by hand and by chance.

use super::*;
use crate::sample::sound_panel;
use model::evidence::{
    CurrentReading, Observation, Observed, Surface, TemperatureMethod, TemperatureReading,
};
use model::install::{
    Card, Energised, NeutralRead, Permit, Stage, Terminal, TorqueSource, Torqued, Verified,
};
use model::isolation::{PairReading, ProofPoint};
use model::load::LoadState;
use model::place::Place;
use model::proving::{NeutralSays, Outcome};
use model::{Current, DateTime, FactId, PanelId, Slot, Temperature, Torque, Voltage};
use proptest::prelude::*;

fn limits() -> Limits {
    Limits::standard().expect("the data is good")
}

fn at(hour: i8, minute: i8) -> DateTime {
    DateTime::constant(2026, 5, 7, hour, minute, 0, 0)
}

fn id(text: &str) -> FactId {
    FactId::new(text)
}

fn space(number: u16) -> Space {
    Space::whole(number)
}

fn breaker(spaces: &[u16], rating: f64, from: &[u16], words: &str) -> Installed {
    Installed {
        fact: id(&format!("in-{}", spaces[0])),
        at: at(11, 0),
        by: Some("JD".to_owned()),
        spaces: spaces.iter().map(|&one| space(one)).collect(),
        rating: Current::from_a(rating),
        protection: model::breaker::Protection::ThermalMagnetic,
        from: from.iter().map(|&one| Slot::new(PanelId::new("main"), space(one))).collect(),
        size: None,
        spliced: false,
        words: words.to_owned(),
    }
}

fn job() -> Job {
    let mut job = sound_panel().job;
    job.install.installed = vec![
        breaker(&[1], 15.0, &[1], ""),
        breaker(&[2], 15.0, &[2], ""),
        breaker(&[3, 5], 30.0, &[3, 5], ""),
        breaker(&[4], 20.0, &[4], ""),
        breaker(&[6], 20.0, &[], "new outdoor receptacle, east wall"),
    ];
    job
}

/// Readings of a step: between the legs, A and B to neutral, neutral to ground.
fn readings(volts: [f64; 4]) -> Vec<PairReading> {
    let (a, b) = (ProofPoint::Leg(Leg::A), ProofPoint::Leg(Leg::B));
    let pairs = [
        (a, b),
        (a, ProofPoint::Neutral),
        (b, ProofPoint::Neutral),
        (ProofPoint::Neutral, ProofPoint::Ground),
    ];
    pairs
        .into_iter()
        .zip(volts)
        .map(|(pair, volts)| PairReading { pair, value: Voltage::from_v(volts) })
        .collect()
}

fn step(stage: Stage, time: DateTime, spaces: &[u16], volts: [f64; 4]) -> Energised {
    Energised {
        fact: id(&format!("step-{}", time.time())),
        at: time,
        by: Some("JD".to_owned()),
        stage,
        spaces: spaces.iter().map(|&one| space(one)).collect(),
        readings: readings(volts),
        legs: vec![(Leg::A, Current::from_a(4.0)), (Leg::B, Current::from_a(3.0))],
        meter: None,
    }
}

const GOOD: [f64; 4] = [241.0, 120.6, 120.4, 0.1];

fn opened(job: &mut Job) {
    job.install.energised.push(step(Stage::Supply, at(14, 0), &[], GOOD));
    job.install.energised.push(step(Stage::Main, at(14, 5), &[], GOOD));
}

#[test]
fn no_branch_is_offered_before_the_readings_are_in() {
    let mut job = job();
    let order = switching_on(&job, &limits());
    assert_eq!(order.shut.len(), 8, "{:?}", order.shut);
    assert!(order.next.is_none() && order.later.is_empty() && order.n_open == 5);
    job.install.energised.push(step(Stage::Supply, at(14, 0), &[], GOOD));
    assert!(switching_on(&job, &limits()).next.is_none(), "the main was not read");
    opened(&mut job);
    let order = switching_on(&job, &limits());
    assert!(order.shut.is_empty() && order.next.is_some(), "{:?}", order.shut);
}

#[test]
fn implausible_readings_keep_the_branches_open() {
    for (volts, word) in [
        ([241.0, 141.0, 100.0, 0.1], "141"),
        ([241.0, 120.0, 120.0, 14.0], "Neutral to ground reads 14 V"),
        ([120.0, 120.0, 0.0, 0.0], "0 V"),
        ([241.0, 123.0, 118.0, 0.1], "differ by 5.0 V"),
        ([250.0, 120.0, 120.0, 0.1], "do not add up"),
    ] {
        let mut job = job();
        job.install.energised.push(step(Stage::Supply, at(14, 0), &[], GOOD));
        job.install.energised.push(step(Stage::Main, at(14, 5), &[], volts));
        let order = switching_on(&job, &limits());
        assert!(order.next.is_none() && order.later.is_empty(), "{volts:?}");
        assert!(order.shut.iter().any(|why| why.contains(word)), "{word}: {:?}", order.shut);
    }
}

#[test]
fn a_cut_takes_the_readings_back() {
    let mut job = job();
    opened(&mut job);
    job.cuts.push(model::isolation::UtilityCut {
        fact: id("cut"),
        at: at(14, 30),
        is_cut: true,
        words: "meter pulled".to_owned(),
    });
    assert!(switching_on(&job, &limits()).next.is_none());
    assert!(panel_now(&job, &limits()).supply.contains("claim"));
}

#[test]
fn the_next_block_waits_for_what_is_wrong_with_the_last() {
    let mut job = job();
    opened(&mut job);
    job.install.energised.push(step(Stage::Branches, at(14, 10), &[1], [241.0, 126.0, 115.0, 0.1]));
    let order = switching_on(&job, &limits());
    assert!(order.next.is_none() && !order.closed[0].faults.is_empty());
    job.install.energised.push(step(Stage::Branches, at(14, 12), &[1], GOOD));
    let order = switching_on(&job, &limits());
    assert!(order.next.is_some() && order.n_open == 4, "{order:?}");
    // Closed before the main was read.
    let mut early = self::job();
    early.install.energised.push(step(Stage::Supply, at(14, 0), &[], GOOD));
    early.install.energised.push(step(Stage::Branches, at(14, 1), &[1], GOOD));
    early.install.energised.push(step(Stage::Main, at(14, 5), &[], GOOD));
    let order = switching_on(&early, &limits());
    assert!(order.closed[0].faults[0].starts_with("Closed before"), "{order:?}");
}

#[test]
fn large_loads_that_can_wait_come_last_and_a_block_keeps_the_legs_near() {
    let mut job = job();
    opened(&mut job);
    let order = switching_on(&job, &limits());
    let block = order.next.expect("it is open");
    assert_eq!(block.branches.len(), 4);
    assert_eq!(block.branches[0].words, "lights, upstairs");
    assert_eq!(order.later.len(), 1);
}

proptest! {
    /// Whatever was closed: every branch is either closed, next or later, once.
    #[test]
    fn verif_no_branch_is_lost_or_doubled(n in 1usize..30, closed in prop::collection::vec(any::<bool>(), 30)) {
        let mut job = job();
        job.install.installed =
            (0..n).map(|k| breaker(&[k as u16 + 1], 15.0 + (k % 3) as f64 * 5.0, &[], "x")).collect();
        opened(&mut job);
        let on: Vec<u16> = (0..n).filter(|k| closed[*k]).map(|k| k as u16 + 1).collect();
        if !on.is_empty() {
            job.install.energised.push(step(Stage::Branches, at(14, 10), &on, GOOD));
        }
        let order = switching_on(&job, &limits());
        let mut seen: Vec<Space> = order.closed.iter().flat_map(|one| one.spaces.clone()).collect();
        let blocks = order.next.iter().chain(&order.later);
        seen.extend(blocks.flat_map(|one| one.branches.iter().flat_map(|branch| branch.spaces.clone())));
        seen.sort();
        prop_assert_eq!(seen, (1..=n as u16).map(space).collect::<Vec<_>>());
    }

    /// Resistive loads: the neutral of different legs never reads as the sum, and the other way round.
    #[test]
    fn verif_sum_and_difference_are_never_exchanged(a in 0.0f64..40.0, b in 0.0f64..40.0, one_leg: bool) {
        let neutral = if one_leg { a + b } else { (a - b).abs() };
        let verdict = judge_neutral(&neutral_read(a, b, neutral, None), System::SplitPhase, &limits());
        let never = if one_leg { NeutralSays::Difference } else { NeutralSays::Sum };
        prop_assert!(verdict.says != never && verdict.says != NeutralSays::Neither, "{:?}", verdict);
    }

    /// On two legs of a wye the neutral carries √(a² + b² − ab).
    #[test]
    fn verif_wye_neutrals_are_no_difference(a in 0.0f64..40.0, b in 0.0f64..40.0) {
        let neutral = (a * a + b * b - a * b).sqrt();
        let verdict = judge_neutral(&neutral_read(a, b, neutral, None), System::TwoLegsOfWye, &limits());
        prop_assert!(matches!(verdict.says, NeutralSays::Difference | NeutralSays::CannotTell), "{:?}", verdict);
    }
}

fn neutral_read(a: f64, b: f64, neutral: f64, between: Option<f64>) -> NeutralRead {
    NeutralRead {
        fact: id("neutral"),
        at: at(15, 0),
        by: None,
        spaces: [space(1), space(3)],
        hots: [a, b].map(Current::from_a),
        neutral: Current::from_a(neutral),
        between: between.map(Voltage::from_v),
    }
}

#[test]
fn volts_between_the_hots_decide_where_currents_cannot() {
    let says = |between| {
        let read = neutral_read(8.0, 0.2, 8.1, between);
        judge_neutral(&read, System::SplitPhase, &limits()).says
    };
    assert_eq!(says(None), NeutralSays::CannotTell);
    assert_eq!(says(Some(240.0)), NeutralSays::Difference);
    assert_eq!(says(Some(0.3)), NeutralSays::Sum);
    assert_eq!(says(Some(120.0)), NeutralSays::Neither);
    // A sum is dangerous enough to count against the volts.
    let read = neutral_read(10.0, 8.0, 18.0, Some(240.0));
    assert_eq!(judge_neutral(&read, System::SplitPhase, &limits()).says, NeutralSays::Sum);
    // A third circuit on the same neutral.
    let read = neutral_read(10.0, 8.0, 10.0, None);
    assert_eq!(judge_neutral(&read, System::SplitPhase, &limits()).says, NeutralSays::Neither);
}

fn torqued(
    terminal: Terminal,
    calibrated: model::Date,
    due: Option<model::Date>,
    by: Option<&str>,
) -> Torqued {
    Torqued {
        fact: id(&terminal.to_string()),
        at: at(12, 0),
        by: by.map(str::to_owned),
        terminal,
        value: Torque::from_lb_in(25.0),
        source: TorqueSource::Sheet("maker's sheet, invented, table 1".to_owned()),
        tool: "driver 2".to_owned(),
        calibrated,
        due,
    }
}

#[test]
fn the_torque_log_names_what_is_missing_and_what_is_overdue() {
    let mut job = job();
    let day = model::Date::constant;
    job.install.torqued = vec![
        torqued(Terminal::Pole(space(1)), day(2026, 1, 5), None, Some("JD")),
        torqued(Terminal::Pole(space(2)), day(2025, 4, 1), None, Some("JD")),
        torqued(Terminal::Pole(space(4)), day(2025, 4, 1), Some(day(2026, 6, 1)), Some("JD")),
        torqued(Terminal::Lug(Leg::A), day(2026, 1, 5), None, None),
    ];
    let log = torque_log(&job, &limits());
    let line = |terminal| log.lines.iter().find(|line| line.terminal == terminal).expect("it is wanted");
    assert!(line(Terminal::Pole(space(1))).faults.is_empty());
    assert!(line(Terminal::Pole(space(2))).faults[0].contains("2026-04-01"));
    assert!(line(Terminal::Pole(space(4))).faults.is_empty());
    assert!(line(Terminal::Lug(Leg::A)).faults[0].contains("Nobody"));
    assert_eq!(line(Terminal::Pole(space(5))).fact, None);
    // The dryer uses no neutral by the record; lugs, neutral lug, bond, electrode, 6 poles, 5 grounds, 4 neutrals.
    assert!(log.lines.iter().all(|line| line.terminal != Terminal::Neutral(space(3))));
    assert_eq!((log.lines.len(), log.n_missing, log.n_faulty), (20, 16, 2));
}

fn compared(old_c: f64, old_a: f64, new_c: f64, new_a: f64, held: Option<f64>) -> Outcome {
    let mut job = job();
    let slot = Slot::new(PanelId::new("main"), space(4));
    job.load_states = vec![LoadState {
        fact: id("state"),
        name: "evening".to_owned(),
        at: at(8, 0),
        words: String::new(),
        held_min: Some(40.0),
        room: Some(Temperature::from_c(22.0)),
        unloaded: Vec::new(),
    }];
    let seen = |name: &str, what| Observation { fact: id(name), at: at(8, 0), by: None, what };
    job.observations = vec![
        seen(
            "warm",
            Observed::Temperature(TemperatureReading {
                place: Place::Face(slot.clone()),
                value: Temperature::from_c(old_c),
                method: TemperatureMethod::Infrared,
                surface: Surface::Matte,
                emissivity: None,
                reflected: None,
                instrument: None,
                state: "evening".to_owned(),
            }),
        ),
        seen(
            "amps",
            Observed::Current(CurrentReading {
                place: model::evidence::ClampPlace::Pole(slot),
                value: Current::from_a(old_a),
                instrument: None,
                state: "evening".to_owned(),
            }),
        ),
    ];
    job.install.verified = vec![Verified {
        fact: id("verified"),
        at: at(16, 0),
        by: None,
        terminal: Terminal::Pole(space(4)),
        value: Temperature::from_c(new_c),
        room: Some(Temperature::from_c(22.0)),
        current: Some(Current::from_a(new_a)),
        held_min: held,
        surface: Surface::Matte,
        method: TemperatureMethod::Infrared,
        instrument: None,
    }];
    hold_against(&job, &limits()).remove(0).outcome
}

#[test]
fn readings_are_compared_at_equal_load_only() {
    // 40 K at 16 A is 40 · (12/16)^2 = 22.5 to 40 · (12/16)^1.6 = 25.2 K at 12 A, each with 2 K of error.
    let Outcome::Comparable { first_rise_k, rise_k, sentence, .. } =
        compared(62.0, 16.0, 30.0, 12.0, Some(30.0))
    else {
        panic!("it is comparable")
    };
    assert!((first_rise_k[0] - 38.0 * 0.5625).abs() < 1e-9, "{first_rise_k:?}");
    assert!((first_rise_k[1] - 42.0 * 0.631_1).abs() < 2e-3, "{first_rise_k:?}");
    assert_eq!(rise_k, [6.0, 10.0]);
    assert!(sentence.contains("Cooler at equal load"), "{sentence}");
    for (outcome, word) in [
        (compared(62.0, 16.0, 30.0, 4.0, Some(30.0)), "40 %"),
        (compared(62.0, 16.0, 30.0, 40.0, Some(30.0)), "too far apart"),
        (compared(62.0, 16.0, 30.0, 12.0, Some(5.0)), "warm through"),
        (compared(62.0, 16.0, 30.0, 12.0, None), "not said"),
        (compared(23.0, 16.0, 30.0, 12.0, Some(30.0)), "nothing to compare"),
        (compared(62.0, 0.0, 30.0, 12.0, Some(30.0)), "40 %"),
    ] {
        let Outcome::NotComparable(why) = outcome else { panic!("{word}") };
        assert!(why.iter().any(|one| one.contains(word)), "{word}: {why:?}");
    }
}

#[test]
fn a_card_names_rooms_not_persons() {
    let limits = limits();
    for bad in ["Jim's room", "Mom", "guest bath", "Zebulon's den", "lights", "  "] {
        assert!(!words_faults(bad, &limits).is_empty(), "{bad}");
    }
    for good in
        ["northeast bedroom receptacles", "kitchen counter, left", "water heater", "lights, upstairs hall"]
    {
        assert_eq!(words_faults(good, &limits), Vec::<String>::new(), "{good}");
    }
}

#[test]
fn what_was_filed_installed_and_labelled_is_held_together() {
    let mut job = job();
    assert!(mismatches(&job, &limits()).is_empty(), "{:?}", mismatches(&job, &limits()));
    job.install.permits.push(Permit {
        fact: id("permit"),
        at: at(7, 0),
        number: "INVENTED-1".to_owned(),
        rating: None,
        n_spaces: Some(4),
        circuits: vec![
            (vec![space(1)], Current::from_a(15.0)),
            (vec![space(2)], Current::from_a(20.0)),
            (vec![space(3)], Current::from_a(30.0)),
            (vec![space(7)], Current::from_a(15.0)),
        ],
        passed: None,
        failed: None,
        flagged: Vec::new(),
        words: String::new(),
    });
    job.install.cards.push(Card {
        fact: id("card"),
        at: at(17, 0),
        width: None,
        height: None,
        lines: vec![(space(1), "Lights, upstairs".to_owned()), (space(2), "Jim".to_owned())],
    });
    let said: Vec<String> =
        mismatches(&job, &limits()).iter().map(|one| format!("{}: {}", one.subject, one.sentence)).collect();
    for part in [
        "space 2: Filed: 20 A. Installed: 15 A.",
        "space 7: Filed: a breaker of 15 A. Installed: none",
        "space 4: Installed: 20 A. Filed: nothing.",
        "the panel: Filed: 4 spaces",
        "space 2: Installed: lights, downstairs. The card says: Jim.",
        "hangs on who lives there",
    ] {
        assert!(said.iter().any(|one| one.contains(part)), "{part}: {said:#?}");
    }
    assert!(said.iter().all(|one| !one.starts_with("space 1:")), "{said:#?}");
    let now = panel_now(&job, &limits());
    assert!(now.left.iter().any(|one| one.contains("final inspection")));
    assert!(now.breakers.iter().all(|one| !one.is_on));
}
