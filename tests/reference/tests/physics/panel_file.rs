//! Reads the described panels of `fixtures/ngspice` into the model.

use model::breaker::{Attachment, Breaker, Circuit, Handle, LoadClass, Protection};
use model::conductor::Conductor;
use model::installation::Installation;
use model::joint::JointId;
use model::panel::{Bus, Cabinet, Feed, HalfWidth, Panel, Section};
use model::service::Service;
use model::{Current, Leg, PanelId, SectionId, Slot, Space, System};
use physics::electrical::{Case, Complex, Draw, Impedance, Load, LoadEnd, Resistances, Supply};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// A described panel with the other program's answers.
pub(super) struct Described {
    pub(super) installation: Installation,
    pub(super) resistances: Resistances,
    pub(super) case: Case,
    /// Kind, name, value.
    pub(super) answers: Vec<(String, String, Complex<f64>)>,
}

fn text(value: &Value) -> &str {
    value.as_str().expect("text")
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn ohm(value: &Value) -> f64 {
    match value.as_str() {
        Some("open") => f64::INFINITY,
        _ => value.as_f64().expect("a number of ohms"),
    }
}

fn ohms(value: &Value) -> Vec<f64> {
    list(value).iter().map(ohm).collect()
}

fn impedance(value: &Value) -> Impedance {
    Complex::new(ohm(&value[0]), ohm(&value[1]))
}

fn space(value: &Value) -> Space {
    text(value).parse().expect("a space")
}

fn slot(value: &Value) -> Slot {
    Slot::new(PanelId::new(text(&value[0])), space(&value[1]))
}

fn system(value: &Value) -> System {
    let names = [
        ("split-phase", System::SplitPhase),
        ("two-legs-of-wye", System::TwoLegsOfWye),
        ("three-phase-wye", System::ThreePhaseWye),
    ];
    names.iter().find(|(name, _)| *name == text(value)).expect("a known system").1
}

fn feed(value: &Value) -> Feed {
    if value.as_str() == Some("lugs") {
        Feed::ServiceLugs
    } else if let Some(rating) = value["main_breaker"].as_f64() {
        Feed::MainBreaker { rating: Current::from_a(rating) }
    } else {
        Feed::Breaker { slot: slot(&value["breaker"]) }
    }
}

fn breaker(value: &Value) -> Breaker {
    let circuit = (value["feeds_section"] != true).then(|| Circuit {
        feeds: "invented".into(),
        class: (value["spare"] == true).then_some(LoadClass::Spare),
        conductor: Conductor::default(),
        partner: value["partner"].as_str().map(|space| space.parse().expect("a space")),
        uses_neutral: Some(value["neutral_terminal"].is_number()),
        doubled: None,
    });
    Breaker {
        spaces: list(&value["spaces"]).iter().map(space).collect(),
        rating: Current::from_a(20.0),
        protection: Protection::ThermalMagnetic,
        attachment: Attachment::PlugOn,
        other_make: None,
        later: None,
        handle: Handle::On,
        circuit,
    }
}

fn panel(value: &Value) -> Panel {
    let sections = list(&value["sections"])
        .iter()
        .map(|section| Section {
            id: SectionId::new(text(&section["id"])),
            first_row: section["first_row"].as_u64().expect("a row") as u16,
            last_row: section["last_row"].as_u64().expect("a row") as u16,
            feed: feed(&section["feed"]),
            feeder: Conductor::default(),
        })
        .collect();
    Panel {
        id: PanelId::new(text(&value["id"])),
        place: "invented".into(),
        system: system(&value["system"]),
        n_spaces: value["n_spaces"].as_u64().expect("a number") as u16,
        n_columns: value["n_columns"].as_u64().expect("a number") as u8,
        first_leg: if text(&value["first_leg"]) == "A" { Leg::A } else { Leg::B },
        bus: Bus::default(),
        cabinet: Cabinet::default(),
        half_width: HalfWidth::Everywhere,
        year: None,
        moisture: None,
        sections,
        breakers: list(&value["breakers"]).iter().map(breaker).collect(),
    }
}

/// Resistances as described; what the description lacks stays out, so that a joint nobody described is an error.
fn resistances(value: &Value, installation: &Installation) -> Resistances {
    let supply = &value["supply"];
    let legs = |name: &str| list(&supply[name]).iter().map(impedance).collect();
    let mut all = Resistances {
        joints: BTreeMap::new(),
        poles: BTreeMap::new(),
        main_poles: BTreeMap::new(),
        bus_per_row: BTreeMap::new(),
        feeders: BTreeMap::new(),
        branches: BTreeMap::new(),
        supply: Supply {
            winding: impedance(&supply["winding"]),
            drop_legs: legs("drop_legs"),
            drop_neutral: impedance(&supply["drop_neutral"]),
            entrance_legs: legs("entrance_legs"),
            entrance_neutral: impedance(&supply["entrance_neutral"]),
            electrode_ohm: ohm(&supply["electrode"]),
            utility_electrode_ohm: ohm(&supply["utility_electrode"]),
            bonding_ohm: ohm(&supply["bonding"]),
        },
    };
    for (described, panel) in list(&value["panels"]).iter().zip(&installation.panels) {
        let id = &panel.id;
        all.bus_per_row.insert(id.clone(), ohm(&described["bus_per_row"]));
        all.joints.insert(JointId::NeutralLug(id.clone()), ohm(&described["neutral_lug"]));
        for (described, section) in list(&described["sections"]).iter().zip(&panel.sections) {
            let key = (id.clone(), section.id.clone());
            for (idx, &leg) in panel.system.legs().iter().enumerate() {
                let mut put = |joint, values: Vec<f64>| values.get(idx).map(|&r| all.joints.insert(joint, r));
                put(JointId::Lug(id.clone(), leg), ohms(&described["lugs"]));
                put(JointId::Feeder(id.clone(), section.id.clone(), leg), ohms(&described["feeder_joints"]));
                let main = ohms(&described["main_poles"]).get(idx).copied();
                main.map(|r| all.main_poles.insert((key.0.clone(), key.1.clone(), leg), r));
            }
            if described["feeder"].is_number() {
                all.feeders.insert(key, ohm(&described["feeder"]));
            }
        }
        for (described, breaker) in list(&described["breakers"]).iter().zip(&panel.breakers) {
            for (idx, &space) in breaker.spaces.iter().enumerate() {
                let slot = Slot::new(id.clone(), space);
                all.joints.insert(JointId::Stab(slot.clone()), ohms(&described["stabs"])[idx]);
                all.poles.insert(slot.clone(), ohms(&described["poles"])[idx]);
                if let Some(&terminal) = ohms(&described["terminals"]).get(idx) {
                    all.joints.insert(JointId::Terminal(slot.clone()), terminal);
                }
                if described["branch"].is_number() {
                    all.branches.insert(slot, ohm(&described["branch"]));
                }
            }
            if described["neutral_terminal"].is_number() {
                let first = Slot::new(id.clone(), breaker.spaces[0]);
                all.joints.insert(JointId::NeutralTerminal(first), ohm(&described["neutral_terminal"]));
            }
        }
    }
    all
}

fn load(value: &Value) -> Load {
    let to = match value["to"].as_str() {
        Some(_) => LoadEnd::Neutral,
        None => LoadEnd::Pole(slot(&value["to"])),
    };
    let draw = Draw::Impedance { ohm: ohm(&value["ohm"]), reactance_ohm: ohm(&value["x"]) };
    Load { from: slot(&value["from"]), to, draw }
}

/// Reads a description and its answers.
pub(super) fn read(name: &str) -> Described {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/ngspice");
    let file = |ending: &str| {
        fs::read_to_string(folder.join(format!("{name}.{ending}"))).expect("the fixture can be read")
    };
    let value: Value = serde_json::from_str(&file("json")).expect("a description in JSON");
    let installation = Installation {
        service: Service::default(),
        panels: list(&value["panels"]).iter().map(panel).collect(),
    };
    let resistances = resistances(&value, &installation);
    let case = Case {
        loads: list(&value["loads"]).iter().map(load).collect(),
        open: list(&value["open"]).iter().map(slot).collect::<BTreeSet<_>>(),
        source_v: value["source_v"].as_f64().expect("a voltage"),
    };
    let answers = file("csv")
        .lines()
        .skip(2)
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let part = |at: usize| cells[at].parse::<f64>().expect("a number");
            (cells[0].to_owned(), cells[1].to_owned(), Complex::new(part(2), part(3)))
        })
        .collect();
    Described { installation, resistances, case, answers }
}
