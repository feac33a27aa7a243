//! Draws the truth of every joint and pole. The shapes are gamma, Weibull and log-uniform on purpose: an
//! inference that assumes lognormals meets something else here. Every figure is judgement guided by the healthy,
//! suspect and severe bands of `docs/proving.md`.

use super::dice::Dice;
use super::house::{House, Metal, SimPanel, TrueJoint};
use model::JointKind;
use model::breaker::LoadClass;
use model::job::Condition;

/// Draws conditions and resistances of the whole house.
pub(crate) fn settle(dice: &mut Dice, house: &mut House) {
    let any_aluminium = house.panels.iter().any(|panel| panel.bus == Metal::Aluminium);
    // About one third of all panels stay without a burnt joint, fewer of those with aluminium bars.
    let spared = dice.chance(if any_aluminium { 0.28 } else { 0.42 });
    let wear_level = dice.gamma(2.0, 0.07).min(0.6) * if spared { 0.8 } else { 1.3 };
    for panel in &mut house.panels {
        draw_poles(dice, panel);
        wear(dice, panel, wear_level);
    }
    if !spared {
        let mut n_seeds = 1;
        while n_seeds < 5 && dice.chance(0.5) {
            n_seeds += 1;
        }
        let n_panels = house.panels.len();
        for _ in 0..n_seeds {
            let weights: Vec<f64> = house.panels.iter().map(|panel| panel.poles.len() as f64).collect();
            let idx = if n_panels > 1 { dice.weighted(&weights) } else { 0 };
            burn_one(dice, &mut house.panels[idx]);
        }
    }
    for panel in &mut house.panels {
        resistances(dice, panel);
    }
}

/// Pole resistances: loss at rating by size, a factor of the whole panel, a spread of 10 to 20 % a pole.
fn draw_poles(dice: &mut Dice, panel: &mut SimPanel) {
    let panel_factor = dice.log_uniform(0.6, 1.8);
    let other_factor = dice.log_uniform(0.6, 1.8);
    let spread = dice.uniform(0.10, 0.20);
    for idx in 0..panel.poles.len() {
        let breaker = &panel.breakers[panel.poles[idx].breaker];
        let factor = if breaker.other_make { other_factor } else { panel_factor };
        // Uniform with the wanted standard deviation, so no pole is absurd.
        let own = 1.0 + spread * 3f64.sqrt() * dice.uniform(-1.0, 1.0);
        panel.poles[idx].pole_mohm = pole_mohm(breaker.rating_a) * factor * own;
    }
}

/// Bad contacts inside a breaker: 3 to 15 mΩ more, evenly, less the larger the breaker above 20 A. Judgement.
pub(crate) fn wear_contacts(dice: &mut Dice, house: &mut House, share: f64) {
    for panel in &mut house.panels {
        for pole in &mut panel.poles {
            let more_mohm = dice.uniform(3.0, 15.0) * (20.0 / panel.breakers[pole.breaker].rating_a).min(1.0);
            if dice.chance(share) {
                pole.pole_mohm += more_mohm;
            }
        }
    }
}

/// Middling pole resistance by rating, milliohms: 1.2 W and 0.095 W an ampere lost at rating. That is 2.6 W at
/// 15 A and 6 W at 50 A, below the largest loss a pole that IEC 60898-1 allows (3.5 W at 16 A, 9 W at 50 A, from
/// memory).
pub(crate) fn pole_mohm(rating_a: f64) -> f64 {
    (1.2 + 0.095 * rating_a) / (rating_a * rating_a) * 1e3
}

/// Resistance of one pole of a main breaker, milliohms: 50 mV at its rating, 10 W at 200 A. Judgement; one
/// published maker's limit for large poles is 200 mV.
pub(crate) fn main_mohm(rating_a: f64) -> f64 {
    50.0 / rating_a
}

/// How much a load strains its joints over the years.
fn strain(class: LoadClass) -> f64 {
    match class {
        LoadClass::Spare => 0.25,
        LoadClass::General => 0.7,
        LoadClass::SmallAppliance | LoadClass::Motor => 1.0,
        LoadClass::Cooking | LoadClass::Cooling => 1.6,
        LoadClass::Dryer | LoadClass::WaterHeater | LoadClass::SpaceHeat => 2.0,
        _ => 2.2,
    }
}

