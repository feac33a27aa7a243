//! Two visits held against one another, on small invented jobs.

use super::*;
use crate::testjob::{add_state, bare, clamp, drop, eight_spaces, face, observe, slot, work};
use crate::{JudgeOptions, judge};
use model::DateTime;
use model::evidence::Observed;
use model::joint::JointId;
use proptest::prelude::*;

const NOW: DateTime = DateTime::constant(2026, 11, 20, 9, 0, 0, 0);
const THEN: DateTime = DateTime::constant(2026, 1, 9, 9, 0, 0, 0);

/// A panel read in January and in November; the states' loads had run half an hour.
fn twice(then: Vec<Observed>, now: Vec<Observed>) -> Job {
    let mut job = bare(8, eight_spaces().installation.panels[0].breakers.clone());
    for (name, at, seen) in [("then", THEN, then), ("now", NOW, now)] {
        add_state(&mut job, name, 22.0);
        let state = job.load_states.last_mut().expect("just added");
        (state.at, state.held_min) = (at, Some(30.0));
        state.unloaded.push(slot(8));
        seen.into_iter().for_each(|what| observe(&mut job, what));
    }
    job
}

fn of(job: &Job) -> Vec<Trend> {
    trends(job, &Priors::built_in().expect("built-in files")).expect("built-in files").0
}

#[test]
fn a_drop_that_grew_is_told_with_its_interval_and_no_date_to_come() {
    let job = twice(
        vec![clamp(4, 16.0, "then"), drop(8, 4, 12.0, "then")],
        vec![clamp(4, 20.0, "now"), drop(8, 4, 37.5, "now")],
    );
    let [trend] = &of(&job)[..] else { panic!("one place") };
    let factor = trend.factor.expect("comparable");
    // 12 mV at 16 A are 15 mV at 20 A; 37.5 over 15 is 2.5.
    assert!((factor.median - 2.5).abs() < 1e-9 && factor.low < 2.5 && 2.5 < factor.high, "{factor:?}");
    assert_eq!(trend.change, Change::More);
    assert_eq!((trend.compared, trend.slot.as_ref()), (Compared::Drop, Some(&slot(4))));
    assert!(trend.sentence.contains("2.5 times the resistance"), "{}", trend.sentence);
    assert!(trend.sentence.contains("+22 mV at 20 A"), "{}", trend.sentence);
    // Years: those of the readings and no other.
    assert!(!trend.sentence.contains("2027") && !trend.sentence.contains("year"));
}

#[test]
fn what_the_errors_hide_is_not_called_growth() {
    let job = twice(
        vec![clamp(4, 20.0, "then"), drop(8, 4, 12.0, "then")],
        vec![clamp(4, 20.0, "now"), drop(8, 4, 12.6, "now")],
    );
    assert_eq!(of(&job)[0].change, Change::NotShown);
    let less = twice(
        vec![clamp(4, 20.0, "then"), drop(8, 4, 40.0, "then")],
        vec![clamp(4, 20.0, "now"), drop(8, 4, 10.0, "now")],
    );
    assert_eq!(of(&less)[0].change, Change::Less);
}

#[test]
fn faces_are_compared_at_equal_load_or_the_reasons_are_told() {
    let pair = |then_a: f64, then_c: f64, now_a: f64, now_c: f64| {
        let job = twice(
            vec![clamp(5, then_a, "then"), face(5, then_c, "then")],
            vec![clamp(5, now_a, "now"), face(5, now_c, "now")],
        );
        of(&job).remove(0)
    };
    assert_eq!(pair(16.0, 36.0, 16.0, 60.0).change, Change::More);
    assert_eq!(pair(16.0, 36.0, 16.0, 38.0).change, Change::NotShown);
    // More current explains more heat: (18 / 16)² of 14 K is 18 K.
    assert_eq!(pair(16.0, 36.0, 18.0, 40.0).change, Change::NotShown);
    assert_eq!(pair(16.0, 52.0, 16.0, 36.0).change, Change::Less);
    for (trend, why) in [
        (pair(16.0, 36.0, 6.0, 60.0), "below 8 A"),
        (pair(9.0, 36.0, 16.0, 60.0), "too far apart"),
        (pair(16.0, 23.0, 16.0, 60.0), "1.0 K over the room"),
    ] {
        assert!(matches!(trend.change, Change::NotComparable(_)) && trend.factor.is_none());
        assert!(trend.sentence.contains(why), "{}", trend.sentence);
    }
}

