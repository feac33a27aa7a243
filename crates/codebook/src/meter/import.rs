//! What an import found: channels of readings with their units, and why a channel cannot be used.

use super::series::{Reading, Series};
use model::Note;

/// Direction of the energy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flow {
    /// Not said.
    Unspecified,
    /// Delivered to the house.
    Delivered,
    /// Fed back into the net.
    Reverse,
    /// Delivered less fed back.
    Net,
    /// Another code.
    Other(i32),
}

/// What a reading type says; `None` where the file does not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Known {
    /// Unit code.
    pub uom: Option<i32>,
    /// Power of ten of the value.
    pub power: i32,
    /// Length of an interval, s.
    pub interval_s: Option<u32>,
    /// Flow code.
    pub flow: Option<i32>,
    /// Accumulation code.
    pub accumulation: Option<i32>,
    /// Commodity code; 1 and 0 are electricity.
    pub commodity: Option<i32>,
}

/// Why a channel cannot be used.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Unusable {
    /// Gas, water and the like.
    #[error("usage point {usage_point} is not electricity (service kind {kind})")]
    NotElectricity {
        /// Usage point.
        usage_point: String,
        /// Kind or commodity code.
        kind: i32,
    },
    /// No unit.
    #[error("no reading type belongs to these readings: their unit is unknown")]
    NoUnit,
    /// Several units and no link.
    #[error("{n} reading types are there and none is linked to these readings: their unit is unknown")]
    ManyUnits {
        /// How many.
        n: usize,
    },
    /// Not energy and not power.
    #[error("the unit code {uom} is neither energy in Wh (72) nor power in W (38)")]
    Unit {
        /// Code.
        uom: i32,
    },
    /// Meter registers, not intervals.
    #[error("the readings are meter registers (accumulation {code}), not the energy of each interval")]
    Register {
        /// Code.
        code: i32,
    },
    /// A power of ten that no meter uses.
    #[error("the power of ten {power} cannot be")]
    Power {
        /// Power.
        power: i32,
    },
    /// Nothing in it.
    #[error("there are no readings")]
    Empty,
}

/// Several channels are there, and a person must say which; they are never added.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{} channels have readings; choose one: {}", labels.len(), labels.join("; "))]
pub struct WhichChannel {
    /// What tells them apart.
    pub labels: Vec<String>,
}

/// Readings of one meter reading of one usage point.
#[derive(Debug, Clone, PartialEq)]
pub struct Channel {
    /// Usage point by its number in the file, not by any address.
    pub usage_point: String,
    /// What tells it from the others.
    pub label: String,
    /// Flow.
    pub flow: Flow,
    /// Cleaned readings, or why they cannot be used.
    pub series: Result<Series, Unusable>,
}

/// What a file held.
#[derive(Debug, Clone, PartialEq)]
pub struct Import {
    /// Channels with readings.
    pub channels: Vec<Channel>,
    /// Offset of local time that the file states, s; wrong or missing in many files, so a person may choose another.
    pub offset_s: Option<i32>,
    /// Remarks.
    pub notes: Vec<Note>,
}

impl Import {
    /// The channel, if there is only one.
    pub fn only(&self) -> Result<&Channel, WhichChannel> {
        match self.channels.as_slice() {
            [one] => Ok(one),
            many => Err(WhichChannel { labels: many.iter().map(|channel| channel.label.clone()).collect() }),
        }
    }

    /// Does any channel show energy that the house fed back?
    pub fn shows_generation(&self) -> bool {
        self.channels.iter().any(|channel| {
            matches!(channel.flow, Flow::Reverse | Flow::Net)
                || channel
                    .series
                    .as_ref()
                    .is_ok_and(|series| series.readings.iter().any(|reading| reading.wh < 0.0))
        })
    }
}

/// Raw readings before their unit is known.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Raw {
    pub(crate) start_s: i64,
    /// `None` where the reading gives no length of its own.
    pub(crate) seconds: Option<u32>,
    pub(crate) value: f64,
    pub(crate) quality: u8,
}

pub(crate) fn flow(code: Option<i32>) -> Flow {
    match code {
        None | Some(0) => Flow::Unspecified,
        Some(1) => Flow::Delivered,
        Some(19) => Flow::Reverse,
        Some(4) => Flow::Net,
        Some(other) => Flow::Other(other),
    }
}

/// Readings with their unit, or why not; warnings go to the notes.
pub(crate) fn scaled(raw: Vec<Raw>, known: &Known, notes: &mut Vec<Note>) -> Result<Vec<Reading>, Unusable> {
    if raw.is_empty() {
        return Err(Unusable::Empty);
    }
    let uom = known.uom.ok_or(Unusable::NoUnit)?;
    match known.accumulation {
        Some(code @ (1 | 3)) => return Err(Unusable::Register { code }),
        Some(code @ (0 | 2)) => notes.push(Note::new(
            "meter data",
            format!(
                "accumulation code {code} stands on interval energy; taken as the energy of each interval"
            ),
        )),
        _ => {}
    }
    if !(-6..=6).contains(&known.power) {
        return Err(Unusable::Power { power: known.power });
    }
    let scale = libm::pow(10.0, f64::from(known.power));
    raw.into_iter()
        .map(|raw| {
            let seconds = raw.seconds.or(known.interval_s).unwrap_or(0);
            let value = raw.value * scale;
            let wh = match uom {
                72 => value,
                38 => value * f64::from(seconds) / 3600.0,
                uom => return Err(Unusable::Unit { uom }),
            };
            Ok(Reading { start_s: raw.start_s, seconds, wh, quality: raw.quality })
        })
        .collect()
}
