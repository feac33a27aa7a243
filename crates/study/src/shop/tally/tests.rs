//! What is kept up job by job is what is counted afresh.

use super::*;
use crate::shop::share::Share;
use crate::shop::{OpenedJoint, StopGap};
use model::assessment::ConditionProbability;
use model::job::Condition;
use model::joint::JointId;
use model::{PanelId, Slot, Space};
use proptest::prelude::*;

fn day(month: i8, day: i8) -> Date {
    Date::constant(2026, month, day)
}

fn slot(number: u16) -> Slot {
    Slot::new(PanelId::new("main"), number.to_string().parse::<Space>().expect("a space"))
}

fn notes(job: &str) -> JobNotes {
    JobNotes {
        job: job.to_owned(),
        invented: true,
        town: "Quenmarsh".to_owned(),
        ..JobNotes::none(day(1, 1))
    }
}

fn opened(number: u16, day: Date, found: Condition) -> OpenedJoint {
    OpenedJoint { joint: JointId::Stab(slot(number)), day, found, bus: "copper, tin".to_owned() }
}

fn faced(job: &str, day: Date, burnt: f64, found: Condition) -> Faced {
    let given = ConditionProbability { sound: 1.0 - burnt, worn: 0.0, burnt, burnt_standard_error: 0.0 };
    let (joint, bus) = ("stab".to_owned(), "copper, tin".to_owned());
    Faced { job: job.to_owned(), invented: true, day, joint, bus, given, found }
}

fn reading(load: f64, rise_k: f64) -> Healthy {
    Healthy { job: "a".to_owned(), day: day(1, 1), rating_a: 20.0, load, rise_k }
}

#[test]
fn the_trend_is_the_score_of_what_was_opened_until_then() {
    let mut tally = Tally::default();
    assert_eq!(tally.calibration(9), None);
    let one = faced("late", day(1, 9), 0.1, Condition::Sound);
    let all = [
        one.clone(),
        faced("early", day(1, 2), 0.5, Condition::Burnt),
        Faced { joint: "stab 2".to_owned(), ..faced("late", day(1, 9), 0.2, Condition::Burnt) },
    ];
    for job in ["late", "early"] {
        tally.put(3, &JobNotes { opened: vec![opened(1, day(1, 2), Condition::Burnt)], ..notes(job) });
        assert_eq!(tally.waiting(), [(job.to_owned(), 3)]);
        let of: Vec<Faced> = all.iter().filter(|faced| faced.job == job).cloned().collect();
        tally.put_faced(job, 2, of.clone());
        assert_eq!(tally.waiting(), [(job.to_owned(), 3)], "made from older facts");
        tally.put_faced(job, 3, of);
    }
    let calibration = tally.calibration(9).expect("three joints");
    let trend: Vec<_> = calibration.trend.iter().map(|one| (one.day.day(), one.n)).collect();
    assert_eq!(trend, [(2, 1), (9, 3)]);
    // One joint to which a half was given costs ln 2.
    assert!((calibration.trend[0].log_loss - std::f64::consts::LN_2).abs() < 1e-12);
    assert_eq!(calibration.trend[1].log_loss, calibration.score.log_loss);
    assert_eq!(calibration.by_bus[0].burnt, Share { yes: 2, n: 3 });
    let pairs: Vec<(f64, bool)> =
        all.iter().map(|one| (one.given.burnt, one.found == Condition::Burnt)).collect();
    let score = inference::learning::Score::new(&pairs).expect("three joints");
    let kept = calibration.score;
    for (one, other) in [
        (kept.expected, score.expected),
        (kept.brier, score.brier),
        (kept.brier_of_share, score.brier_of_share),
        (kept.log_loss, score.log_loss),
    ] {
        assert!((one - other).abs() < 1e-12, "{one} {other}");
    }
    assert_eq!((kept.n, kept.found), (score.n, score.found));
    let newest: Vec<String> =
        tally.scored(9).newest.iter().map(|one| format!("{} {}", one.job, one.joint)).collect();
    assert_eq!(newest, ["late stab", "late stab 2", "early stab"]);
}

