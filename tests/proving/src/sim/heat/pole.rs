//! Nodes of one breaker pole and its branch wire.

use super::network::{Law, Network, Node};
use super::source::{ALPHA_METAL, ALPHA_POLE, CONTACT_LIMIT_V, Carrier, Source};
use crate::sim::house::{Metal, SimBreaker, SimPanel};

/// What a pole touches: its finger, the air and steel around it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Surroundings {
    pub(crate) finger: Node,
    pub(crate) air: Node,
    /// Air one zone higher, which takes part of the plume.
    pub(crate) air_above: Node,
    pub(crate) back: Node,
    pub(crate) front: Node,
    pub(crate) room: Node,
    pub(crate) wall: Node,
}

/// Nodes of a pole.
#[derive(Debug, Clone)]
pub(crate) struct PoleNodes {
    pub(crate) jaw: Node,
    pub(crate) terminal: Node,
    pub(crate) case_line: Node,
    pub(crate) case_load: Node,
    pub(crate) face: Node,
    /// First node of the wire, three centimetres long.
    pub(crate) wire: Node,
    /// Face to room: link and its law with the door open.
    pub(crate) face_links: [(usize, Law); 2],
}

/// Lorenz number times 320 K, W·Ω/K: heat conducted through the spots that conduct the current.
const LORENZ_320: f64 = 2.44e-8 * 320.0;
/// Share of the heat a surface gives to its own air zone; the rest rises one zone.
const OWN_ZONE: f64 = 0.7;

/// A surface in cabinet air: most to its own zone, the rest to the zone above.
pub(crate) fn to_air(network: &mut Network, from: Node, around: &Surroundings, w_per_k: f64) {
    network.link(from, around.air, Law::Convection(w_per_k * OWN_ZONE));
    network.link(from, around.air_above, Law::Convection(w_per_k * (1.0 - OWN_ZONE)));
}

/// Cross-section of a branch wire, m².
pub(crate) fn wire_area_m2(awg: u8) -> f64 {
    // American Wire Gauge: 0.127 mm times 92 to the power of (36 − n)/39.
    let diameter_m = 0.127e-3 * 92f64.powf((36.0 - f64::from(awg)) / 39.0);
    std::f64::consts::FRAC_PI_4 * diameter_m * diameter_m
}

/// (conductivity W/(m·K), resistivity Ω·m at 20 °C, heat capacity J/(m³·K)).
pub(crate) const fn metal_data(metal: Metal) -> (f64, f64, f64) {
    match metal {
        Metal::Copper => (390.0, 1.724e-8, 3.45e6),
        Metal::Aluminium => (215.0, 2.9e-8, 2.43e6),
    }
}

/// Adds a chain of wire nodes that starts at `from`, in cabinet air, and gives its nodes. Own heat included.
pub(crate) fn add_wire(
    network: &mut Network,
    sources: &mut Vec<Source>,
    around: &Surroundings,
    from: Node,
    (area_m2, metal, carrier): (f64, Metal, Carrier),
    lengths_m: &[f64],
) -> Vec<Node> {
    let (conductivity, resistivity, capacity) = metal_data(metal);
    let outside_m = 2.0 * (area_m2 / std::f64::consts::PI).sqrt() + 2.2e-3;
    let mut nodes = Vec::new();
    let (mut last, mut last_length) = (from, 0.01);
    for &length in lengths_m {
        // Insulation adds about half as much heat capacity again.
        let node = network.node(1.5 * capacity * area_m2 * length);
        let step = 0.5 * (last_length + length);
        network.link(last, node, Law::Conduction(conductivity * area_m2 / step));
        let surface = std::f64::consts::PI * outside_m * length;
        // Small cylinder: 1.32·(θ/D)^¼ W/(m²·K), textbook.
        to_air(network, node, around, 1.32 / outside_m.sqrt().sqrt() * surface);
        network.link(node, around.back, Law::Radiation(0.9 * surface));
        let ohm = resistivity * length / area_m2;
        sources.push(Source { carrier, ohm, alpha: ALPHA_METAL, most_v: None, into: [node, node] });
        nodes.push(node);
        (last, last_length) = (node, length);
    }
    nodes
}

/// Fin of a long cable in a wall beyond the cabinet, W/K: √(h·p·k·A), with 10 W/(m²·K) on the jacket.
pub(crate) fn fin_w_k(area_m2: f64, metal: Metal) -> f64 {
    let perimeter = std::f64::consts::PI * (2.0 * (area_m2 / std::f64::consts::PI).sqrt() + 3e-3);
    (10.0 * perimeter * metal_data(metal).0 * area_m2).sqrt()
}

