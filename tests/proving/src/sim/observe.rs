//! Instruments and hands: what the technician reads, with bias, noise and slips.

use super::dice::Dice;
use super::electric::{lug_drop_mv, tap_drop_mv};
use super::excess::excess_k;
use super::heat::{Snapshot, Story};
use super::house::{House, SimFeed};
use super::load::{Loads, neutral_currents, section_currents};
use super::look::{complaint, signs};
use super::visit::{ByPole, DropFrom, DropNote, Stage, StateNotes, TouchNote, Visit};
use model::evidence::Feel;

/// Instruments of one visit and their faults.
struct Kit {
    /// Shared bias of the infrared instrument, K.
    bias_k: f64,
    /// Emissivity set, and that of the faces.
    set: f64,
    face: f64,
    /// Share of the spot that falls on the neighbours.
    spill: f64,
    /// Shared factor of the clamp.
    clamp: f64,
    /// Share of poles that the clamp does not reach.
    unreached: f64,
}

/// Fourth root of a mixture of grey radiation, in °C.
fn displayed_c(true_c: f64, emissivity: f64, reflected_c: f64, set: f64, room_c: f64) -> f64 {
    let fourth = |c: f64| (c + 273.15).powi(4);
    let seen = emissivity * fourth(true_c) + (1.0 - emissivity) * fourth(reflected_c);
    ((seen - (1.0 - set) * fourth(room_c)) / set).max(0.0).sqrt().sqrt() - 273.15
}

