//! One drop from a lug, nothing else measured: it is the stab, or what feeds the bus, and no reading tells which.

use crate::testjob::{add_state, bare, breaker, clamp, drop_between, observe, slot};
use crate::{JudgeOptions, Judgement, judge};
use model::advice::CHECK_KINDS;
use model::evidence::Observed;
use model::job::Job;
use model::joint::JointId;
use model::panel::Feed;
use model::place::Place;
use model::{Current, Leg, PanelId, SectionId};

/// Eight circuits behind a main breaker; space 5 on leg A at 10 A loses 600 mV from the lug, by two readings with its current.
fn behind_a_main() -> Job {
    let breakers = (1..=8).map(|number| breaker(&[number], 20.0, None)).collect();
    let mut job = bare(12, breakers);
    job.installation.panels[0].sections[0].feed = Feed::MainBreaker { rating: Current::from_a(100.0) };
    add_state(&mut job, "evening", 22.0);
    let amps = [(1, 10.0), (2, 10.0), (3, 10.0), (4, 4.0), (5, 10.0), (6, 3.0), (7, 5.0), (8, 2.0)];
    for (number, amps) in amps {
        observe(&mut job, clamp(number, amps, "evening"));
    }
    for mv in [600.0, 618.0] {
        let lug = Place::Lug(PanelId::new("main"), Leg::A);
        let mut what = drop_between(lug, Place::Load(slot(5)), mv, "evening");
        if let Observed::Drop(reading) = &mut what {
            reading.current = Some(Current::from_a(10.0));
        }
        observe(&mut job, what);
    }
    job
}

fn judged(job: &Job, seed: u64) -> Judgement {
    judge(job, &JudgeOptions { seed, ..JudgeOptions::default() }).expect("a panel is there")
}

fn burnt(found: &Judgement, id: &JointId) -> f64 {
    let of = found.joints.iter().find(|finding| finding.joint.id == *id);
    of.expect("the joint is there").probability.burnt
}

/// Chains that could not go from one to the other told the stab with 0.1 or with 0.9, by the seed.
#[test]
fn a_lone_drop_is_of_either_joint_by_every_seed() {
    let (job, stab) = (behind_a_main(), JointId::Stab(slot(5)));
    let feed = JointId::Feeder(PanelId::new("main"), SectionId::new("bus"), Leg::A);
    let all: Vec<f64> = (1..=3)
        .map(|seed| {
            let found = judged(&job, seed);
            assert!(found.sampling.r_hat < 1.02, "seed {seed}: {}", found.sampling.r_hat);
            let [of_stab, of_feed] = [burnt(&found, &stab), burnt(&found, &feed)];
            assert!(0.9 < of_stab + of_feed && 0.2 < of_stab && 0.2 < of_feed, "{of_stab} {of_feed}");
            of_stab
        })
        .collect();
    let (low, high) = all.iter().fold((1.0_f64, 0.0_f64), |(low, high), &p| (low.min(p), high.max(p)));
    assert!(high - low < 0.05, "{all:?}");
}

/// What is asked for next is what tells the two apart: the same way to another pole, or the lug's warmth; each kind once.
#[test]
fn what_tells_the_joints_of_a_lone_drop_apart_is_asked_for() {
    let found = judged(&behind_a_main(), 1);
    let feed = JointId::Feeder(PanelId::new("main"), SectionId::new("bus"), Leg::A);
    assert!(found.next_checks.iter().all(|check| CHECK_KINDS.contains(&check.kind.as_str())));
    let of_feed = || found.next_checks.iter().filter(|check| check.joints.contains(&feed));
    assert_eq!(of_feed().filter(|check| check.kind == "drop").count(), 1, "{:#?}", found.next_checks);
    let lug = of_feed().find(|check| check.kind == "lug-temperature").expect("the lug is to be read");
    assert!(0.3 < lug.gain_bits && lug.places == [Place::Lug(PanelId::new("main"), Leg::A)]);
    assert!(lug.cautions.iter().any(|caution| caution.contains("live with every handle off")));
    assert!(found.next_checks.iter().all(|check| !check.what.contains("to the load terminal of space 5")));
}
