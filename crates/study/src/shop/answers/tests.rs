//! The answers against shops whose truth is known.

use super::*;
use crate::shop::{OpenedJoint, StopGap};
use model::job::Condition;
use model::joint::JointId;
use model::{PanelId, Slot, Space};

fn day(month: i8, day: i8) -> Date {
    Date::constant(2026, month, day)
}

fn slot(number: u16) -> Slot {
    Slot::new(PanelId::new("main"), number.to_string().parse::<Space>().expect("a space"))
}

fn notes(job: &str) -> JobNotes {
    JobNotes { job: job.to_owned(), town: "Quenmarsh".to_owned(), ..JobNotes::none(day(1, 1)) }
}

fn burnt(number: u16, day: Date) -> OpenedJoint {
    let bus = "copper, tin".to_owned();
    OpenedJoint { joint: JointId::Stab(slot(number)), day, found: Condition::Burnt, bus }
}

fn shares(answers: &[Answer], number: u8) -> Vec<(usize, usize)> {
    let answer = answers.iter().find(|answer| answer.number == number).expect("asked");
    answer.lines.iter().filter_map(|line| line.share).map(|share| (share.yes, share.n)).collect()
}

/// A shop worked by hand.
#[test]
fn counts_are_those_of_a_shop_worked_by_hand() {
    let two_at_once = JobNotes { opened: vec![burnt(1, day(1, 5)), burnt(3, day(1, 5))], ..notes("a") };
    let one_later = JobNotes { opened: vec![burnt(1, day(1, 5)), burnt(7, day(9, 5))], ..notes("b") };
    let gap = StopGap { day: day(2, 1), expires: Some(day(3, 1)), moved_to: vec![slot(9)], settled: None };
    let called_early = JobNotes { stop_gaps: vec![gap.clone()], complaints: vec![day(2, 10)], ..notes("c") };
    let kept = StopGap { settled: Some(day(2, 20)), ..gap };
    let quiet = JobNotes {
        stop_gaps: vec![kept],
        declined: vec![day(1, 1)],
        cuts: vec![(day(4, 1), Some(day(4, 1))), (day(4, 2), Some(day(4, 3)))],
        permits: vec![true, false, true],
        ..notes("d")
    };
    let all = [&two_at_once, &one_later, &called_early, &quiet];
    let told = answers(&all, day(10, 1));
    // Both panels had one; `a` is not yet followed for 18 months, `b` has its second.
    assert_eq!(shares(&told, 1), [(1, 2), (1, 1), (1, 2)]);
    assert_eq!(shares(&told, 4), [(2, 3)]);
    assert_eq!(shares(&told, 5), [(1, 2)]);
    assert_eq!(shares(&told, 8), [(1, 4), (0, 1), (0, 1)]);
    assert_eq!(shares(&told, 9), [(1, 1), (0, 1)]);
    assert_eq!(shares(&told, 10), [(1, 2)]);
    let second = told.iter().find(|answer| answer.number == 1).expect("asked");
    assert_eq!(second.lines[1].jobs, [Arc::from("b")], "the jobs behind a count are named");
    assert!(answers(&[], day(1, 1)).iter().all(|answer| answer.lines.is_empty()), "nothing is made up");
}

/// A year of an invented shop: 400 panels whose truth is drawn from a seeded generator with a known chance.
#[test]
fn a_simulated_shop_gives_back_the_chance_it_was_made_with() {
    const CHANCE: f64 = 0.3;
    // Knuth's MMIX generator, upper bits.
    let mut seed: u64 = 8;
    let mut chance = move || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 11) as f64 / (1_u64 << 53) as f64
    };
    let mut truth = 0;
    let all: Vec<JobNotes> = (0..400)
        .map(|at| {
            let mut opened = vec![burnt(1, Date::constant(2024, 1, 10))];
            if chance() < CHANCE {
                truth += 1;
                opened.push(burnt(5, Date::constant(2024, 11, 10)));
            }
            JobNotes { opened, ..notes(&format!("j{at}")) }
        })
        .collect();
    let all: Vec<&JobNotes> = all.iter().collect();
    let told = answers(&all, day(1, 1));
    assert_eq!(shares(&told, 1)[1], (truth, 400));
    let share = told[0].lines[1].share.and_then(|share| share.interval()).expect("400 panels");
    assert!(share.0 < CHANCE && CHANCE < share.1, "{share:?}");
}
