//! The march through the hours: before the visit, through its load states, and after the cover came off.

use super::cabinet::Model;
use super::source::carried;
use crate::sim::house::{House, SimPanel};
use crate::sim::load::Loads;

/// Temperatures of one panel at one moment, by pole where there are many. °C.
#[derive(Debug, Clone)]
pub(crate) struct Snapshot {
    pub(crate) face_c: Vec<f64>,
    pub(crate) jaw_c: Vec<f64>,
    pub(crate) terminal_c: Vec<f64>,
    pub(crate) wire_c: Vec<f64>,
    /// Middle of the case, as the metal of a whole pole feels it.
    pub(crate) body_c: Vec<f64>,
    /// (lug, wire beside it) of the section with lugs, by leg.
    pub(crate) lug_c: Option<[(f64, f64); 2]>,
    /// Air at the middle height.
    pub(crate) air_c: f64,
}

/// Everything that was warm in a panel during the visit.
#[derive(Debug, Clone)]
pub(crate) struct Story {
    /// At the end of each load state, cover on, door open for three minutes.
    pub(crate) states: Vec<Snapshot>,
    /// Same loads as the last state, some minutes after the dead front came off.
    pub(crate) cover_off: Snapshot,
}

/// Minutes the door stands open before faces are read.
const DOOR_OPEN_MIN: f64 = 3.0;

/// Marches one panel. `cover_off_min` is how long the dead front has been off at the last readings.
pub(crate) fn march(
    house: &House,
    panel_idx: usize,
    loads: &Loads,
    wall_c: f64,
    cover_off_min: f64,
) -> Story {
    let panel = &house.panels[panel_idx];
    let mut model = Model::new(panel);
    let mut temperature = vec![house.room_c; model.network.n_nodes()];
    temperature[model.frame.wall.0] = wall_c;
    model.set_door(panel.cabinet.door);
    // As long as it takes to forget the start: the first stretch, held half a day.
    let first = &loads.before[0].currents[panel_idx];
    advance(&mut model, panel, &mut temperature, first, 720.0, 60.0);
    for stretch in &loads.before {
        advance(&mut model, panel, &mut temperature, &stretch.currents[panel_idx], stretch.minutes, 20.0);
    }
    let mut states = Vec::new();
    for state in &loads.states {
        let currents = &state.stretch.currents[panel_idx];
        let shut_min = (state.stretch.minutes - DOOR_OPEN_MIN).max(1.0);
        advance(&mut model, panel, &mut temperature, currents, shut_min, 10.0);
        model.set_door(false);
        advance(&mut model, panel, &mut temperature, currents, DOOR_OPEN_MIN, 10.0);
        states.push(snapshot(&model, &temperature));
        model.set_door(panel.cabinet.door);
    }
    model.set_door(false);
    model.take_cover_off();
    if let Some(last) = loads.states.last() {
        let currents = &last.stretch.currents[panel_idx];
        advance(&mut model, panel, &mut temperature, currents, cover_off_min, 10.0);
    }
    let cover_off = snapshot(&model, &temperature);
    Story { states, cover_off }
}

/// Longest step, and how fast steps grow after a change.
const LONGEST_STEP_S: f64 = 240.0;
const LONGEST_FIRST_STEP_S: f64 = 3600.0;
const STEP_GROWTH: f64 = 1.35;

/// Marches for some minutes under one load, with short steps first.
fn advance(
    model: &mut Model,
    panel: &SimPanel,
    temperature: &mut [f64],
    currents: &[f64],
    minutes: f64,
    first_step_s: f64,
) {
    let carried = carried(panel, currents, &model.sources);
    let longest = if first_step_s > 30.0 { LONGEST_FIRST_STEP_S } else { LONGEST_STEP_S };
    let mut left = minutes * 60.0;
    let mut step = first_step_s;
    while left > 1e-6 {
        let seconds = step.min(left);
        let Model { network, sources, constant, .. } = model;
        let heat = |at: &[f64]| {
            let mut power = vec![0.0; at.len()];
            for (source, &current) in sources.iter().zip(&carried) {
                let half = 0.5 * source.heat_w(at, current);
                power[source.into[0].0] += half;
                power[source.into[1].0] += half;
            }
            for (node, watts) in constant.iter() {
                power[node.0] += watts;
            }
            power
        };
        network.step(temperature, seconds, heat);
        left -= seconds;
        step = (step * STEP_GROWTH).min(longest);
    }
}

