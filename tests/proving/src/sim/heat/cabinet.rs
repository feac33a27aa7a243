//! The whole thermal model of one panel: steel, air in layers, bus, poles.

use super::bus::{BusNodes, FeedNodes, add_bus, add_feed};
use super::network::{Law, Network, Node};
use super::pole::{PoleNodes, Surroundings, add_pole};
use super::source::{ALPHA_METAL, CONTACT_LIMIT_V, Carrier, Source};
use crate::sim::house::{SimFeed, SimPanel};
use model::panel::Mounting;

/// Steel and air, zones from bottom to top.
#[derive(Debug, Clone)]
pub(crate) struct Frame {
    pub(crate) room: Node,
    pub(crate) wall: Node,
    pub(crate) air: Vec<Node>,
    front: Vec<Node>,
    back: Vec<Node>,
}

impl Frame {
    fn zone_of(&self, panel: &SimPanel, row: u16) -> usize {
        let height = panel.cabinet.height_m;
        let above_floor = height - 0.12 - 0.0254 * (f64::from(row) + 0.5);
        let zone = (above_floor / height * self.air.len() as f64).max(0.0) as usize;
        zone.min(self.air.len() - 1)
    }

    fn around_zone(&self, zone: usize) -> Surroundings {
        let above = (zone + 1).min(self.air.len() - 1);
        Surroundings {
            finger: self.air[zone],
            air: self.air[zone],
            air_above: self.air[above],
            back: self.back[zone],
            front: self.front[zone],
            room: self.room,
            wall: self.wall,
        }
    }

    /// Surroundings of a row. The finger is the caller's to fill in.
    pub(crate) fn around(&self, panel: &SimPanel, row: u16) -> Surroundings {
        self.around_zone(self.zone_of(panel, row))
    }
}

/// Thermal model of one panel.
#[derive(Debug, Clone)]
pub(crate) struct Model {
    pub(crate) network: Network,
    pub(crate) sources: Vec<Source>,
    /// Constant heat: electronics and sun.
    pub(crate) constant: Vec<(Node, f64)>,
    pub(crate) frame: Frame,
    pub(crate) poles: Vec<PoleNodes>,
    pub(crate) feeds: Vec<FeedNodes>,
    /// Links of the front plate with the room: law with the door open.
    front_out: Vec<(usize, Law)>,
    /// Links of the front plate with the inside.
    front_in: Vec<usize>,
    /// Links of the air with the room, closed while the dead front is on.
    opening: Vec<(usize, Law)>,
}

/// How much a shut door lets out of what an open one would.
const SHUT_DOOR: f64 = 0.45;

impl Model {
    /// Builds the model.
    pub(crate) fn new(panel: &SimPanel) -> Self {
        let mut network = Network::default();
        let mut sources = Vec::new();
        let mut constant = Vec::new();
        let (frame, front_out, front_in, opening) = add_frame(&mut network, panel, &mut constant);
        let buses: Vec<[BusNodes; 2]> = (0..panel.sections.len())
            .map(|section| [0, 1].map(|leg| add_bus(&mut network, &mut sources, panel, &frame, section, leg)))
            .collect();
        let mut poles = Vec::new();
        for (idx, pole) in panel.poles.iter().enumerate() {
            let fingers = &buses[pole.section][pole.leg].fingers;
            let finger = fingers
                .iter()
                .find(|(row, _)| *row == pole.row)
                .map_or(buses[pole.section][pole.leg].head, |(_, node)| *node);
            let around = Surroundings { finger, ..frame.around(panel, pole.row) };
            poles.push(add_pole(&mut network, &mut sources, panel, idx, &around));
            let electronics = panel.breakers[pole.breaker].electronics_w;
            if electronics > 0.0 {
                constant.push((poles[idx].case_load, electronics));
            }
        }
        touch_neighbours(&mut network, panel, &frame, &poles);
        let feeds = (0..panel.sections.len())
            .map(|section| {
                let feeding = match panel.sections[section].feed {
                    SimFeed::Breaker { breaker, .. } if panel.sections.len() > 1 => {
                        let mut ends = [poles[0].terminal; 2];
                        for (idx, pole) in panel.poles_of(breaker) {
                            ends[pole.leg] = poles[idx].terminal;
                        }
                        Some(ends)
                    }
                    _ => None,
                };
                let heads = [buses[section][0].head, buses[section][1].head];
                let around = frame.around(panel, panel.sections[section].first_row);
                add_feed(&mut network, &mut sources, panel, &around, (section, heads), feeding)
            })
            .collect();
        add_neutral(&mut network, &mut sources, panel, &frame);
        network.lay_out();
        Model { network, sources, constant, frame, poles, feeds, front_out, front_in, opening }
    }

