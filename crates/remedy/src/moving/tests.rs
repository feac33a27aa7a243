//! Places to move to, with what opens and what refuses them. Common practice (the job notes' criteria) where nothing
//! else is said.

use super::{NotMovable, moves};
use crate::Policy;
use crate::house::{panel, slot_of};
use crate::sample::Sample;
use model::JointId;
use model::breaker::LoadClass;
use model::id::Slot;
use model::job::{Condition, Exposure, Opening};
use model::moving::{Met, MoveCandidate, MoveStudy};
use model::panel::Panel;
use model::{DateTime, FactId, Space};

const SPLIT: &str = "upper lugs 1-3; lower main/1 4-10; 1,3 lower; 2,4 range; 7 kitchen; 8 hall; 9 lights; 10 porch; \
                     13 den; 15 bath";

fn sample(text: &str, suspect: &str) -> Sample {
    with(panel("main", text), suspect)
}

fn with(panel: Panel, suspect: &str) -> Sample {
    let mut sample = Sample::of(vec![panel]).burnt(suspect, 0.9);
    sample.job.installation.panels[0].moisture = Some(false);
    sample
}

fn study(sample: &Sample, from: &str) -> MoveStudy {
    moves(&sample.job, &sample.joints, &slot_of(from), &Policy::standard()).expect("a circuit")
}

fn at<'a>(study: &'a MoveStudy, spaces: &[u16]) -> &'a MoveCandidate {
    let spaces: Vec<Space> = spaces.iter().map(|&number| Space::whole(number)).collect();
    study.candidates.iter().find(|candidate| candidate.spaces == spaces).expect("the place is free")
}

fn met(candidate: &MoveCandidate, name: &str) -> Met {
    candidate.conditions.iter().find(|condition| condition.name == name).expect("a condition").met
}

fn open(mut sample: Sample, spaces: &[u16], found: Condition) -> Sample {
    sample.job.exposure = Exposure::ProvenDead;
    crate::gate::tests::isolated(&mut sample.job, "main/1", "main/lower");
    for &number in spaces {
        let slot = Slot::new(model::PanelId::new("main"), Space::whole(number));
        sample.job.openings.push(Opening {
            fact: FactId::new(format!("o{number}")),
            at: DateTime::constant(2025, 11, 20, 15, 0, 0, 0),
            joint: JointId::Stab(slot),
            found,
            words: String::new(),
        });
    }
    sample
}

#[test]
fn a_lower_circuit_may_move_within_its_section_and_nowhere_else() {
    let study = study(&sample(SPLIT, "main:stab:7"), "main/7");
    assert!(study.refusals.is_empty(), "{:?}", study.refusals);
    let (below, above) = (at(&study, &[19]), at(&study, &[5]));
    assert!(below.open && met(below, "section") == Met::Met, "{below:#?}");
    assert!(!above.open && met(above, "section") == Met::NotMet);
    assert!(study.candidates[0].open, "the best stands first");
    let refused_from =
        study.candidates.iter().position(|candidate| !candidate.open).expect("some are refused");
    assert!(study.candidates[refused_from..].iter().all(|candidate| !candidate.open));
    // Nothing is open outright: a last day and a proof always remain.
    for name in ["dead", "after", "expiry"] {
        assert_eq!(met(below, name), Met::Prove);
    }
    assert_eq!(met(below, "listing"), Met::Ask);
    assert_eq!(study.most_days, 30);
}

#[test]
fn the_same_finger_is_refused() {
    // Spaces 7 and 8 share a stab; with 8 empty it is still the burnt finger.
    let text = SPLIT.replace("8 hall; ", "");
    let study = study(&sample(&text, "main:stab:7"), "main/7");
    assert_eq!(met(at(&study, &[8]), "damage beside"), Met::NotMet);
}

#[test]
fn two_poles_keep_different_legs_and_one_column() {
    let text = "whole main 1-8; 1,3 dryer plug; 6 hall";
    let study = study(&sample(text, "main:stab:1"), "main/1");
    assert!(study.candidates.iter().all(|candidate| candidate.spaces.len() == 2));
    assert!(study.candidates.iter().all(|c| c.spaces[1].number == c.spaces[0].number + 2));
    assert!(study.candidates.iter().all(|candidate| !candidate.spaces.contains(&Space::whole(6))));
    assert_eq!(met(at(&study, &[9, 11]), "leg"), Met::Met);
}

