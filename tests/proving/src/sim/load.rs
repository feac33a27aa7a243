//! What the house draws: hours before the visit, then the load states of the visit.

use super::dice::Dice;
use super::house::{House, SimFeed, SimPanel};
use model::breaker::LoadClass;

/// Currents of every pole of every panel, amperes, in the order of the poles.
pub(crate) type Currents = Vec<Vec<f64>>;

/// A stretch of constant load.
#[derive(Debug, Clone)]
pub(crate) struct Stretch {
    pub(crate) minutes: f64,
    pub(crate) currents: Currents,
}

/// A load state of the visit.
#[derive(Debug, Clone)]
pub(crate) struct SimState {
    pub(crate) name: &'static str,
    pub(crate) words: &'static str,
    pub(crate) stretch: Stretch,
    /// What the record says about how long it was held, minutes.
    pub(crate) told_min: Option<f64>,
}

/// The loads of one house.
#[derive(Debug, Clone)]
pub(crate) struct Loads {
    /// Before the visit; the record says nothing of it.
    pub(crate) before: Vec<Stretch>,
    pub(crate) states: Vec<SimState>,
}

/// Draws the loads: one to four hours before the visit, then one to three states.
pub(crate) fn draw_loads(dice: &mut Dice, house: &House) -> Loads {
    let plates = plates(dice, house);
    let n_before = usize::from(dice.whole(1, 3));
    let hours = dice.uniform(1.0, 4.0);
    let mut before = Vec::new();
    let mut running = run_all(dice, house, &plates, None, 0.35);
    for _ in 0..n_before {
        running = run_all(dice, house, &plates, Some(&running), 0.35);
        let currents = shed(dice, house, &mut running);
        before.push(Stretch { minutes: hours * 60.0 / n_before as f64, currents });
    }
    let n_states = 1 + dice.weighted(&[0.3, 0.45, 0.25]);
    let names = [
        ("as found", "as the house was found"),
        ("loads on", "heavy appliances switched on"),
        ("more loads", "further appliances switched on"),
    ];
    let mut states = Vec::new();
    for (nth, (name, words)) in names.into_iter().take(n_states).enumerate() {
        // A technician who comes for one look only has the heavy loads run beforehand, half of the time.
        let heavy_share = match nth {
            0 if n_states == 1 => 0.5,
            0 => 0.3,
            1 => 0.75,
            _ => 0.9,
        };
        running = run_all(dice, house, &plates, Some(&running), heavy_share);
        let currents = shed(dice, house, &mut running);
        let minutes = if nth == 0 { dice.uniform(15.0, 90.0) } else { dice.uniform(12.0, 60.0) };
        let told = (minutes * dice.uniform(0.85, 1.15)).round();
        states.push(SimState {
            name,
            words,
            stretch: Stretch { minutes, currents },
            told_min: (nth > 0 || dice.chance(0.4)).then_some(told),
        });
    }
    Loads { before, states }
}

/// Running current of each breaker's load when it is on, amperes.
fn plates(dice: &mut Dice, house: &House) -> Vec<Vec<f64>> {
    house
        .panels
        .iter()
        .map(|panel| {
            panel
                .breakers
                .iter()
                .map(|breaker| {
                    let rating = breaker.rating_a;
                    let drawn = match breaker.class {
                        LoadClass::Dryer => dice.uniform(19.0, 25.0),
                        LoadClass::Cooking => dice.uniform(0.2, 0.8) * rating,
                        LoadClass::WaterHeater => dice.pick(&[14.6, 18.75, 18.75, 22.9]),
                        LoadClass::Cooling => dice.uniform(0.4, 0.8) * rating,
                        LoadClass::SpaceHeat => dice.uniform(0.35, 0.85) * rating,
                        LoadClass::Vehicle => 0.8 * rating,
                        LoadClass::SmallAppliance => dice.uniform(2.0, 13.0),
                        LoadClass::Motor => dice.uniform(2.0, 9.0),
                        LoadClass::General => dice.exponential(2.2),
                        _ => 0.0,
                    };
                    // One circuit in forty is simply overloaded.
                    let overloaded = drawn > 0.0 && breaker.class != LoadClass::General && dice.chance(0.025);
                    if overloaded { rating * dice.uniform(1.02, 1.2) } else { drawn.min(0.95 * rating) }
                })
                .collect()
        })
        .collect()
}

