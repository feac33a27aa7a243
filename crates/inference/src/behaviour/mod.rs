//! How a judgement must behave, whatever its numbers: tests over whole jobs.

mod hot_metal;
mod house;
mod lone_drop;
mod next_checks;
mod own_contacts;
mod same;
mod supply;

use crate::testjob::{self, add_state, bare, clamp, drop, face, observe, sign, slot};
use crate::{JudgeOptions, Judgement, OneThread, judge, prepare, prepare_warm};
use model::assessment::{Cause, JointFinding};
use model::breaker::Breaker;
use model::evidence::{Observed, Sign};
use model::job::{Complaint, ComplaintKind, Job};
use model::joint::JointId;
use model::place::Place;
use model::{FactId, Leg, Note, PanelId, Space};
use physics::thermal::{Knobs, PanelNetwork, Source};

fn quick(job: &Job) -> Judgement {
    judge(job, &JudgeOptions { seed: 5, n_sweeps: 250, n_chains: 2, ..JudgeOptions::default() })
        .expect("a panel is there")
}

fn stab(judgement: &Judgement, number: u16) -> &JointFinding {
    judgement
        .joints
        .iter()
        .find(|finding| finding.joint.id == JointId::Stab(slot(number)))
        .expect("the stab is there")
}

fn twelve(faces_c: &[(u16, f64)], amps: f64) -> Job {
    let breakers: Vec<Breaker> = testjob::eight_spaces().installation.panels[0].breakers.clone();
    let mut job = bare(8, breakers);
    add_state(&mut job, "evening", 22.0);
    for number in 1..=8 {
        observe(&mut job, clamp(number, amps, "evening"));
    }
    for &(number, value_c) in faces_c {
        observe(&mut job, face(number, value_c, "evening"));
    }
    job
}

#[test]
fn the_same_question_gets_the_same_answer() {
    let job = testjob::eight_spaces();
    assert_eq!(quick(&job), quick(&job));
}

#[test]
fn probabilities_are_probabilities_and_notes_have_words() {
    let judgement = quick(&testjob::eight_spaces());
    for finding in &judgement.joints {
        let p = finding.probability;
        assert!((p.sound + p.worn + p.burnt - 1.0).abs() < 1e-9, "{}", finding.joint.id);
        assert!([p.sound, p.worn, p.burnt].iter().all(|p| (0.0..=1.0).contains(p)));
        assert!(
            0.0 < finding.resistance_mohm.low && finding.resistance_mohm.low <= finding.resistance_mohm.high
        );
        assert!(finding.reasons.windows(2).all(|pair| pair[1].weight_db.abs() <= pair[0].weight_db.abs()));
        assert!(!finding.reasons.is_empty() && finding.reasons.iter().all(|reason| !reason.text.is_empty()));
    }
    assert!(judgement.notes.iter().all(|Note { text, .. }| !text.is_empty()));
}

/// A broken mechanism shows all three, and a stab that carries nothing makes no heat: the second and third sign say hardly more.
#[test]
fn signs_of_one_mechanism_are_one_reason() {
    let told = |signs: &[Sign]| {
        let mut job = twelve(&[], 6.0);
        signs.iter().for_each(|&of| observe(&mut job, sign(of, 5, true)));
        stab(&quick(&job), 5).probability.burnt
    };
    let one = told(&[Sign::TripsWithoutLoad]);
    let all = told(&[Sign::RoughHandle, Sign::WillNotReset, Sign::TripsWithoutLoad]);
    assert!(one - 0.05 < all && all < one + 0.10, "{one} by the strongest, {all} by all three");
}

#[test]
fn causes_of_a_complaint_sum_to_one() {
    let judgement = quick(&testjob::eight_spaces());
    for complaint in &judgement.causes {
        let total: f64 = complaint.causes.iter().map(|cause| cause.probability).sum();
        assert!((total - 1.0).abs() < 1e-9, "{total}");
    }
}

