//! The thermal network of one panel, built from its description.

use super::assumptions::*;
use super::network::{Network, NodeIdx, Response, Solution, SolveError};
use super::transient::Stretch;
use model::breaker::Protection;
use model::conductor::{Conductor, Metal, WireSize};
use model::installation::Installation;
use model::panel::{Feed, Mounting, Panel};
use model::place::Place;
use model::{Leg, SectionId, Slot, Space};
use std::collections::BTreeMap;

/// Where heat arises.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Source {
    /// Clip-to-stab joint of a pole: half to the finger, half to the jaw.
    Stab(Space),
    /// Inside a pole.
    Pole(Space),
    /// Load terminal of a pole, and the first stretch of its wire.
    Terminal(Space),
    /// Line lug.
    Lug(Leg),
    /// Pole of the main breaker.
    Main(Leg),
    /// Feeder connection of a section.
    Feeder(SectionId, Leg),
    /// Bus bar at a row.
    Bar(u16),
    /// Neutral bar and lug.
    Neutral,
}

/// A panel's network with the meaning of its nodes.
#[derive(Debug, Clone)]
pub struct PanelNetwork {
    network: Network,
    nodes: BTreeMap<Spot, NodeIdx>,
    own_heat: Vec<(NodeIdx, f64)>,
    wire_ohm: BTreeMap<Space, f64>,
    bar_ohm: f64,
    row_of: BTreeMap<Space, u16>,
    turned: Turned,
}

/// Parts that the knobs turn, with their values as assumed.
#[derive(Debug, Clone, Default)]
struct Turned {
    /// Paths inside breakers and between them, W/K.
    path: Vec<(usize, f64)>,
    /// Paths from the bar to the jaws, W/K.
    neck: Vec<(usize, f64)>,
    /// Surfaces of breakers, m².
    film: Vec<(usize, f64)>,
    /// Factor of the enclosure's law.
    cabinet: Vec<(usize, f64)>,
}

