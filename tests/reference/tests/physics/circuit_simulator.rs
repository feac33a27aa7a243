//! The electrical network against a general circuit simulator on five invented panels.

use super::panel_file::{Described, read};
use model::joint::{JointId, joints};
use model::place::Place;
use model::{Leg, Slot};
use physics::electrical::{Case, Complex, Draw, Piece, Solution, solve};
use std::collections::BTreeMap;

const PANELS: [&str; 5] = ["plain", "split_bus", "bad_neutral", "three_phase", "open_neutral_sub"];

/// Relative tolerance of the comparison, from the aim set for it.
const RELATIVE: f64 = 1e-6;
/// Below this both programs show rounding and no current, A.
const FLOOR_A: f64 = 1e-9;

fn places(described: &Described) -> BTreeMap<String, Place> {
    let mut all = Vec::new();
    for panel in &described.installation.panels {
        let id = &panel.id;
        all.extend([Place::NeutralBar(id.clone()), Place::NeutralLine(id.clone()), Place::Earth(id.clone())]);
        for leg in [Leg::A, Leg::B, Leg::C] {
            all.extend([Place::Line(id.clone(), leg), Place::Lug(id.clone(), leg)]);
        }
        for space in panel.breakers.iter().flat_map(|breaker| &breaker.spaces) {
            let slot = Slot::new(id.clone(), *space);
            all.extend(
                [Place::Load, Place::Wire, Place::Receptacle, Place::NeutralWire]
                    .map(|make| make(slot.clone())),
            );
        }
    }
    all.into_iter().map(|place| (place.to_string(), place)).collect()
}

fn close(ours: Complex<f64>, theirs: Complex<f64>, floor: f64) -> bool {
    (ours - theirs).norm_sqr().sqrt() <= RELATIVE * theirs.norm_sqr().sqrt() + floor
}

/// Compares every value of the fixture; returns how many of each kind were held.
fn compare(name: &str, described: &Described, solution: &Solution) -> (usize, usize) {
    let places = places(described);
    let joints: BTreeMap<String, JointId> =
        joints(&described.installation).into_iter().map(|joint| (joint.id.to_string(), joint.id)).collect();
    let (mut voltages, mut currents) = (0, 0);
    for (kind, what, theirs) in &described.answers {
        if kind == "voltage" {
            let ours = solution.voltage(&places[what]).expect("the place is connected");
            // A voltage is held against the supply where it is itself near zero (neutral bars, earth).
            assert!(close(ours, *theirs, 1e-9), "{name} {what}: ours {ours}, theirs {theirs}");
            voltages += 1;
            continue;
        }
        let flow = match what.as_str() {
            "electrode" => solution.flow(&Piece::Electrode),
            load if load.starts_with("load:") => {
                solution.flow(&Piece::Load(load["load:".len()..].parse().expect("an index")))
            }
            joint => solution.joint(&joints[joint]),
        };
        let ours = flow.expect("the piece is there").current_a;
        assert!(close(ours, *theirs, FLOOR_A), "{name} {what}: ours {ours}, theirs {theirs}");
        currents += 1;
    }
    (voltages, currents)
}

/// Source: ngspice-39, `fixtures/ngspice/SOURCE.md`; 1e-6 relative, floor 1e-9 A and 1e-9 V where nothing flows.
#[test]
fn val_five_panels_agree_with_a_circuit_simulator() {
    for name in PANELS {
        let described = read(name);
        let solution =
            solve(&described.installation, &described.resistances, &described.case).expect("solvable");
        let (voltages, currents) = compare(name, &described, &solution);
        assert!(20 < voltages && 15 < currents, "{name}: only {voltages} voltages and {currents} currents");
    }
}