/// Faces as the network makes them, poles of 10 mΩ, this much current through pole 5 and none elsewhere, this much at stab 5.
fn alone_with(stab_mohm: f64, amps: f64) -> Job {
    let mut job = bare(8, testjob::eight_spaces().installation.panels[0].breakers.clone());
    let installation = job.installation.clone();
    let mut network = PanelNetwork::new(&installation, &installation.panels[0], &Knobs::default());
    let (mut heat, five) = (network.idle_heat(), Space::whole(5));
    for (source, ohm) in [
        (Source::Pole(five), 10e-3),
        (Source::Terminal(five), network.wire_ohm(five)),
        (Source::Stab(five), stab_mohm * 1e-3),
    ] {
        network.add_heat(&mut heat, &source, amps * amps * ohm);
    }
    let solution = network.solve(&heat, 295.15, None).expect("tied to the room");
    add_state(&mut job, "evening", 22.0);
    for number in 1..=8 {
        let node = network.node_of(&Place::Face(slot(number))).expect("a face");
        observe(&mut job, clamp(number, if number == 5 { amps } else { 0.0 }, "evening"));
        observe(&mut job, face(number, solution.temperature_k[node] - 273.15, "evening"));
    }
    job
}

/// With its circuit alone under load a stab of 20 mΩ stands out: 0.31 against 0.08 at 18 A, 0.22 against 0.09 at 14 A (four seeds
/// each, 0.02 from seed to seed; 20 mΩ at 18 A are 0.36 V, about as much as metal holds). With 18 A through every pole faces say
/// little, since most of a stab's heat goes into the bus and to the neighbours: 0.15 against 0.12 in chains of 8,000
/// sweeps, 0.02 from seed to seed, which is not asked here.
#[test]
fn a_hot_stab_is_more_suspect_than_a_cool_one() {
    for amps in [14.0, 18.0] {
        let burnt = |stab_mohm: f64| {
            let options = JudgeOptions { seed: 5, n_sweeps: 1_000, n_chains: 4, ..JudgeOptions::default() };
            stab(&judge(&alone_with(stab_mohm, amps), &options).expect("a panel is there"), 5)
                .probability
                .burnt
        };
        let (cool, hot) = (burnt(0.2), burnt(20.0));
        assert!(1.8 * cool < hot, "{amps} A: {cool} {hot}");
    }
}

#[test]
fn a_drop_decides_what_a_face_leaves_open() {
    let mut faces: Vec<(u16, f64)> = (1..=8).map(|number| (number, 36.0)).collect();
    faces[3].1 = 42.0;
    let job = twelve(&faces, 12.0);
    let open = stab(&quick(&job), 4).probability.burnt;
    // Poles of 20 A near 10 mΩ: 12 A give 120 mV without a bad joint, 240 mV with 10 mΩ more.
    let with = |mv: f64| {
        let mut job = job.clone();
        job.load_states[0].unloaded.push(slot(8));
        job.observations.retain(|observation| observation.fact != FactId::new("fact 7"));
        // Spaces 3, 4, 7 and 8 are on one leg; 8 is the tap.
        observe(&mut job, drop(8, 3, 121.0, "evening"));
        observe(&mut job, drop(8, 7, 119.0, "evening"));
        observe(&mut job, drop(8, 4, mv, "evening"));
        let long = JudgeOptions { seed: 5, n_sweeps: 1_000, n_chains: 4, ..JudgeOptions::default() };
        stab(&judge(&job, &long).expect("a panel is there"), 4).probability.burnt
    };
    let (sound, burnt) = (with(122.0), with(250.0));
    // What is left is the breaker's own contacts, see `own_contacts`.
    assert!(sound < 0.2 && open < 0.2 && 0.7 < burnt, "{sound} < {open} < {burnt}");
}

#[test]
fn a_sign_looked_for_and_not_found_speaks_for_sound() {
    let breakers = testjob::eight_spaces().installation.panels[0].breakers.clone();
    let burnt = |present: Option<bool>| {
        let mut job = bare(8, breakers.clone());
        if let Some(present) = present {
            observe(&mut job, sign(Sign::Discoloration, 5, present));
        }
        stab(&quick(&job), 5).probability.burnt
    };
    let (seen, nothing, absent) = (burnt(Some(true)), burnt(None), burnt(Some(false)));
    assert!(absent < nothing && nothing < seen, "{absent} {nothing} {seen}");
}

#[test]
fn nothing_read_leaves_the_prior_and_asks_for_a_first_look() {
    let breakers = testjob::eight_spaces().installation.panels[0].breakers.clone();
    let judgement = quick(&bare(8, breakers));
    for finding in &judgement.joints {
        assert!(!finding.observed);
        assert!((finding.probability.burnt - finding.prior_burnt).abs() < 0.03, "{}", finding.joint.id);
        assert!(finding.heat_now_w.is_none());
    }
    assert_eq!(judgement.next_checks.len(), 1);
}

