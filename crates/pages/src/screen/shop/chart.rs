//! Two charts as SVG, read in black and white: points with bars for calibration, a line for the log score.

use maud::{Markup, html};
use study::shop::{Calibration, Share, Trend};

/// Drawing units: width, height, and the edge for the figures.
const WIDTH: f64 = 320.0;
const HEIGHT: f64 = 240.0;
const EDGE: f64 = 36.0;

fn x(share: f64) -> f64 {
    EDGE + share * (WIDTH - EDGE - 8.0)
}

fn y(share: f64) -> f64 {
    HEIGHT - EDGE - share * (HEIGHT - EDGE - 8.0)
}

fn one(value: f64) -> String {
    format!("{value:.1}")
}

fn frame(label: &str, across: &str, ticks: &[(f64, String)], body: &Markup) -> Markup {
    html! {
        svg viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label=(label) width="100%" fill="none" stroke="currentColor" font-size="10" {
            path d={ "M" (x(0.0)) " " (y(1.0)) "V" (y(0.0)) "H" (x(1.0)) } {}
            @for (at, words) in ticks {
                text x=(x(0.0) - 4.0) y=(one(y(*at) + 3.0)) text-anchor="end" fill="currentColor" stroke="none" { (words) }
                path d={ "M" (x(0.0) - 3.0) " " (one(y(*at))) "h3" } {}
            }
            text x=(x(0.5)) y=(HEIGHT - 4.0) text-anchor="middle" fill="currentColor" stroke="none" { (across) }
            (body)
        }
    }
}

/// Share found burnt against probability given, by tenth; the dashed line is where they agree.
pub(super) fn calibration(calibration: &Calibration) -> Markup {
    let percents = |at: f64| (at, format!("{:.0}", at * 100.0));
    let ticks: Vec<_> = [0.0, 0.25, 0.5, 0.75, 1.0].map(percents).into();
    let points = calibration.score.tenths.iter().filter(|tenth| 0 < tenth.0);
    let body = html! {
        path d={ "M" (x(0.0)) " " (y(0.0)) "L" (x(1.0)) " " (y(1.0)) } stroke-dasharray="4 4" {}
        @for (n, given, found) in points {
            @let share = Share { yes: *found, n: *n };
            @if let Some((value, (low, high))) = share.value().zip(share.interval()) {
                path d={ "M" (one(x(*given))) " " (one(y(low))) "V" (one(y(high))) } {}
                circle cx=(one(x(*given))) cy=(one(y(value))) r="3.5" fill="currentColor" {}
                text x=(one(x(*given) + 5.0)) y=(one(y(value) - 4.0)) fill="currentColor" stroke="none" { (n) }
            }
        }
        @for (at, words) in [0.0, 0.5, 1.0].map(percents) {
            text x=(one(x(at))) y=(y(0.0) + 14.0) text-anchor="middle" fill="currentColor" stroke="none" { (words) }
        }
    };
    let label = "Points: share found burnt against probability given, in percent, with 95 % intervals and counts. Dashed: agreement.";
    frame(label, "given, %   (up: found burnt, %)", &ticks, &body)
}

/// Days that a chart shows; more could not be told apart.
const DAYS: usize = 120;

/// Every so many days, the last one always.
fn thinned(trend: &[Trend]) -> Vec<&Trend> {
    let step = trend.len().div_ceil(DAYS).max(1);
    trend
        .iter()
        .enumerate()
        .filter(|(at, _)| (trend.len() - 1 - at).is_multiple_of(step))
        .map(|(_, one)| one)
        .collect()
}

/// The mean log score after each day; the dashed line is a coin.
pub(super) fn trend(trend: &[Trend]) -> Markup {
    let trend = thinned(trend);
    let highest = trend.iter().map(|one| one.log_loss).fold(0.8, f64::max);
    let last = trend.len().saturating_sub(1).max(1) as f64;
    let points: Vec<(f64, f64)> =
        trend.iter().enumerate().map(|(at, one)| (x(at as f64 / last), y(one.log_loss / highest))).collect();
    let line: Vec<String> = points.iter().map(|(x, y)| format!("{x:.1},{y:.1}")).collect();
    let coin = y(std::f64::consts::LN_2 / highest);
    let ticks = vec![(0.0, "0".to_owned()), (1.0, format!("{highest:.1}"))];
    let body = html! {
        path d={ "M" (x(0.0)) " " (one(coin)) "H" (x(1.0)) } stroke-dasharray="4 4" {}
        text x=(x(1.0)) y=(one(coin - 4.0)) text-anchor="end" fill="currentColor" stroke="none" { "a coin" }
        polyline points=(line.join(" ")) {}
        @for (x, y) in &points { circle cx=(one(*x)) cy=(one(*y)) r="2.5" fill="currentColor" {} }
    };
    frame(
        "Line: mean log score after each day of openings; lower is better. Dashed: a coin.",
        "days of openings, in order",
        &ticks,
        &body,
    )
}
