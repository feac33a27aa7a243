//! What the moved panel would warm up to: the steady state of its own thermal network.

use super::Setting;
use model::id::{Slot, Space};
use model::installation::Installation;
use model::moving::MoveHeat;
use model::panel::Feed;
use model::place::Place;
use model::{JointId, Leg};
use physics::electrical::Resistances;
use physics::limits::{Item, limit};
use physics::thermal::{Knobs, PanelNetwork, Source};
use std::collections::BTreeMap;

/// Share of its rating that a pole carries of which nothing is known. Judgement, on the side of heat: few circuits of
/// a house carry half of their rating for an hour.
const UNKNOWN_SHARE: f64 = 0.5;
/// Room where none is recorded, °C. Judgement.
const ROOM_C: f64 = 25.0;
const ZERO_C_K: f64 = 273.15;

/// Most that a moved circuit may carry: 80 % of its breaker's rating (the rule for loads of three hours and more, NFPA 70
/// 210.20) and no more than the shop's policy moves.
pub(super) fn load_limit_a(setting: &Setting<'_>) -> f64 {
    (0.8 * setting.breaker.rating.a()).min(setting.policy.thresholds.move_current_limit_a)
}

/// The installation with the circuit in its new place.
pub(super) fn moved(setting: &Setting<'_>, spaces: &[Space]) -> Installation {
    let mut installation = setting.job.installation.clone();
    for panel in installation.panels.iter_mut().filter(|panel| panel.id == setting.panel.id) {
        for breaker in &mut panel.breakers {
            if breaker.spaces == setting.breaker.spaces {
                breaker.spaces = spaces.to_vec();
            }
        }
    }
    installation
}

