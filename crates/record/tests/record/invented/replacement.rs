//! Invented facts that prepare a replacement.

use super::{Dice, Facts, Known, OPENED};
use model::breaker::{LoadClass, Protection};
use model::replacement::{Carry, Found, HeldFor, PanelEnd};
use model::{Leg, Space};
use record::fact::*;
use record::text::AsText;

impl Facts {
    /// Surveyed circuits, answers to the list of surprises, a chosen layout.
    pub(super) fn replacement(&mut self, dice: &mut Dice<'_>, panels: &[Known]) {
        let Some(panel) = panels.first().filter(|_| dice.coin()) else { return };
        let slot = panel.slot(dice);
        let protection =
            |dice: &mut Dice<'_>| AsText(dice.of(&[Protection::ArcFault, Protection::ThermalMagnetic]));
        let circuit = CircuitSurveyed {
            name: dice.maybe(Dice::name).unwrap_or_default(),
            poles: dice.maybe(|dice| 1 + dice.below(2) as u8),
            rating_a: dice.maybe(|dice| dice.of(&[15.0, 20.0, 30.0])),
            feeds: dice.words(),
            room: dice.maybe(Dice::name).unwrap_or_default(),
            class: dice.maybe(|dice| AsText(dice.of(&[LoadClass::General, LoadClass::Dryer]))),
            conductor: dice.conductor(),
            multiwire: dice.maybe(Dice::coin),
            uses_neutral: dice.maybe(Dice::coin),
            grounded: dice.maybe(Dice::coin),
            protection: dice.maybe(protection),
            protection_after: dice.maybe(protection),
            continuous: dice.maybe(Dice::coin),
            motor: dice.maybe(Dice::coin),
            together: dice.maybe(Dice::name).unwrap_or_default(),
            words: dice.words(),
            ..CircuitSurveyed::blank(slot.clone())
        };
        self.add(dice, OPENED.at(16, 40, 0, 0), Box::new(circuit));
        for question in ["short-conductors", "no-label"] {
            let answer = SurpriseAnswered {
                question: question.to_owned(),
                answer: AsText(dice.of(&[Found::Yes, Found::No, Found::Unknown])),
                slot: dice.maybe(|_| AsText(slot.clone())),
                carry: dice.maybe(|dice| AsText(dice.of(&[Carry::Allowance, Carry::Exclusion]))),
                hours: dice.maybe(|_| 1.5),
                cost_usd: dice.maybe(|dice| dice.below(900) as u32),
                charged: dice.maybe(Dice::coin),
                words: dice.words(),
            };
            self.add(dice, OPENED.at(16, 41, 0, 0), answer);
        }
        let space = |number| AsText(Space::whole(number));
        let layout = LayoutChosen {
            panel: AsText(slot.panel.clone()),
            spaces: 30,
            columns: dice.of(&[1, 2]),
            first_leg: AsText(dice.of(&[Leg::A, Leg::B])),
            fed_at: dice.maybe(|dice| AsText(dice.of(&[PanelEnd::Top, PanelEnd::Bottom]))),
            half_width: dice.maybe(|_| HalfWidthDescribed::In(vec![29, 30])),
            bus_rating_a: dice.maybe(|_| 200.0),
            main_a: dice.maybe(|_| 125.0),
            stab_limit_a: dice.maybe(|_| 110.0),
            cabinet: CabinetDescribed::default(),
            seats: vec![
                SeatChosen {
                    circuit: Some(AsText(slot)),
                    new: None,
                    to: vec![space(5)],
                    locked: dice.coin(),
                },
                SeatChosen { circuit: None, new: Some(dice.name()), to: vec![space(6)], locked: false },
            ],
            held: if dice.coin() {
                vec![SpacesHeld { spaces: vec![space(1), space(3)], held_for: AsText(HeldFor::Generator) }]
            } else {
                Vec::new()
            },
            aim: dice.maybe(Dice::name).unwrap_or_default(),
            words: dice.words(),
        };
        self.add(dice, OPENED.at(16, 42, 0, 0), Box::new(layout));
    }
}
