//! Signs a technician or owner would see, hear or smell, with sensitivities and false alarms of this bench's own.
//! All are judgement.

use super::dice::Dice;
use super::house::{House, SimPanel, TrueJoint};
use super::load::Loads;
use super::visit::{ComplaintNote, SignNote, SignPlace, Stage};
use model::JointKind;
use model::evidence::Sign;
use model::job::{ComplaintKind, Condition};

/// How bad a burnt joint is, 0 to 1: by its heat at half of the rating. 0 if it is not burnt.
fn badness(joint: &TrueJoint, rating_a: f64) -> f64 {
    if joint.condition != Condition::Burnt {
        return 0.0;
    }
    let watts = joint.mohm * 1e-3 * (0.5 * rating_a).powi(2);
    1.0 - (-watts / 1.5).exp()
}

/// Draws every sign that is looked for.
pub(crate) fn signs(dice: &mut Dice, house: &House, loads: &Loads) -> Vec<SignNote> {
    let mut notes = Vec::new();
    for (panel_idx, panel) in house.panels.iter().enumerate() {
        let mut worst: f64 = 0.0;
        for pole in 0..panel.poles.len() {
            let last = &loads.states[loads.states.len() - 1].stretch.currents[panel_idx];
            worst = worst.max(pole_signs(dice, &mut notes, panel, (panel_idx, pole), last[pole]));
        }
        let mut note = |stage, sign, place, seen| notes.push(SignNote { stage, sign, place, seen });
        for section in &panel.sections {
            if let Some(lugs) = &section.lugs {
                for (leg, lug) in lugs.iter().enumerate() {
                    let chance = by_condition(lug.condition, [0.04, 0.10, 0.55]);
                    let place = SignPlace::Lug { panel: panel_idx, leg };
                    note(Stage::CoverOff, Sign::Discoloration, place, dice.chance(chance));
                    worst = worst.max(badness(lug, panel.bus_rating_a));
                }
            }
        }
        let neutral = by_condition(panel.neutral_lug.condition, [0.04, 0.08, 0.40]);
        let place = SignPlace::Neutral { panel: panel_idx };
        note(Stage::CoverOff, Sign::Discoloration, place, dice.chance(neutral));
        let whole = SignPlace::Panel { panel: panel_idx };
        note(Stage::CoverOn, Sign::Smell, whole, dice.chance(0.04 + 0.45 * worst));
        note(Stage::CoverOn, Sign::CoverDiscoloured, whole, dice.chance(0.02 + 0.15 * worst));
        let wet = if panel.moisture { 0.85 } else { 0.04 };
        note(Stage::CoverOff, Sign::Moisture, whole, dice.chance(wet));
    }
    notes
}

fn by_condition(condition: Condition, chances: [f64; 3]) -> f64 {
    match condition {
        Condition::Sound => chances[0],
        Condition::Worn => chances[1],
        Condition::Burnt => chances[2],
    }
}

