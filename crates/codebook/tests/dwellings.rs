//! Random dwellings.

use codebook::load::{Dwelling, Item, Rating, Use, Wires};
use model::System;
use proptest::prelude::*;

/// A nameplate in whole volt-amperes.
fn plate(least: u32, most: u32) -> impl Strategy<Value = Rating> {
    (least..=most).prop_map(|va| Rating::Va(f64::from(va)))
}

fn wires() -> impl Strategy<Value = Wires> {
    prop_oneof![Just(Wires::LineToNeutral), Just(Wires::LineToLine)]
}

/// Any appliance but heating and cooling.
pub(crate) fn appliance() -> impl Strategy<Value = Item> {
    prop_oneof![
        (plate(1751, 20_000), prop_oneof![Just(Use::Range), Just(Use::WallOven), Just(Use::Cooktop)])
            .prop_map(|(rating, kind)| Item::new("cooking", kind, rating)),
        plate(3000, 8000).prop_map(|rating| Item::new("dryer", Use::Dryer, rating)),
        (plate(500, 9000), wires())
            .prop_map(|(rating, on)| Item::new("appliance", Use::Appliance, rating).on(on)),
        (plate(300, 5000), wires()).prop_map(|(rating, on)| Item::new("motor", Use::Motor, rating).on(on)),
        plate(1000, 19_200).prop_map(|rating| Item::new("charger", Use::Ev, rating)),
    ]
}

/// Heating and cooling: at most one of each, as houses have them.
fn hvac() -> impl Strategy<Value = Vec<Item>> {
    let cooling = proptest::option::of(
        plate(1000, 9000)
            .prop_map(|rating| Item::new("air conditioner", Use::Cooling, rating).on(Wires::LineToLine)),
    );
    let heat =
        proptest::option::of((plate(1000, 25_000), 1u32..8).prop_map(|(rating, controls)| {
            Item::new("heat", Use::Heat { controls: Some(controls) }, rating)
        }));
    let pump = proptest::option::of((plate(2000, 9000), 0u32..20_000, any::<bool>()).prop_map(
        |(rating, va, together)| {
            let supplement = Some(Rating::Va(f64::from(va)));
            Item::new("heat pump", Use::HeatPump { supplement, together: Some(together) }, rating)
        },
    ));
    let blower = proptest::option::of(
        plate(200, 1500)
            .prop_map(|rating| Item::new("blower", Use::AirHandler, rating).on(Wires::LineToNeutral)),
    );
    (cooling, heat, pump, blower).prop_map(|(a, b, c, d)| [a, b, c, d].into_iter().flatten().collect())
}

/// A dwelling of which everything is known.
pub(crate) fn dwelling() -> impl Strategy<Value = Dwelling> {
    let system = prop_oneof![Just(System::SplitPhase), Just(System::TwoLegsOfWye)];
    (system, 200u32..6000, 2u32..6, 0u32..3, proptest::collection::vec(appliance(), 0..9), hvac()).prop_map(
        |(system, floor, small, laundry, mut items, hvac)| {
            items.extend(hvac);
            for (idx, item) in items.iter_mut().enumerate() {
                item.name = format!("{} {idx}", item.name);
            }
            Dwelling {
                system,
                floor_ft2: Some(f64::from(floor)),
                adaptable_ft2: Some(0.0),
                adaptable_garage_ft2: Some(0.0),
                small_appliance_circuits: Some(small),
                laundry_circuits: Some(laundry),
                items,
                managed: vec![],
            }
        },
    )
}