#[test]
fn half_of_a_multiwire_circuit_may_not_land_on_its_partners_leg_nor_away_from_it() {
    let text = "whole main 1-8; 9 kitchen east partner 11; 11 kitchen west partner 9; 2 hall";
    let study = study(&sample(text, "main:stab:9"), "main/9");
    // Rows alternate legs: 13 lies below 11 on the other leg than 11; 15 on 11's own leg.
    let beside = at(&study, &[13]);
    assert_eq!((met(beside, "leg"), met(beside, "partner")), (Met::Met, Met::Met));
    let (same_leg, away) = (at(&study, &[15]), at(&study, &[1]));
    assert_eq!(met(same_leg, "leg"), Met::NotMet);
    assert_eq!(met(away, "partner"), Met::NotMet);
    assert!(!same_leg.open && !away.open);
}

#[test]
fn a_change_of_leg_asks_for_shared_neutrals() {
    let study = study(&sample("whole main 1-8; 1 kitchen; 16 hall", "main:stab:1"), "main/1");
    assert_eq!(met(at(&study, &[9]), "leg"), Met::Met);
    assert_eq!(met(at(&study, &[11]), "leg"), Met::Ask);
}

#[test]
fn a_seventh_movement_is_refused() {
    let upper = "upper lugs 1-8; lower main/1 9-12; 1,3 lower; 2 a; 4 b; 5 c; 6 d; 7 e; 17 lights; 19 den";
    let study = study(&sample(upper, "main:stab:17"), "main/17");
    let above = at(&study, &[13]);
    assert_eq!(met(above, "hand movements"), Met::NotMet, "{above:?}");
    assert_eq!(met(at(&study, &[23]), "hand movements"), Met::Met);
}

#[test]
fn what_refuses_every_place() {
    let refusals = |sample: &Sample| study(sample, "main/7").refusals.join(" ");
    let heavy = |class| {
        let mut panel = panel("main", SPLIT);
        let breaker = panel.breakers.iter_mut().find(|breaker| breaker.spaces == [Space::whole(7)]);
        breaker.and_then(|breaker| breaker.circuit.as_mut()).expect("a circuit").class = Some(class);
        with(panel, "main:stab:7")
    };
    assert!(refusals(&heavy(LoadClass::Dryer)).contains("heavy load"));
    assert!(refusals(&heavy(LoadClass::Vehicle)).contains("heavy load"));
    assert!(refusals(&sample(SPLIT, "main:stab:7").burnt("main:stab:13", 0.5)).contains("those of 13"));
    assert!(
        refusals(&sample(SPLIT, "main:stab:7").burnt("main:lug:A", 0.5)).contains("lug or main connection")
    );
    let mut wet = sample(SPLIT, "main:stab:7");
    wet.job.installation.panels[0].moisture = Some(true);
    assert!(refusals(&wet).contains("water marks"));
    let mut loaded = sample(SPLIT, "main:stab:7");
    for finding in &mut loaded.joints {
        finding.current_now_a = Some(model::assessment::Interval { low: 17.0, median: 18.0, high: 19.0 });
    }
    assert!(refusals(&loaded).contains("18 A"));
    for sample in [heavy(LoadClass::Dryer), wet, loaded] {
        assert!(study(&sample, "main/7").candidates.iter().all(|candidate| !candidate.open));
    }
}

#[test]
fn what_is_no_circuit_is_not_moved() {
    let sample = sample("upper lugs 1-3; lower main/1 4-6; 1,3 lower; 2 source inlet; 7 den", "main:stab:7");
    let refused = |from: &str| moves(&sample.job, &sample.joints, &slot_of(from), &Policy::standard());
    assert_eq!(refused("main/1").expect_err("a feeder"), NotMovable::Feeder(slot_of("main/1")));
    assert_eq!(refused("main/2").expect_err("a source"), NotMovable::Source(slot_of("main/2")));
    assert_eq!(refused("main/6").expect_err("empty"), NotMovable::NoBreaker(slot_of("main/6")));
}