    /// Shuts or opens the door, where there is one.
    pub(crate) fn set_door(&mut self, shut: bool) {
        let factor = if shut { SHUT_DOOR } else { 1.0 };
        let faces = self.poles.iter().flat_map(|pole| pole.face_links);
        for (link, law) in self.front_out.iter().copied().chain(faces) {
            self.network.relink(link, scaled(law, factor));
        }
    }

    /// Takes the dead front off.
    pub(crate) fn take_cover_off(&mut self) {
        for &(link, law) in &self.opening {
            self.network.relink(link, law);
        }
        for &link in &self.front_in {
            self.network.relink(link, Law::Conduction(0.0));
        }
    }
}

fn scaled(law: Law, factor: f64) -> Law {
    match law {
        Law::Conduction(g) => Law::Conduction(g * factor),
        Law::Convection(g) => Law::Convection(g * factor),
        Law::Radiation(area) => Law::Radiation(area * factor),
        layers @ Law::Layers { .. } => layers,
    }
}

type FrameLinks = (Frame, Vec<(usize, Law)>, Vec<usize>, Vec<(usize, Law)>);

fn add_frame(network: &mut Network, panel: &SimPanel, constant: &mut Vec<(Node, f64)>) -> FrameLinks {
    let cabinet = &panel.cabinet;
    let n = cabinet.n_zones;
    let step_m = cabinet.height_m / n as f64;
    let (room, wall) = (network.reservoir(), network.reservoir());
    let (mut air, mut front, mut back, mut side) = (vec![], vec![], vec![], vec![]);
    let (mut front_out, mut front_in, mut opening) = (vec![], vec![], vec![]);
    // Steel of 1.5 mm: 5.4 kJ/(m²·K); 1.2 mm: 4.3 kJ/(m²·K).
    for zone in 0..n {
        let broad = cabinet.width_m * step_m;
        let top = if zone + 1 == n { cabinet.width_m * cabinet.depth_m } else { 0.0 };
        let sides = 2.0 * cabinet.depth_m * step_m + top;
        air.push(network.node(1206.0 * broad * cabinet.depth_m));
        // Faces of breakers take about four tenths of the front.
        let plate = 0.6 * broad;
        front.push(network.node(5.4e3 * plate));
        back.push(network.node(4.3e3 * broad));
        side.push(network.node(4.3e3 * sides));
        let (air, front, back, side) = (air[zone], front[zone], back[zone], side[zone]);
        front_in.push(network.link(air, front, Law::Convection(1.8 * plate)));
        front_in.push(network.link(front, back, Law::Radiation(0.5 * plate)));
        network.link(air, back, Law::Convection(1.8 * 0.8 * broad));
        network.link(air, side, Law::Convection(1.8 * sides));
        for law in [Law::Convection(1.8 * plate), Law::Radiation(0.9 * plate)] {
            front_out.push((network.link(front, room, law), law));
        }
        let behind = match cabinet.mounting {
            Mounting::Surface => 3.0,
            Mounting::Flush => 2.2,
            Mounting::FlushInsulated => 0.6,
        };
        network.link(back, wall, Law::Conduction(behind * broad));
        if cabinet.mounting == Mounting::Surface {
            network.link(side, room, Law::Convection(1.8 * sides));
            network.link(side, room, Law::Radiation(0.9 * sides));
        } else {
            network.link(side, wall, Law::Conduction(behind * sides));
        }
        let open = Law::Conduction(18.0 * broad);
        opening.push((network.link(air, room, Law::Conduction(0.0)), open));
        if cabinet.sun_w > 0.0 {
            let on = if cabinet.mounting == Mounting::Surface { side } else { front };
            constant.push((on, cabinet.sun_w / n as f64));
        }
    }
    for zone in 1..n {
        network.link(air[zone - 1], air[zone], Law::Layers { turning: 1.5, still: 0.12 });
        let steel = 50.0 * 1.3e-3 / step_m;
        network.link(front[zone - 1], front[zone], Law::Conduction(0.6 * steel * cabinet.width_m));
        network.link(back[zone - 1], back[zone], Law::Conduction(steel * cabinet.width_m));
        network.link(side[zone - 1], side[zone], Law::Conduction(steel * 2.0 * cabinet.depth_m));
    }
    (Frame { room, wall, air, front, back }, front_out, front_in, opening)
}

