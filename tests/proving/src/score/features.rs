//! What a stab looks like in a record, as numbers for the simple rules.

use crate::sim::Simulated;
use crate::sim::house::SimPanel;
use crate::sim::truth::pole_mohm;
use crate::sim::visit::{SignPlace, Stage};
use crate::sim::{excess_k, straight_line};
use model::breaker::LoadClass;
use model::evidence::Sign;
use model::job::{ComplaintKind, Condition};

/// A stab in a record.
#[derive(Debug, Clone)]
pub(crate) struct StabRow {
    /// Identity of the joint.
    pub(crate) id: String,
    pub(crate) burnt: bool,
    /// Hottest-face rule: face temperature in the last state, °C.
    pub(crate) face_c: f64,
    /// Difference to the mean of the neighbours, K.
    pub(crate) to_neighbours_k: f64,
    /// Load-corrected difference, K.
    pub(crate) excess_k: f64,
    /// Current in the last state that the record gives at this stage, A.
    pub(crate) amps: Option<f64>,
    /// Was a drop read at this pole?
    pub(crate) measured: bool,
    /// Signs seen at the pole, for the details.
    pub(crate) signs_seen: String,
    /// Features of the regression.
    pub(crate) features: Vec<f64>,
}

/// Does the pole lie beside another: next in the column, or across the middle?
fn is_neighbour(panel: &SimPanel, a: usize, b: usize) -> bool {
    let (a, b) = (&panel.poles[a], &panel.poles[b]);
    let apart = a.row.abs_diff(b.row);
    a.space != b.space && (a.column == b.column && apart <= 1 || a.column != b.column && apart == 0)
}

/// Rows of every stab of a simulated house at a stage.
pub(crate) fn stab_rows(simulated: &Simulated, stage: Stage) -> Vec<StabRow> {
    let Simulated { house, visit, .. } = simulated;
    let last = visit.last();
    let by_state: Vec<_> = (0..=last).map(|state| excess_k(house, visit, stage, state)).collect();
    let mut rows = Vec::new();
    for (panel_idx, panel) in house.panels.iter().enumerate() {
        let faces = &visit.states[last].faces_c[panel_idx];
        let read: Vec<f64> = faces.iter().flatten().copied().collect();
        let usual = read.iter().sum::<f64>() / read.len().max(1) as f64;
        let terminal = terminal_excess(simulated, panel_idx, stage);
        let drops = drop_excess(simulated, panel_idx, stage);
        for (idx, pole) in panel.poles.iter().enumerate() {
            let face = faces[idx].unwrap_or(usual);
            let beside: Vec<f64> = (0..panel.poles.len())
                .filter(|&other| is_neighbour(panel, idx, other))
                .filter_map(|other| faces[other])
                .collect();
            let around =
                if beside.is_empty() { usual } else { beside.iter().sum::<f64>() / beside.len() as f64 };
            let excess = by_state[last][panel_idx][idx].unwrap_or(0.0);
            let all: Vec<f64> = by_state.iter().filter_map(|state| state[panel_idx][idx]).collect();
            let mean_excess = all.iter().sum::<f64>() / all.len().max(1) as f64;
            let amps = visit.amps(stage, last, panel_idx, idx);
            let across = (0..panel.poles.len())
                .filter(|&other| other != idx && panel.poles[other].row == pole.row)
                .filter_map(|other| by_state[last][panel_idx][other])
                .fold(0.0, f64::max);
            let mut features = vec![
                face - visit.room_c,
                face - around,
                excess,
                mean_excess,
                f64::from(u8::from(faces[idx].is_none())),
                across,
                amps.unwrap_or(0.0),
                f64::from(u8::from(amps.is_none())),
                excess * amps.unwrap_or(0.0).min(30.0) / 10.0,
                f64::from(u8::from(excess > 3.0)),
                f64::from(u8::from(excess > 8.0)),
            ];
            features.extend(terminal[idx]);
            features.extend(drops[idx].features());
            features.extend(description(simulated, panel_idx, idx, stage));
            features.extend(sign_features(simulated, panel_idx, idx, stage));
            rows.push(StabRow {
                id: pole.stab.id.clone(),
                burnt: pole.stab.condition == Condition::Burnt,
                face_c: face,
                to_neighbours_k: if faces[idx].is_some() { face - around } else { 0.0 },
                excess_k: excess,
                amps,
                measured: drops[idx].measured,
                signs_seen: signs_seen(simulated, panel_idx, idx, stage),
                features,
            });
        }
    }
    rows
}

/// Residual of the terminal's temperature over rating-typical heat, and a flag for no reading.
fn terminal_excess(simulated: &Simulated, panel_idx: usize, stage: Stage) -> Vec<[f64; 2]> {
    let Simulated { house, visit, .. } = simulated;
    let panel = &house.panels[panel_idx];
    if stage == Stage::CoverOn {
        return vec![[0.0, 1.0]; panel.poles.len()];
    }
    let points: Vec<Option<(f64, f64)>> = panel
        .poles
        .iter()
        .enumerate()
        .map(|(idx, pole)| {
            let rating = panel.breakers[pole.breaker].rating_a;
            let amps = visit.amps(stage, visit.last(), panel_idx, idx)?;
            visit.terminals_c[panel_idx][idx].map(|c| (pole_mohm(rating) * amps * amps * 1e-3, c))
        })
        .collect();
    let line = straight_line(points.iter().flatten());
    points.iter().map(|point| point.map_or([0.0, 1.0], |(x, y)| [y - line.0 - line.1 * x, 0.0])).collect()
}

