//! Time of ten thousand dwellings through all methods. Asserted where the build is optimised; printed always.

use crate::dwellings::dwelling;
use codebook::Edition;
use codebook::load::{Basis, MeasuredDemand, Readings, existing, measured, optional, standard, two_family};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;

#[test]
fn ten_thousand_dwellings_by_all_methods() {
    let n = if cfg!(debug_assertions) { 500 } else { 10_000 };
    let mut runner = TestRunner::deterministic();
    let dwellings: Vec<_> =
        (0..n).map(|_| dwelling().new_tree(&mut runner).expect("it can be made").current()).collect();
    let demand = MeasuredDemand {
        least_kw: 5.0,
        most_kw: 9.0,
        basis: Basis::Year { interval_min: 60 },
        own_generation: Some(false),
        occupied: Some(true),
        season_included: Some(true),
        power_factor: None,
    };
    let book = crate::book();
    let law = book.edition(Edition::Y2020);
    let readings = Readings::default();
    let start = std::time::Instant::now();
    let mut sum = 0.0;
    for pair in dwellings.chunks(2) {
        for dwelling in pair {
            sum += standard(&law, dwelling, &readings).expect("all is known").load_a;
            sum += optional(&law, dwelling, &readings).expect("all is known").load_a;
            sum += existing(&law, dwelling, &readings).expect("all is known").load_a;
            sum += measured(&law, dwelling, &demand, &readings).expect("all is known").load_a;
        }
        if let [one, two] = pair {
            sum += two_family(&law, [one, two], &readings).expect("all is known").load_a;
        }
    }
    let took = start.elapsed();
    println!("{n} dwellings, five methods with workings: {took:?} ({sum:.0} A in all)");
    assert!(0.0 < sum);
    if !cfg!(debug_assertions) {
        assert!(took.as_secs_f64() < 2.0, "{took:?}");
    }
}