#[test]
fn damage_close_by_refuses_and_soundness_must_have_been_seen_dead() {
    let seen = open(sample(SPLIT, "main:stab:7"), &[13, 15], Condition::Sound);
    assert_eq!(met(at(&study(&seen, "main/7"), &[17]), "damage beside"), Met::Met);
    let mut alive = seen;
    alive.job.proofs.clear();
    assert_eq!(met(at(&study(&alive, "main/7"), &[17]), "damage beside"), Met::Met.max(Met::Prove));
    let worn = open(sample(SPLIT, "main:stab:7"), &[15], Condition::Worn);
    assert_eq!(met(at(&study(&worn, "main/7"), &[17]), "damage beside"), Met::NotMet);
    assert_eq!(met(at(&study(&sample(SPLIT, "main:stab:7"), "main/7"), &[17]), "damage beside"), Met::Prove);
}

#[test]
fn the_prediction_rises_with_the_neighbours_load() {
    let with_neighbour = |amps: f64| {
        let mut sample = sample("whole main 1-8; 1 kitchen; 12 hall", "main:stab:1");
        for finding in &mut sample.joints {
            if finding.joint.id.to_string() == "main:stab:12" {
                finding.current_now_a =
                    Some(model::assessment::Interval { low: amps, median: amps, high: amps });
            }
        }
        let study = study(&sample, "main/1");
        at(&study, &[11]).heat.clone().expect("the network answers")
    };
    let (cool, warm) = (with_neighbour(2.0), with_neighbour(15.0));
    assert!(cool.stab_c + 1.0 < warm.stab_c, "{} {}", cool.stab_c, warm.stab_c);
    assert_eq!(warm.neighbour.map(|(space, amps, _)| (space, amps)), Some((Space::whole(12), 15.0)));
    assert!(cool.room_c < cool.face_c && cool.face_c < cool.stab_c.max(cool.terminal_c) + 20.0);
}

/// A move: name, panel, what is suspect, what is special, from where, to where, what refuses it (nothing: it stays open),
/// and where the answer comes from.
pub(crate) type MoveCase = (
    &'static str,
    &'static str,
    &'static [&'static str],
    &'static str,
    &'static str,
    u16,
    &'static str,
    &'static str,
);

const PRACTICE: &str = "common practice, no source";
const WIRING: &str = "follows from the wiring as recorded";
const MULTI: &str = "whole main 1-8; 9 kitchen east partner 11; 11 kitchen west partner 9; 2 hall";
const FULL_UPPER: &str =
    "upper lugs 1-8; lower main/1 9-12; 1,3 lower; 2 a; 4 b; 5 c; 6 d; 7 e; 17 lights; 19 den";
const FED: &str = "upper lugs 1-3; lower main/1 4-6; 1,3 lower; 2 source inlet; 7 den";
const SIX_THROWS: &str = "NFPA 70 230.71, six disconnects before 2020, value from memory";

/// What the trade expects of a move.
pub(crate) const MOVES: &[MoveCase] = &[
    ("within its own section", SPLIT, &["main:stab:7"], "", "main/7", 19, "", PRACTICE),
    ("above the split", SPLIT, &["main:stab:7"], "", "main/7", 5, "section", PRACTICE),
    (
        "onto the finger that is burnt, from the other side",
        "upper lugs 1-3; lower main/1 4-10; 1,3 lower; 2,4 range; 7 kitchen; 9 lights; 10 porch; 13 den; 15 bath",
        &["main:stab:7"],
        "",
        "main/7",
        8,
        "damage beside",
        PRACTICE,
    ),
    (
        "half of a multiwire circuit onto its partner's leg",
        MULTI,
        &["main:stab:9"],
        "",
        "main/9",
        15,
        "leg",
        WIRING,
    ),
    (
        "half of a multiwire circuit away from its partner",
        MULTI,
        &["main:stab:9"],
        "",
        "main/9",
        1,
        "partner",
        PRACTICE,
    ),
    (
        "above the split as a seventh hand movement",
        FULL_UPPER,
        &["main:stab:17"],
        "",
        "main/17",
        13,
        "hand movements",
        SIX_THROWS,
    ),
    (
        "within the lower section of a full panel",
        FULL_UPPER,
        &["main:stab:17"],
        "",
        "main/17",
        23,
        "",
        PRACTICE,
    ),
    ("a dryer", SPLIT, &["main:stab:7"], "dryer", "main/7", 19, "heavy load", PRACTICE),
    ("a vehicle", SPLIT, &["main:stab:7"], "vehicle", "main/7", 19, "heavy load", PRACTICE),
    ("18 A on a modest circuit", SPLIT, &["main:stab:7"], "loaded", "main/7", 19, "18 A", PRACTICE),
    ("water in the cabinet", SPLIT, &["main:stab:7"], "wet", "main/7", 19, "water marks", PRACTICE),
    (
        "a second stab is suspect",
        SPLIT,
        &["main:stab:7", "main:stab:13"],
        "",
        "main/7",
        19,
        "those of 13",
        PRACTICE,
    ),
    (
        "a line lug is suspect",
        SPLIT,
        &["main:stab:7", "main:lug:A"],
        "",
        "main/7",
        19,
        "lug or main",
        PRACTICE,
    ),
    ("the breaker that feeds a section", FED, &["main:stab:7"], "", "main/1", 9, "feeds a section", WIRING),
    ("a generator inlet", FED, &["main:stab:7"], "", "main/2", 9, "maker's instructions", PRACTICE),
    ("an empty space", FED, &["main:stab:7"], "", "main/6", 9, "no breaker", WIRING),
];

