//! The day against what can be worked out by hand.

use super::*;
use crate::materials::{BreakerNeed, Design};
use crate::work::{OPTIONS, steps};
use model::advice::ChoiceKind;
use model::breaker::Protection;

fn task(id: &str, minutes: [f64; 3], people: u32, after: &[usize]) -> Task {
    Task {
        id: id.to_owned(),
        words: id.to_owned(),
        minutes: Three::try_from(minutes).expect("in order"),
        people,
        after: after.to_vec(),
        visit: None,
        delays: Vec::new(),
        dark: false,
        back: false,
    }
}

fn day(crew: u32, tasks: Vec<Task>) -> Day {
    Day { start: 420.0, crew, pace: Three::certain(1.0), tasks }
}

fn design(option: ChoiceKind) -> Design {
    let need = BreakerNeed { n_poles: 1, rating_a: 15.0, protection: Protection::ThermalMagnetic };
    Design {
        option,
        breakers: vec![need; 16],
        half_width: Vec::new(),
        n_circuits: 16,
        n_moved: 1,
        n_splices: 2,
        n_multiwire: 0,
        n_spaces: None,
        service_ft: 20,
        past: Vec::new(),
    }
}

#[test]
fn two_people_work_side_by_side_and_one_does_not() {
    let tasks = || {
        let mut last = task("last", [10.0, 10.0, 10.0], 2, &[0, 1]);
        last.back = true;
        vec![task("a", [60.0, 60.0, 60.0], 1, &[]), task("b", [30.0, 30.0, 30.0], 1, &[]), last]
    };
    let end = |crew| usual(&day(crew, tasks()))[2].expect("it comes").end;
    assert_eq!(end(2), 420.0 + 60.0 + 10.0);
    assert_eq!(end(1), 420.0 + 90.0 + 10.0);
    let outlook = outlook(&day(2, tasks()), 1, 100);
    assert_eq!(outlook.path, [0, 2], "the shorter of the two is not critical");
    assert_eq!(outlook.critical, [1.0, 0.0, 1.0]);
    assert_eq!((outlook.chance_by(480.0), outlook.chance_by(495.0)), (0.0, 1.0));
}

#[test]
fn a_window_is_waited_for_and_missed_when_the_crew_is_late() {
    let mut cut = task("cut", [0.0, 0.0, 0.0], 1, &[0]);
    cut.back = true;
    let arrival = Arrival::Booked { from: 480.0, to: 600.0, until: 600.0 };
    cut.visit = Some(Visit { id: "cut".into(), words: "utility".into(), arrival, no_show: 0.0 });
    let early = day(1, vec![task("a", [30.0, 30.0, 30.0], 1, &[]), cut.clone()]);
    let of_early = outlook(&early, 3, 4_000);
    // Uniform over two hours: half by the middle, within four standard errors.
    assert!((of_early.chance_by(540.0) - 0.5).abs() < 4.0 * (0.25_f64 / 4_000.0).sqrt());
    assert_eq!(of_early.critical, [0.0, 1.0], "nobody of the crew is late");
    let late = day(1, vec![task("a", [200.0, 200.0, 200.0], 1, &[]), cut]);
    let of_late = outlook(&late, 3, 100);
    assert_eq!((of_late.not_that_day(), of_late.back[1], of_late.usual[1]), (1.0, None, None));
    assert!(of_late.path.is_empty());
}

#[test]
fn every_option_with_a_cut_can_be_back_on_a_usual_day_and_is_the_same_twice() {
    let steps = steps();
    for option in OPTIONS.into_iter().filter(|option| *option != ChoiceKind::MakeSafe) {
        let list = crate::surprise::surprises().expect("the list is good");
        let unknown = |surprise| crate::surprise::Standing { surprise, slot: None, answer: None };
        let standing: Vec<_> = list.iter().map(unknown).collect();
        let risks = crate::price::risks(option, &standing, 16);
        let day = super::day(&design(option), &steps, &risks, &[], &Booking::default());
        assert!(
            day.tasks.iter().enumerate().all(|(idx, task)| task.after.iter().all(|&before| before < idx))
        );
        let one = outlook(&day, 9, 500);
        assert_eq!(one, outlook(&day, 9, 500));
        assert!(one.missed.len() >= 2, "{:?}", one.missed);
    }
}

#[test]
fn what_is_done_before_the_day_shortens_it_and_hands_on_its_order() {
    let steps = steps();
    let booking = Booking { done: vec!["trace".into(), "arrive".into()], ..Booking::default() };
    let design = design(ChoiceKind::ReplacePanel);
    let whole = super::day(&design, &steps, &[], &[], &Booking::default());
    let short = super::day(&design, &steps, &[], &[], &booking);
    assert_eq!(short.tasks.len() + 2, whole.tasks.len());
    let idx = |id: &str| short.tasks.iter().position(|task| task.id == id).expect("there");
    // With no multi-step before it left, the first readings wait for nothing.
    assert!(short.tasks[idx("baseline")].after.is_empty());
    assert_eq!(short.tasks[idx("test")].after, [idx("place"), idx("splice")]);
}

#[test]
fn times_read_back() {
    assert_eq!(minute_of("07:30"), Some(450.0));
    assert_eq!((minute_of("24:00"), minute_of("7"), minute_of("a:b")), (None, None, None));
    assert_eq!((clock(450.0), clock(1500.0)), ("07:30".to_owned(), "01:00 next day".to_owned()));
}

#[test]
fn two_people_share_the_day_of_a_new_panel_and_the_power_does_not_wait_for_plaster() {
    let steps = steps();
    let list = crate::surprise::surprises().expect("the list is good");
    let of = |crew, risks: &[crate::price::Risk]| {
        let booking = Booking { crew, ..Booking::default() };
        super::day(&design(ChoiceKind::ReplacePanel), &steps, risks, &[], &booking)
    };
    let slot = |day: &Day, id: &str| {
        let idx = day.tasks.iter().position(|task| task.id == id).expect("there");
        usual(day)[idx]
    };
    // With two the electrodes are made while the other reads, shuts down and proves; with one they come on top.
    let (two, one) = (of(2, &[]), of(1, &[]));
    let (ground, proven) = (slot(&two, "ground").expect("made"), slot(&two, "prove").expect("proven"));
    assert!(ground.start < proven.start && proven.start < ground.end, "{ground:?} {proven:?}");
    let out = |day: &Day| slot(day, "remove").expect("it is taken out").start;
    assert!(out(&two) < out(&one));
    let path = outlook(&two, 1, 10).path;
    assert!(
        path.iter()
            .all(|&idx| !["ground", "prepare", "bond", "directory"].contains(&two.tasks[idx].id.as_str()))
    );
    // The whole of the plaster would be 1 to 4 person-hours, of two people half of that.
    let yes = crate::surprise::Standing {
        surprise: list.iter().find(|one| one.id == "recessed").expect("there"),
        slot: None,
        answer: None,
    };
    let risks = crate::price::risks(ChoiceKind::ReplacePanel, &[yes], 16);
    let plaster = of(2, &risks);
    let remove = plaster.tasks.iter().find(|task| task.id == "remove").expect("there");
    assert!((remove.delays[0].minutes.most - 0.3 * 4.0 * 30.0).abs() < 1e-9, "{:?}", remove.delays);
}
