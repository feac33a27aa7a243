//! Circuits a house wishes for: class, rating, poles, words of the directory.

use super::dice::Dice;
use model::breaker::LoadClass;

/// A breaker wanted.
#[derive(Debug, Clone)]
pub(crate) struct Wish {
    pub(crate) class: LoadClass,
    pub(crate) rating_a: f64,
    pub(crate) n_poles: u16,
    pub(crate) feeds: &'static str,
    /// Does it feed a bus section or sub-panel?
    pub(crate) feeds_section: bool,
}

impl Wish {
    fn new(class: LoadClass, rating_a: f64, n_poles: u16, feeds: &'static str) -> Self {
        Wish { class, rating_a, n_poles, feeds, feeds_section: false }
    }

    /// The breaker of a section or sub-panel.
    pub(crate) fn feeder(rating_a: f64, feeds: &'static str) -> Self {
        Wish { feeds_section: true, ..Wish::new(LoadClass::Feeder, rating_a, 2, feeds) }
    }
}

/// Heavy two-pole circuits in random order.
pub(crate) fn heavy_wishes(dice: &mut Dice) -> Vec<Wish> {
    let mut wishes = Vec::new();
    if dice.chance(0.75) {
        wishes.push(Wish::new(LoadClass::Dryer, 30.0, 2, "dryer"));
    }
    if dice.chance(0.65) {
        let rating = dice.pick(&[40.0, 50.0]);
        wishes.push(Wish::new(LoadClass::Cooking, rating, 2, "range"));
    }
    if dice.chance(0.6) {
        let rating = dice.pick(&[25.0, 30.0]);
        wishes.push(Wish::new(LoadClass::WaterHeater, rating, 2, "water heater"));
    }
    if dice.chance(0.55) {
        let rating = dice.pick(&[20.0, 30.0, 40.0, 50.0]);
        wishes.push(Wish::new(LoadClass::Cooling, rating, 2, "air conditioner"));
    }
    if dice.chance(0.15) {
        let rating = dice.pick(&[40.0, 50.0, 60.0]);
        wishes.push(Wish::new(LoadClass::Vehicle, rating, 2, "vehicle charger"));
    }
    for _ in 0..dice.weighted(&[0.6, 0.25, 0.15]) {
        let rating = dice.pick(&[15.0, 20.0, 30.0]);
        wishes.push(Wish::new(LoadClass::SpaceHeat, rating, 2, "baseboard heat"));
    }
    for idx in (1..wishes.len()).rev() {
        let other = usize::from(dice.whole(0, idx as u16));
        wishes.swap(idx, other);
    }
    wishes
}

/// A one-pole branch circuit.
pub(crate) fn light_wish(dice: &mut Dice) -> Wish {
    match dice.weighted(&[0.58, 0.26, 0.09, 0.07]) {
        0 => {
            let rating = if dice.chance(0.65) { 15.0 } else { 20.0 };
            let feeds = dice.pick(&["bedroom", "living room", "hall lights", "basement lights", "outside"]);
            Wish::new(LoadClass::General, rating, 1, feeds)
        }
        1 => {
            let feeds = dice.pick(&["kitchen counter", "laundry", "bathroom", "dishwasher"]);
            Wish::new(LoadClass::SmallAppliance, 20.0, 1, feeds)
        }
        2 => {
            let rating = dice.pick(&[15.0, 20.0]);
            Wish::new(LoadClass::Motor, rating, 1, dice.pick(&["furnace fan", "refrigerator", "well pump"]))
        }
        _ => Wish::new(LoadClass::SpaceHeat, 20.0, 1, "bathroom heater"),
    }
}

/// A spare breaker.
pub(crate) fn spare_wish(dice: &mut Dice) -> Wish {
    let n_poles = if dice.chance(0.25) { 2 } else { 1 };
    let rating = if n_poles == 2 { 30.0 } else { dice.pick(&[15.0, 20.0]) };
    Wish::new(LoadClass::Spare, rating, n_poles, "spare")
}