#[test]
fn a_reading_is_ranked_among_those_of_its_rating_and_load() {
    let mut healthy: Vec<Healthy> = (0..100).map(|at| reading(0.55, f64::from(at) / 10.0)).collect();
    healthy.extend([reading(0.9, 50.0), Healthy { rating_a: 30.0, ..reading(0.55, 50.0) }]);
    let mut tally = Tally::default();
    tally.put(1, &JobNotes { healthy, ..notes("a") });
    assert_eq!(tally.rank(20.0, 0.55, 9.25), (93, 100), "higher than 93 of 100 at this load");
    assert_eq!(tally.rank(20.0, 0.45, 9.25), (93, 100), "a tenth of the rating apart is alike");
    assert_eq!(tally.rank(20.0, 0.449, 9.25), (0, 0));
    assert_eq!(tally.rank(15.0, 0.55, 9.25), (0, 0));
    let bands = tally.bands(9);
    assert_eq!(bands.iter().map(|band| band.n).collect::<Vec<_>>(), [100, 1, 1]);
    assert_eq!((bands[0].load, bands[0].rise_k), ((0.4, 0.6), (0.0, 4.95, 9.9)));
    tally.take("a");
    assert_eq!((tally.bands(9), tally.rank(20.0, 0.55, 9.25)), (Vec::new(), (0, 0)));
}

fn any_day() -> impl Strategy<Value = Date> {
    (0_i64..900).prop_map(|days| day(1, 1).saturating_add(jiff::Span::new().days(days)))
}

fn any_notes() -> impl Strategy<Value = JobNotes> {
    let found = prop_oneof![Just(Condition::Sound), Just(Condition::Worn), Just(Condition::Burnt)];
    let opened = prop::collection::vec((1_u16..5, any_day(), found), 0..4);
    let gap = (any_day(), prop::option::of(any_day()), any::<bool>(), prop::option::of(any_day()));
    let gaps = prop::collection::vec(gap, 0..3);
    let days = || prop::collection::vec(any_day(), 0..3);
    let steps = prop::collection::vec((0_usize..3, 0.0..9.0_f64, any::<bool>()), 0..4);
    let readings = prop::collection::vec((0.0..1.0_f64, 0.0..30.0_f64), 0..3);
    let cuts = prop::collection::vec((any_day(), prop::option::of(any_day())), 0..3);
    (0_usize..4, any::<bool>(), opened, gaps, days(), days(), (steps, readings, cuts)).prop_map(
        |(job, wet, joints, gaps, complaints, declined, (steps, readings, cuts))| JobNotes {
            opened: joints.into_iter().map(|(at, day, found)| super::tests::opened(at, day, found)).collect(),
            moisture: vec![("main".to_owned(), wet)],
            stop_gaps: gaps
                .into_iter()
                .map(|(day, expires, moved, settled)| StopGap {
                    day,
                    expires,
                    moved_to: moved.then(|| slot(3)).into_iter().collect(),
                    settled,
                })
                .collect(),
            complaints,
            declined,
            steps: steps
                .into_iter()
                .map(|(at, hours, held)| {
                    let held = if held { "rust" } else { "" };
                    (["trace", "mount", "label"][at].to_owned(), hours, held.to_owned())
                })
                .collect(),
            healthy: readings.into_iter().map(|(load, rise)| reading(load, rise)).collect(),
            cuts,
            surprises: if wet { vec!["recessed".to_owned()] } else { Vec::new() },
            permits: vec![wet],
            ..notes(["a", "b", "c", "d"][job])
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]
    /// Jobs that come, change and go leave what the jobs that are there now come to, on whatever day it is asked.
    #[test]
    fn jobs_that_changed_leave_no_trace(
        all in prop::collection::vec((any_notes(), any::<bool>(), 0_i64..3, 0_i64..3, 0.0..1.0_f64), 1..14),
        today in any_day(),
    ) {
        let mut kept = Tally::default();
        let mut now: BTreeMap<String, (i64, JobNotes)> = BTreeMap::new();
        let mut predicted: BTreeMap<String, (i64, Vec<Faced>)> = BTreeMap::new();
        for (notes, gone, revision, judged, chance) in all {
            let job = notes.job.clone();
            if gone {
                kept.take(&job);
                now.remove(&job);
            } else {
                let of = notes.opened.iter().map(|one| faced(&job, one.day, chance, one.found));
                let of: Vec<Faced> = of.collect();
                kept.put(revision, &notes);
                kept.put_faced(&job, judged, of.clone());
                predicted.insert(job.clone(), (judged, of));
                now.insert(job, (revision, notes));
            }
        }
        let mut afresh = Tally::default();
        for (job, (revision, faced)) in predicted.iter().rev() {
            afresh.put_faced(job, *revision, faced.clone());
        }
        for (revision, notes) in now.values() {
            afresh.put(*revision, notes);
        }
        prop_assert_eq!(kept.n_jobs(), now.len());
        prop_assert_eq!(kept.answers(today, 99), afresh.answers(today, 99));
        prop_assert_eq!(kept.scored(99), afresh.scored(99));
        prop_assert_eq!(kept.waiting(), afresh.waiting());
        prop_assert_eq!(kept.opened_jobs(), afresh.opened_jobs());
    }
}