#[test]
fn a_measured_overload_explains_the_trip() {
    let faces: Vec<(u16, f64)> =
        (1..=8).map(|number| (number, if number == 5 { 52.0 } else { 30.0 })).collect();
    let mut job = twelve(&faces, 3.0);
    job.observations.retain(|observation| observation.fact != FactId::new("fact 4"));
    observe(&mut job, clamp(5, 26.0, "evening"));
    job.complaints.push(Complaint {
        fact: FactId::new("call"),
        kind: ComplaintKind::Trips,
        slot: Some(slot(5)),
        at: job.load_states[0].at,
        words: "it trips".into(),
    });
    let judgement = quick(&job);
    assert_eq!(judgement.causes[0].causes[0].cause, Cause::Overload);
    assert!(stab(&judgement, 5).probability.burnt < 0.3);
}

/// A reading, then the opposite: said in a note with both facts, and no mean of the two is made.
#[test]
fn readings_that_cannot_both_be_right_are_flagged() {
    let faces: Vec<(u16, f64)> = (1..=8).map(|number| (number, 34.0)).collect();
    let mut job = twelve(&faces, 10.0);
    let quiet = quick(&job);
    assert!(!quiet.notes.iter().any(|note| note.text.contains("cannot both be right")));
    observe(&mut job, face(5, 71.0, "evening"));
    let flagged = quick(&job);
    let note = flagged.notes.iter().find(|note| note.text.contains("cannot both be right"));
    let text = &note.expect("a note says so").text;
    assert!(text.contains("34.0 °C") && text.contains("71.0 °C"), "{text}");
    // One of the two readings is as it should be, so one contradiction does not make a burnt stab likely.
    assert!(stab(&flagged, 5).probability.burnt < 0.5);
}

/// Set to an emissivity of 0.7, an instrument shows more than a matte surface has; the note says both.
#[test]
fn an_emissivity_set_wrong_is_put_right() {
    let mut job = twelve(&[], 10.0);
    let mut reading = face(5, 48.0, "evening");
    if let model::evidence::Observed::Temperature(reading) = &mut reading {
        reading.emissivity = Some(0.7);
    }
    observe(&mut job, reading);
    let judgement = quick(&job);
    let note = judgement.notes.iter().find(|note| note.text.contains("matte surface")).expect("a note");
    // 0.7·(321.15⁴ − 295.15⁴) = 0.95·(T⁴ − 295.15⁴), T = 314.92 K, by hand.
    assert!(note.text.starts_with("48.0 °C shown at emissivity 0.70 is 41.8 °C"), "{}", note.text);
}

/// A pole still warm from what ran before the record says less against its stab than one that is warm for no reason.
#[test]
fn what_ran_before_explains_a_warm_face() {
    let burnt = |held_min: f64| {
        let mut faces: Vec<(u16, f64)> = (1..=8).map(|number| (number, 27.0)).collect();
        faces[4].1 = 41.0;
        let mut job = twelve(&faces, 3.0);
        job.load_states[0].held_min = Some(held_min);
        let options = JudgeOptions { seed: 5, n_sweeps: 600, n_chains: 2, ..JudgeOptions::default() };
        let judgement = judge(&job, &options).expect("a panel is there");
        let finding = |kind: fn(model::Slot) -> JointId| {
            let found = judgement.joints.iter().find(|finding| finding.joint.id == kind(slot(5)));
            found.map_or(0.0, |finding| finding.probability.burnt)
        };
        finding(JointId::Stab) + finding(JointId::Terminal)
    };
    let (just_now, long_held) = (burnt(5.0), burnt(600.0));
    assert!(just_now < long_held, "{just_now} {long_held}");
}

/// Chains that go on from the judgement before the last fact find what long chains from nothing find.
#[test]
fn a_warm_start_is_as_good_as_a_cold_one() {
    let job = testjob::eight_spaces();
    let mut before = job.clone();
    before.observations.retain(|observation| !matches!(observation.what, model::evidence::Observed::Drop(_)));
    assert!(before.observations.len() < job.observations.len());
    let options =
        |n_sweeps: usize| JudgeOptions { seed: 5, n_sweeps, n_chains: 4, ..JudgeOptions::default() };
    let problem = prepare(&before, &options(600), &OneThread).expect("a panel is there");
    let chains: Vec<_> = (0..4).map(|number| problem.run_chain(number)).collect();
    let warm = problem.keep_warm(chains);
    let again = prepare_warm(&job, &options(400), &warm, &OneThread).expect("a panel is there");
    let found = again
        .conclude(&(0..4).map(|number| again.run_chain_warm(number, &warm)).collect::<Vec<_>>(), &OneThread);
    let long = judge(&job, &options(2_500)).expect("a panel is there");
    for (warm, cold) in found.joints.iter().zip(&long.joints) {
        let (a, b) = (warm.probability, cold.probability);
        let allowed = 0.02 + 3.0 * libm::hypot(a.burnt_standard_error, b.burnt_standard_error);
        assert!((a.burnt - b.burnt).abs() < allowed, "{}: {} {}", warm.joint.id, a.burnt, b.burnt);
    }
}

