//! The simulator: invented houses with known truth, and what a technician would record of them.

pub(crate) mod dice;
mod electric;
mod excess;
pub(crate) mod heat;
pub(crate) mod house;
pub(crate) mod job_text;
pub(crate) mod layout;
pub(crate) mod load;
mod look;
mod observe;
pub(crate) mod truth;
pub(crate) mod visit;
mod wish;

use dice::Dice;
pub(crate) use excess::{excess_k, straight_line};
use house::House;
use load::Loads;
use visit::{Stage, Visit};

/// A simulated house with its loads, its truth and the record of the visit.
#[derive(Debug, Clone)]
pub(crate) struct Simulated {
    pub(crate) house: House,
    pub(crate) loads: Loads,
    pub(crate) visit: Visit,
}

impl Simulated {
    /// Simulates the house with this index of a run. Same seed and index, same house, but for the poles of which this share has bad
    /// contacts of their own.
    pub(crate) fn new(seed: u64, idx: u64, bad_contacts: f64) -> Self {
        let mut dice = Dice::for_panel(seed, idx);
        let mut house = layout::draw_house(&mut dice, format!("s{seed}-{idx:05}"));
        truth::settle(&mut dice, &mut house);
        truth::wear_contacts(&mut Dice::for_contacts(seed, idx), &mut house, bad_contacts);
        let loads = load::draw_loads(&mut dice, &house);
        let cover_off_min = dice.uniform(3.0, 15.0);
        let stories: Vec<heat::Story> = (0..house.panels.len())
            .map(|panel| {
                let wall_c = house.room_c + dice.uniform(-3.0, 3.0);
                heat::march(&house, panel, &loads, wall_c, cover_off_min)
            })
            .collect();
        let visit = observe::observe(&mut dice, &house, &loads, &stories);
        Simulated { house, loads, visit }
    }

    /// Text of the job file at a stage.
    pub(crate) fn job_text(&self, stage: Stage) -> String {
        job_text::job_text(&self.house, &self.loads, &self.visit, stage)
    }
}

#[cfg(test)]
mod tests {
    use super::Simulated;

    /// Bad contacts are added to some poles and change nothing else of the house.
    #[test]
    fn bad_contacts_change_poles_alone() {
        let (good, bad) = (Simulated::new(7, 3, 0.0).house, Simulated::new(7, 3, 0.5).house);
        let (mut n_bad, mut n) = (0, 0);
        for (good, bad) in good.panels.iter().zip(&bad.panels) {
            for (good, bad) in good.poles.iter().zip(&bad.poles) {
                assert!(good.pole_mohm == bad.pole_mohm || good.pole_mohm + 1.0 < bad.pole_mohm);
                n_bad += usize::from(good.pole_mohm < bad.pole_mohm);
                n += 1;
            }
        }
        assert!(n / 5 < n_bad && n_bad < n * 4 / 5, "{n_bad} of {n}");
        assert!(good.joints().zip(bad.joints()).all(|(good, bad)| good.mohm == bad.mohm));
    }
}
