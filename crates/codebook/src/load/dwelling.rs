//! What is put in: the dwelling, its circuits and its appliances. What is not known is `None` and is asked.

use super::blocked::{BadInput, Question};
use super::print;
use crate::law::Law;
use crate::rule;
use crate::table::Tables;
use model::System;

pub use model::dwelling::{Item, Managed, Rating, Status, Use, Wires};

/// Volt-amperes of a nameplate, to a millionth, so that the unit of entry does not show in the last bit.
pub(crate) fn va(rating: &Rating, tables: &Tables, subject: &str) -> Result<f64, BadInput> {
    let va = match rating {
        Rating::Va(va) => *va,
        Rating::Kw(kw) => kw * 1000.0,
        Rating::Amps { amps, volts } => amps * volts,
        Rating::Hp { hp, volts } => {
            let row = tables.motors.iter().find(|row| row.hp == hp.trim());
            let amps = match row {
                Some(row) if *volts == 115.0 => row.a_115v,
                Some(row) if *volts == 230.0 => row.a_230v,
                _ => {
                    let (subject, hp) = (subject.to_owned(), hp.clone());
                    return Err(BadInput::Motor { subject, hp, volts: *volts });
                }
            };
            amps * volts
        }
    };
    let (least, most) = (0.0, 100_000.0);
    if !(least..=most).contains(&va) {
        return Err(BadInput::Range { subject: subject.to_owned(), value: va, unit: "VA", least, most });
    }
    Ok((va * 1e6).round() / 1e6)
}

/// A dwelling.
#[derive(Debug, Clone, PartialEq)]
pub struct Dwelling {
    /// Supply.
    pub system: System,
    /// Floor area by the outside dimensions, without open porches, garages and unfinished space.
    pub floor_ft2: Option<f64>,
    /// Unfinished space that could become habitable, no garage.
    pub adaptable_ft2: Option<f64>,
    /// Garage that could become habitable; asked where the edition speaks of it.
    pub adaptable_garage_ft2: Option<f64>,
    /// 20 A small-appliance circuits.
    pub small_appliance_circuits: Option<u32>,
    /// Laundry circuits; zero where the dwelling has no laundry of its own.
    pub laundry_circuits: Option<u32>,
    /// Appliances.
    pub items: Vec<Item>,
    /// Energy management groups.
    pub managed: Vec<Managed>,
}

impl Dwelling {
    /// A dwelling of which everything is still to be asked.
    pub fn unknown(system: System) -> Dwelling {
        Dwelling {
            system,
            floor_ft2: None,
            adaptable_ft2: None,
            adaptable_garage_ft2: None,
            small_appliance_circuits: None,
            laundry_circuits: None,
            items: vec![],
            managed: vec![],
        }
    }
}

/// An appliance with its figures.
#[derive(Debug, Clone)]
pub(crate) struct Load {
    pub(crate) name: String,
    pub(crate) kind: LoadKind,
    pub(crate) va: f64,
    pub(crate) label: String,
    pub(crate) wires: Wires,
    pub(crate) motor_va: f64,
    pub(crate) status: Status,
}

impl Load {
    /// Name, load, and the nameplate where it is told in another unit.
    pub(crate) fn told(&self) -> String {
        let va = print::va(self.va);
        if self.label.ends_with(" VA") {
            format!("{} {va}", self.name)
        } else {
            format!("{} {va} ({})", self.name, self.label)
        }
    }
}

/// What a load is, with nothing unknown left.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum LoadKind {
    Range,
    WallOven,
    Cooktop,
    Dryer,
    Appliance,
    Motor,
    Cooling,
    HeatPump { supplement_va: f64, together: bool },
    Heat { controls: u32 },
    StorageHeat,
    AirHandler,
    Ev,
}

impl LoadKind {
    pub(crate) fn is_cooking(self) -> bool {
        matches!(self, LoadKind::Range | LoadKind::WallOven | LoadKind::Cooktop)
    }

    pub(crate) fn is_hvac(self) -> bool {
        matches!(
            self,
            LoadKind::Cooling
                | LoadKind::HeatPump { .. }
                | LoadKind::Heat { .. }
                | LoadKind::StorageHeat
                | LoadKind::AirHandler
        )
    }
}

/// Everything known of a dwelling, or what is to be asked.
#[derive(Debug, Clone)]
pub(crate) struct Known {
    pub(crate) system: System,
    pub(crate) floor_ft2: f64,
    pub(crate) small_appliance: u32,
    pub(crate) laundry: u32,
    pub(crate) loads: Vec<Load>,
    pub(crate) groups: Vec<Group>,
    /// Dwelling units that it stands for; two in the two-family calculation.
    pub(crate) n_units: u32,
}