/// With more burnt joints expected the most suspect one is more likely burnt, with fewer less.
#[test]
fn the_prior_is_told_with_the_figure() {
    let options = JudgeOptions { seed: 5, ..JudgeOptions::default() };
    let judgement = judge(&testjob::eight_spaces(), &options).expect("a panel is there");
    let told: Vec<_> = judgement.workings.iter().filter(|working| working.title.contains("prior")).collect();
    assert!(!told.is_empty(), "a panel with a suspect joint has a figure to tell it of");
    for working in told {
        let number = |text: &str| text.trim().get(..4).and_then(|text| text.parse::<f64>().ok());
        let (twice, half) = working.result.split_once("joint,").expect("two figures");
        let (twice, half) = (number(twice).expect("a figure"), number(half).expect("a figure"));
        let now: f64 = working.inputs[0].value.parse().expect("a figure");
        assert!(half <= now && now <= twice, "{half} {now} {twice}");
    }
}

#[test]
fn three_hundred_contradicting_readings_do_not_break_it() {
    let breakers = testjob::eight_spaces().installation.panels[0].breakers.clone();
    let mut job = bare(8, breakers);
    add_state(&mut job, "evening", 22.0);
    for idx in 0..300u16 {
        let number = idx % 8 + 1;
        observe(&mut job, face(number, if idx % 2 == 0 { 25.0 } else { 75.0 }, "evening"));
    }
    let judgement = quick(&job);
    assert!(judgement.joints.iter().all(|finding| finding.probability.burnt.is_finite()));
}

/// Which way round the ends of a drop were written makes no difference, and is told.
#[test]
fn the_ends_of_a_drop_may_be_written_either_way_round() {
    let job = testjob::eight_spaces();
    let mut turned = job.clone();
    for observation in &mut turned.observations {
        if let Observed::Drop(reading) = &mut observation.what {
            std::mem::swap(&mut reading.from, &mut reading.to);
        }
    }
    assert_ne!(job, turned);
    let options = JudgeOptions { seed: 5, n_sweeps: 60, ..JudgeOptions::default() };
    let [as_written, other] = [&job, &turned].map(|job| judge(job, &options).expect("a panel is there"));
    assert_eq!(as_written.joints, other.joints);
    let told =
        |judgement: &Judgement| judgement.notes.iter().any(|note| note.text.contains("other way round"));
    assert!(told(&other) && !told(&as_written));
}

/// The neutral carries what the legs differ by: a drop over its lug tells as much where leg B carries more as where leg A does.
#[test]
fn a_drop_over_the_neutral_lug_counts_whichever_leg_carries_more() {
    let burnt = |loaded: [u16; 2]| {
        let mut job = testjob::eight_spaces();
        job.observations.clear();
        job.complaints.clear();
        for number in 1..=8 {
            let amps = if loaded.contains(&number) { 14.0 } else { 0.5 };
            testjob::observe(&mut job, testjob::clamp(number, amps, "evening"));
        }
        let main = || PanelId::new("main");
        testjob::observe(
            &mut job,
            testjob::drop_between(Place::NeutralLine(main()), Place::NeutralLug(main()), 90.0, "evening"),
        );
        let judgement =
            judge(&job, &JudgeOptions { seed: 5, ..JudgeOptions::default() }).expect("a panel is there");
        let lug = judgement.joints.iter().find(|found| found.joint.id == JointId::NeutralLug(main()));
        lug.expect("a neutral lug").probability.burnt
    };
    // Spaces 1, 2, 5 and 6 are on leg A.
    let (of_a, of_b) = (burnt([1, 5]), burnt([3, 7]));
    assert!(0.4 < of_a && (of_a - of_b).abs() < 0.05, "{of_a} with leg A, {of_b} with leg B");
}

