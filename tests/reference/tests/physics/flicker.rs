//! Flicker.

use model::Voltage;
use physics::flicker::{Visibility, visibility};

/// Source: derived rule: an intermittent joint at 15 A that flickers by 2 V is 1.7 % of 120 V and visible; thresholds
/// 0.3 % and 1 % from a trade journal article.
#[test]
fn val_two_volts_of_120_are_visible() {
    let at = |dip: f64| visibility(Voltage::from_v(dip), Voltage::from_v(120.0)).expect("in range");
    assert_eq!(at(2.0), Visibility::Visible);
    assert_eq!(at(0.3), Visibility::BelowPerception);
    assert_eq!(at(0.6), Visibility::Possible);
}