/// Signs of one pole; returns how bad its worst joint is.
fn pole_signs(
    dice: &mut Dice,
    notes: &mut Vec<SignNote>,
    panel: &SimPanel,
    (panel_idx, idx): (usize, usize),
    amps: f64,
) -> f64 {
    let pole = &panel.poles[idx];
    let breaker = &panel.breakers[pole.breaker];
    let rating = breaker.rating_a;
    let stab = badness(&pole.stab, rating);
    let is_burnt = pole.stab.condition == Condition::Burnt;
    let burnt = |base: f64, slope: f64| if is_burnt { base + slope * stab } else { 0.0 };
    let terminal = pole.terminal.as_ref().map_or(0.0, |joint| badness(joint, rating));
    let terminal_burnt = pole.terminal.as_ref().is_some_and(|joint| joint.condition == Condition::Burnt);
    let neutral_burnt = breaker.neutral.as_ref().is_some_and(|joint| joint.condition == Condition::Burnt);
    let across_burnt = panel.poles.iter().any(|other| {
        other.row == pole.row && other.space != pole.space && other.stab.condition == Condition::Burnt
    });
    let place = SignPlace::Pole { panel: panel_idx, pole: idx };
    let mut note = |stage, sign, seen| notes.push(SignNote { stage, sign, place, seen });

    if dice.chance(0.35) {
        note(Stage::CoverOn, Sign::RoughHandle, dice.chance(0.05 + burnt(0.10, 0.25)));
    }
    let overloaded = if amps > rating { 0.2 } else { 0.0 };
    let trips = dice.chance(0.012 + burnt(0.03, 0.15) + overloaded);
    if trips || dice.chance(0.3) {
        note(Stage::CoverOn, Sign::TripsWithoutLoad, trips);
    }
    if dice.chance(0.003 + burnt(0.0, 0.05)) {
        note(Stage::CoverOn, Sign::WillNotReset, true);
    }
    let flickers = 0.04 + burnt(0.04, 0.25) + 0.25 * terminal + if neutral_burnt { 0.25 } else { 0.0 };
    if dice.chance(0.4) {
        note(Stage::CoverOn, Sign::Flicker, dice.chance(flickers));
    }
    if dice.chance(0.5) {
        let buzzes = if amps > 3.0 { burnt(0.04, 0.2) + 0.15 * terminal } else { 0.0 };
        note(Stage::CoverOn, Sign::Buzz, dice.chance(0.008 + buzzes));
    }
    if dice.chance(0.9) {
        let worn = if pole.stab.condition == Condition::Worn { 0.05 } else { 0.0 };
        let shared = if across_burnt { 0.08 } else { 0.0 };
        let at_terminal = if terminal_burnt { 0.45 } else { 0.0 };
        let seen = 0.025 + burnt(0.08, 0.45) + worn + shared + at_terminal;
        note(Stage::CoverOff, Sign::Discoloration, dice.chance(seen));
        let melted = 0.004 + burnt(0.02, 0.2) + 0.1 * terminal;
        note(Stage::CoverOff, Sign::MeltedCase, dice.chance(melted));
        let baked = 0.015 + burnt(0.02, 0.08) + if terminal_burnt { 0.15 + 0.5 * terminal } else { 0.0 };
        note(Stage::CoverOff, Sign::BakedInsulation, dice.chance(baked));
    }
    stab.max(terminal)
}

/// What brought the technician: in burnt panels mostly the worst joint, else anything.
pub(crate) fn complaint(dice: &mut Dice, house: &House) -> ComplaintNote {
    let mut worst: Option<((usize, usize), f64, JointKind)> = None;
    for (panel_idx, panel) in house.panels.iter().enumerate() {
        for (idx, pole) in panel.poles.iter().enumerate() {
            let rating = panel.breakers[pole.breaker].rating_a;
            for joint in [Some(&pole.stab), pole.terminal.as_ref()].into_iter().flatten() {
                let bad = badness(joint, rating);
                if bad > worst.map_or(0.0, |(_, most, _)| most) {
                    worst = Some(((panel_idx, idx), bad, joint.kind));
                }
            }
        }
    }
    if let Some((pole, bad, _)) = worst
        && dice.chance(0.15 + 0.45 * bad)
    {
        let kind = dice.pick(&[
            ComplaintKind::Trips,
            ComplaintKind::Flicker,
            ComplaintKind::Heat,
            ComplaintKind::Smell,
            ComplaintKind::Noise,
        ]);
        let about = matches!(kind, ComplaintKind::Trips | ComplaintKind::Flicker) || dice.chance(0.4);
        return ComplaintNote { kind, pole: about.then_some(pole) };
    }
    if dice.chance(0.55) {
        return ComplaintNote { kind: ComplaintKind::Inspection, pole: None };
    }
    let kind = dice.pick(&[
        ComplaintKind::Trips,
        ComplaintKind::Trips,
        ComplaintKind::Flicker,
        ComplaintKind::Heat,
        ComplaintKind::Smell,
    ]);
    let panel = usize::from(dice.whole(0, house.panels.len() as u16 - 1));
    let pole = usize::from(dice.whole(0, house.panels[panel].poles.len() as u16 - 1));
    let about = matches!(kind, ComplaintKind::Trips | ComplaintKind::Flicker);
    ComplaintNote { kind, pole: about.then_some((panel, pole)) }
}
