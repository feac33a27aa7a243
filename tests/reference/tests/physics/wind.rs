//! Wind.

use physics::wind::{Surroundings, WindError, rise_in_still_air_k, rise_ratio};
use reference::assert_within;

/// A14. Source: instrument maker's page on wind in thermography: contact 41.7 °C, air 22.2 °C, with a fan of
/// 1.8 m/s 37.6 °C. The ratio 1.27 is derived from it, to 1 %.
#[test]
fn val_bench_with_a_fan() {
    assert_within(1.27, rise_ratio(41.7, 37.6, 22.2).expect("warm"), 0.0127, "1 %, list of checks");
    let corrected = rise_in_still_air_k(37.6 - 22.2, 1.8, Surroundings::Outdoors).expect("in range");
    assert!(corrected.low <= 41.7 - 22.2 + 0.06 && 41.7 - 22.2 <= corrected.high + 0.06, "{corrected:?}");
}

/// Source: same page: about 4.5 m/s halves the rise, about 6.7 m/s cuts it to a third.
#[test]
fn val_halved_and_cut_to_a_third() {
    for (speed, factor) in [(4.5, 2.0), (6.7, 3.0)] {
        let rise = rise_in_still_air_k(10.0, speed, Surroundings::Outdoors).expect("in range");
        assert!(rise.holds(10.0 * factor), "{speed}: {rise:?}");
    }
}

/// Source: common practice, no source: indoors the fan is removed and nothing is corrected.
#[test]
fn verif_indoors_is_refused() {
    assert_eq!(rise_in_still_air_k(10.0, 0.5, Surroundings::Indoors), Err(WindError::Indoors));
}