impl Turned {
    fn set(&self, network: &mut Network, knobs: &Knobs) {
        for &(link, w_k) in &self.path {
            network.set_link(link, w_k * knobs.path);
        }
        for &(link, w_k) in &self.neck {
            network.set_link(link, w_k * knobs.neck);
        }
        for &(surface, m2) in &self.film {
            network.set_area(surface, m2 * knobs.film);
        }
        // Shedding more at a given rise by the factor m means a smaller rise at a given heat.
        let smaller = libm::pow(knobs.cabinet, 0.804);
        for &(enclosure, k) in &self.cabinet {
            network.set_enclosure(enclosure, k / smaller);
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Spot {
    Air,
    Bar(u16),
    Finger(u16),
    Jaw(Space),
    Body(Space),
    Face(Space),
    Terminal(Space),
    Lug(Leg),
    Main(Leg),
    Feed(SectionId, Leg),
    Neutral,
}

impl PanelNetwork {
    /// Builds the network of a panel.
    pub fn new(installation: &Installation, panel: &Panel, knobs: &Knobs) -> Self {
        let mut build = Build {
            network: Network::new(),
            nodes: BTreeMap::new(),
            own_heat: Vec::new(),
            wire_ohm: BTreeMap::new(),
            row_of: BTreeMap::new(),
            turned: Turned::default(),
            panel,
        };
        build.cabinet();
        build.bars();
        build.breakers(installation);
        build.feeds(installation);
        build.neutral();
        let Build { mut network, nodes, own_heat, wire_ohm, row_of, turned, .. } = build;
        turned.set(&mut network, knobs);
        let per_row = panel.system.legs().len() as f64 * ROW_PITCH_M;
        PanelNetwork {
            network,
            nodes,
            own_heat,
            wire_ohm,
            bar_ohm: bar_resistivity(panel) * per_row / BAR_AREA_M2,
            row_of,
            turned,
        }
    }

    /// Turns the knobs of a network that was built, which is much quicker than building it with them.
    pub fn turn(&mut self, knobs: &Knobs) {
        self.turned.set(&mut self.network, knobs);
    }

    /// Works out the order of elimination once for all clones; see [`Network::analyse`].
    pub fn analyse(&mut self) {
        self.network.analyse();
    }

    /// The node behind a place where a temperature can be read; `None` where the network has none.
    pub fn node_of(&self, place: &Place) -> Option<NodeIdx> {
        let spot = match place {
            Place::Face(slot) => Spot::Face(slot.space),
            Place::Load(slot) | Place::Wire(slot) => Spot::Terminal(slot.space),
            Place::Lug(_, leg) | Place::Line(_, leg) => Spot::Lug(*leg),
            Place::NeutralLug(_) | Place::NeutralBar(_) | Place::NeutralLine(_) => Spot::Neutral,
            Place::NeutralWire(_) | Place::Cover(_) | Place::Receptacle(_) | Place::Earth(_) => return None,
        };
        self.nodes.get(&spot).copied()
    }

    /// The node inside a pole, where its bimetal sits.
    pub fn body_of(&self, space: Space) -> Option<NodeIdx> {
        self.nodes.get(&Spot::Body(space)).copied()
    }

    /// The node of the cabinet air.
    pub fn air(&self) -> NodeIdx {
        self.nodes[&Spot::Air]
    }

    /// Nodes that take the heat of a source, with their shares; empty where the panel has no such source.
    pub fn shares(&self, source: &Source) -> Vec<(NodeIdx, f64)> {
        let one = |spot: Spot| self.nodes.get(&spot).map(|&node| vec![(node, 1.0)]).unwrap_or_default();
        match source {
            Source::Stab(space) => {
                let finger = self.row_of.get(space).and_then(|&row| self.nodes.get(&Spot::Finger(row)));
                match (finger, self.nodes.get(&Spot::Jaw(*space))) {
                    (Some(&finger), Some(&jaw)) => vec![(finger, 0.5), (jaw, 0.5)],
                    _ => Vec::new(),
                }
            }
            Source::Pole(space) => one(Spot::Body(*space)),
            Source::Terminal(space) => one(Spot::Terminal(*space)),
            Source::Lug(leg) => one(Spot::Lug(*leg)),
            Source::Main(leg) => one(Spot::Main(*leg)),
            Source::Feeder(section, leg) => one(Spot::Feed(section.clone(), *leg)),
            Source::Bar(row) => one(Spot::Bar(*row)),
            Source::Neutral => one(Spot::Neutral),
        }
    }

    /// Resistance whose heat the first stretch of a pole's wire gives to its terminal, Ω; zero where nothing is connected.
    pub fn wire_ohm(&self, space: Space) -> f64 {
        self.wire_ohm.get(&space).copied().unwrap_or(0.0)
    }

    /// Resistance of a bus bar from one row to the next row of its leg, Ω.
    pub fn bar_ohm(&self) -> f64 {
        self.bar_ohm
    }

    /// Adds the heat of a source to a heat vector.
    pub fn add_heat(&self, heat_w: &mut [f64], source: &Source, watts: f64) {
        for (node, share) in self.shares(source) {
            heat_w[node] += share * watts;
        }
    }

    /// A heat vector with nothing but the heat of breaker electronics.
    pub fn idle_heat(&self) -> Vec<f64> {
        let mut heat = vec![0.0; self.network.n_nodes()];
        for &(node, watts) in &self.own_heat {
            heat[node] += watts;
        }
        heat
    }

    /// Steady state; see [`Network::solve`].
    ///
    /// # Errors
    /// As [`Network::solve`].
    pub fn solve(
        &mut self,
        heat_w: &[f64],
        room_k: f64,
        start_k: Option<&[f64]>,
    ) -> Result<Solution, SolveError> {
        self.network.solve(heat_w, room_k, start_k)
    }

    /// Steady state less exactly; see [`Network::solve_within`].
    ///
    /// # Errors
    /// As [`Network::solve`].
    pub fn solve_within(
        &mut self,
        heat_w: &[f64],
        room_k: f64,
        start_k: Option<&[f64]>,
        tolerance: f64,
    ) -> Result<Solution, SolveError> {
        self.network.solve_within(heat_w, room_k, start_k, tolerance)
    }

    /// Responses of nodes around a solution; see [`Network::responses`].
    ///
    /// # Errors
    /// As [`Network::responses`].
    pub fn responses(
        &mut self,
        at: &Solution,
        room_k: f64,
        nodes: &[NodeIdx],
    ) -> Result<Vec<Response>, SolveError> {
        self.network.responses(at, room_k, nodes)
    }

    /// Responses of nodes to heat put in for some time; see [`Network::responses_after`].
    ///
    /// # Errors
    /// As [`Network::responses_after`].
    pub fn responses_after(
        &mut self,
        at: &Solution,
        room_k: f64,
        nodes: &[NodeIdx],
        ages_s: &[f64],
    ) -> Result<Vec<Vec<Response>>, SolveError> {
        self.network.responses_after(at, room_k, nodes, ages_s)
    }

    /// Temperatures after a history of heats; see [`Network::march`].
    ///
    /// # Errors
    /// As [`Network::march`].
    pub fn march(
        &mut self,
        start_k: &[f64],
        stretches: &[Stretch],
        longest_step_s: f64,
        seen: impl FnMut(f64, &[f64]),
    ) -> Result<Vec<f64>, SolveError> {
        self.network.march(start_k, stretches, longest_step_s, seen)
    }

    /// The network itself.
    pub fn network(&self) -> &Network {
        &self.network
    }
}

struct Build<'a> {
    network: Network,
    nodes: BTreeMap<Spot, NodeIdx>,
    own_heat: Vec<(NodeIdx, f64)>,
    wire_ohm: BTreeMap<Space, f64>,
    row_of: BTreeMap<Space, u16>,
    turned: Turned,
    panel: &'a Panel,
}

impl Build<'_> {
    fn add(&mut self, spot: Spot, name: String, capacity_j_k: f64) -> NodeIdx {
        let node = self.network.node(name, capacity_j_k);
        self.nodes.insert(spot, node);
        node
    }

    fn air(&self) -> NodeIdx {
        self.nodes[&Spot::Air]
    }

    fn cabinet(&mut self) {
        let air = self.add(Spot::Air, "cabinet air".into(), 3_000.0);
        let k = CABINET_K * libm::pow(effective_surface_m2(self.panel), CABINET_EXPONENT);
        let enclosure = self.network.enclosure(air, k);
        self.turned.cabinet.push((enclosure, k));
    }

    /// A path inside a breaker or between breakers.
    fn path(&mut self, a: NodeIdx, b: NodeIdx, w_k: f64) {
        let link = self.network.link(a, b, w_k);
        self.turned.path.push((link, w_k));
    }

    /// A path from the bar to a jaw.
    fn neck(&mut self, a: NodeIdx, b: NodeIdx, w_k: f64) {
        let link = self.network.link(a, b, w_k);
        self.turned.neck.push((link, w_k));
    }

    /// A surface of a breaker.
    fn film(&mut self, node: NodeIdx, air: Option<NodeIdx>, area_m2: f64, height_m: f64) {
        let surface = self.network.surface(node, air, area_m2, height_m, PLASTIC_EMISSIVITY);
        self.turned.film.push((surface, area_m2));
    }

    fn bars(&mut self) {
        let n_legs = self.panel.system.legs().len() as u16;
        let k = match self.panel.bus.metal {
            Some(Metal::Aluminium | Metal::CopperCladAluminium) => ALUMINIUM_W_M_K,
            _ => COPPER_W_M_K,
        };
        let along = k * BAR_AREA_M2 / (f64::from(n_legs) * ROW_PITCH_M);
        for row in 0..self.panel.n_rows() {
            let bar = self.add(Spot::Bar(row), format!("bar at row {}", row + 1), 20.0);
            let finger = self.add(Spot::Finger(row), format!("finger at row {}", row + 1), 6.0);
            self.neck(bar, finger, NECK_W_K);
            let air = self.air();
            self.network.surface(bar, Some(air), BAR_FILM_AREA_M2, 0.025, BAR_EMISSIVITY);
            if row >= n_legs {
                let above = self.nodes[&Spot::Bar(row - n_legs)];
                let together = self
                    .panel
                    .sections
                    .iter()
                    .any(|section| section.holds_row(row) && section.holds_row(row - n_legs));
                if together {
                    self.network.link(above, bar, along);
                }
            }
        }
    }

    fn breakers(&mut self, installation: &Installation) {
        let air = self.air();
        let panel = self.panel;
        for breaker in &panel.breakers {
            let width = if breaker.is_half_width() { 0.5 } else { 1.0 };
            // Current-carrying parts grow with the rating, less than in proportion.
            let stout = libm::pow((breaker.rating.a() / 20.0).max(0.5), 0.6);
            let first = Slot::new(panel.id.clone(), breaker.spaces[0]);
            let feeds_section = installation.sections_fed_by(&first).next().is_some();
            for &space in &breaker.spaces {
                let row = panel.row_of(space);
                self.row_of.insert(space, row);
                let jaw = self.add(Spot::Jaw(space), format!("jaw {space}"), 8.0);
                let body = self.add(Spot::Body(space), format!("body {space}"), 100.0 * width);
                let face = self.add(Spot::Face(space), format!("face {space}"), 20.0 * width);
                let terminal = self.add(Spot::Terminal(space), format!("terminal {space}"), 15.0);
                self.path(jaw, body, JAW_BODY_W_K * stout);
                self.path(body, terminal, TERMINAL_BODY_W_K * stout);
                self.path(body, face, BODY_FACE_W_K * width);
                self.film(body, Some(air), BODY_AREA_M2 * width, BODY_HEIGHT_M);
                self.film(face, None, FACE_AREA_M2 * width, FACE_HEIGHT_M);
                if let Some(&finger) = self.nodes.get(&Spot::Finger(row)) {
                    self.neck(finger, jaw, CONTACT_W_K);
                }
                let wired = feeds_section || breaker.circuit.is_some();
                if wired {
                    let given = breaker.circuit.as_ref().map(|circuit| &circuit.conductor);
                    let fin = wire_fin(given, breaker.rating.a());
                    self.network.link(terminal, air, fin.conductance_w_k);
                    self.wire_ohm.insert(space, fin.heat_ohm);
                }
                if matches!(
                    breaker.protection,
                    Protection::ArcFault | Protection::GroundFault | Protection::ArcAndGroundFault
                ) {
                    self.own_heat.push((body, ELECTRONICS_W / breaker.n_poles() as f64));
                }
            }
        }
        self.neighbours();
    }

    fn neighbours(&mut self) {
        let mut bodies: Vec<(model::panel::Column, u32, f64, NodeIdx)> = Vec::new();
        for breaker in &self.panel.breakers {
            for &space in &breaker.spaces {
                // Position in half rows, so that halves stack like whole poles.
                let (offset, width) = match space.half {
                    None => (0, 1.0),
                    Some(model::Half::Upper) => (0, 0.5),
                    Some(model::Half::Lower) => (1, 0.5),
                };
                let at = 2 * u32::from(self.panel.row_of(space)) + offset;
                bodies.push((self.panel.column_of(space), at, width, self.nodes[&Spot::Body(space)]));
            }
        }
        bodies.sort_by_key(|&(column, at, _, _)| (column, at));
        for pair in bodies.windows(2) {
            let ((column, at, width, body), (next_column, next_at, _, next_body)) = (pair[0], pair[1]);
            let touching = column == next_column && next_at == at + if width < 1.0 { 1 } else { 2 };
            if touching {
                self.path(body, next_body, NEIGHBOUR_W_K);
            }
        }
    }

    fn feeds(&mut self, installation: &Installation) {
        let air = self.air();
        let panel = self.panel;
        for section in &panel.sections {
            for &leg in panel.system.legs() {
                let first_row =
                    (section.first_row..=section.last_row).find(|&row| panel.leg_of_row(row) == leg);
                let Some(&bar) = first_row.and_then(|row| self.nodes.get(&Spot::Bar(row))) else { continue };
                match &section.feed {
                    Feed::ServiceLugs | Feed::MainBreaker { .. } => {
                        let rating = installation.service.rating.map_or(100.0, |rating| rating.a());
                        let fin = wire_fin(Some(&installation.service.entrance), rating);
                        let lug = self.add(Spot::Lug(leg), format!("lug {leg}"), 60.0);
                        // The service conductor leaves the cabinet soon: half its length is in room air.
                        self.network.link(lug, air, 0.5 * fin.conductance_w_k);
                        self.network.link_room(lug, 0.5 * fin.conductance_w_k);
                        if let Feed::MainBreaker { .. } = section.feed {
                            let main = self.add(Spot::Main(leg), format!("main breaker {leg}"), 300.0);
                            let feed = self.add(
                                Spot::Feed(section.id.clone(), leg),
                                format!("main to bus {leg}"),
                                30.0,
                            );
                            self.film(main, Some(air), 2.0 * BODY_AREA_M2, 0.1);
                            self.film(main, None, 2.0 * FACE_AREA_M2, 0.1);
                            self.path(lug, main, 0.4);
                            self.path(main, feed, 0.4);
                            self.network.link(feed, bar, LUG_BUS_W_K);
                        } else {
                            self.network.link(lug, bar, LUG_BUS_W_K);
                        }
                    }
                    Feed::Breaker { slot } => {
                        let rating = installation.breaker_at(slot).map_or(60.0, |breaker| breaker.rating.a());
                        let fin = wire_fin(Some(&section.feeder), rating);
                        let feed = self.add(
                            Spot::Feed(section.id.clone(), leg),
                            format!("feeder {} {leg}", section.id),
                            40.0,
                        );
                        self.network.link(feed, bar, LUG_BUS_W_K);
                        self.network.link(feed, air, fin.conductance_w_k);
                    }
                }
            }
        }
    }

    fn neutral(&mut self) {
        let air = self.air();
        let bar = self.add(Spot::Neutral, "neutral bar".into(), 100.0);
        let n_wires = self.panel.breakers.iter().filter(|breaker| breaker.circuit.is_some()).count() as f64;
        self.network.link(bar, air, 0.13 + 0.012 * n_wires);
        self.network.surface(bar, Some(air), 6.0e-3, 0.05, BAR_EMISSIVITY);
    }
}

struct Fin {
    conductance_w_k: f64,
    heat_ohm: f64,
}

/// A wire as an endless fin: √(h p k A) from its end, and the resistance of √(k A / (h p)) of its length, whose heat
/// comes back to the end (textbook fin with uniform heat).
fn wire_fin(conductor: Option<&Conductor>, rating_a: f64) -> Fin {
    let size = conductor.and_then(|conductor| conductor.size).unwrap_or_else(|| usual_copper_size(rating_a));
    let aluminium = matches!(
        conductor.and_then(|conductor| conductor.metal),
        Some(Metal::Aluminium | Metal::CopperCladAluminium)
    );
    let (k, rho) = if aluminium { (ALUMINIUM_W_M_K, ALUMINIUM_OHM_M) } else { (COPPER_W_M_K, COPPER_OHM_M) };
    // One circular mil is the area of a circle of one thousandth of an inch: 5.067e-10 m².
    let area_m2 = size.circular_mils() * 5.067_075e-10;
    let diameter_m = libm::sqrt(4.0 * area_m2 / core::f64::consts::PI) + 1.6e-3;
    let shed = WIRE_FILM_W_M2_K * core::f64::consts::PI * diameter_m;
    Fin {
        conductance_w_k: libm::sqrt(shed * k * area_m2),
        heat_ohm: rho / area_m2 * libm::sqrt(k * area_m2 / shed),
    }
}

/// Copper size usually found behind a rating when the size was not read.
fn usual_copper_size(rating_a: f64) -> WireSize {
    match rating_a {
        a if a <= 15.0 => WireSize::Awg(14),
        a if a <= 20.0 => WireSize::Awg(12),
        a if a <= 30.0 => WireSize::Awg(10),
        a if a <= 40.0 => WireSize::Awg(8),
        a if a <= 60.0 => WireSize::Awg(6),
        a if a <= 80.0 => WireSize::Awg(4),
        a if a <= 110.0 => WireSize::Awg(2),
        a if a <= 150.0 => WireSize::Aught(1),
        _ => WireSize::Aught(3),
    }
}

fn bar_resistivity(panel: &Panel) -> f64 {
    match panel.bus.metal {
        Some(Metal::Aluminium | Metal::CopperCladAluminium) => BUS_ALUMINIUM_OHM_M,
        _ => COPPER_OHM_M,
    }
}

/// Effective cooling surface of the cabinet, m², after IEC TR 60890: each face times its factor
/// (top 1.4 exposed or 0.7 covered; front 0.9; sides 0.9 exposed or 0.5 covered; rear 0.5; bottom 0).
fn effective_surface_m2(panel: &Panel) -> f64 {
    let metres = |length: Option<model::Length>, usual: f64| length.map_or(usual, |length| length.m());
    let w = metres(panel.cabinet.width, 0.37);
    let h = metres(panel.cabinet.height, 0.30 + ROW_PITCH_M * f64::from(panel.n_rows()));
    let d = metres(panel.cabinet.depth, 0.09);
    let surface = match panel.cabinet.mounting {
        Mounting::Surface => 1.4 * w * d + 0.9 * w * h + 2.0 * 0.9 * h * d + 0.5 * w * h,
        Mounting::Flush => 0.7 * w * d + 0.9 * w * h + 2.0 * 0.5 * h * d + 0.5 * w * h,
        Mounting::FlushInsulated => 0.9 * w * h,
    };
    surface.clamp(0.05, 1.25)
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::breaker::{Attachment, Breaker, Circuit, Handle};
    use model::panel::{Bus, Cabinet, HalfWidth, Section};
    use model::{Current, PanelId, System};

    pub(crate) fn plain_panel(n_spaces: u16) -> Installation {
        let breakers = (1..=n_spaces)
            .map(|number| Breaker {
                spaces: vec![Space::whole(number)],
                rating: Current::from_a(20.0),
                protection: Protection::ThermalMagnetic,
                attachment: Attachment::PlugOn,
                other_make: None,
                later: None,
                handle: Handle::On,
                circuit: Some(Circuit::default()),
            })
            .collect();
        let panel = Panel {
            id: PanelId::new("main"),
            place: String::new(),
            system: System::SplitPhase,
            n_spaces,
            n_columns: 2,
            first_leg: Leg::A,
            bus: Bus::default(),
            cabinet: Cabinet::default(),
            half_width: HalfWidth::Nowhere,
            year: None,
            moisture: None,
            sections: vec![Section {
                id: SectionId::new("bus"),
                first_row: 0,
                last_row: n_spaces.div_ceil(2) - 1,
                feed: Feed::MainBreaker { rating: Current::from_a(100.0) },
                feeder: Conductor::default(),
            }],
            breakers,
        };
        Installation { panels: vec![panel], ..Installation::default() }
    }

    #[test]
    fn a_burnt_stab_warms_its_own_face_most() {
        let installation = plain_panel(12);
        let panel = &installation.panels[0];
        let mut network = PanelNetwork::new(&installation, panel, &Knobs::default());
        let mut heat = network.idle_heat();
        network.add_heat(&mut heat, &Source::Stab(Space::whole(5)), 4.0);
        let solution = network.solve(&heat, 295.0, None).expect("a steady state");
        let face = |number| {
            let place = Place::Face(Slot::new(panel.id.clone(), Space::whole(number)));
            solution.temperature_k[network.node_of(&place).expect("a face")] - 295.0
        };
        let own = face(5);
        assert!((4.0..40.0).contains(&own), "{own}");
        assert!((1..=12).filter(|&n| n != 5).all(|number| face(number) < own));
        assert!(face(6) > face(10) && face(7) > face(11), "neighbours take a share");
    }

    #[test]
    fn a_loaded_pole_rises_as_expected() {
        // 3 W in one pole of an otherwise idle panel: about 0.1 W/K alone, more with its neighbours.
        let installation = plain_panel(12);
        let panel = &installation.panels[0];
        let mut network = PanelNetwork::new(&installation, panel, &Knobs::default());
        let mut heat = network.idle_heat();
        network.add_heat(&mut heat, &Source::Pole(Space::whole(5)), 3.0);
        let solution = network.solve(&heat, 295.0, None).expect("a steady state");
        let body = solution.temperature_k[network.body_of(Space::whole(5)).expect("a body")] - 295.0;
        assert!((10.0..30.0).contains(&body), "{body}");
    }

    #[test]
    fn knobs_turned_later_are_knobs_built_in() {
        let installation = plain_panel(12);
        let panel = &installation.panels[0];
        let knobs = Knobs { film: 1.2, cabinet: 0.8, path: 0.9, neck: 1.3 };
        let mut built = PanelNetwork::new(&installation, panel, &knobs);
        let mut turned = PanelNetwork::new(&installation, panel, &Knobs::default());
        let mut heat = built.idle_heat();
        built.add_heat(&mut heat, &Source::Stab(Space::whole(5)), 4.0);
        let plain = turned.solve(&heat, 295.0, None).expect("a steady state");
        turned.turn(&knobs);
        let there = turned.solve(&heat, 295.0, None).expect("a steady state");
        assert_eq!(there, built.solve(&heat, 295.0, None).expect("a steady state"));
        assert_ne!(there, plain);
    }

    #[test]
    fn a_rough_balance_is_near_the_exact_one() {
        let installation = plain_panel(12);
        let mut network = PanelNetwork::new(&installation, &installation.panels[0], &Knobs::default());
        let mut heat = network.idle_heat();
        network.add_heat(&mut heat, &Source::Stab(Space::whole(5)), 4.0);
        let exact = network.solve(&heat, 295.0, None).expect("a steady state");
        let rough = network.solve_within(&heat, 295.0, None, 1e-7).expect("a steady state");
        assert!(rough.iterations < exact.iterations);
        for (one, other) in rough.temperature_k.iter().zip(&exact.temperature_k) {
            assert!((one - other).abs() < 1e-4, "{one} {other}");
        }
    }

    #[test]
    fn steady_state_of_a_large_panel_is_exact() {
        let installation = plain_panel(42);
        let mut network = PanelNetwork::new(&installation, &installation.panels[0], &Knobs::default());
        let mut heat = network.idle_heat();
        for number in 1..=42 {
            network.add_heat(&mut heat, &Source::Pole(Space::whole(number)), f64::from(number % 5));
        }
        let solution = network.solve(&heat, 298.0, None).expect("a steady state");
        assert!(solution.residual_w < 1e-9, "{} W after {} steps", solution.residual_w, solution.iterations);
        assert!(solution.iterations < 15, "{}", solution.iterations);
    }
}