/// Predicted temperatures at a new place; `None` where the network has no answer.
pub(super) fn predict(setting: &Setting<'_>, spaces: &[Space]) -> Option<MoveHeat> {
    let installation = moved(setting, spaces);
    let panel = installation.panel(&setting.panel.id)?;
    let states = setting.job.load_states.iter().filter_map(|state| state.room);
    let rooms: Vec<f64> = states.map(|room| room.c()).collect();
    let room_c = rooms.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let room_c = if room_c.is_finite() { room_c } else { ROOM_C };
    let allowed_a = load_limit_a(setting);
    let mut assumed = vec![format!(
        "{allowed_a:.0} A on the moved circuit, the most that the stop-gap allows; a sound joint at the new stab"
    )];
    if rooms.is_empty() {
        assumed.push(format!("{ROOM_C:.0} °C in the room: none was recorded"));
    }

    let mut poles: BTreeMap<Space, f64> = BTreeMap::new();
    let mut guessed = 0_usize;
    for breaker in &panel.breakers {
        let is_moved = breaker.spaces == spaces;
        let feeds =
            installation.sections_fed_by(&Slot::new(panel.id.clone(), breaker.spaces[0])).next().is_some();
        for &space in &breaker.spaces {
            let known = setting.current_a(&Slot::new(panel.id.clone(), space));
            let current = match (is_moved, feeds, known) {
                (true, ..) => allowed_a,
                (false, true, _) => 0.0,
                (false, false, Some(current)) => current,
                (false, false, None) => {
                    guessed += 1;
                    UNKNOWN_SHARE * breaker.rating.a()
                }
            };
            poles.insert(space, current);
        }
    }
    if guessed != 0 {
        assumed.push(format!("half of their rating on {guessed} poles of which no current is known"));
    }
    add_feeders(&installation, panel, &mut poles);

    let (resistances, _) = Resistances::sound(&installation);
    let ohm = |joint: JointId, moved: bool| {
        let found = setting.joints.iter().find(|finding| finding.joint.id == joint);
        let inferred = found.map(|finding| finding.resistance_mohm.median / 1000.0);
        let sound = resistances.joints.get(&joint).copied().unwrap_or(0.0);
        if moved { sound } else { inferred.unwrap_or(sound) }
    };
    let mut network = PanelNetwork::new(&installation, panel, &Knobs::default());
    let mut heat_w = network.idle_heat();
    for breaker in &panel.breakers {
        let is_moved = breaker.spaces == spaces;
        for &space in &breaker.spaces {
            let slot = Slot::new(panel.id.clone(), space);
            let square = poles.get(&space).map_or(0.0, |current| current * current);
            let pole = resistances.poles.get(&slot).copied().unwrap_or(0.0);
            let terminal = ohm(JointId::Terminal(slot.clone()), is_moved) + network.wire_ohm(space);
            network.add_heat(&mut heat_w, &Source::Stab(space), square * ohm(JointId::Stab(slot), is_moved));
            network.add_heat(&mut heat_w, &Source::Pole(space), square * pole);
            network.add_heat(&mut heat_w, &Source::Terminal(space), square * terminal);
        }
    }
    add_trunk(panel, &poles, &network, &resistances, &mut heat_w);

    let solution = network.solve(&heat_w, room_c + ZERO_C_K, None).ok()?;
    let at = |node: usize| solution.temperature_k[node] - ZERO_C_K;
    let hottest_stab = |space: Space| {
        network
            .shares(&Source::Stab(space))
            .into_iter()
            .map(|(node, _)| at(node))
            .fold(f64::NEG_INFINITY, f64::max)
    };
    let terminal = |space: Space| network.node_of(&Place::Load(Slot::new(panel.id.clone(), space))).map(at);
    let face = |space: Space| network.node_of(&Place::Face(Slot::new(panel.id.clone(), space))).map(at);
    let stab_c = spaces.iter().map(|&space| hottest_stab(space)).fold(f64::NEG_INFINITY, f64::max);
    let face_c = spaces.iter().filter_map(|&space| face(space)).fold(f64::NEG_INFINITY, f64::max);
    let terminal_c = spaces.iter().filter_map(|&space| terminal(space)).fold(f64::NEG_INFINITY, f64::max);
    let neighbour = neighbours(panel, spaces)
        .into_iter()
        .filter_map(|space| Some((space, poles.get(&space).copied()?, face(space)?)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let of_terminal = limit(Item::Ul489TerminalStandard);
    let limit_c = of_terminal.value.highest(model::Temperature::from_c(room_c)).ok()?.c();
    [stab_c, terminal_c, face_c].iter().all(|t| t.is_finite()).then_some(MoveHeat {
        room_c,
        current_a: allowed_a,
        stab_c,
        terminal_c,
        face_c,
        neighbour,
        limit_c,
        limit: of_terminal.cite,
        assumed,
    })
}

/// Spaces with a breaker that share a finger with one of these.
pub(super) fn neighbours(panel: &model::panel::Panel, spaces: &[Space]) -> Vec<Space> {
    let rows: Vec<u16> = spaces.iter().map(|&space| panel.row_of(space)).collect();
    let others = panel.breakers.iter().filter(|breaker| breaker.spaces != spaces);
    others
        .flat_map(|breaker| breaker.spaces.iter().copied())
        .filter(|&space| rows.contains(&panel.row_of(space)))
        .collect()
}

/// Gives the poles that feed a section of this panel what the section carries.
fn add_feeders(installation: &Installation, panel: &model::panel::Panel, poles: &mut BTreeMap<Space, f64>) {
    // The lowest section first: a section may be fed from one that is itself fed by a breaker.
    for section in panel.sections.iter().rev() {
        let Feed::Breaker { slot } = &section.feed else { continue };
        if slot.panel != panel.id {
            continue;
        }
        let Some(feeder) = installation.breaker_at(slot) else { continue };
        for &space in &feeder.spaces {
            let leg = panel.leg_of(space);
            let through: f64 = poles
                .iter()
                .filter(|(pole, _)| section.holds_row(panel.row_of(**pole)) && panel.leg_of(**pole) == leg)
                .map(|(_, current)| current)
                .sum();
            poles.insert(space, through);
        }
    }
}

/// Heat of lugs, main poles, feeds and bus bars.
pub(crate) fn add_trunk(
    panel: &model::panel::Panel,
    poles: &BTreeMap<Space, f64>,
    network: &PanelNetwork,
    resistances: &Resistances,
    heat_w: &mut [f64],
) {
    for section in &panel.sections {
        for &leg in panel.system.legs() {
            let mut through = 0.0;
            for row in
                (section.first_row..=section.last_row).rev().filter(|&row| panel.leg_of_row(row) == leg)
            {
                let here = poles.iter().filter(|(space, _)| panel.row_of(**space) == row);
                through += here.map(|(_, current)| current).sum::<f64>();
                network.add_heat(heat_w, &Source::Bar(row), through * through * network.bar_ohm());
            }
            let square = through * through;
            let joint = |joint: JointId| resistances.joints.get(&joint).copied().unwrap_or(0.0);
            let lug = |leg: Leg| joint(JointId::Lug(panel.id.clone(), leg));
            match &section.feed {
                Feed::ServiceLugs => network.add_heat(heat_w, &Source::Lug(leg), square * lug(leg)),
                Feed::MainBreaker { .. } => {
                    let key = (panel.id.clone(), section.id.clone(), leg);
                    let main = resistances.main_poles.get(&key).copied().unwrap_or(0.0);
                    network.add_heat(heat_w, &Source::Lug(leg), square * lug(leg));
                    network.add_heat(heat_w, &Source::Main(leg), square * main);
                }
                Feed::Breaker { .. } => {
                    let feeder = joint(JointId::Feeder(panel.id.clone(), section.id.clone(), leg));
                    network.add_heat(heat_w, &Source::Feeder(section.id.clone(), leg), square * feeder);
                }
            }
        }
    }
}