fn snapshot(model: &Model, temperature: &[f64]) -> Snapshot {
    let by_pole = |node: &dyn Fn(&super::pole::PoleNodes) -> f64| model.poles.iter().map(node).collect();
    Snapshot {
        face_c: by_pole(&|pole| temperature[pole.face.0]),
        jaw_c: by_pole(&|pole| temperature[pole.jaw.0]),
        terminal_c: by_pole(&|pole| temperature[pole.terminal.0]),
        wire_c: by_pole(&|pole| temperature[pole.wire.0]),
        body_c: by_pole(&|pole| 0.5 * (temperature[pole.case_line.0] + temperature[pole.case_load.0])),
        lug_c: model
            .feeds
            .iter()
            .find_map(|feed| feed.lugs)
            .map(|lugs| lugs.map(|(lug, wire)| (temperature[lug.0], temperature[wire.0]))),
        air_c: temperature[model.frame.air[model.frame.air.len() / 2].0],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::{dice::Dice, layout::draw_house, load::draw_loads, truth::settle};

    fn house(seed: u64, idx: u64) -> (House, Loads) {
        let mut dice = Dice::for_panel(seed, idx);
        let mut house = draw_house(&mut dice, "test".to_owned());
        settle(&mut dice, &mut house);
        let loads = draw_loads(&mut dice, &house);
        (house, loads)
    }

    /// Halving every step and its growth moves no face by more than 0.3 K.
    #[test]
    fn verif_steps_are_short_enough() {
        let (house, loads) = house(11, 3);
        let panel = &house.panels[0];
        let currents = &loads.states[0].stretch.currents[0];
        let run = |n_parts: usize| {
            let mut model = Model::new(panel);
            let mut temperature = vec![house.room_c; model.network.n_nodes()];
            for _ in 0..n_parts {
                let minutes = 40.0 / n_parts as f64;
                advance(&mut model, panel, &mut temperature, currents, minutes, 10.0);
            }
            snapshot(&model, &temperature).face_c
        };
        // Twenty parts of two minutes never let a step grow beyond half a minute.
        for (coarse, fine) in run(1).iter().zip(run(20)) {
            assert!((coarse - fine).abs() < 0.3, "{coarse} against {fine}");
        }
    }

    /// After two days of one load, what the sources give is what room and wall take.
    #[test]
    fn verif_the_whole_panel_keeps_its_heat_balance() {
        for idx in 0..4 {
            let (house, loads) = house(12, idx);
            let panel = &house.panels[0];
            let currents = &loads.states[0].stretch.currents[0];
            let mut model = Model::new(panel);
            let mut temperature = vec![house.room_c; model.network.n_nodes()];
            advance(&mut model, panel, &mut temperature, currents, 2880.0, 60.0);
            let carried = carried(panel, currents, &model.sources);
            let put_in: f64 = model
                .sources
                .iter()
                .zip(carried)
                .map(|(source, current)| source.heat_w(&temperature, current))
                .chain(model.constant.iter().map(|(_, watts)| *watts))
                .sum();
            let out = model.network.outflow(&temperature);
            let taken = -out[model.frame.room.0] - out[model.frame.wall.0];
            assert!((put_in - taken).abs() < 2e-3 * put_in.max(1.0), "{put_in} W in, {taken} W out");
        }
    }

    /// Air rise at half height against IEC TR 60890, k·P^0.804 with k = 0.607·A_e^−0.744 (a fit from memory), for
    /// boxes on a wall. That method gives all heat to air and steel; here wires and the faces of the breakers
    /// lead a good part of it out (found: a mean of 0.74 of the method's rise), and hot rows sit near the top.
    /// So this only asks for the right size: 0.6 to 1.1 in the mean of twelve, 0.4 to 1.3 for each.
    #[test]
    fn val_air_in_the_box_is_as_warm_as_the_enclosure_method_says() {
        let mut ratios = Vec::new();
        for idx in 0..12 {
            let (mut house, loads) = house(14, idx);
            let panel = &mut house.panels[0];
            panel.cabinet.mounting = model::panel::Mounting::Surface;
            panel.cabinet.sun_w = 0.0;
            let panel = &house.panels[0];
            let currents = &loads.states[loads.states.len() - 1].stretch.currents[0];
            let mut model = Model::new(panel);
            let mut temperature = vec![house.room_c; model.network.n_nodes()];
            advance(&mut model, panel, &mut temperature, currents, 2880.0, 60.0);
            let out = model.network.outflow(&temperature);
            let watts = -out[model.frame.room.0] - out[model.frame.wall.0];
            let (w, h, d) = (panel.cabinet.width_m, panel.cabinet.height_m, panel.cabinet.depth_m);
            let area = 1.4 * w * d + 0.9 * (w * h + 2.0 * h * d) + 0.5 * w * h;
            let rise = 0.607 * area.powf(-0.744) * watts.powf(0.804);
            let ours = snapshot(&model, &temperature).air_c - house.room_c;
            ratios.push(ours / rise);
        }
        let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
        assert!((0.6..1.1).contains(&mean), "mean {mean}");
        assert!(ratios.iter().all(|ratio| (0.4..1.3).contains(ratio)), "{ratios:?}");
    }

    /// More resistance in a loaded clip makes its own face warmer than it was, all else the same.
    #[test]
    fn a_worse_clip_is_a_warmer_face() {
        let (mut house, loads) = house(13, 1);
        let currents = &loads.states[0].stretch.currents[0];
        let most = (0..currents.len()).max_by(|&a, &b| currents[a].total_cmp(&currents[b])).unwrap_or(0);
        house.panels[0].poles[most].stab.mohm = 0.2;
        let before = march(&house, 0, &loads, house.room_c, 5.0).states[0].face_c[most];
        house.panels[0].poles[most].stab.mohm = 10.0;
        let after = march(&house, 0, &loads, house.room_c, 5.0).states[0].face_c[most];
        assert!(currents[most] > 5.0 && after > before + 0.3, "{before} to {after}");
    }
}
