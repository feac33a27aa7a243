//! Millivolt drops along the bus and through breakers, from the same resistances and temperatures as the heat.

use super::heat::{FINGER_NODES, Snapshot, contact_ohm, finger_ohm, pole_ohm, segment_ohm};
use super::house::{SimFeed, SimPanel};
use super::load::section_currents;
use super::truth::main_mohm;

/// Volts lost from the head of a section's leg to the root of the finger in `row`.
fn bus_drop_v(panel: &SimPanel, currents: &[f64], section: usize, leg: usize, row: u16) -> f64 {
    let below = |from: u16| -> f64 {
        panel
            .poles
            .iter()
            .zip(currents)
            .filter(|(pole, _)| pole.section == section && pole.leg == leg && pole.row >= from)
            .map(|(_, current)| current)
            .sum()
    };
    let before_root = FINGER_NODES / 2 + 1;
    let after_root = FINGER_NODES - before_root;
    let first = panel.sections[section].first_row;
    let mut volts = 0.0;
    for finger in (first..=row).filter(|&row| panel.leg_of_row(row) == leg) {
        volts += segment_ohm(panel) * before_root as f64 * below(finger);
        if finger < row {
            volts += segment_ohm(panel) * after_root as f64 * below(finger + 2);
        }
    }
    // A warm bar: 25 K above 20 °C or so.
    volts * 1.1
}

/// Volts lost in the finger of a row, which both columns share.
fn finger_drop_v(panel: &SimPanel, currents: &[f64], row: u16) -> f64 {
    let total: f64 = panel
        .poles
        .iter()
        .zip(currents)
        .filter(|(pole, _)| pole.row == row)
        .map(|(_, current)| current)
        .sum();
    1.1 * finger_ohm(panel) * total
}

/// Volts lost in clip and pole.
fn clip_and_pole_v(panel: &SimPanel, currents: &[f64], warm: &Snapshot, pole: usize) -> f64 {
    let (current, body) = (currents[pole], warm.body_c[pole]);
    let clip = contact_ohm(panel.poles[pole].stab.mohm, warm.jaw_c[pole], current);
    current * (clip + pole_ohm(panel.poles[pole].pole_mohm, body))
}

/// Drop from the load terminal of an unloaded breaker to that of a loaded one, same leg and section, millivolts.
pub(crate) fn tap_drop_mv(
    panel: &SimPanel,
    currents: &[f64],
    warm: &Snapshot,
    tap: usize,
    pole: usize,
) -> f64 {
    let (there, here) = (&panel.poles[tap], &panel.poles[pole]);
    let shared = there.row == here.row;
    let along = if shared {
        0.0
    } else {
        let at = |row| bus_drop_v(panel, currents, here.section, here.leg, row);
        at(here.row) - at(there.row) + finger_drop_v(panel, currents, here.row)
            - finger_drop_v(panel, currents, there.row)
    };
    let tap_own = clip_and_pole_v(panel, currents, warm, tap);
    1e3 * (along + clip_and_pole_v(panel, currents, warm, pole) - tap_own)
}

/// Drop from the line lug to a load terminal, millivolts. Only for sections with lugs.
pub(crate) fn lug_drop_mv(panel: &SimPanel, currents: &[f64], warm: &Snapshot, pole: usize) -> Option<f64> {
    let here = &panel.poles[pole];
    let section = &panel.sections[here.section];
    let total = section_currents(panel, currents, here.section)[here.leg];
    let main = match section.feed {
        SimFeed::Breaker { .. } => return None,
        SimFeed::Lugs => 0.0,
        SimFeed::Main { rating_a } => {
            let feeder = section.feeders.as_ref().map_or(0.0, |joints| joints[here.leg].mohm);
            pole_ohm(main_mohm(rating_a), 50.0) + contact_ohm(feeder, 50.0, total)
        }
    };
    let along = bus_drop_v(panel, currents, here.section, here.leg, here.row)
        + finger_drop_v(panel, currents, here.row);
    Some(1e3 * (total * main + along + clip_and_pole_v(panel, currents, warm, pole)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sim::{dice::Dice, heat::march, layout::draw_house, load::draw_loads, truth::settle};

    /// With no resistance in clip and pole, a pole's drop from its own shared finger is nothing; with 10 mΩ more
    /// in the clip, it grows by 10 mΩ times the current (warmed by what the metal's coefficient says).
    #[test]
    fn verif_a_clip_adds_its_own_resistance() {
        let mut dice = Dice::for_panel(21, 0);
        let mut house = draw_house(&mut dice, "drops".to_owned());
        settle(&mut dice, &mut house);
        let loads = draw_loads(&mut dice, &house);
        let story = march(&house, 0, &loads, house.room_c, 5.0);
        let warm = &story.cover_off;
        let panel = &mut house.panels[0];
        let currents = vec![8.0; panel.poles.len()];
        let pole = 0;
        let row = panel.poles[pole].row;
        let before = tap_drop_mv(panel, &currents, warm, pole, pole);
        assert!(before.abs() < 1e-9);
        let own = clip_and_pole_v(panel, &currents, warm, pole);
        panel.poles[pole].stab.mohm += 10.0;
        let more = clip_and_pole_v(panel, &currents, warm, pole) - own;
        let exact = 0.010 * 8.0 * (1.0 + 0.0039 * (warm.jaw_c[pole] - 20.0));
        assert!((more - exact).abs() < 1e-9, "{more} {exact}");
        assert!(finger_drop_v(panel, &currents, row) > 0.0);
    }
}
