//! A larger load never gives a smaller conductor; a hotter or fuller place never a higher ampacity.

use codebook::size::{Conditions, Load, ampacity, conductor, dwelling_service, voltage_drop};
use codebook::{Column, Edition};
use model::conductor::{Metal, WireSize};
use proptest::prelude::*;

fn conditions() -> impl Strategy<Value = Conditions> {
    let metal = prop_oneof![Just(Metal::Copper), Just(Metal::Aluminium)];
    let column = prop_oneof![Just(Column::C60), Just(Column::C75), Just(Column::C90)];
    let terminals = proptest::option::of(prop_oneof![Just(Column::C60), Just(Column::C75)]);
    (metal, column, terminals, -10.0..50.0f64, 1u32..20).prop_map(
        |(metal, insulation, terminals, ambient_c, n_carrying)| Conditions {
            metal,
            insulation,
            terminals,
            ambient_c,
            n_carrying,
            nonmetallic_cable: false,
        },
    )
}

fn edition() -> impl Strategy<Value = Edition> {
    (0..Edition::ALL.len()).prop_map(|idx| Edition::ALL[idx])
}

fn mils(size: WireSize) -> f64 {
    size.circular_mils()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]
    #[test]
    fn more_load_never_a_thinner_wire(
        conditions in conditions(), edition in edition(), a in 1.0..150.0f64, c in 0.0..80.0f64, more in 0.0..50.0f64
    ) {
        let book = crate::book();
        let law = book.edition(edition);
        let size = |n, c| conductor(&law, Load { noncontinuous_a: n, continuous_a: c }, &conditions).map(|sized| mils(sized.value));
        match (size(a, c), size(a + more, c), size(a, c + more)) {
            (Ok(before), after, continuous) => {
                prop_assert!(after.map_or(true, |after| before <= after));
                prop_assert!(continuous.map_or(true, |after| before <= after));
            }
            (Err(_), after, continuous) => prop_assert!(after.is_err() && continuous.is_err()),
        }
    }

    #[test]
    fn hotter_or_fuller_is_never_more(conditions in conditions(), edition in edition(), hotter in 0.0..30.0f64, fuller in 0u32..20) {
        let book = crate::book();
        let law = book.edition(edition);
        let worse = Conditions {
            ambient_c: conditions.ambient_c + hotter,
            n_carrying: conditions.n_carrying + fuller,
            ..conditions.clone()
        };
        for size in [WireSize::Awg(10), WireSize::Awg(2), WireSize::Aught(4)] {
            if let (Ok(before), Ok(after)) = (ampacity(&law, size, &conditions, 60.0), ampacity(&law, size, &worse, 60.0)) {
                prop_assert!(after.value <= before.value);
            }
        }
    }

    #[test]
    fn a_larger_service_never_a_thinner_wire(edition in edition(), idx in 0usize..10, hot in 30.0..50.0f64) {
        let ratings = [100.0, 110.0, 125.0, 150.0, 175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0];
        let book = crate::book();
        let law = book.edition(edition);
        for metal in [Metal::Copper, Metal::Aluminium] {
            let conditions = Conditions { ambient_c: hot, ..Conditions::plain(metal) };
            let size = |rating| dwelling_service(&law, rating, &conditions, true).map(|sized| mils(sized.value.size));
            if let (Ok(small), Ok(large)) = (size(ratings[idx]), size(ratings[idx + 1])) {
                prop_assert!(small <= large);
            }
        }
    }

    #[test]
    fn drop_grows_with_length_and_current(length in 1.0..500.0f64, amps in 1.0..100.0f64, more in 1.0..2.0f64) {
        let book = crate::book();
        let law = book.edition(Edition::Y2020);
        let wire = (WireSize::Awg(6), Metal::Copper, codebook::size::Raceway::Steel);
        let drop = |l, a| voltage_drop(&law, wire, l, a, 240.0, 0.9).expect("in range").value.volts;
        prop_assert!(drop(length, amps) <= drop(length * more, amps));
        prop_assert!(drop(length, amps) <= drop(length, amps * more));
    }
}
