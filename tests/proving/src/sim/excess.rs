//! The load-corrected difference: how much warmer a face is than its load makes it. A field rule that needs no
//! model; used to choose suspects for drops, and as a baseline.

use super::house::House;
use super::truth::pole_mohm;
use super::visit::{Stage, Visit};

/// Exponent of temperature rise against current, the middle of 1.6 to 2.0.
const EXPONENT: f64 = 1.8;
/// Current assumed for a pole that nobody measured, as a share of its rating.
const UNKNOWN_SHARE: f64 = 0.1;

/// Load-corrected excess of each face in a state, K: residual of a straight line of face temperature over the
/// heat that a usual pole of the rating makes, fitted over the panel. `None` where there is no face reading.
pub(crate) fn excess_k(house: &House, visit: &Visit, stage: Stage, state: usize) -> Vec<Vec<Option<f64>>> {
    house
        .panels
        .iter()
        .enumerate()
        .map(|(panel_idx, panel)| {
            let points: Vec<Option<(f64, f64)>> = panel
                .poles
                .iter()
                .enumerate()
                .map(|(idx, pole)| {
                    let rating = panel.breakers[pole.breaker].rating_a;
                    let amps = visit.amps(stage, state, panel_idx, idx).unwrap_or(UNKNOWN_SHARE * rating);
                    let warmth = pole_mohm(rating) * rating.powf(2.0 - EXPONENT) * amps.powf(EXPONENT) * 1e-3;
                    visit.states[state].faces_c[panel_idx][idx].map(|face| (warmth, face))
                })
                .collect();
            let line = straight_line(points.iter().flatten());
            points.iter().map(|point| point.map(|(x, y)| y - line.0 - line.1 * x)).collect()
        })
        .collect()
}

/// Least-squares straight line: intercept and slope. The slope is held between 0 and 15 K/W, so that a
/// handful of points cannot turn it around.
pub(crate) fn straight_line<'a>(points: impl Iterator<Item = &'a (f64, f64)>) -> (f64, f64) {
    let points: Vec<(f64, f64)> = points.copied().collect();
    let n = points.len().max(1) as f64;
    let mean_x = points.iter().map(|point| point.0).sum::<f64>() / n;
    let mean_y = points.iter().map(|point| point.1).sum::<f64>() / n;
    let spread: f64 = points.iter().map(|point| (point.0 - mean_x).powi(2)).sum();
    let product: f64 = points.iter().map(|point| (point.0 - mean_x) * (point.1 - mean_y)).sum();
    let slope = if spread > 1e-9 { (product / spread).clamp(0.0, 15.0) } else { 0.0 };
    (mean_y - slope * mean_x, slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_found_again() {
        let points = [(0.0, 30.0), (1.0, 34.0), (2.0, 38.0), (3.0, 42.0)];
        let (start, slope) = straight_line(points.iter());
        assert!((start - 30.0).abs() < 1e-12 && (slope - 4.0).abs() < 1e-12);
    }
}
