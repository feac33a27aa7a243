//! Bus bars with their fingers, and what feeds them: lugs, main breaker, feeder.

use super::cabinet::Frame;
use super::network::{Law, Network, Node};
use super::pole::{Surroundings, add_wire, fin_w_k, metal_data, to_air, wire_area_m2};
use super::source::{ALPHA_METAL, ALPHA_POLE, CONTACT_LIMIT_V, Carrier, Source};
use crate::sim::house::{Metal, SimFeed, SimPanel};
use crate::sim::truth::main_mohm;

/// Nodes of bus bar from one finger of a leg to the next.
pub(crate) const FINGER_NODES: usize = 3;
/// From one finger of a leg to the next: two rows of one inch.
const FINGER_PITCH_M: f64 = 0.0508;

/// Cross-section of a bus bar, m².
fn bus_area_m2(panel: &SimPanel) -> f64 {
    let copper = 10e-6 + 0.5e-6 * panel.bus_rating_a;
    if panel.bus == Metal::Aluminium { 1.3 * copper } else { copper }
}

/// Resistance of bus bar between neighbouring bus nodes at 20 °C, ohms.
pub(crate) fn segment_ohm(panel: &SimPanel) -> f64 {
    metal_data(panel.bus).1 * FINGER_PITCH_M / FINGER_NODES as f64 / bus_area_m2(panel)
}

/// Resistance of a finger from the bar to its tip at 20 °C, ohms.
pub(crate) const fn finger_ohm(panel: &SimPanel) -> f64 {
    match panel.bus {
        Metal::Copper => 0.015e-3,
        Metal::Aluminium => 0.025e-3,
    }
}

/// The bus of one section's leg.
#[derive(Debug, Clone)]
pub(crate) struct BusNodes {
    /// Where current comes in.
    pub(crate) head: Node,
    /// Finger tip of each row of the leg: (row, node).
    pub(crate) fingers: Vec<(u16, Node)>,
}

/// Adds the bar of one section's leg from its head at the top.
pub(crate) fn add_bus(
    network: &mut Network,
    sources: &mut Vec<Source>,
    panel: &SimPanel,
    frame: &Frame,
    section: usize,
    leg: usize,
) -> BusNodes {
    let (conductivity, _, capacity) = metal_data(panel.bus);
    let area = bus_area_m2(panel);
    let length = FINGER_PITCH_M / FINGER_NODES as f64;
    let along = Law::Conduction(conductivity * area / length);
    // A bar three millimetres thick: both broad sides, half of them behind breakers.
    let surface = 2.0 * area / 3.2e-3 * length;
    let rows = panel.sections[section].first_row..=panel.sections[section].last_row;
    let head = network.node(2.0 * capacity * area * length);
    let mut last = head;
    let mut fingers = Vec::new();
    for row in rows.filter(|&row| panel.leg_of_row(row) == leg) {
        let around = frame.around(panel, row);
        let mut root = last;
        for nth in 0..FINGER_NODES {
            let node = network.node(capacity * area * length);
            network.link(last, node, along);
            to_air(network, node, &around, 2.2 * surface * 0.7);
            network.link(node, around.back, Law::Radiation(0.25 * surface));
            let carrier = Carrier::Bus { section, leg, from_row: row };
            let ohm = segment_ohm(panel);
            sources.push(Source { carrier, ohm, alpha: ALPHA_METAL, most_v: None, into: [node, node] });
            if nth == FINGER_NODES / 2 {
                root = node;
                // The insulator that carries the bar.
                network.link(node, around.back, Law::Conduction(0.02));
            }
            last = node;
        }
        let finger = network.node(4.0);
        let neck = if panel.bus == Metal::Copper { 0.35 } else { 0.22 };
        network.link(root, finger, Law::Conduction(neck));
        fingers.push((row, finger));
    }
    BusNodes { head, fingers }
}

/// What the feed of a section adds: the wire at each lug, if it has lugs.
#[derive(Debug, Clone, Default)]
pub(crate) struct FeedNodes {
    /// (lug metal, first wire node) by leg.
    pub(crate) lugs: Option<[(Node, Node); 2]>,
}

