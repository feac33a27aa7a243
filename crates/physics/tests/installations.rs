//! Installations at random: energy closes, currents sum to nothing, worse joints are hotter.

use model::breaker::{Attachment, Breaker, Circuit, Handle, Protection};
use model::conductor::Conductor;
use model::installation::Installation;
use model::joint::{JointId, joints};
use model::panel::{Bus, Cabinet, Feed, HalfWidth, Panel, Section};
use model::place::Place;
use model::service::Service;
use model::{Current, Leg, PanelId, SectionId, Slot, Space, System};
use physics::electrical::{Case, Complex, Draw, Load, LoadEnd, Resistances, Solution, solve};
use proptest::prelude::*;

#[derive(Debug, Clone)]
struct Wish {
    system: System,
    rows: u16,
    split: bool,
    sub: bool,
    doubles: Vec<bool>,
    sizes: Vec<(f64, f64, bool)>,
    scale: Vec<f64>,
    broken_neutral: bool,
}

fn breaker(spaces: Vec<u16>, circuit: bool, partner: Option<u16>) -> Breaker {
    Breaker {
        spaces: spaces.into_iter().map(Space::whole).collect(),
        rating: Current::from_a(20.0),
        protection: Protection::ThermalMagnetic,
        attachment: Attachment::PlugOn,
        other_make: None,
        later: None,
        handle: Handle::On,
        circuit: circuit.then(|| Circuit {
            feeds: "invented".into(),
            uses_neutral: Some(true),
            partner: partner.map(Space::whole),
            ..Circuit::default()
        }),
    }
}

fn section(id: &str, first_row: u16, last_row: u16, feed: Feed) -> Section {
    Section { id: SectionId::new(id), first_row, last_row, feed, feeder: Conductor::default() }
}

fn panel(id: &str, system: System, rows: u16, sections: Vec<Section>, breakers: Vec<Breaker>) -> Panel {
    Panel {
        id: PanelId::new(id),
        place: "invented".into(),
        system,
        n_spaces: 2 * rows,
        n_columns: 2,
        first_leg: Leg::A,
        bus: Bus::default(),
        cabinet: Cabinet::default(),
        half_width: HalfWidth::Nowhere,
        year: None,
        moisture: None,
        sections,
        breakers,
    }
}

/// The main panel: spaces 1-3 (and 5 of three legs) feed the lower section or the sub-panel, if there is one.
fn build(wish: &Wish) -> (Installation, Vec<Load>) {
    let n_legs = wish.system.legs().len() as u16;
    let main = PanelId::new("main");
    let feed = Feed::Breaker { slot: Slot::new(main.clone(), Space::whole(1)) };
    let feeds = wish.split || wish.sub;
    let mut breakers = vec![];
    let mut loads = vec![];
    if feeds {
        breakers.push(breaker((0..n_legs).map(|leg| 2 * leg + 1).collect(), false, None));
    }
    let first_free = if feeds { n_legs } else { 0 };
    let mut sizes = wish.sizes.iter().cycle();
    let mut add = |panel: &PanelId, breakers: &mut Vec<Breaker>, spaces: Vec<u16>, partner| {
        breakers.push(breaker(spaces.clone(), true, partner));
        let slot = |number: u16| Slot::new(panel.clone(), Space::whole(number));
        let (ohm, angle, given) = *sizes.next().expect("never ends");
        let draw = if given && !wish.broken_neutral {
            Draw::Current { a: 120.0 / ohm, power_factor: 1.0 - angle.abs() / 2.0 }
        } else {
            Draw::Impedance { ohm, reactance_ohm: angle * ohm }
        };
        let to = spaces.get(1).map_or(LoadEnd::Neutral, |&other| LoadEnd::Pole(slot(other)));
        loads.push(Load { from: slot(spaces[0]), to, draw });
    };
    let split_row = wish.rows / 2;
    let mut row = first_free;
    for &double in wish.doubles.iter().cycle().take(usize::from(wish.rows)) {
        if wish.rows <= row {
            break;
        }
        let across = row + 1 == split_row && wish.split;
        if double && row + 1 < wish.rows && !across {
            add(&main, &mut breakers, vec![2 * row + 1, 2 * row + 3], None);
            add(&main, &mut breakers, vec![2 * row + 2], Some(2 * row + 4));
            add(&main, &mut breakers, vec![2 * row + 4], Some(2 * row + 2));
            row += 2;
        } else {
            add(&main, &mut breakers, vec![2 * row + 1], None);
            row += 1;
        }
    }
    let sections = if wish.split {
        vec![
            section("upper", 0, split_row - 1, Feed::ServiceLugs),
            section("lower", split_row, wish.rows - 1, feed.clone()),
        ]
    } else {
        vec![section("all", 0, wish.rows - 1, Feed::MainBreaker { rating: Current::from_a(200.0) })]
    };
    let mut panels = vec![panel("main", wish.system, wish.rows, sections, breakers)];
    if wish.sub && !wish.split {
        let id = PanelId::new("sub");
        let mut breakers = vec![];
        add(&id, &mut breakers, vec![1], None);
        add(&id, &mut breakers, vec![2, 4], None);
        panels.push(panel("sub", wish.system, 4, vec![section("all", 0, 3, feed)], breakers));
    }
    (Installation { service: Service::default(), panels }, loads)
}

