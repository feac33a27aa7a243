//! Ampacity of a conductor where it lies, and the smallest conductor for a load.

use super::result::{NoSize, Sized, within};
use crate::law::Law;
use crate::load::sheet_parts::{input, ruled, working};
use crate::rule;
use crate::table::Column;
use model::conductor::{Metal, WireSize};

/// Where and how a conductor lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Conditions {
    /// Metal.
    pub metal: Metal,
    /// Temperature of its insulation.
    pub insulation: Column,
    /// Temperature that all terminals are marked for; `None` where they are not marked.
    pub terminals: Option<Column>,
    /// Air around it, °C.
    pub ambient_c: f64,
    /// Current-carrying conductors together; a neutral that carries only the unbalance does not count.
    pub n_carrying: u32,
    /// Nonmetallic-sheathed cable: its own temperature limit holds.
    pub nonmetallic_cable: bool,
}

impl Conditions {
    /// Three conductors or fewer at 30 °C, 75 °C insulation and terminals.
    pub fn plain(metal: Metal) -> Conditions {
        Conditions {
            metal,
            insulation: Column::C75,
            terminals: Some(Column::C75),
            ambient_c: 30.0,
            n_carrying: 3,
            nonmetallic_cable: false,
        }
    }

    /// Does any factor lower the ampacity?
    pub fn is_corrected(&self) -> bool {
        30.0 < self.ambient_c || 3 < self.n_carrying
    }
}

/// A load on a conductor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Current that does not run for three hours, A.
    pub noncontinuous_a: f64,
    /// Current that does, A.
    pub continuous_a: f64,
}

fn table(law: &Law<'_>, size: WireSize, metal: Metal, column: Column) -> Result<f64, NoSize> {
    let variant = law.word(rule::AMPACITY)?;
    law.tables()
        .ampacity
        .iter()
        .find(|row| row.variant == variant.value && row.size == size)
        .and_then(|row| row.amps(metal, column))
        .ok_or_else(|| NoSize::NotInTable {
            table: "the ampacity table",
            what: format!("{size} {} at {} °C", metal_word(metal), column.celsius()),
        })
}

pub(crate) fn metal_word(metal: Metal) -> &'static str {
    match metal {
        Metal::Copper => "copper",
        Metal::Aluminium => "aluminium",
        Metal::CopperCladAluminium => "copper-clad aluminium",
    }
}

/// The column that the terminals allow.
fn terminal_column(conditions: &Conditions, size: WireSize, circuit_a: f64) -> Column {
    let small = circuit_a <= 100.0 || size.circular_mils() <= WireSize::Awg(1).circular_mils();
    let marked = match (conditions.terminals, small) {
        (Some(column), _) => column,
        (None, true) => Column::C60,
        (None, false) => Column::C75,
    };
    // No terminal of this gear is used above 75 °C, whatever the mark of one end.
    let marked = marked.min(Column::C75);
    if conditions.nonmetallic_cable { marked.min(Column::C60) } else { marked }
}