#[test]
fn moves_are_refused_as_the_trade_refuses_them() {
    for (name, text, suspect, special, from, to, refused_by, _) in MOVES {
        let mut panel = panel("main", text);
        let class = match *special {
            "dryer" => Some(LoadClass::Dryer),
            "vehicle" => Some(LoadClass::Vehicle),
            _ => None,
        };
        if let Some(class) = class {
            let breaker = panel.breakers.iter_mut().find(|breaker| breaker.spaces == [Space::whole(7)]);
            breaker.and_then(|breaker| breaker.circuit.as_mut()).expect("a circuit").class = Some(class);
        }
        let mut sample = with(panel, suspect[0]);
        for other in &suspect[1..] {
            sample = sample.burnt(other, 0.5);
        }
        sample.job.installation.panels[0].moisture = Some(*special == "wet");
        if *special == "loaded" {
            let amps = model::assessment::Interval { low: 17.0, median: 18.0, high: 19.0 };
            sample.joints.iter_mut().for_each(|finding| finding.current_now_a = Some(amps));
        }
        let study = match moves(&sample.job, &sample.joints, &slot_of(from), &Policy::standard()) {
            Ok(study) => study,
            Err(refusal) => {
                assert!(
                    !refused_by.is_empty() && refusal.to_string().contains(refused_by),
                    "{name}: {refusal}"
                );
                continue;
            }
        };
        let candidate = at(&study, &[*to]);
        assert_eq!(candidate.open, refused_by.is_empty(), "{name}: {:?} {candidate:#?}", study.refusals);
        let names: Vec<&str> =
            candidate.conditions.iter().filter(|one| one.met == Met::NotMet).map(|one| one.name).collect();
        let by_all = study.refusals.iter().any(|refusal| refusal.contains(refused_by));
        assert!(refused_by.is_empty() || names.contains(refused_by) || by_all, "{name}: {names:?}");
    }
}