/// Sides of breakers: against a neighbour's side, or free to the air of an open space; and across the middle.
fn touch_neighbours(network: &mut Network, panel: &SimPanel, frame: &Frame, poles: &[PoleNodes]) {
    let extent = |idx: usize| {
        let pole = &panel.poles[idx];
        let top = 2 * pole.row;
        match pole.space.half {
            None => (top, top + 2),
            Some(model::Half::Upper) => (top, top + 1),
            Some(model::Half::Lower) => (top + 1, top + 2),
        }
    };
    // Half a side of a one-inch breaker.
    let side_area = 2.2e-3;
    for a in 0..poles.len() {
        let mut free_sides = 2.0;
        for b in 0..poles.len() {
            if a == b || panel.poles[a].column != panel.poles[b].column {
                continue;
            }
            let (touch_below, touch_above) = (extent(a).1 == extent(b).0, extent(b).1 == extent(a).0);
            if touch_below || touch_above {
                free_sides -= 1.0;
            }
            if touch_below {
                let same = panel.poles[a].breaker == panel.poles[b].breaker;
                let mean = 0.5 * (panel.poles[a].coupling[2] + panel.poles[b].coupling[2]);
                let w_k = if same { 0.14 } else { 0.06 } * mean;
                network.link(poles[a].case_line, poles[b].case_line, Law::Conduction(w_k));
                network.link(poles[a].case_load, poles[b].case_load, Law::Conduction(w_k));
            }
        }
        if free_sides > 0.5 {
            let around = frame.around(panel, panel.poles[a].row);
            for case in [poles[a].case_line, poles[a].case_load] {
                super::pole::to_air(network, case, &around, 2.2 * side_area * free_sides);
            }
        }
        for b in a + 1..poles.len() {
            if panel.poles[a].row == panel.poles[b].row && panel.poles[a].column != panel.poles[b].column {
                network.link(poles[a].case_line, poles[b].case_line, Law::Conduction(0.004));
            }
        }
    }
}

/// The neutral bar with its joints, low in the cabinet.
fn add_neutral(network: &mut Network, sources: &mut Vec<Source>, panel: &SimPanel, frame: &Frame) {
    let around = frame.around_zone(1.min(frame.air.len() - 1));
    let bar = network.node(180.0);
    super::pole::to_air(network, bar, &around, 2.4 * 0.02);
    network.link(bar, around.back, Law::Conduction(0.3));
    network.link(bar, around.wall, Law::Conduction(0.15));
    let mut joint = |carrier: Carrier, mohm: f64| {
        sources.push(Source {
            carrier,
            ohm: mohm * 1e-3,
            alpha: ALPHA_METAL,
            most_v: Some(CONTACT_LIMIT_V),
            into: [bar, bar],
        });
    };
    for (idx, breaker) in panel.breakers.iter().enumerate() {
        if let Some(neutral) = &breaker.neutral {
            joint(Carrier::Neutral(idx), neutral.mohm);
        }
    }
    joint(Carrier::NeutralMain, panel.neutral_lug.mohm);
}