#[test]
fn one_visit_has_no_trend_and_loses_nothing() {
    let job = eight_spaces();
    let (trends, kept, notes) =
        trends(&job, &Priors::built_in().expect("built-in files")).expect("built-in files");
    assert_eq!((trends.len(), &kept, notes.len()), (0, &job, 0));
}

/// A face does not overtake a drop; a drop overtakes both. Currents stay.
#[test]
fn only_what_was_read_again_is_overtaken() {
    let then = || {
        vec![clamp(4, 16.0, "then"), drop(8, 4, 12.0, "then"), face(4, 30.0, "then"), face(5, 31.0, "then")]
    };
    let priors = Priors::built_in().expect("built-in files");
    let left = |now: Vec<Observed>| {
        let (_, kept, notes) = trends(&twice(then(), now), &priors).expect("built-in files");
        (kept.observations.len(), notes.len())
    };
    assert_eq!(left(vec![]), (4, 0));
    assert_eq!(left(vec![face(4, 40.0, "now")]), (4, 1));
    assert_eq!(left(vec![drop(8, 4, 40.0, "now")]), (3, 1));
}

/// A joint that burnt since January is judged by November, and a mended one too; what was done is told.
#[test]
fn the_last_visit_is_what_is_weighed() {
    // Long chains: a stab that may be the pole moves slowly.
    let options = JudgeOptions { seed: 5, n_sweeps: 1_200, n_chains: 4, ..JudgeOptions::default() };
    let burnt = |job: &Job| {
        let judgement = judge(job, &options).expect("a panel is there");
        let stab = judgement.joints.iter().find(|one| one.joint.id == JointId::Stab(slot(4)));
        (stab.expect("the stab is there").probability.burnt, judgement)
    };
    for (then_mv, now_mv) in [(122.0, 250.0), (250.0, 122.0)] {
        // Poles of 20 A near 10 mΩ, as their neighbours show.
        let now = || {
            let clamps = [3, 4, 7].map(|number| clamp(number, 12.0, "now"));
            clamps
                .into_iter()
                .chain([(3, 121.0), (7, 119.0), (4, now_mv)].map(|(to, mv)| drop(8, to, mv, "now")))
                .collect()
        };
        let mut both = twice(vec![clamp(4, 12.0, "then"), drop(8, 4, then_mv, "then")], now());
        both.work.push(work(DateTime::constant(2026, 3, 1, 9, 0, 0, 0), &[4], &[]));
        let ((with, judgement), (alone, _)) = (burnt(&both), burnt(&twice(Vec::new(), now())));
        assert!((with - alone).abs() < 0.08, "{with} for {alone}");
        assert_eq!(0.5 < with, 200.0 < now_mv, "{with}");
        assert!(
            judgement.trends.iter().any(|trend| trend.sentence.contains("Worked on in between (2026-03-01"))
        );
        assert!(judgement.notes.iter().any(|note| note.subject == "earlier visits"));
        assert!(judgement.workings.iter().any(|working| working.formula.starts_with("k = ")));
    }
}

proptest! {
    /// Scaling both currents and both drops alike, or swapping the visits, changes the factor as it must.
    #[test]
    fn the_factor_is_that_of_the_resistances(then_mv in 5.0..200.0, now_mv in 5.0..200.0, then_a in 8.0..20.0, now_a in 8.0..20.0) {
        let factor = |first: (f64, f64), last: (f64, f64)| {
            let job = twice(
                vec![clamp(4, first.1, "then"), drop(8, 4, first.0, "then")],
                vec![clamp(4, last.1, "now"), drop(8, 4, last.0, "now")],
            );
            of(&job)[0].factor.expect("comparable")
        };
        let (there, back) = (factor((then_mv, then_a), (now_mv, now_a)), factor((now_mv, now_a), (then_mv, then_a)));
        prop_assert!((there.median - now_mv / now_a / (then_mv / then_a)).abs() < 1e-6 * there.median);
        prop_assert!((there.median * back.median - 1.0).abs() < 1e-6);
        prop_assert!((there.low * back.high - 1.0).abs() < 1e-6);
        prop_assert!(there.low < there.median && there.median < there.high);
    }
}