fn wishes() -> impl Strategy<Value = Wish> {
    (
        prop::sample::select(vec![System::SplitPhase, System::TwoLegsOfWye, System::ThreePhaseWye]),
        8u16..21,
        any::<bool>(),
        any::<bool>(),
        prop::collection::vec(any::<bool>(), 1..12),
        prop::collection::vec((6.0..400.0f64, -0.4..0.4f64, any::<bool>()), 1..20),
        prop::collection::vec(-2.0..4.5f64, 1..40),
        any::<bool>(),
    )
        .prop_map(|(system, rows, split, sub, doubles, sizes, scale, broken_neutral)| Wish {
            system,
            rows,
            split,
            sub,
            doubles,
            sizes,
            scale,
            broken_neutral,
        })
}

fn solved(wish: &Wish) -> (Installation, Resistances, Case, Solution) {
    let (installation, loads) = build(wish);
    let (mut resistances, _) = Resistances::sound(&installation);
    // Joints from a hundredth to thirty thousand times as good as sound, and sometimes a bad service neutral.
    for (ohm, power) in resistances.joints.values_mut().zip(wish.scale.iter().cycle()) {
        *ohm *= libm::pow(10.0, *power / 1.5);
    }
    if wish.broken_neutral {
        resistances.supply.drop_neutral = Complex::new(f64::INFINITY, 0.0);
    }
    let case = Case::with_loads(loads);
    let solution = solve(&installation, &resistances, &case).expect("every wish can be solved");
    (installation, resistances, case, solution)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn energy_closes(wish in wishes()) {
        let (.., solution) = solved(&wish);
        let (supplied, consumed) = solution.balance_w();
        prop_assert!(1.0 < supplied);
        prop_assert!((supplied - consumed).abs() <= 1e-9 * supplied, "{supplied} {consumed}");
    }

    #[test]
    fn every_joint_is_solved_and_its_heat_is_i_squared_r(wish in wishes()) {
        let (installation, resistances, _, solution) = solved(&wish);
        for joint in joints(&installation) {
            let flow = solution.joint(&joint.id);
            prop_assert!(flow.is_some(), "{} is missing", joint.id);
            let flow = flow.unwrap();
            let owner = solution.joints().find(|(id, _)| **id == joint.id);
            if owner.is_some() {
                let want = resistances.joints[&joint.id] * flow.current_a.norm_sqr();
                prop_assert!((flow.heat_w - want).abs() <= 1e-12 * want.max(1e-12), "{}", joint.id);
            }
        }
    }

    #[test]
    fn currents_of_the_service_sum_to_nothing(wish in wishes()) {
        let (installation, _, _, solution) = solved(&wish);
        let main = &installation.panels[0];
        let legs: Complex<f64> = main.system.legs().iter().map(|&leg| solution.leg_current(&main.id, leg)).sum();
        let back = solution.neutral_current(&main.id) + solution.earth_current();
        let size: f64 = main.system.legs().iter().map(|&leg| solution.leg_current(&main.id, leg).norm_sqr().sqrt()).sum();
        prop_assert!((legs - back).norm_sqr().sqrt() <= 1e-9 * size, "{legs} {back}");
    }

    #[test]
    fn solved_twice_is_the_same_to_the_bit(wish in wishes()) {
        let (installation, resistances, case, solution) = solved(&wish);
        let again = solve(&installation, &resistances, &case).unwrap();
        for ((joint, one), (_, other)) in solution.joints().zip(again.joints()) {
            prop_assert_eq!(one, other, "{}", joint);
        }
    }
}