/// Service or feeder conductor for a rating: area m². Aluminium, common practice sizes.
fn service_area_m2(rating_a: f64) -> f64 {
    match rating_a {
        rating if rating < 101.0 => 42.4e-6,
        rating if rating < 126.0 => 67.4e-6,
        rating if rating < 151.0 => 67.4e-6,
        _ => 107.2e-6,
    }
}

/// Adds what feeds a section: service wires, lugs, main breaker, or the wires of a feeding breaker.
/// `feeding` gives the terminal of the feeding breaker's pole by leg where it is in this panel.
pub(crate) fn add_feed(
    network: &mut Network,
    sources: &mut Vec<Source>,
    panel: &SimPanel,
    around: &Surroundings,
    (section, heads): (usize, [Node; 2]),
    feeding: Option<[Node; 2]>,
) -> FeedNodes {
    let place = &panel.sections[section];
    let joint = |leg: usize, mohm: f64, into: [Node; 2]| Source {
        carrier: Carrier::Section { section, leg },
        ohm: mohm * 1e-3,
        alpha: ALPHA_METAL,
        most_v: Some(CONTACT_LIMIT_V),
        into,
    };
    let mut lugs = Vec::new();
    for (leg, &head) in heads.iter().enumerate() {
        let carrier = Carrier::Section { section, leg };
        let feeder_mohm = place.feeders.as_ref().map_or(0.0, |joints| joints[leg].mohm);
        match place.feed {
            SimFeed::Lugs | SimFeed::Main { .. } => {
                let lug = network.node(60.0);
                let area = service_area_m2(panel.bus_rating_a);
                let run = (area, Metal::Aluminium, carrier);
                // The lug's joint is a narrow place for heat too.
                let neck = network.node(20.0);
                network.link(lug, neck, Law::Conduction(2.0));
                let wire = add_wire(network, sources, around, neck, run, &[0.04, 0.10, 0.20, 0.30]);
                let end = wire[wire.len() - 1];
                network.link(end, around.wall, Law::Conduction(fin_w_k(area, Metal::Aluminium)));
                let lug_mohm = place.lugs.as_ref().map_or(0.0, |joints| joints[leg].mohm);
                sources.push(joint(leg, lug_mohm, [lug, neck]));
                to_air(network, lug, around, 2.4 * 3e-3);
                lugs.push((lug, wire[0]));
                if let SimFeed::Main { rating_a } = place.feed {
                    let body = network.node(220.0);
                    network.link(lug, body, Law::Conduction(0.8));
                    network.link(body, head, Law::Conduction(0.8));
                    to_air(network, body, around, 2.4 * 9e-3);
                    network.link(body, around.room, Law::Conduction(0.04));
                    let ohm = main_mohm(rating_a) * 1e-3;
                    sources.push(Source {
                        carrier,
                        ohm,
                        alpha: ALPHA_POLE,
                        most_v: None,
                        into: [body, body],
                    });
                    sources.push(joint(leg, feeder_mohm, [body, head]));
                } else {
                    network.link(lug, head, Law::Conduction(1.5));
                }
            }
            SimFeed::Breaker { .. } => {
                let run = (wire_area_m2(6), Metal::Copper, carrier);
                let lengths = [0.05, 0.15, 0.15, 0.05];
                match feeding {
                    Some(terminals) => {
                        let wire = add_wire(network, sources, around, terminals[leg], run, &lengths);
                        let end = wire[wire.len() - 1];
                        network.link(end, head, Law::Conduction(0.8));
                        sources.push(joint(leg, feeder_mohm, [end, head]));
                    }
                    None => {
                        let landing = network.node(20.0);
                        let wire = add_wire(network, sources, around, landing, run, &lengths);
                        let fin = fin_w_k(wire_area_m2(6), Metal::Copper);
                        network.link(wire[wire.len() - 1], around.wall, Law::Conduction(fin));
                        network.link(landing, head, Law::Conduction(0.8));
                        sources.push(joint(leg, feeder_mohm, [landing, head]));
                    }
                }
            }
        }
    }
    FeedNodes { lugs: <[(Node, Node); 2]>::try_from(lugs).ok() }
}