/// Adds one pole.
pub(crate) fn add_pole(
    network: &mut Network,
    sources: &mut Vec<Source>,
    panel: &SimPanel,
    idx: usize,
    around: &Surroundings,
) -> PoleNodes {
    let pole = &panel.poles[idx];
    let breaker: &SimBreaker = &panel.breakers[pole.breaker];
    let wide = if pole.space.half.is_some() { 0.5 } else { 1.0 };
    // Frames above 35 A hold more metal.
    let heavy = if breaker.rating_a > 35.0 { 1.5 } else { 1.0 };
    let [to_jaw, to_cabinet_air, _, to_wire] = pole.coupling;
    let jaw = network.node(6.0 * heavy);
    let contact = network.node(9.0 * heavy * wide);
    let bimetal = network.node(4.0 * heavy);
    let terminal = network.node(11.0 * heavy);
    let case_line = network.node(34.0 * wide);
    let case_load = network.node(42.0 * wide);
    let face = network.node(10.0 * wide);
    let mut conduct = |a: Node, b: Node, w_k: f64| network.link(a, b, Law::Conduction(w_k));
    // Through the clip: the spots that carry current, and the metal that merely touches.
    let spots = LORENZ_320 / (pole.stab.mohm * 1e-3);
    conduct(around.finger, jaw, (0.10 + spots.min(0.4)) * to_jaw);
    conduct(jaw, contact, 0.25 * heavy * to_jaw);
    conduct(contact, bimetal, 0.05 * heavy);
    conduct(bimetal, terminal, 0.12 * heavy);
    conduct(jaw, case_line, 0.07);
    conduct(contact, case_line, 0.08 * wide);
    conduct(bimetal, case_load, 0.05 * wide);
    conduct(terminal, case_load, 0.05 * wide);
    conduct(case_line, case_load, 0.015 * wide);
    conduct(case_line, face, 0.04 * wide);
    conduct(case_load, face, 0.045 * wide);
    conduct(face, around.front, 0.008 * wide);
    // Back and end of the case.
    let case_area = 1.7e-3 * wide;
    for case in [case_line, case_load] {
        to_air(network, case, around, 2.6 * case_area * to_cabinet_air);
        network.link(case, around.back, Law::Radiation(0.8 * case_area));
    }
    to_air(network, jaw, around, 2.6 * 4e-4 * to_cabinet_air);
    to_air(network, terminal, around, 2.6 * 5e-4 * to_cabinet_air);
    let face_area = 1.6e-3 * wide;
    let (convection, radiation) = (Law::Convection(2.6 * face_area), Law::Radiation(0.9 * face_area));
    let face_links = [
        (network.link(face, around.room, convection), convection),
        (network.link(face, around.room, radiation), radiation),
    ];

    let pole_ohm = pole.pole_mohm * 1e-3;
    for (share, node) in [(0.30, contact), (0.50, bimetal), (0.05, terminal), (0.15, case_load)] {
        let ohm = share * pole_ohm;
        sources.push(Source {
            carrier: Carrier::Pole(idx),
            ohm,
            alpha: ALPHA_POLE,
            most_v: None,
            into: [node, node],
        });
    }
    let joint = |ohm: f64, into: [Node; 2]| Source {
        carrier: Carrier::Pole(idx),
        ohm,
        alpha: ALPHA_METAL,
        most_v: Some(CONTACT_LIMIT_V),
        into,
    };
    sources.push(joint(pole.stab.mohm * 1e-3, [around.finger, jaw]));

    let area_m2 = wire_area_m2(breaker.wire_awg);
    let wire = if breaker.is_spare() {
        terminal
    } else {
        let run = (area_m2, breaker.wire, Carrier::Pole(idx));
        let lengths = [0.03 / to_wire, 0.07, 0.15, 0.25];
        let nodes = add_wire(network, sources, around, terminal, run, &lengths);
        let end = nodes[nodes.len() - 1];
        network.link(end, around.wall, Law::Conduction(fin_w_k(area_m2, breaker.wire)));
        if let Some(terminal_joint) = &pole.terminal {
            sources.push(joint(terminal_joint.mohm * 1e-3, [terminal, nodes[0]]));
        }
        nodes[0]
    };
    PoleNodes { jaw, terminal, case_line, case_load, face, wire, face_links }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// NFPA 70 Chapter 9 Table 8 areas: 14 AWG 2.08 mm², 6 AWG 13.30 mm² (values from memory).
    #[test]
    fn wire_areas_follow_the_gauge() {
        assert!((wire_area_m2(14) * 1e6 - 2.08).abs() < 0.01);
        assert!((wire_area_m2(6) * 1e6 - 13.30).abs() < 0.01);
    }
}
