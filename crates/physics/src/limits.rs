//! Temperature limits that product standards set, each with its source and how far it was checked.

use crate::cited::Cited;
use crate::range::{OutOfRange, within};
use crate::table::{self, Word};
use model::{Cite, Temperature};

/// Parts with a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Item {
    /// UL 489: terminal of a standard-rated breaker.
    #[serde(rename = "ul489_terminal_standard")]
    Ul489TerminalStandard,
    /// UL 489: terminal of a breaker rated for 100 % of its current.
    #[serde(rename = "ul489_terminal_full_rated")]
    Ul489TerminalFullRated,
    /// UL 489: metal handle or knob.
    #[serde(rename = "ul489_handle_metal")]
    Ul489HandleMetal,
    /// UL 489: non-metal handle or knob.
    #[serde(rename = "ul489_handle_nonmetal")]
    Ul489HandleNonmetal,
    /// UL 67: wire terminal of a panelboard.
    #[serde(rename = "ul67_wire_terminal")]
    Ul67WireTerminal,
    /// UL 67: bus bars and their connections.
    #[serde(rename = "ul67_bus")]
    Ul67Bus,
    /// IEC 61439-1: terminals for external conductors.
    #[serde(rename = "iec61439_terminal")]
    Iec61439Terminal,
    /// IEC 61439-1: metal operating means.
    #[serde(rename = "iec61439_operator_metal")]
    Iec61439OperatorMetal,
    /// IEC 61439-1: insulating operating means.
    #[serde(rename = "iec61439_operator_insulating")]
    Iec61439OperatorInsulating,
    /// IEC 61439-1: accessible metal enclosure.
    #[serde(rename = "iec61439_enclosure_metal")]
    Iec61439EnclosureMetal,
    /// IEC 61439-1: accessible insulating enclosure.
    #[serde(rename = "iec61439_enclosure_insulating")]
    Iec61439EnclosureInsulating,
    /// IEC 60898-1: terminals.
    #[serde(rename = "iec60898_terminal")]
    Iec60898Terminal,
    /// IEC 60898-1: operating parts.
    #[serde(rename = "iec60898_operator")]
    Iec60898Operator,
    /// IEC 60898-1: other accessible parts.
    #[serde(rename = "iec60898_other")]
    Iec60898Other,
}

/// A limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// Over the surrounding air, K.
    Rise(f64),
    /// Absolute.
    Maximum(Temperature),
}

impl Limit {
    /// The highest temperature the limit allows with the air at a temperature.
    pub fn highest(self, air: Temperature) -> Result<Temperature, OutOfRange> {
        let air_c = within("air", air.c(), "°C", (-40.0, 60.0), "rooms and weather")?;
        Ok(match self {
            Limit::Rise(rise_k) => Temperature::from_c(air_c + rise_k),
            Limit::Maximum(temperature) => temperature,
        })
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
enum Kind {
    Rise,
    Maximum,
}

#[derive(Debug, serde::Deserialize)]
struct Row {
    item: Item,
    kind: Kind,
    value: f64,
    standing: Word,
    document: String,
    place: String,
}

/// All limits in the order of the table.
///
/// ```text
/// a table: data/temperature_limits.csv
/// ```
///
/// | symbol | here     | meaning      | unit    |
/// |--------|----------|--------------|---------|
/// | –      | returned | item, limit  | K or °C |
///
/// - **Source:** columns of the table; those from memory carry `Standing::FromMemory` and are no facts to print.
/// - **Valid:** new products in their type test. A part within its limit may still hide a bad joint.
/// - **Checked:** `tests/reference/tests/physics/limits.rs`.
pub fn all() -> Vec<(Item, Cited<Limit>)> {
    table::rows::<Row>(include_str!("../data/temperature_limits.csv"))
        .into_iter()
        .map(|row| {
            let value = match row.kind {
                Kind::Rise => Limit::Rise(row.value),
                Kind::Maximum => Limit::Maximum(Temperature::from_c(row.value)),
            };
            (row.item, Cited::new(value, Cite::new(row.document, row.place, row.standing.standing())))
        })
        .collect()
}

/// The limit of one item.
///
/// ```text
/// a table: data/temperature_limits.csv
/// ```
///
/// | symbol | here   | meaning | unit |
/// |--------|--------|---------|------|
/// | –      | `item` | which   | –    |
///
/// - **Source:** as [`all`].
/// - **Valid:** as [`all`].
/// - **Checked:** `tests/reference/tests/physics/limits.rs`.
pub fn limit(item: Item) -> Cited<Limit> {
    all()
        .into_iter()
        .find(|(named, _)| *named == item)
        .map(|(_, limit)| limit)
        .expect("a test checks that every item has a row")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_item_has_one_row() {
        let mut items: Vec<Item> = all().into_iter().map(|(item, _)| item).collect();
        assert_eq!(items.len(), 14);
        items.sort();
        items.dedup();
        assert_eq!(items.len(), 14);
        assert_eq!(limit(Item::Iec60898Other).cite.standing, model::Standing::FromMemory);
    }
}
