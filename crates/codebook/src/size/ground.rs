//! Grounded conductor, bonding jumpers, electrode conductor, equipment grounding conductor.

use super::ampacity::{Conditions, Load, conductor, metal_word};
use super::result::{NoSize, Sized, within};
use crate::law::Law;
use crate::load::sheet_parts::{input, ruled, working};
use crate::rule;
use model::conductor::{Metal, WireSize};

/// The ungrounded conductors of the service.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ungrounded {
    /// Size of one.
    pub size: WireSize,
    /// Metal.
    pub metal: Metal,
    /// Conductors in parallel for each leg.
    pub n_parallel: u32,
}

impl Ungrounded {
    /// Area of one leg, kcmil.
    pub fn kcmil(&self) -> f64 {
        self.size.circular_mils() * f64::from(self.n_parallel) / 1000.0
    }
}

/// Where the electrode conductor goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Electrode {
    /// To a water pipe, building steel, or several kinds.
    General,
    /// To rods, pipes or plates only.
    RodPipePlate,
    /// To a concrete-encased electrode only.
    ConcreteEncased,
}

impl Electrode {
    /// All of them.
    pub const ALL: [Electrode; 3] = [Electrode::General, Electrode::RodPipePlate, Electrode::ConcreteEncased];

    /// Where it goes, in words.
    pub const fn words(self) -> &'static str {
        match self {
            Electrode::General => "to a water pipe or several electrodes",
            Electrode::RodPipePlate => "to rods, pipes or plates alone",
            Electrode::ConcreteEncased => "to a concrete-encased electrode alone",
        }
    }
}

fn row_of<'l>(law: &'l Law<'_>, service: Ungrounded) -> Result<&'l crate::table::ElectrodeRow, NoSize> {
    within("conductors in parallel", f64::from(service.n_parallel), "", (1.0, 12.0))?;
    let area = service.kcmil();
    law.tables()
        .electrode
        .iter()
        .find(|row| {
            let upto = if service.metal == Metal::Copper { row.upto_cu_kcmil } else { row.upto_al_kcmil };
            // The bounds are the printed areas; a millionth is rounding.
            upto.is_none_or(|upto| area <= upto * 1.000_001)
        })
        .ok_or(NoSize::NotInTable { table: "the electrode table", what: format!("{area:.0} kcmil") })
}

fn describe(service: Ungrounded) -> String {
    format!(
        "{} × {} {}, {:.1} kcmil a leg",
        service.n_parallel,
        service.size,
        metal_word(service.metal),
        service.kcmil()
    )
}

/// The grounding electrode conductor.
pub fn electrode_conductor(
    law: &Law<'_>,
    service: Ungrounded,
    metal: Metal,
    electrode: Electrode,
) -> Result<Sized<WireSize>, NoSize> {
    let ruling = law.word(rule::ELECTRODE_CONDUCTOR)?;
    let row = row_of(law, service)?;
    let mut size = if metal == Metal::Copper { row.cu } else { row.al };
    let mut inputs = vec![
        input("", "largest ungrounded conductors", describe(service), "service"),
        ruled("", "row of the table", size.to_string(), &ruling),
    ];
    let cap_rule = match electrode {
        Electrode::General => None,
        Electrode::RodPipePlate => Some((rule::ELECTRODE_CONDUCTOR_ROD, 6, 4)),
        Electrode::ConcreteEncased => Some((rule::ELECTRODE_CONDUCTOR_ENCASED, 4, 2)),
    };
    if let Some((id, _, aluminium)) = cap_rule {
        let cap = law.number(id)?;
        let gauge = if metal == Metal::Copper { cap.value as u8 } else { aluminium };
        let cap_size = WireSize::Awg(gauge);
        inputs.push(ruled("", "not asked for larger than", cap_size.to_string(), &cap));
        if cap_size.circular_mils() < size.circular_mils() {
            size = cap_size;
        }
    }
    // Each has its own heading: a sheet has several of them one below the other.
    let title = format!(
        "grounding electrode conductor {}, {} service conductors",
        electrode.words(),
        metal_word(service.metal)
    );
    let told = working(
        &title,
        metal_word(metal),
        "row by the area of the ungrounded conductors, with the cap of the electrode",
        inputs,
        size.to_string(),
        "parallel conductors by the sum of their areas",
        ruling.cite(),
    );
    let sized = Sized::new(size, told);
    Ok(if size == WireSize::Awg(8) {
        sized.noting(
            "grounding electrode conductor",
            "8 AWG must be in a raceway or armour; 6 AWG may run exposed",
        )
    } else {
        sized
    })
}

