//! The metrics against scikit-learn, on 300 points with ties (`scripts/metrics_fixture.py`).

use super::calibration::{brier, equal_width, expected_error, log_loss};
use super::ranking::{Scored, auc, average_precision, false_alarms_at};

const POINTS: &str = include_str!("../../fixtures/metrics_points.csv");
const EXPECTED: &str = include_str!("../../fixtures/metrics_expected.csv");

#[test]
fn val_metrics_agree_with_scikit_learn() {
    let all: Vec<Scored> = POINTS
        .lines()
        .skip(1)
        .map(|line| {
            let (score, burnt) = line.split_once(',').expect("two columns");
            Scored { score: score.parse().expect("a number"), burnt: burnt == "1" }
        })
        .collect();
    let mut n_checked = 0;
    for line in EXPECTED.lines().skip(1) {
        let (name, value) = line.split_once(',').expect("two columns");
        let expected: f64 = value.parse().expect("a number");
        let ours = match name {
            "auc" => auc(&all),
            "average_precision" => average_precision(&all),
            "brier" => Some(brier(&all)),
            "log_loss" => Some(log_loss(&all)),
            "false_alarms_90" => false_alarms_at(&all, 0.9),
            "calibration_error_width" => Some(expected_error(&equal_width(&all, 10))),
            _ => None,
        };
        let ours = ours.expect("a metric of ours");
        // Printed with twelve places.
        assert!((ours - expected).abs() < 1e-11, "{name}: {ours} against {expected}");
        n_checked += 1;
    }
    assert_eq!((all.len(), n_checked), (300, 6));
}