/// Source: our own rule: every described panel is compared and has its answers.
#[test]
fn verif_every_described_panel_is_compared() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/ngspice");
    let mut names = BTreeMap::new();
    for entry in std::fs::read_dir(folder).expect("the fixtures are there") {
        let path = entry.expect("an entry").path();
        let stem = path.file_stem().and_then(|stem| stem.to_str()).expect("plain names").to_owned();
        if stem != "SOURCE" {
            *names.entry(stem).or_insert(0) += 1;
        }
    }
    let wanted: BTreeMap<String, i32> = PANELS.iter().map(|name| ((*name).to_owned(), 2)).collect();
    assert_eq!(names, wanted);
}

/// Source: Joule's law on ngspice's currents: the heat of every joint, |I|²·R, to 2e-6 relative.
#[test]
fn val_heat_of_every_joint_agrees_with_a_circuit_simulator() {
    for name in PANELS {
        let described = read(name);
        let solution =
            solve(&described.installation, &described.resistances, &described.case).expect("solvable");
        let theirs: BTreeMap<&String, f64> = described
            .answers
            .iter()
            .filter(|(kind, _, _)| kind == "current")
            .map(|(_, what, current)| (what, current.norm_sqr()))
            .collect();
        let mut n_joints = 0;
        for (joint, flow) in solution.joints() {
            let want = theirs[&joint.to_string()] * described.resistances.joints[joint];
            assert!(
                (flow.heat_w - want).abs() <= 2e-6 * want + 1e-15,
                "{name} {joint}: {} {want}",
                flow.heat_w
            );
            n_joints += 1;
        }
        assert!(15 < n_joints, "{name}: only {n_joints} joints");
    }
}

/// Source: energy law: what the supply gives is what the pieces consume, 1e-9 relative.
#[test]
fn verif_energy_closes_on_the_five_panels() {
    for name in PANELS {
        let described = read(name);
        let solution =
            solve(&described.installation, &described.resistances, &described.case).expect("solvable");
        let (supplied, consumed) = solution.balance_w();
        assert!((supplied - consumed).abs() <= 1e-9 * supplied, "{name}: {supplied} {consumed}");
        let pieces: f64 = solution.pieces().map(|(_, flow)| flow.heat_w).sum();
        assert!((pieces - supplied).abs() <= 1e-9 * supplied, "{name}: every consumer has a name");
    }
}

/// Source: substitution theorem: a load replaced by its own current and power factor changes nothing.
#[test]
fn verif_given_currents_agree_with_the_impedances_they_replace() {
    for name in ["plain", "split_bus", "bad_neutral", "three_phase"] {
        let described = read(name);
        let first =
            solve(&described.installation, &described.resistances, &described.case).expect("solvable");
        let mut loads = described.case.loads.clone();
        for (idx, load) in loads.iter_mut().enumerate() {
            let Draw::Impedance { ohm, reactance_ohm } = load.draw else { continue };
            if reactance_ohm < 0.0 {
                continue; // Leading currents are given as impedances.
            }
            let a = first.flow(&Piece::Load(idx)).expect("a load").current_a.norm_sqr().sqrt();
            let power_factor = ohm / (ohm * ohm + reactance_ohm * reactance_ohm).sqrt();
            load.draw = Draw::Current { a, power_factor };
        }
        let case = Case { loads, ..described.case.clone() };
        let again = solve(&described.installation, &described.resistances, &case).expect("solvable");
        for (joint, flow) in first.joints() {
            let other = again.joint(joint).expect("the same joints");
            assert!(close(other.current_a, flow.current_a, FLOOR_A), "{name} {joint}");
        }
    }
}

/// Source: the loads on an open pole draw nothing, and a current said to flow there is refused.
#[test]
fn verif_open_pole_carries_nothing() {
    let described = read("open_neutral_sub");
    let mut case = described.case.clone();
    let solution = solve(&described.installation, &described.resistances, &case).expect("solvable");
    assert_eq!(solution.flow(&Piece::Load(3)).expect("a load").heat_w, 0.0);
    case.loads[3].draw = Draw::amperes(4.0);
    let error = solve(&described.installation, &described.resistances, &case).expect_err("open");
    assert_eq!(error.to_string(), "load 3 is said to draw a current, but its circuit is open");
}