/// The main or supply-side bonding jumper, which is also the least grounded service conductor.
pub fn bonding_jumper(law: &Law<'_>, service: Ungrounded, metal: Metal) -> Result<Sized<WireSize>, NoSize> {
    let ruling = law.word(rule::BONDING_JUMPER)?;
    let percent = law.number(rule::BONDING_JUMPER_PERCENT)?;
    let last = if service.metal == Metal::Copper { 1100.0 } else { 1750.0 };
    let area = service.kcmil();
    let (size, how) = if area <= last * 1.000_001 {
        let row = row_of(law, service)?;
        (if metal == Metal::Copper { row.cu } else { row.al }, "row of the table".to_owned())
    } else {
        let needed = area * percent.value / 100.0;
        let size = by_area(law, needed)?;
        (size, format!("{} % of {area:.0} kcmil is {needed:.1} kcmil", percent.value))
    };
    let told = working(
        "bonding jumper",
        metal_word(metal),
        "row by the area of the ungrounded conductors; above the table a part of that area",
        vec![
            input("", "ungrounded conductors", describe(service), "service"),
            ruled("", "largest area of the table", format!("{last:.0} kcmil"), &ruling),
            ruled("k", "above it", how, &percent),
        ],
        size.to_string(),
        "conductors and jumper of the same metal above the table, or compared as if they were",
        ruling.cite(),
    );
    Ok(Sized::new(size, told))
}

fn by_area(law: &Law<'_>, kcmil: f64) -> Result<WireSize, NoSize> {
    law.tables()
        .conductors
        .iter()
        .find(|row| kcmil * 1000.0 <= row.cmil * 1.000_001)
        .map(|row| row.size)
        .ok_or(NoSize::NotInTable { table: "the table of conductors", what: format!("{kcmil:.0} kcmil") })
}

/// The grounded service conductor: for the neutral load, and not below the floor for fault current.
pub fn grounded_conductor(
    law: &Law<'_>,
    service: Ungrounded,
    neutral_a: f64,
    conditions: &Conditions,
) -> Result<Sized<WireSize>, NoSize> {
    let by_load = conductor(law, Load { noncontinuous_a: neutral_a, continuous_a: 0.0 }, conditions)?;
    let floor = bonding_jumper(law, service, conditions.metal)?;
    let size =
        if by_load.value.circular_mils() < floor.value.circular_mils() { floor.value } else { by_load.value };
    let cite = law.word(rule::BONDING_JUMPER)?.cite();
    let told = working(
        "grounded service conductor",
        metal_word(conditions.metal),
        "larger of the conductor for the neutral load and the floor",
        vec![
            input("I_N", "neutral load", format!("{neutral_a:.1} A"), "load calculation"),
            input("", "for the load", by_load.value.to_string(), "its own working"),
            input("", "floor", floor.value.to_string(), "its own working"),
        ],
        size.to_string(),
        "not required larger than the ungrounded conductors",
        cite,
    );
    let mut workings = vec![told];
    workings.extend(by_load.workings);
    workings.extend(floor.workings);
    Ok(Sized { value: size, workings, notes: by_load.notes })
}

/// The equipment grounding conductor for an overcurrent device. `circuit` is the ungrounded conductor, `least` the one
/// that the circuit would need; where it was taken larger, the ground grows in proportion.
pub fn equipment_ground(
    law: &Law<'_>,
    device_a: f64,
    metal: Metal,
    circuit: WireSize,
    least: WireSize,
) -> Result<Sized<WireSize>, NoSize> {
    let ruling = law.word(rule::EQUIPMENT_GROUND)?;
    within("rating", device_a, "A", (1.0, 1200.0))?;
    let row = law.tables().equipment_ground.iter().find(|row| device_a <= row.upto_a).ok_or(
        NoSize::NotInTable { table: "the table of equipment grounds", what: format!("{device_a} A") },
    )?;
    let table = if metal == Metal::Copper { row.cu } else { row.al };
    let growth = circuit.circular_mils() / least.circular_mils();
    let grown = if 1.0 < growth { by_area(law, table.circular_mils() * growth / 1000.0)? } else { table };
    // Never asked for larger than the circuit's own conductors.
    let size = if circuit.circular_mils() < grown.circular_mils() { circuit } else { grown };
    let told = working(
        "equipment grounding conductor",
        metal_word(metal),
        "row by the overcurrent device, in proportion where the circuit was taken larger",
        vec![
            input("I", "overcurrent device", format!("{device_a:.0} A"), "chosen"),
            ruled("", "row of the table", table.to_string(), &ruling),
            input("", "growth of the circuit conductors", format!("{growth:.2}"), "areas"),
        ],
        size.to_string(),
        "not larger than the circuit conductors; growth for heat or bundling does not count",
        ruling.cite(),
    );
    Ok(Sized::new(size, told))
}