/// A clip that gets worse takes heat and voltage from its circuit; the current of a fixed load falls.
#[test]
fn a_worse_clip_is_hotter_until_it_starves_the_load() {
    let wish = Wish {
        system: System::SplitPhase,
        rows: 6,
        split: false,
        sub: false,
        doubles: vec![false],
        sizes: vec![(10.0, 0.0, false)],
        scale: vec![0.0],
        broken_neutral: false,
    };
    let (installation, mut resistances, case, _) = solved(&wish);
    let slot = Slot::new(PanelId::new("main"), Space::whole(5));
    let stab = JointId::Stab(slot.clone());
    let mut last = (0.0, f64::INFINITY);
    for milliohm in [0.1, 1.0, 10.0, 100.0, 1000.0] {
        resistances.joints.insert(stab.clone(), milliohm * 1e-3);
        let solution = solve(&installation, &resistances, &case).unwrap();
        let flow = solution.joint(&stab).unwrap();
        let at_load = solution.at_load(&slot).unwrap().v();
        assert!(last.0 < flow.heat_w && at_load < last.1, "{milliohm} mΩ");
        last = (flow.heat_w, at_load);
    }
    // The bus-tap method sees it: an unloaded neighbour's load terminal against this one's.
    resistances.joints.insert(stab, 0.006);
    let bare = Case { loads: case.loads.iter().filter(|load| load.from == slot).cloned().collect(), ..case };
    let solution = solve(&installation, &resistances, &bare).unwrap();
    let tap = Place::Load(Slot::new(PanelId::new("main"), Space::whole(1)));
    let current = solution.flow(&physics::electrical::Piece::Load(0)).unwrap().current_a.norm_sqr().sqrt();
    let seen = solution.between(&tap, &Place::Load(slot.clone())).unwrap().v() / current;
    let pole = resistances.poles[&slot];
    let bus = 2.0 * resistances.bus_per_row[&PanelId::new("main")];
    assert!((seen - (0.006 + pole + bus)).abs() < 1e-9, "{seen} {pole}");
}

/// An open joint leaves its circuit dead, and a place on it shows the neutral's voltage through the load.
#[test]
fn an_open_clip_kills_its_circuit() {
    let wish = Wish {
        system: System::SplitPhase,
        rows: 4,
        split: false,
        sub: false,
        doubles: vec![false],
        sizes: vec![(20.0, 0.0, false)],
        scale: vec![0.0],
        broken_neutral: false,
    };
    let (installation, mut resistances, case, _) = solved(&wish);
    let slot = Slot::new(PanelId::new("main"), Space::whole(3));
    resistances.joints.insert(JointId::Stab(slot.clone()), f64::INFINITY);
    let solution = solve(&installation, &resistances, &case).unwrap();
    assert!(solution.joint(&JointId::Stab(slot.clone())).is_none());
    assert!(solution.at_load(&slot).unwrap().v() < 1e-9);
    let terminal = solution.joint(&JointId::Terminal(slot)).unwrap();
    assert_eq!(terminal.current_a, Complex::new(0.0, 0.0));
}