/// Temperatures of a panel by the whole electrical network instead of sums by hand: every piece's heat from the solved
/// circuit, given to the thermal network.
fn solved_whole(
    installation: &model::installation::Installation,
    joints: &[model::assessment::JointFinding],
    moved: Space,
    amps: impl Fn(Space) -> f64,
    room_c: f64,
) -> [f64; 3] {
    use physics::electrical::{Case, Draw, Load, LoadEnd, Piece, Resistances, solve};
    use physics::thermal::{Knobs, PanelNetwork, Source};
    let panel = &installation.panels[0];
    let (mut resistances, _) = Resistances::sound(installation);
    for finding in joints {
        let at_stab =
            matches!(&finding.joint.id, JointId::Stab(slot) | JointId::Terminal(slot) if slot.space != moved);
        if let Some(ohm) = resistances.joints.get_mut(&finding.joint.id).filter(|_| at_stab) {
            *ohm = finding.resistance_mohm.median / 1000.0;
        }
    }
    let loads = panel
        .breakers
        .iter()
        .filter(|breaker| {
            let first = Slot::new(panel.id.clone(), breaker.spaces[0]);
            breaker.circuit.is_some() && installation.sections_fed_by(&first).next().is_none()
        })
        .map(|breaker| {
            let slot = |space: Space| Slot::new(panel.id.clone(), space);
            let to = breaker.spaces.get(1).map_or(LoadEnd::Neutral, |&space| LoadEnd::Pole(slot(space)));
            Load { from: slot(breaker.spaces[0]), to, draw: Draw::amperes(amps(breaker.spaces[0])) }
        })
        .collect();
    let solution = solve(installation, &resistances, &Case::with_loads(loads)).expect("it is solved");
    let mut network = PanelNetwork::new(installation, panel, &Knobs::default());
    let mut heat_w = network.idle_heat();
    for (piece, flow) in solution.pieces() {
        let square = flow.current_a.norm_sqr();
        let (source, watts) = match piece {
            Piece::Joint(JointId::Stab(slot)) => (Source::Stab(slot.space), flow.heat_w),
            Piece::Joint(JointId::Terminal(slot)) => {
                (Source::Terminal(slot.space), flow.heat_w + square * network.wire_ohm(slot.space))
            }
            Piece::Joint(JointId::Lug(_, leg)) => (Source::Lug(*leg), flow.heat_w),
            Piece::Joint(JointId::Feeder(_, section, leg)) => {
                (Source::Feeder(section.clone(), *leg), flow.heat_w)
            }
            Piece::Joint(JointId::NeutralLug(_) | JointId::NeutralTerminal(_)) => {
                (Source::Neutral, flow.heat_w)
            }
            Piece::Pole(slot) => (Source::Pole(slot.space), flow.heat_w),
            Piece::MainPole(_, _, leg) => (Source::Main(*leg), flow.heat_w),
            Piece::Bar(_, _, row) => (Source::Bar(*row), flow.heat_w),
            _ => continue,
        };
        network.add_heat(&mut heat_w, &source, watts);
    }
    let solved = network.solve(&heat_w, room_c + 273.15, None).expect("it is steady");
    let at = |node: usize| solved.temperature_k[node] - 273.15;
    let slot = Slot::new(panel.id.clone(), moved);
    let stab =
        network.shares(&Source::Stab(moved)).into_iter().map(|(node, _)| at(node)).fold(f64::MIN, f64::max);
    let of = |place: model::place::Place| at(network.node_of(&place).expect("a node"));
    [stab, of(model::place::Place::Load(slot.clone())), of(model::place::Place::Face(slot))]
}

#[test]
fn the_prediction_is_that_of_the_moved_panel_solved_as_a_whole() {
    for (text, from, to) in [
        ("whole main 1-8; 1 kitchen; 12 hall; 3 den; 4 lights; 14 bath", 1, 11),
        ("whole main 1-8; 1 kitchen; 12 hall; 3 den; 4 lights; 14 bath", 1, 15),
        (SPLIT, 7, 17),
        (SPLIT, 7, 19),
    ] {
        let mut sample = sample(text, &format!("main:stab:{from}"));
        // Both poles of the range in 2 and 4 carry the same.
        let amps =
            |space: Space| if space.number == 4 { 4.0 } else { f64::from(space.number * 7 % 11) + 1.0 };
        for finding in &mut sample.joints {
            if let JointId::Stab(slot) = &finding.joint.id {
                let amps = amps(slot.space);
                finding.current_now_a =
                    Some(model::assessment::Interval { low: amps, median: amps, high: amps });
            }
        }
        let heat =
            at(&study(&sample, &format!("main/{from}")), &[to]).heat.clone().expect("the network answers");
        let mut installation = sample.job.installation.clone();
        for breaker in &mut installation.panels[0].breakers {
            if breaker.spaces == [Space::whole(from)] {
                breaker.spaces = vec![Space::whole(to)];
            }
        }
        let moved = Space::whole(to);
        let of = |space: Space| if space == moved { heat.current_a } else { amps(space) };
        let whole = solved_whole(&installation, &sample.joints, moved, of, heat.room_c);
        for (name, ours, theirs) in [
            ("stab", heat.stab_c, whole[0]),
            ("terminal", heat.terminal_c, whole[1]),
            ("face", heat.face_c, whole[2]),
        ] {
            // A rise of 15 to 40 K; the difference is the heat of the neutrals and of the first bar, which the
            // prediction leaves out.
            println!("{text}, {from} to {to}, {name}: {ours:.2} and {theirs:.2} °C");
            assert!(
                (ours - theirs).abs() < 0.5,
                "{text}, {from} to {to}, {name}: {ours:.2} and {theirs:.2} °C"
            );
        }
    }
}
