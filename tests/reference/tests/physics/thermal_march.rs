//! The thermal network in time against a general circuit simulator.

use model::breaker::{Attachment, Breaker, Circuit, Handle, Protection};
use model::conductor::{Conductor, Metal, WireSize};
use model::installation::Installation;
use model::panel::{Bus, Cabinet, Feed, HalfWidth, Panel, Section};
use model::{Current, Leg, PanelId, SectionId, Space, System};
use physics::thermal::{Knobs, PanelNetwork, Source, Stretch};

const RISES: &str = include_str!("../../fixtures/ngspice_thermal/rises.csv");
const HEATS: &str = include_str!("../../fixtures/ngspice_thermal/heats.csv");
const ROOM_K: f64 = 295.15;
/// Fixed before the code.
const TOLERANCE_K: f64 = 0.1;

fn installation() -> Installation {
    let breakers = (1..=8)
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
        n_spaces: 8,
        n_columns: 2,
        first_leg: Leg::A,
        bus: Bus { metal: Some(Metal::Aluminium), ..Bus::default() },
        cabinet: Cabinet::default(),
        half_width: HalfWidth::Nowhere,
        year: None,
        moisture: None,
        sections: vec![Section {
            id: SectionId::new("bus"),
            first_row: 0,
            last_row: 3,
            feed: Feed::MainBreaker { rating: Current::from_a(100.0) },
            feeder: Conductor::default(),
        }],
        breakers,
    };
    let mut installation = Installation { panels: vec![panel], ..Installation::default() };
    installation.service.entrance =
        Conductor { metal: Some(Metal::Aluminium), size: Some(WireSize::Awg(2)), ..Conductor::default() };
    installation
}

fn source(place: &str) -> Source {
    let (kind, what) = place.split_once(' ').unwrap_or((place, ""));
    let space = || Space::whole(what.parse().expect("a number"));
    let leg = || if what == "A" { Leg::A } else { Leg::B };
    match kind {
        "pole" => Source::Pole(space()),
        "stab" => Source::Stab(space()),
        "terminal" => Source::Terminal(space()),
        "lug" => Source::Lug(leg()),
        "main" => Source::Main(leg()),
        "bar" => Source::Bar(what.parse::<u16>().expect("a number") - 1),
        _ => Source::Neutral,
    }
}

/// Heats of the three stretches with their lengths, s.
fn stretches(network: &PanelNetwork) -> Vec<(f64, Vec<f64>)> {
    let mut lines = HEATS.lines();
    let head = lines.next().expect("a first line");
    let mut all: Vec<(f64, Vec<f64>)> = head
        .split(',')
        .skip(1)
        .map(|seconds| (seconds.parse().expect("seconds"), network.idle_heat()))
        .collect();
    for line in lines {
        let mut cells = line.split(',');
        let from = source(cells.next().expect("a place"));
        assert!(!network.shares(&from).is_empty(), "{line}");
        for (cell, (_, heat)) in cells.zip(&mut all) {
            network.add_heat(heat, &from, cell.parse().expect("watts"));
        }
    }
    all
}

/// Source: ngspice 39 on a netlist written from the formulas; `fixtures/ngspice_thermal/SOURCE.md`. Every node every five
/// minutes over two hours within 0.1 K.
#[test]
fn val_two_hours_of_a_panel() {
    let installation = installation();
    let mut network = PanelNetwork::new(&installation, &installation.panels[0], &Knobs::default());
    let mut rows = RISES.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let head = rows.next().expect("a first line");
    let node_of = |name: &str| {
        let found = (0..network.network().n_nodes()).find(|&node| network.network().name(node) == name);
        found.unwrap_or_else(|| panic!("no node `{name}`"))
    };
    let nodes: Vec<usize> = head[1..].iter().map(|name| node_of(name)).collect();
    assert_eq!(nodes.len(), network.network().n_nodes(), "every node is compared");
    let heats = stretches(&network);
    let heat_at = |seconds: f64| {
        let mut end = 0.0;
        let found = heats.iter().find(|(length, _)| {
            end += length;
            seconds <= end
        });
        found.expect("within the two hours").1.clone()
    };
    let mut temperature_k = vec![ROOM_K; nodes.len()];
    let (mut worst, mut n_compared) = (0.0_f64, 0);
    for row in rows {
        let seconds: f64 = row[0].parse().expect("seconds");
        let stretch = Stretch { heat_w: heat_at(seconds), room_k: ROOM_K, seconds: 300.0 };
        temperature_k = network.march(&temperature_k, &[stretch], 60.0, |_, _| {}).expect("it balances");
        for (cell, &node) in row[1..].iter().zip(&nodes) {
            let theirs: f64 = cell.parse().expect("a rise");
            worst = worst.max((temperature_k[node] - ROOM_K - theirs).abs());
            n_compared += 1;
        }
    }
    println!("{n_compared} temperatures, largest difference {worst:.4} K");
    assert_eq!(n_compared, 24 * nodes.len());
    assert!(worst < TOLERANCE_K, "{worst} K");
}