/// Relative hazard of the stab of a pole.
fn stab_hazard(panel: &SimPanel, pole: usize) -> f64 {
    let breaker = &panel.breakers[panel.poles[pole].breaker];
    let mut hazard = strain(breaker.class);
    if breaker.other_make {
        hazard *= 2.5;
    }
    if breaker.later {
        hazard *= 1.4;
    }
    if panel.bus == Metal::Aluminium {
        hazard *= 1.8;
    }
    if panel.moisture {
        hazard *= 1.5;
    }
    hazard
}

/// Relative hazard of the load terminal of a pole.
fn terminal_hazard(panel: &SimPanel, pole: usize) -> f64 {
    let breaker = &panel.breakers[panel.poles[pole].breaker];
    let metal = if breaker.wire == Metal::Aluminium { 2.5 } else { 1.0 };
    0.25 * strain(breaker.class) * metal
}

fn wear(dice: &mut Dice, panel: &mut SimPanel, level: f64) {
    let mut hazards = Vec::new();
    for idx in 0..panel.poles.len() {
        hazards.push((stab_hazard(panel, idx), terminal_hazard(panel, idx)));
    }
    let mut wear_joint = |joint: &mut TrueJoint, hazard: f64| {
        if dice.chance((level * hazard.sqrt()).min(0.7)) {
            joint.condition = Condition::Worn;
        }
    };
    for (pole, (stab, terminal)) in panel.poles.iter_mut().zip(hazards) {
        wear_joint(&mut pole.stab, stab);
        if let Some(joint) = &mut pole.terminal {
            wear_joint(joint, terminal);
        }
    }
    for section in &mut panel.sections {
        for joint in section.lugs.iter_mut().chain(&mut section.feeders).flatten() {
            wear_joint(joint, 0.5);
        }
    }
    for joint in panel.breakers.iter_mut().filter_map(|breaker| breaker.neutral.as_mut()) {
        wear_joint(joint, 0.2);
    }
    wear_joint(&mut panel.neutral_lug, 0.4);
}

/// Burns one joint by hazard, and what shares its stab finger with it.
fn burn_one(dice: &mut Dice, panel: &mut SimPanel) {
    let stabs: Vec<f64> = (0..panel.poles.len()).map(|idx| stab_hazard(panel, idx)).collect();
    let terminals: Vec<f64> = (0..panel.poles.len())
        .map(|idx| if panel.poles[idx].terminal.is_some() { terminal_hazard(panel, idx) } else { 0.0 })
        .collect();
    let mean = stabs.iter().sum::<f64>() / stabs.len().max(1) as f64;
    // Few lugs and feeders, but each as likely as a middling stab; neutrals far less.
    let n_sections = panel.sections.len() as f64;
    let others = [1.2 * mean * n_sections, 0.5 * mean, 0.02 * mean * panel.breakers.len() as f64];
    match dice.weighted(&[stabs.iter().sum(), terminals.iter().sum(), others[0], others[1], others[2]]) {
        0 => {
            let pole = dice.weighted(&stabs);
            panel.poles[pole].stab.condition = Condition::Burnt;
            spread_from(dice, panel, pole);
        }
        1 => {
            let pole = dice.weighted(&terminals);
            if let Some(joint) = &mut panel.poles[pole].terminal {
                joint.condition = Condition::Burnt;
            }
        }
        2 => {
            let section = usize::from(dice.whole(0, panel.sections.len() as u16 - 1));
            let leg = usize::from(dice.chance(0.5));
            let section = &mut panel.sections[section];
            let feeder_first = dice.chance(0.5);
            let joints = match (&mut section.lugs, &mut section.feeders) {
                (Some(lugs), Some(feeders)) => Some(if feeder_first { feeders } else { lugs }),
                (Some(only), None) | (None, Some(only)) => Some(only),
                (None, None) => None,
            };
            if let Some(joints) = joints {
                joints[leg].condition = Condition::Burnt;
            }
        }
        3 => panel.neutral_lug.condition = Condition::Burnt,
        _ => {
            let with: Vec<usize> =
                (0..panel.breakers.len()).filter(|&idx| panel.breakers[idx].neutral.is_some()).collect();
            if !with.is_empty() {
                let idx = dice.pick(&with);
                if let Some(joint) = &mut panel.breakers[idx].neutral {
                    joint.condition = Condition::Burnt;
                }
            }
        }
    }
}