/// What a drop says about a pole, beyond what its rating and the other drops make usual.
#[derive(Debug, Clone, Copy)]
struct DropExcess {
    measured: bool,
    /// Milliohms above the usual of the rating, scaled to the panel's own drops.
    mohm: f64,
    /// Log of the ratio to the usual of the rating.
    log_ratio: f64,
}

impl DropExcess {
    fn features(self) -> [f64; 4] {
        let flag = f64::from(u8::from(self.measured));
        [flag, (self.mohm.max(0.0) + 0.3).ln() * flag, self.log_ratio, self.mohm.clamp(-10.0, 30.0)]
    }
}

fn drop_excess(simulated: &Simulated, panel_idx: usize, stage: Stage) -> Vec<DropExcess> {
    let Simulated { house, visit, .. } = simulated;
    let panel = &house.panels[panel_idx];
    let mut all = vec![DropExcess { measured: false, mohm: 0.0, log_ratio: 0.0 }; panel.poles.len()];
    if stage != Stage::Drops {
        return all;
    }
    let usual = |pole: usize| pole_mohm(panel.breakers[panel.poles[pole].breaker].rating_a);
    let mut ratios: Vec<f64> = visit
        .drops
        .iter()
        .filter(|drop| drop.panel == panel_idx)
        .map(|drop| drop.mv / drop.amps / usual(drop.pole))
        .collect();
    ratios.sort_by(f64::total_cmp);
    let Some(&middle) = ratios.get(ratios.len() / 2) else { return all };
    // Burnt clips can be the most of six: the panel's factor is not believed above 1.8.
    let factor = middle.clamp(0.5, 1.8);
    for drop in visit.drops.iter().filter(|drop| drop.panel == panel_idx) {
        let mohm = drop.mv / drop.amps;
        all[drop.pole] = DropExcess {
            measured: true,
            mohm: mohm - factor * usual(drop.pole),
            log_ratio: (mohm / usual(drop.pole)).ln(),
        };
    }
    all
}

/// What the record describes of the breaker, and the panel.
fn description(simulated: &Simulated, panel_idx: usize, idx: usize, stage: Stage) -> Vec<f64> {
    let Simulated { house, visit, .. } = simulated;
    let panel = &house.panels[panel_idx];
    let breaker = &panel.breakers[panel.poles[idx].breaker];
    let rating = breaker.rating_a;
    let bus_known = visit.bus_seen && stage != Stage::CoverOn;
    let flags = [
        rating > 20.5 && rating < 31.0,
        rating > 31.0,
        breaker.class.is_heavy(),
        breaker.class == LoadClass::Spare,
        breaker.class == LoadClass::General,
        visit.list_read && breaker.other_make,
        visit.list_read && breaker.later,
        !visit.list_read,
        bus_known && panel.bus == crate::sim::house::Metal::Aluminium,
        bus_known && panel.bus == crate::sim::house::Metal::Copper,
        breaker.arc_fault,
        panel.poles[idx].space.half.is_some(),
    ];
    flags.iter().map(|&flag| f64::from(u8::from(flag))).collect()
}

/// Signs of the pole itself: seen, and looked for in vain.
const POLE_SIGNS: [Sign; 8] = [
    Sign::RoughHandle,
    Sign::TripsWithoutLoad,
    Sign::WillNotReset,
    Sign::Flicker,
    Sign::Buzz,
    Sign::Discoloration,
    Sign::MeltedCase,
    Sign::BakedInsulation,
];

fn signs_seen(simulated: &Simulated, panel: usize, pole: usize, stage: Stage) -> String {
    let here = SignPlace::Pole { panel, pole };
    let notes = simulated.visit.signs.iter();
    let seen = notes.filter(|note| note.stage <= stage && note.place == here && note.seen);
    seen.map(|note| note.sign.word()).collect::<Vec<_>>().join(" ")
}

fn sign_features(simulated: &Simulated, panel_idx: usize, idx: usize, stage: Stage) -> Vec<f64> {
    let Simulated { house, visit, .. } = simulated;
    let panel = &house.panels[panel_idx];
    let row = panel.poles[idx].row;
    let mut values = Vec::new();
    let looked = |sign: Sign, at: SignPlace| {
        visit.signs.iter().find(|note| note.stage <= stage && note.sign == sign && note.place == at)
    };
    let flag = |is: bool| f64::from(u8::from(is));
    for sign in POLE_SIGNS {
        let note = looked(sign, SignPlace::Pole { panel: panel_idx, pole: idx });
        values.push(flag(note.is_some_and(|note| note.seen)));
        values.push(flag(note.is_some_and(|note| !note.seen)));
    }
    let across = (0..panel.poles.len()).any(|other| {
        other != idx
            && panel.poles[other].row == row
            && looked(Sign::Discoloration, SignPlace::Pole { panel: panel_idx, pole: other })
                .is_some_and(|note| note.seen)
    });
    values.push(flag(across));
    for sign in [Sign::Smell, Sign::CoverDiscoloured, Sign::Moisture] {
        values.push(flag(looked(sign, SignPlace::Panel { panel: panel_idx }).is_some_and(|note| note.seen)));
    }
    let complaint = &visit.complaint;
    values.push(flag(complaint.pole == Some((panel_idx, idx))));
    values.push(flag(complaint.kind == ComplaintKind::Inspection));
    values.push(flag(matches!(
        complaint.kind,
        ComplaintKind::Smell | ComplaintKind::Heat | ComplaintKind::Noise
    )));
    values
}