/// A managed group with its members taken out of the loads.
#[derive(Debug, Clone)]
pub(crate) struct Group {
    pub(crate) name: String,
    pub(crate) limit_a: f64,
    pub(crate) members: Vec<Load>,
}

pub(crate) fn load(
    item: &Item,
    law: &Law<'_>,
    questions: &mut Vec<Question>,
    bad: &mut Vec<BadInput>,
) -> Option<Load> {
    let name = item.name.clone();
    let mut figure = |rating: &Rating| match va(rating, law.tables(), &name) {
        Ok(va) => Some(va),
        Err(error) => {
            bad.push(error);
            None
        }
    };
    let va = match &item.rating {
        Some(rating) => figure(rating),
        None => {
            questions.push(Question::new(
                &name,
                "What does the nameplate say?",
                "its load is counted by nameplate",
            ));
            None
        }
    };
    let motor_va = item.motor.as_ref().and_then(&mut figure);
    let kind = match &item.kind {
        Use::Range => Some(LoadKind::Range),
        Use::WallOven => Some(LoadKind::WallOven),
        Use::Cooktop => Some(LoadKind::Cooktop),
        Use::Dryer => Some(LoadKind::Dryer),
        Use::Appliance => Some(LoadKind::Appliance),
        Use::Motor => Some(LoadKind::Motor),
        Use::Cooling => Some(LoadKind::Cooling),
        Use::StorageHeat => Some(LoadKind::StorageHeat),
        Use::AirHandler => Some(LoadKind::AirHandler),
        Use::Ev => Some(LoadKind::Ev),
        Use::Heat { controls: Some(controls) } => Some(LoadKind::Heat { controls: (*controls).max(1) }),
        Use::Heat { controls: None } => {
            questions.push(Question::new(
                &name,
                "How many separate controls has the heating? A central furnace is one.",
                "the optional method takes 65 % below four and 40 % from four",
            ));
            None
        }
        Use::HeatPump { supplement, together } => {
            let supplement_va = match supplement {
                Some(rating) => figure(rating),
                None => {
                    questions.push(Question::new(
                        &name,
                        "How large is the supplemental electric heat? Write 0 if there is none.",
                        "it is counted besides the compressor",
                    ));
                    None
                }
            };
            match (supplement_va, together) {
                (Some(va), None) if 0.0 < va => {
                    questions.push(Question::new(
                        &name,
                        "Can compressor and supplemental heat run together?",
                        "if a control keeps them apart the compressor need not be added",
                    ));
                    None
                }
                (Some(va), together) => {
                    Some(LoadKind::HeatPump { supplement_va: va, together: together.unwrap_or(false) })
                }
                (None, _) => None,
            }
        }
    };
    let wires = match (item.wires, &item.kind) {
        (Some(wires), _) => Some(wires),
        (None, Use::Range | Use::WallOven | Use::Cooktop | Use::Dryer) => Some(Wires::Both),
        (None, Use::Ev | Use::Heat { .. } | Use::StorageHeat | Use::HeatPump { .. }) => {
            Some(Wires::LineToLine)
        }
        (None, Use::Appliance | Use::Motor | Use::Cooling | Use::AirHandler) => {
            questions.push(Question::new(
                &name,
                "Is it 120 V, 240 V without neutral, or both?",
                "the neutral carries only what is connected to it",
            ));
            None
        }
    };
    let (va, kind, wires) = (va?, kind?, wires?);
    // The whole of a bare motor or compressor is a motor.
    let motor_va = match kind {
        LoadKind::Motor | LoadKind::Cooling | LoadKind::AirHandler | LoadKind::HeatPump { .. } => {
            motor_va.unwrap_or(va)
        }
        // So is an appliance that is told in horsepower.
        _ if matches!(item.rating, Some(Rating::Hp { .. })) => motor_va.unwrap_or(va),
        _ => motor_va.unwrap_or(0.0),
    };
    let mut label = item.rating.as_ref().map(Rating::label).unwrap_or_default();
    if matches!(item.rating, Some(Rating::Hp { .. }))
        && let Ok(table) = law.word(rule::MOTOR_FULL_LOAD)
    {
        label = format!("{label}, {}", table.cite());
    }
    Some(Load { name, kind, va, label, wires, motor_va, status: item.status })
}