/// Round to a tenth.
fn tenth(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// A surface reading is never given beyond what the record takes, °C.
const MOST_C: f64 = 195.0;

/// Draws the whole record of a visit.
pub(crate) fn observe(dice: &mut Dice, house: &House, loads: &Loads, stories: &[Story]) -> Visit {
    let kit = Kit {
        bias_k: dice.uniform(-2.0, 2.0),
        set: if dice.chance(0.12) { dice.uniform(0.85, 1.0) } else { 0.95 },
        face: dice.uniform(0.88, 0.95),
        spill: dice.uniform(0.0, 0.15),
        clamp: dice.uniform(0.96, 1.04),
        unreached: dice.uniform(0.03, 0.20),
    };
    let last = loads.states.len() - 1;
    let states = (0..=last).map(|state| state_notes(dice, house, loads, stories, &kit, state)).collect();
    let mut visit =
        Visit {
            room_c: tenth(house.room_c + dice.uniform(-1.0, 1.0)),
            states,
            terminals_c: terminals(dice, house, stories, &kit),
            lugs_c: stories[0].cover_off.lug_c.filter(|_| dice.chance(0.9)).map(|lugs| {
                lugs.map(|(_, wire)| tenth((wire + kit.bias_k + dice.normal(0.0, 0.5)).min(MOST_C)))
            }),
            touches: touches(dice, house, stories, last),
            signs: signs(dice, house, loads),
            drops: Vec::new(),
            complaint: complaint(dice, house),
            list_read: dice.chance(0.85),
            bus_seen: dice.chance(0.7),
        };
    visit.drops = drops(dice, house, loads, stories, &visit, &kit);
    visit
}

fn state_notes(
    dice: &mut Dice,
    house: &House,
    loads: &Loads,
    stories: &[Story],
    kit: &Kit,
    state: usize,
) -> StateNotes {
    let currents = &loads.states[state].stretch.currents;
    let is_last = state + 1 == loads.states.len();
    // Half of the visits go back to the first state with the cover off, to clamp it as well.
    let clamped_here = is_last || state == 0 && dice.chance(0.5);
    let mut unloaded = Vec::new();
    let (mut plates_a, mut clamps_a): (ByPole, ByPole) = (Vec::new(), Vec::new());
    for (panel_idx, panel) in house.panels.iter().enumerate() {
        let mut plates = vec![None; panel.poles.len()];
        let mut clamps = vec![None; panel.poles.len()];
        for (idx, breaker) in panel.breakers.iter().enumerate() {
            let told = dice.chance(0.75);
            let factor = dice.normal(1.0, 0.08).max(0.5);
            for (pole, _) in panel.poles_of(idx) {
                let amps = currents[panel_idx][pole];
                let is_feeder = breaker.class == model::breaker::LoadClass::Feeder;
                if breaker.is_spare() || breaker.class.is_heavy() && !is_feeder && told && amps < 0.01 {
                    unloaded.push((panel_idx, pole));
                } else if breaker.class.is_heavy() && !is_feeder && told {
                    plates[pole] = Some(tenth(amps * factor));
                }
                if clamped_here && !dice.chance(kit.unreached) && !breaker.is_spare() {
                    clamps[pole] = Some(clamp_a(dice, kit, amps));
                }
            }
        }
        plates_a.push(plates);
        clamps_a.push(clamps);
    }
    let first = &house.panels[0];
    let legs = section_currents(first, &currents[0], 0);
    let (_, neutral) = neutral_currents(first, &currents[0]);
    let lugs = first.sections[0].lugs.as_ref();
    let legs_v = lugs.filter(|_| clamped_here).map(|lugs| {
        let source = 121.0 + dice.normal(0.0, 1.2);
        let neutral_ohm = house.supply_ohm[2] + 1e-3 * first.neutral_lug.mohm;
        [0, 1].map(|leg| {
            let line_ohm = house.supply_ohm[leg] + 1e-3 * lugs[leg].mohm;
            let shift = if leg == 0 { -neutral } else { neutral } * neutral_ohm;
            tenth(source - legs[leg] * line_ohm + shift + dice.normal(0.0, 0.15))
        })
    });
    let line_a = (clamped_here && lugs.is_some() && dice.chance(0.8))
        .then(|| [0, 1].map(|leg| clamp_a(dice, kit, legs[leg])));
    StateNotes {
        faces_c: faces(dice, house, stories, kit, state),
        plates_a,
        clamps_a,
        line_a,
        legs_v,
        unloaded,
    }
}

/// A clamp reading: shared factor, own noise, a drift of the load since the faces were read, and now and then a
/// second wire in the jaw.
fn clamp_a(dice: &mut Dice, kit: &Kit, amps: f64) -> f64 {
    let drift = dice.normal(1.0, 0.025);
    let slip = if dice.chance(0.01) { dice.uniform(0.5, 4.0) } else { 0.0 };
    tenth((amps * drift * kit.clamp * dice.normal(1.0, 0.01) + dice.normal(0.0, 0.06) + slip).max(0.0))
}

fn faces(dice: &mut Dice, house: &House, stories: &[Story], kit: &Kit, state: usize) -> ByPole {
    house
        .panels
        .iter()
        .zip(stories)
        .map(|(panel, story)| {
            let truth = &story.states[state].face_c;
            (0..panel.poles.len())
                .map(|idx| {
                    if dice.chance(0.12) {
                        return None;
                    }
                    let beside: Vec<f64> = panel
                        .poles
                        .iter()
                        .enumerate()
                        .filter(|(_, other)| {
                            other.column == panel.poles[idx].column
                                && other.row.abs_diff(panel.poles[idx].row) == 1
                        })
                        .map(|(other, _)| truth[other])
                        .collect();
                    let around = match beside.len() {
                        0 => truth[idx],
                        n => beside.iter().sum::<f64>() / n as f64,
                    };
                    let spot = (1.0 - kit.spill) * truth[idx] + kit.spill * around;
                    let in_sun = panel.cabinet.sun_w > 0.0 && dice.chance(0.3);
                    let reflected = house.room_c + if in_sun { dice.uniform(5.0, 40.0) } else { 0.0 };
                    let shown = displayed_c(spot, kit.face, reflected, kit.set, house.room_c);
                    let slip = if dice.chance(0.015) { dice.uniform(-3.0, 9.0) } else { 0.0 };
                    let read = shown + kit.bias_k + dice.normal(0.0, 0.45) + slip;
                    Some(tenth(read.min(MOST_C)))
                })
                .collect()
        })
        .collect()
}

/// Insulation at the load terminals, some minutes after the cover came off.
fn terminals(dice: &mut Dice, house: &House, stories: &[Story], kit: &Kit) -> ByPole {
    house
        .panels
        .iter()
        .zip(stories)
        .map(|(panel, story)| {
            let warm: &Snapshot = &story.cover_off;
            (0..panel.poles.len())
                .map(|idx| {
                    if panel.poles[idx].terminal.is_none() || dice.chance(0.15) {
                        return None;
                    }
                    let metal = 0.5 * warm.terminal_c[idx] + 0.5 * warm.wire_c[idx];
                    // The outside of the insulation is a little cooler than the metal.
                    let surface = metal - 0.08 * (metal - warm.air_c);
                    let slip = if dice.chance(0.015) { dice.uniform(-6.0, 6.0) } else { 0.0 };
                    Some(tenth((surface + kit.bias_k + dice.normal(0.0, 0.6) + slip).min(MOST_C)))
                })
                .collect()
        })
        .collect()
}

/// A hand on a few faces. People differ by some kelvins.
fn touches(dice: &mut Dice, house: &House, stories: &[Story], last: usize) -> Vec<TouchNote> {
    let mut notes = Vec::new();
    let own_k = dice.normal(0.0, 2.5);
    for (panel_idx, panel) in house.panels.iter().enumerate() {
        for _ in 0..dice.whole(0, 4) {
            let pole = usize::from(dice.whole(0, panel.poles.len() as u16 - 1));
            let felt = stories[panel_idx].states[last].face_c[pole] + own_k + dice.normal(0.0, 2.0);
            let feel = match felt {
                felt if felt < 34.0 => Feel::NotWarm,
                felt if felt < 54.0 => Feel::Warm,
                felt if felt < 63.0 => Feel::Hot,
                felt if felt < 73.0 => Feel::Pain,
                _ => Feel::Withdrawn,
            };
            if notes.iter().all(|note: &TouchNote| (note.panel, note.pole) != (panel_idx, pole)) {
                notes.push(TouchNote { panel: panel_idx, pole, feel, void: dice.chance(0.06) });
            }
        }
    }
    notes
}

/// Poles measured, most suspect first.
const N_DROPS: usize = 6;

fn drops(
    dice: &mut Dice,
    house: &House,
    loads: &Loads,
    stories: &[Story],
    visit: &Visit,
    kit: &Kit,
) -> Vec<DropNote> {
    let last = visit.last();
    let excess = excess_k(house, visit, Stage::CoverOff, last);
    let clamped = |panel: usize, pole: usize| visit.states[last].clamps_a[panel][pole];
    let mut suspects: Vec<(usize, usize, f64)> = Vec::new();
    for (panel_idx, panel) in excess.iter().enumerate() {
        for (pole, excess) in panel.iter().enumerate() {
            if let (Some(excess), Some(amps)) = (excess, clamped(panel_idx, pole))
                && amps >= 2.0
            {
                suspects.push((panel_idx, pole, *excess));
            }
        }
    }
    suspects.sort_by(|a, b| b.2.total_cmp(&a.2));
    let mut notes = Vec::new();
    for (panel_idx, pole, _) in suspects {
        if notes.len() == N_DROPS {
            break;
        }
        let panel = &house.panels[panel_idx];
        let here = &panel.poles[pole];
        let currents = &loads.states[last].stretch.currents[panel_idx];
        let warm = &stories[panel_idx].cover_off;
        // A tap is a spare, or a circuit whose clamp shows nothing; the nearest one is taken.
        let tap = (0..panel.poles.len())
            .filter(|&tap| {
                let other = &panel.poles[tap];
                let idle = panel.breakers[other.breaker].is_spare() && !panel.breakers[other.breaker].off
                    || clamped(panel_idx, tap).is_some_and(|amps| amps < 0.05) && currents[tap] < 0.01;
                tap != pole && idle && other.leg == here.leg && other.section == here.section
            })
            .min_by_key(|&tap| panel.poles[tap].row.abs_diff(here.row));
        let lug_fed = !matches!(panel.sections[here.section].feed, SimFeed::Breaker { .. });
        let (from, true_mv) = match tap {
            Some(tap) => (DropFrom::Tap(tap), tap_drop_mv(panel, currents, warm, tap, pole)),
            None if lug_fed => match lug_drop_mv(panel, currents, warm, pole) {
                Some(mv) => (DropFrom::Lug, mv),
                None => continue,
            },
            None => continue,
        };
        // Meter 0.7 %, pick-up in the leads, and a load that is not quite what it was.
        let drift = dice.normal(1.0, 0.02);
        let read = true_mv * drift * dice.normal(1.0, 0.007) + dice.normal(0.0, 0.3);
        let amps = currents[pole] * drift * kit.clamp * dice.normal(1.0, 0.01) + dice.normal(0.0, 0.05);
        notes.push(DropNote {
            panel: panel_idx,
            pole,
            from,
            mv: tenth(read.abs().max(0.1)),
            amps: tenth(amps.max(0.1)),
        });
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The reference's worked inversion: true 80.8 °C, emissivity 0.22, surroundings 25 °C, shows 40 °C at
    /// emissivity 1.
    #[test]
    fn val_a_grey_surface_shows_what_the_reference_says() {
        assert!((displayed_c(80.8, 0.22, 25.0, 1.0, 25.0) - 40.0).abs() < 0.05);
        assert!((displayed_c(50.0, 0.95, 20.0, 0.95, 20.0) - 50.0).abs() < 1e-9);
    }
}