/// Currents with each heavy load on with this probability; loads that ran may keep running.
fn run_all(
    dice: &mut Dice,
    house: &House,
    plates: &[Vec<f64>],
    last: Option<&Currents>,
    heavy_share: f64,
) -> Currents {
    let mut all = Vec::new();
    for (panel_idx, panel) in house.panels.iter().enumerate() {
        let mut currents = vec![0.0; panel.poles.len()];
        for (idx, breaker) in panel.breakers.iter().enumerate() {
            let poles: Vec<usize> = panel.poles_of(idx).map(|(pole, _)| pole).collect();
            let plate = plates[panel_idx][idx];
            let before = last.map_or(0.0, |last| last[panel_idx][poles[0]]);
            let kept = dice.chance(0.6) && last.is_some();
            let on = match breaker.class {
                LoadClass::Spare | LoadClass::Feeder => false,
                LoadClass::General => dice.chance(0.7),
                LoadClass::SmallAppliance => dice.chance(0.3 + 0.3 * heavy_share),
                LoadClass::Motor => dice.chance(0.4),
                _ => dice.chance(heavy_share) || kept && before > 0.0,
            };
            let light = matches!(breaker.class, LoadClass::General | LoadClass::Motor);
            let current = if light && kept {
                before
            } else if on {
                plate * dice.uniform(0.95, 1.05)
            } else {
                0.0
            };
            // A dryer's motor and a range's clock and fan run from one leg.
            let extra = if breaker.uses_neutral && poles.len() == 2 && current > 0.0 { 3.5 } else { 0.0 };
            for (nth, pole) in poles.into_iter().enumerate() {
                currents[pole] = current + if nth == 0 { extra } else { 0.0 };
            }
        }
        all.push(currents);
    }
    all
}

/// Share of its rating that a service leg carries at most, and a breaker that feeds a section. More would not
/// last until a technician comes.
const MOST_SERVICE: f64 = 0.8;
const MOST_FEEDER: f64 = 0.97;

/// Switches running loads off, one by one at random, until no service leg or feeding breaker carries too much.
/// Returns the currents with the feeding breakers' own.
fn shed(dice: &mut Dice, house: &House, running: &mut Currents) -> Currents {
    loop {
        let full = with_feeders(house, running.clone());
        let Some((panel_idx, section)) = too_much(house, &full) else { return full };
        let panel = &house.panels[panel_idx];
        let mut weights = vec![0.0; panel.poles.len()];
        for (weight, (pole, current)) in weights.iter_mut().zip(panel.poles.iter().zip(&running[panel_idx])) {
            if pole.section == section {
                *weight = *current;
            }
        }
        if weights.iter().sum::<f64>() < 0.1 {
            // All that is left comes from a section further down: shed there.
            for currents in running.iter_mut().flatten() {
                *currents *= 0.8;
            }
            continue;
        }
        let breaker = panel.poles[dice.weighted(&weights)].breaker;
        for (pole, _) in panel.poles_of(breaker) {
            running[panel_idx][pole] = 0.0;
        }
    }
}

/// A panel and section that carry too much.
fn too_much(house: &House, currents: &Currents) -> Option<(usize, usize)> {
    for (panel_idx, panel) in house.panels.iter().enumerate().rev() {
        for (section_idx, section) in panel.sections.iter().enumerate().rev() {
            let legs = section_currents(panel, &currents[panel_idx], section_idx);
            let most = match section.feed {
                SimFeed::Lugs | SimFeed::Main { .. } => MOST_SERVICE * panel.bus_rating_a,
                SimFeed::Breaker { panel: up, breaker } => {
                    MOST_FEEDER * house.panels[up].breakers[breaker].rating_a
                }
            };
            if legs[0].max(legs[1]) > most {
                return Some((panel_idx, section_idx));
            }
        }
    }
    None
}

/// Gives the breakers that feed sections the sum of what hangs on them, from the last panel and section up.
fn with_feeders(house: &House, mut currents: Currents) -> Currents {
    for panel_idx in (0..house.panels.len()).rev() {
        let panel = &house.panels[panel_idx];
        for section_idx in (0..panel.sections.len()).rev() {
            if let SimFeed::Breaker { panel: up, breaker } = panel.sections[section_idx].feed {
                let legs = section_currents(panel, &currents[panel_idx], section_idx);
                for (pole, feeding) in house.panels[up].poles_of(breaker) {
                    currents[up][pole] = legs[feeding.leg];
                }
            }
        }
    }
    currents
}

/// Current of each leg into a section.
pub(crate) fn section_currents(panel: &SimPanel, currents: &[f64], section: usize) -> [f64; 2] {
    let mut legs = [0.0; 2];
    for (pole, current) in panel.poles.iter().zip(currents) {
        if pole.section == section {
            legs[pole.leg] += current;
        }
    }
    legs
}

/// Neutral current of each branch circuit's own terminal and of the whole panel, amperes. Resistive loads:
/// currents of the two legs oppose each other in the neutral.
pub(crate) fn neutral_currents(panel: &SimPanel, currents: &[f64]) -> (Vec<f64>, f64) {
    let mut net = 0.0;
    let branch = (0..panel.breakers.len())
        .map(|idx| {
            let breaker = &panel.breakers[idx];
            let poles: Vec<(usize, usize)> =
                panel.poles_of(idx).map(|(pole_idx, pole)| (pole_idx, pole.leg)).collect();
            let own: f64 = poles
                .iter()
                .map(|&(pole, leg)| if leg == 0 { currents[pole] } else { -currents[pole] })
                .sum();
            net += own;
            if breaker.uses_neutral { own.abs() } else { 0.0 }
        })
        .collect();
    (branch, net)
}
