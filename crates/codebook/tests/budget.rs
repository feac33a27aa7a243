//! Time of ten thousand dwellings through all methods: of the processor where the system tells it, since a busy
//! machine says nothing of the program. Asserted where the build is optimised; printed always.

use crate::dwellings::dwelling;
use codebook::Edition;
use codebook::load::{Basis, MeasuredDemand, Readings, existing, measured, optional, standard, two_family};
use proptest::strategy::{Strategy, ValueTree};
use proptest::test_runner::TestRunner;

/// Seconds of the processor that this thread has had, where the system tells.
fn processor_s() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split_whitespace().next()?.parse::<f64>().ok().map(|ns| ns * 1e-9)
}

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
    let (start, before) = (std::time::Instant::now(), processor_s());
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
    let wall_s = start.elapsed().as_secs_f64();
    let took_s = processor_s().zip(before).map_or(wall_s, |(now, before)| now - before);
    println!(
        "{n} dwellings, five methods with workings: {took_s:.2} s of processor, {wall_s:.2} s in all ({sum:.0} A)"
    );
    assert!(0.0 < sum);
    if !cfg!(debug_assertions) {
        assert!(took_s < 2.0, "{took_s}");
    }
}