/// Damage spreads over the shared finger, to the other pole of the breaker, and to the next finger of the leg.
fn spread_from(dice: &mut Dice, panel: &mut SimPanel, from: usize) {
    let (row, leg, breaker) = {
        let pole = &panel.poles[from];
        (pole.row, pole.leg, pole.breaker)
    };
    for (idx, pole) in panel.poles.iter_mut().enumerate() {
        if idx == from || pole.stab.condition == Condition::Burnt {
            continue;
        }
        let (burnt, worn) = if pole.row == row {
            (0.40, 0.35)
        } else if pole.breaker == breaker {
            (0.20, 0.25)
        } else if pole.leg == leg && pole.row.abs_diff(row) == 2 {
            (0.06, 0.15)
        } else {
            continue;
        };
        let roll = dice.uniform(0.0, 1.0);
        if roll < burnt {
            pole.stab.condition = Condition::Burnt;
        } else if roll < burnt + worn {
            pole.stab.condition = Condition::Worn;
        }
    }
}

fn resistances(dice: &mut Dice, panel: &mut SimPanel) {
    for idx in 0..panel.poles.len() {
        let breaker = &panel.breakers[panel.poles[idx].breaker];
        // Larger clips press harder and soften sooner, so damage settles at lower resistance.
        let size = (20.0 / breaker.rating_a).sqrt().min(1.2);
        let fit = if breaker.other_make { 1.3 } else { 1.0 };
        let stab = match panel.poles[idx].stab.condition {
            Condition::Sound => fit * (0.05 + dice.gamma(2.0, 0.08)),
            Condition::Worn => size * (0.4 + dice.weibull(0.7, 1.3)),
            // One burnt joint in eight has welded or wiped itself a low path for the day (intermittent).
            Condition::Burnt if dice.chance(0.12) => size * dice.log_uniform(0.4, 1.5),
            Condition::Burnt => size * dice.log_uniform(1.5, 45.0),
        };
        panel.poles[idx].stab.mohm = stab;
        if let Some(joint) = &mut panel.poles[idx].terminal {
            joint.mohm = match joint.condition {
                Condition::Sound => 0.03 + dice.gamma(2.0, 0.05),
                Condition::Worn => size * (0.25 + dice.weibull(0.6, 1.3)),
                Condition::Burnt => size * dice.log_uniform(1.5, 60.0),
            };
        }
    }
    for section in &mut panel.sections {
        for joint in section.lugs.iter_mut().chain(&mut section.feeders).flatten() {
            joint.mohm = match (joint.kind, joint.condition) {
                (JointKind::Lug, Condition::Sound) => 0.015 + dice.gamma(2.0, 0.015),
                (JointKind::Lug, Condition::Worn) => 0.10 + dice.weibull(0.15, 1.3),
                (JointKind::Lug, Condition::Burnt) => dice.log_uniform(0.4, 6.0),
                (_, Condition::Sound) => 0.03 + dice.gamma(2.0, 0.03),
                (_, Condition::Worn) => 0.15 + dice.weibull(0.25, 1.3),
                (_, Condition::Burnt) => dice.log_uniform(0.6, 10.0),
            };
        }
    }
    for joint in panel.breakers.iter_mut().filter_map(|breaker| breaker.neutral.as_mut()) {
        joint.mohm = match joint.condition {
            Condition::Sound => 0.03 + dice.gamma(2.0, 0.05),
            Condition::Worn => 0.25 + dice.weibull(0.6, 1.3),
            Condition::Burnt => dice.log_uniform(1.5, 60.0),
        };
    }
    panel.neutral_lug.mohm = match panel.neutral_lug.condition {
        Condition::Sound => 0.015 + dice.gamma(2.0, 0.015),
        Condition::Worn => 0.10 + dice.weibull(0.15, 1.3),
        Condition::Burnt => dice.log_uniform(0.6, 60.0),
    };
}
