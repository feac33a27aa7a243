//! More load never gives a smaller service; order and unit of entry change nothing.

use crate::dwellings::{appliance, dwelling};
use codebook::Edition;
use codebook::load::{Dwelling, Rating, Readings, Sheet, Use, existing, optional, standard, two_family};
use proptest::prelude::*;

const VERIFIED: [Edition; 6] =
    [Edition::Y2008, Edition::Y2011, Edition::Y2014, Edition::Y2017, Edition::Y2020, Edition::Y2023];

type Method = fn(&codebook::Law<'_>, &Dwelling, &Readings) -> Result<Sheet, codebook::load::Blocked>;
const METHODS: [Method; 3] = [standard, optional, existing];

fn edition() -> impl Strategy<Value = Edition> {
    (0..VERIFIED.len()).prop_map(|idx| VERIFIED[idx])
}

/// Does the sheet count air conditioning at 125 % because heating is larger?
fn is_lifted(sheet: &Sheet) -> bool {
    let inputs = sheet.lines.iter().flat_map(|line| &line.working.inputs);
    inputs.into_iter().any(|input| input.meaning.ends_with("air conditioning × 1.25"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    /// A larger nameplate never gives a smaller load, by any method and in any edition that is open, but for two steps
    /// that the code itself has: a cooking appliance that grows into another column of its table; and, where 220.60 asks
    /// for 125 % of an air conditioner that is smaller than the heating, one that grows past it and no longer is.
    #[test]
    fn a_larger_nameplate_never_gives_less(
        dwelling in dwelling(), edition in edition(), at in any::<prop::sample::Index>(), more in 1u32..9000
    ) {
        prop_assume!(!dwelling.items.is_empty());
        let book = crate::book();
        let law = book.edition(edition);
        let mut larger = dwelling.clone();
        let item = &mut larger.items[at.index(dwelling.items.len())];
        if let Some(Rating::Va(va)) = item.rating {
            let column = |va: f64| [3500.0, 8750.001].iter().filter(|from| **from <= va).count();
            let cooks = matches!(item.kind, Use::Range | Use::WallOven | Use::Cooktop);
            let grown = va + f64::from(more);
            prop_assume!(!cooks || column(va) == column(grown));
            item.rating = Some(Rating::Va(grown));
        }
        let changed = item.clone();
        for method in METHODS {
            let (before, after) = (method(&law, &dwelling, &Readings::default()), method(&law, &larger, &Readings::default()));
            let (before, after) = (before.expect("all is known"), after.expect("all is known"));
            if is_lifted(&before) && !is_lifted(&after) {
                continue;
            }
            prop_assert!(before.load_a <= after.load_a, "{} then {}: {changed:?}", before.amps, after.amps);
            prop_assert!(before.least_service_a <= after.least_service_a);
        }
    }

    /// Another appliance never gives a smaller load, but for the two steps that the code itself has: the fourth
    /// fastened-in-place appliance brings the factor of 75 % for all, the fifth dryer one of 85 %.
    #[test]
    fn another_appliance_never_gives_less(dwelling in dwelling(), edition in edition(), one_more in appliance()) {
        let book = crate::book();
        let law = book.edition(edition);
        let mut more = dwelling.clone();
        let mut one_more = one_more;
        one_more.name = "one more".to_owned();
        let n = |kind: &Use| dwelling.items.iter().filter(|item| item.kind == *kind).count();
        let step = (one_more.kind == Use::Appliance && n(&Use::Appliance) == 3)
            || (one_more.kind == Use::Dryer && 4 <= n(&Use::Dryer));
        more.items.push(one_more.clone());
        for (idx, method) in METHODS.into_iter().enumerate() {
            if idx == 0 && step {
                continue;
            }
            let before = method(&law, &dwelling, &Readings::default()).expect("all is known");
            let after = method(&law, &more, &Readings::default()).expect("all is known");
            prop_assert!(before.load_a <= after.load_a, "{} then {}: {one_more:?}", before.amps, after.amps);
        }
    }

    /// Neither the order of the appliances nor the unit of their nameplates changes a result, to the last bit.
    #[test]
    fn order_and_unit_change_nothing(dwelling in dwelling(), edition in edition(), seed in any::<u64>()) {
        let book = crate::book();
        let law = book.edition(edition);
        let mut other = dwelling.clone();
        let n = other.items.len();
        if 1 < n {
            other.items.rotate_left(seed as usize % n);
            other.items.swap(0, n - 1);
        }
        for (idx, item) in other.items.iter_mut().enumerate() {
            if let Some(Rating::Va(va)) = item.rating {
                item.rating = Some(match (seed >> (idx % 32)) % 3 {
                    0 => Rating::Kw(va / 1000.0),
                    1 => Rating::Amps { amps: va / 240.0, volts: 240.0 },
                    _ => Rating::Va(va),
                });
            }
        }
        for method in METHODS {
            let one = method(&law, &dwelling, &Readings::default()).expect("all is known");
            let two = method(&law, &other, &Readings::default()).expect("all is known");
            prop_assert_eq!(one.amps.to_bits(), two.amps.to_bits());
            prop_assert_eq!(one.neutral.map(|neutral| neutral.amps.to_bits()), two.neutral.map(|neutral| neutral.amps.to_bits()));
        }
    }

    /// The default readings are never below any other reading; the workings add up; the parts are never negative.
    #[test]
    fn the_default_is_the_careful_one(dwelling in dwelling(), edition in edition()) {
        let book = crate::book();
        let law = book.edition(edition);
        for method in METHODS {
            let careful = method(&law, &dwelling, &Readings::default()).expect("all is known");
            for reading in codebook::load::Reading::ALL {
                let other = method(&law, &dwelling, &Readings::default().with_other(reading)).expect("all is known");
                prop_assert!(other.load_a <= careful.load_a, "{reading:?}: {} above {}", other.amps, careful.amps);
            }
            let sum: f64 = careful.lines.iter().map(|line| line.va()).sum();
            prop_assert!((sum - careful.total_va).abs() < 1e-6);
            for line in &careful.lines {
                prop_assert!(0.0 <= line.neutral_va && 0.0 <= line.legs_va, "{line:?}");
                prop_assert!(!line.working.cite.place.is_empty(), "{line:?}");
            }
        }
    }

    /// Two dwellings never need less than the larger of them alone, nor more than the standard sum of both.
    #[test]
    fn two_dwellings_lie_between(one in dwelling(), edition in edition()) {
        let book = crate::book();
        let law = book.edition(edition);
        let both = two_family(&law, [&one, &one], &Readings::default()).expect("all is known");
        let single = standard(&law, &one, &Readings::default()).expect("all is known");
        prop_assert!(both.total_va <= 2.0 * single.total_va + 1e-6, "{} {}", both.total_va, single.total_va);
    }
}

/// What is unknown is asked, all at once, and nothing is computed.
#[test]
fn unknown_inputs_are_asked_at_once() {
    let book = crate::book();
    let law = book.edition(Edition::Y2023);
    let mut dwelling = Dwelling::unknown(model::System::SplitPhase);
    dwelling.items.push(codebook::load::Item {
        name: "water heater".to_owned(),
        kind: Use::Appliance,
        rating: None,
        wires: None,
        motor: None,
        status: Default::default(),
        managed: None,
    });
    for method in METHODS {
        let Err(codebook::load::Blocked::Ask(asked)) = method(&law, &dwelling, &Readings::default()) else {
            panic!("nothing is known");
        };
        // Area, unfinished space, garage, circuits of two kinds, nameplate and wires.
        assert_eq!(asked.len(), 7, "{asked:#?}");
    }
    let law = book.edition(Edition::Y2026);
    dwelling.items.clear();
    let refused = optional(&law, &dwelling, &Readings::default());
    assert!(matches!(refused, Err(codebook::load::Blocked::Ask(_))), "{refused:?}");
}