/// A drop far beyond what a joint usually shows may be wrong, and is told of; read twice it is the joint, however far it is. Poles of
/// 8 mΩ by their neighbours, 10 A.
#[test]
fn a_large_drop_is_doubted_once_and_believed_twice() {
    let judged = |of_five: &[f64]| {
        let breakers: Vec<Breaker> = testjob::eight_spaces().installation.panels[0].breakers.clone();
        let mut job = bare(8, breakers);
        add_state(&mut job, "evening", 22.0);
        let lug = || Place::Lug(PanelId::new("main"), Leg::A);
        for number in [1, 2, 5, 6] {
            observe(&mut job, clamp(number, 10.0, "evening"));
            let shown = if number == 5 { of_five } else { &[80.0] };
            for &mv in shown {
                observe(
                    &mut job,
                    testjob::drop_between(lug(), Place::Load(testjob::slot(number)), mv, "evening"),
                );
            }
        }
        judge(&job, &JudgeOptions { seed: 5, ..JudgeOptions::default() }).expect("a panel is there")
    };
    let burnt = |shown: &[f64]| stab(&judged(shown), 5).probability.burnt;
    assert!(0.8 < burnt(&[200.0]) && 0.7 < burnt(&[300.0]) && 0.4 < burnt(&[400.0]));
    for mv in [400.0, 600.0, 1_400.0] {
        let twice = burnt(&[mv, 1.03 * mv]);
        assert!(0.9 < twice, "{mv} mV twice: {twice}");
    }
    // 25 W that no other sign goes with: a third reading is asked for.
    let [twice, thrice] = [burnt(&[2_500.0, 2_530.0]), burnt(&[2_500.0, 2_530.0, 2_480.0])];
    assert!(0.4 < twice && 0.9 < thrice, "{twice} {thrice}");
    // A film holds a volt and more, so one reading is as likely right as wrong; 35 W it could hardly hold.
    assert!(0.4 < burnt(&[1_400.0]));
    let once = judged(&[3_500.0]);
    assert!(told_as_unlike(&once, "3500 mV"), "{:?}", once.notes);
    // It is asked for again; without a doubt about it nobody is sent to read it again.
    let of_five = Place::Load(testjob::slot(5));
    let again = |found: Judgement| {
        let checks = found.next_checks.into_iter();
        checks.filter(|check| check.kind == "drop").find(|check| check.places.contains(&of_five))
    };
    let doubted = again(judged(&[600.0])).expect("to be read again");
    assert!(doubted.what.contains("may be wrong: take it again"), "{}", doubted.what);
    assert!(again(judged(&[82.0])).is_none());
}

fn told_as_unlike(found: &Judgement, shown: &str) -> bool {
    found.notes.iter().any(|note| note.text.starts_with(shown) && note.text.contains("fits nothing else"))
}

/// A face typed in °F where °C were asked: nobody may take it for weighed, nor the others for wrong.
#[test]
fn a_reading_that_nothing_fits_is_told_of() {
    let faces: Vec<(u16, f64)> = (1..=8).map(|number| (number, 31.0)).collect();
    assert!(!quick(&twelve(&faces, 9.0)).notes.iter().any(|note| note.text.contains("fits nothing else")));
    let mut job = twelve(&faces[1..], 9.0);
    // Its inside as read by a drop, its wire and its terminal are as all others.
    observe(&mut job, drop(5, 1, 85.0, "evening"));
    observe(&mut job, face(1, 140.0, "evening"));
    let found = quick(&job);
    assert!(told_as_unlike(&found, "140.0 °C"), "{:?}", found.notes);
    let n_told = found.notes.iter().filter(|note| note.text.contains("fits nothing else")).count();
    assert_eq!(n_told, 1, "{:?}", found.notes);
}

/// A face at 65 °C with 9 A, read twice, among faces of 31 °C: no joint is warm enough to make it so without warming its neighbours. That
/// the network does not know the pole is no reason to pass over it in silence.
#[test]
fn a_face_that_no_joint_explains_is_told_of_and_read_again() {
    let faces: Vec<(u16, f64)> =
        (1..=8).map(|number| (number, if number == 4 { 65.0 } else { 31.0 })).collect();
    let mut job = twelve(&faces, 9.0);
    observe(&mut job, face(4, 65.9, "evening"));
    let found = quick(&job);
    assert!(told_as_unlike(&found, "65.0 °C") && told_as_unlike(&found, "65.9 °C"), "{:?}", found.notes);
    assert_eq!(found.unexplained.len(), 2, "{:?}", found.unexplained);
    assert!(found.joints.iter().all(|joint| joint.probability.burnt < 0.2), "no joint is suspect");
    let again = found.next_checks.iter().find(|check| check.places == [Place::Face(slot(4))]);
    assert!(again.is_some_and(|check| check.what.contains("again")), "{:?}", found.next_checks);
}
