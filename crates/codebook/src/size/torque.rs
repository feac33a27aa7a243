//! Torque where neither marking nor instruction gives one.

use super::result::{NoSize, Sized};
use crate::law::Law;
use crate::load::sheet_parts::{input, ruled, working};
use crate::rule;
use model::conductor::WireSize;

/// Kind of the screw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fastener {
    /// Slotted, up to 0.047 in wide and 1/4 in long.
    SlotSmall,
    /// Slotted, larger.
    SlotLarge,
    /// Hex head of a split-bolt connector.
    HexSplitBolt,
    /// Hex head of another connector.
    HexOther,
}

impl Fastener {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Fastener::SlotSmall => "slotted, up to 0.047 in wide and 1/4 in long",
            Fastener::SlotLarge => "slotted, larger than 0.047 in wide or 1/4 in long",
            Fastener::HexSplitBolt => "hex, of a split-bolt connector",
            Fastener::HexOther => "hex, of another connector than a split bolt",
        }
    }
}

/// Newton metres of a pound-inch, exactly by the definitions of pound and inch.
const NM_PER_LB_IN: f64 = 0.112_984_829_027_616_7;

/// The torque for a conductor, lb-in. The marked value always governs; this is for a label that is gone.
pub fn torque(law: &Law<'_>, size: WireSize, fastener: Fastener) -> Result<Sized<f64>, NoSize> {
    let ruling = law.word(rule::TORQUE_TABLE)?;
    let row = law.tables().torque.iter().find(|row| size.circular_mils() <= row.upto.circular_mils());
    let value = row.and_then(|row| match fastener {
        Fastener::SlotSmall => row.slot_small,
        Fastener::SlotLarge => row.slot_large,
        Fastener::HexSplitBolt => Some(row.hex_split_bolt),
        Fastener::HexOther => Some(row.hex_other),
    });
    let Some(value) = value else {
        return Err(NoSize::NotInTable {
            table: "the torque table",
            what: format!("{size} with a screw {}", fastener.words()),
        });
    };
    let told = working(
        "torque",
        &size.to_string(),
        "row of the table by size and screw",
        vec![
            input("", "conductor", size.to_string(), "seen"),
            ruled("", "screw", fastener.words().to_owned(), &ruling),
        ],
        format!("{value:.0} lb-in, {:.1} N·m", value * NM_PER_LB_IN),
        "only where the equipment's mark and instructions are gone; never tighten aluminium again as a routine",
        ruling.cite(),
    );
    let sized = Sized::new(value, told);
    Ok(match law.maybe_word(rule::TORQUE_TOOL)? {
        Some(tool) => {
            sized.noting("torque", format!("tool: {} ({})", tool.value.replace('-', " "), tool.cite()))
        }
        None => sized,
    })
}
