//! What a layout of a new panel would carry and warm up to, by the networks of the diagnosis: currents of legs and
//! neutral, hottest faces and terminals. The new parts are taken as sound.

use crate::moving::heat::add_trunk;
use model::installation::Installation;
use model::panel::Panel;
use model::place::Place;
use model::{JointId, Leg, Slot, Space};
use physics::electrical::{Case, Draw, Load, LoadEnd, Resistances, solve};
use physics::limits::{Item, limit};
use physics::thermal::{Knobs, PanelNetwork, Source};
use std::collections::BTreeMap;

const ZERO_C_K: f64 = 273.15;
/// Room, °C: the ambient for which breakers are rated. Judgement for a layout.
const ROOM_C: f64 = 25.0;

/// What the networks say of one load state.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// Current of each leg at the line side, A.
    pub legs_a: Vec<(Leg, f64)>,
    /// Current of the neutral at its lug, A.
    pub neutral_a: f64,
    /// Temperatures, or why there are none.
    pub heat: Result<Warmth, String>,
    /// What was assumed.
    pub assumed: Vec<String>,
}

/// Steady temperatures, °C.
#[derive(Debug, Clone, PartialEq)]
pub struct Warmth {
    /// Room air.
    pub room_c: f64,
    /// The hottest face, and its space.
    pub face: (Space, f64),
    /// The hottest load terminal, and its space.
    pub terminal: (Space, f64),
    /// Highest that the limit allows a load terminal in that room.
    pub limit_c: f64,
}

/// Solves the new panel for the currents of its poles, given per space in A.
///
/// # Errors
/// The network has no answer for it: why.
pub fn forecast(
    installation: &Installation,
    panel: &Panel,
    amps: &BTreeMap<Space, f64>,
) -> Result<Forecast, String> {
    let alone = Installation { service: installation.service.clone(), panels: vec![panel.clone()] };
    let (resistances, _) = Resistances::sound(&alone);
    let solution = solve(&alone, &resistances, &Case::with_loads(loads(panel, amps)))
        .map_err(|error| error.to_string())?;
    let size = |current: physics::electrical::Complex<f64>| {
        (current.re * current.re + current.im * current.im).sqrt()
    };
    let legs_a =
        panel.system.legs().iter().map(|&leg| (leg, size(solution.leg_current(&panel.id, leg)))).collect();
    let assumed = vec![
        format!(
            "{ROOM_C:.0} °C in the room, every joint sound, currents held until nothing warms up any more"
        ),
        "resistances of new breakers and lugs as in the diagnosis".to_owned(),
    ];
    Ok(Forecast {
        legs_a,
        neutral_a: size(solution.neutral_current(&panel.id)),
        heat: warmth(&alone, panel, amps, &resistances),
        assumed,
    })
}

/// One load from each pole to the neutral, or between the poles of a breaker as far as both carry the same.
fn loads(panel: &Panel, amps: &BTreeMap<Space, f64>) -> Vec<Load> {
    let of = |space: &Space| amps.get(space).copied().unwrap_or(0.0);
    let mut all = Vec::new();
    for breaker in &panel.breakers {
        let slot = |space: Space| Slot::new(panel.id.clone(), space);
        let common = match breaker.spaces.as_slice() {
            [one, other] => of(one).min(of(other)),
            _ => 0.0,
        };
        if let ([one, other], true) = (breaker.spaces.as_slice(), 0.0 < common) {
            let draw = Draw::amperes(common);
            all.push(Load { from: slot(*one), to: LoadEnd::Pole(slot(*other)), draw });
        }
        for &space in &breaker.spaces {
            let rest = of(&space) - common;
            if 0.0 < rest {
                all.push(Load { from: slot(space), to: LoadEnd::Neutral, draw: Draw::amperes(rest) });
            }
        }
    }
    all
}

fn warmth(
    alone: &Installation,
    panel: &Panel,
    amps: &BTreeMap<Space, f64>,
    resistances: &Resistances,
) -> Result<Warmth, String> {
    let network = PanelNetwork::new(alone, panel, &Knobs::default());
    let mut heat_w = network.idle_heat();
    let joint = |joint: JointId| resistances.joints.get(&joint).copied().unwrap_or(0.0);
    for space in panel.breakers.iter().flat_map(|breaker| breaker.spaces.iter().copied()) {
        let slot = Slot::new(panel.id.clone(), space);
        let square = amps.get(&space).map_or(0.0, |current| current * current);
        let pole = resistances.poles.get(&slot).copied().unwrap_or(0.0);
        let terminal = joint(JointId::Terminal(slot.clone())) + network.wire_ohm(space);
        network.add_heat(&mut heat_w, &Source::Stab(space), square * joint(JointId::Stab(slot)));
        network.add_heat(&mut heat_w, &Source::Pole(space), square * pole);
        network.add_heat(&mut heat_w, &Source::Terminal(space), square * terminal);
    }
    add_trunk(panel, amps, &network, resistances, &mut heat_w);
    let mut network = network;
    let solution = network
        .solve(&heat_w, ROOM_C + ZERO_C_K, None)
        .map_err(|error| format!("no temperature: {error}"))?;
    let hottest = |place: fn(Slot) -> Place| {
        panel
            .breakers
            .iter()
            .flat_map(|breaker| breaker.spaces.iter().copied())
            .filter_map(|space| {
                let node = network.node_of(&place(Slot::new(panel.id.clone(), space)))?;
                Some((space, solution.temperature_k[node] - ZERO_C_K))
            })
            .max_by(|a, b| a.1.total_cmp(&b.1))
    };
    let missing = || "no temperature: the panel has no breaker".to_owned();
    let (face, terminal) =
        (hottest(Place::Face).ok_or_else(missing)?, hottest(Place::Load).ok_or_else(missing)?);
    let standard = limit(Item::Ul489TerminalStandard);
    let limit_c = standard
        .value
        .highest(model::Temperature::from_c(ROOM_C))
        .map_err(|error| format!("no limit: {error}"))?
        .c();
    Ok(Warmth { room_c: ROOM_C, face, terminal, limit_c })
}