/// The ampacity of a conductor of a circuit of this rating, as corrected, adjusted and limited by its terminals.
pub fn ampacity(
    law: &Law<'_>,
    size: WireSize,
    conditions: &Conditions,
    circuit_a: f64,
) -> Result<Sized<f64>, NoSize> {
    let ambient_c = within("ambient", conditions.ambient_c, "°C", (-20.0, 85.0))?;
    within("conductors together", f64::from(conditions.n_carrying), "", (1.0, 60.0))?;
    let variant = law.word(rule::AMPACITY)?;
    let correction = law.word(rule::AMPACITY_AMBIENT)?;
    let adjustment = law.word(rule::AMPACITY_BUNDLE)?;
    // Nonmetallic cable is corrected from 90 °C where its conductors have it, and limited to its own column.
    let column = conditions.insulation;
    let base = table(law, size, conditions.metal, column)?;
    let factor = law
        .tables()
        .ambient
        .iter()
        .filter(|row| row.variant == correction.value)
        .find(|row| ambient_c <= row.upto_c)
        .and_then(|row| row.factor(column))
        .ok_or_else(|| NoSize::NotInTable {
            table: "the table of ambient temperatures",
            what: format!("{ambient_c} °C with insulation of {} °C", column.celsius()),
        })?;
    let percent = law
        .tables()
        .bundle
        .iter()
        .find(|row| row.upto_n.is_none_or(|upto| conditions.n_carrying <= upto))
        .map_or(100.0, |row| row.percent);
    let corrected = base * factor * percent / 100.0;
    let terminal = terminal_column(conditions, size, circuit_a);
    let limit = table(law, size, conditions.metal, terminal)?;
    let amps = if limit < corrected { limit } else { corrected };
    let mut inputs = vec![];
    if conditions.nonmetallic_cable {
        let cable = law.number(rule::NONMETALLIC_CABLE)?;
        inputs.push(ruled("", "nonmetallic cable, held to", format!("{} °C", cable.value), &cable));
    }
    let told = working(
        "ampacity",
        &format!("{size} {}", metal_word(conditions.metal)),
        "I = min(I_0·F_t·F_n, I_terminal)",
        {
            inputs.extend([
                ruled("I_0", &format!("table, {} °C", column.celsius()), format!("{base:.0} A"), &variant),
                ruled("F_t", &format!("ambient of {ambient_c} °C"), format!("{factor}"), &correction),
                ruled(
                    "F_n",
                    &format!("{} conductors", conditions.n_carrying),
                    format!("{percent} %"),
                    &adjustment,
                ),
                ruled(
                    "I_terminal",
                    &format!("terminals at {} °C", terminal.celsius()),
                    format!("{limit:.0} A"),
                    &law.word(rule::TERMINALS)?,
                ),
            ]);
            inputs
        },
        format!("{amps:.1} A"),
        "raceway, cable or earth, up to 2000 V; not in free air",
        variant.cite(),
    );
    Ok(Sized::new(amps, told))
}

/// The smallest conductor for a load: with continuous current at its percentage before correction, and the load
/// itself after it.
pub fn conductor(law: &Law<'_>, load: Load, conditions: &Conditions) -> Result<Sized<WireSize>, NoSize> {
    within("noncontinuous load", load.noncontinuous_a, "A", (0.0, 600.0))?;
    within("continuous load", load.continuous_a, "A", (0.0, 600.0))?;
    let percent = law.number(rule::CONTINUOUS_PERCENT)?;
    let before = load.noncontinuous_a + load.continuous_a * percent.value / 100.0;
    let after = load.noncontinuous_a + load.continuous_a;
    for row in &law.tables().conductors {
        let Ok(limit) = table(law, row.size, conditions.metal, terminal_column(conditions, row.size, before))
        else {
            continue;
        };
        if limit < before {
            continue;
        }
        // A cell that is missing for this size is missing for good; the others go on.
        let Ok(corrected) = ampacity(law, row.size, conditions, before) else { continue };
        if corrected.value < after {
            continue;
        }
        let told = working(
            "smallest conductor",
            metal_word(conditions.metal),
            "I_terminal ≥ I_n + k·I_c before correction, and I ≥ I_n + I_c after it",
            vec![
                input("I_n", "noncontinuous", format!("{:.1} A", load.noncontinuous_a), "load calculation"),
                input("I_c", "continuous", format!("{:.1} A", load.continuous_a), "load calculation"),
                ruled("k", "continuous", format!("{} %", percent.value), &percent),
                input("I_terminal", "at the terminals", format!("{limit:.0} A"), "ampacity table"),
                input("I", "as corrected", format!("{:.1} A", corrected.value), "its own working"),
            ],
            row.size.to_string(),
            "one conductor a leg; feeders and branch circuits",
            percent.cite(),
        );
        let mut workings = vec![told];
        workings.extend(corrected.workings);
        return Ok(Sized { value: row.size, workings, notes: vec![] });
    }
    // Ask once more with the largest, so that what is missing in a table is told rather than hidden.
    let largest = law.tables().conductors.last().map_or(WireSize::Kcmil(600), |row| row.size);
    ampacity(law, largest, conditions, before)?;
    Err(NoSize::NotInTable { table: "the ampacity table", what: format!("{before:.0} A in one conductor") })
}
