//! Meter data as a drawing: the peak of each day of the year, and the course of the days with the highest peaks.
//!
//! Ink is the colour of the text around the drawing, so that it can be read in every light and in print.

use crate::number::{plain, thousands};
use crate::svg::{Svg, attrs};
use model::Date;

/// A day with readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayBar {
    /// Day.
    pub day: Date,
    /// Greatest mean power of a reading, kW.
    pub kw: f64,
    /// Part of the day that has readings, hours.
    pub covered_h: f64,
}

/// A day with one of the highest peaks.
#[derive(Debug, Clone, PartialEq)]
pub struct PeakDay {
    /// Day.
    pub day: Date,
    /// Its peak, kW.
    pub kw: f64,
    /// Hours from midnight and mean power, kW.
    pub course: Vec<(f64, f64)>,
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct MeterChart {
    /// Days in order.
    pub days: Vec<DayBar>,
    /// Days with the highest peaks, highest first.
    pub peaks: Vec<PeakDay>,
    /// The demand of fifteen minutes, at least and at most, where the data support one, kW.
    pub demand_kw: Option<(f64, f64)>,
}

const WIDTH: f64 = 300.0;
const LEFT: f64 = 30.0;
const RIGHT: f64 = 296.0;
const YEAR_TOP: f64 = 24.0;
const YEAR_HEIGHT: f64 = 120.0;
const COURSE_HEIGHT: f64 = 60.0;
const COURSE_STEP: f64 = 98.0;
/// Size of the figures: still read on a narrow phone.
const SMALL: f64 = 10.0;
const INK: &str = "currentColor";

/// The chart as SVG text.
pub fn meter_svg(chart: &MeterChart) -> String {
    let top = steps(chart.days.iter().map(|day| day.kw).chain(chart.demand_kw.map(|(_, most)| most)));
    let height = YEAR_TOP + YEAR_HEIGHT + 48.0 + COURSE_STEP * chart.peaks.len() as f64;
    let mut svg = Svg::default();
    let view = format!("0 0 {} {}", plain(WIDTH, 2), plain(height, 2));
    svg.open(
        "svg",
        attrs![
            xmlns = "http://www.w3.org/2000/svg",
            viewBox = view,
            role = "img",
            "font-family" = "Noto Sans, sans-serif",
            class = "meter-chart"
        ],
    );
    svg.text("title", attrs![], "Peak of each day, and the days with the highest peaks");
    svg.text("desc", attrs![], &spoken(chart));
    year(&mut svg, chart, top);
    let highest = steps(chart.peaks.iter().map(|peak| peak.kw));
    for (idx, peak) in chart.peaks.iter().enumerate() {
        let from = YEAR_TOP + YEAR_HEIGHT + 64.0 + COURSE_STEP * idx as f64;
        course(&mut svg, peak, highest, from);
    }
    svg.finish()
}

/// What the chart shows, for who cannot see it.
fn spoken(chart: &MeterChart) -> String {
    let (Some(first), Some(last)) = (chart.days.first(), chart.days.last()) else {
        return "No day has readings.".to_owned();
    };
    let peaks: Vec<String> =
        chart.peaks.iter().map(|peak| format!("{} with {} kW", peak.day, plain(peak.kw, 2))).collect();
    format!(
        "{} days from {} to {}. Highest peaks: {}.",
        chart.days.len(),
        first.day,
        last.day,
        peaks.join(", ")
    )
}

/// A round upper end for the axis, kW, and the step of its lines.
fn steps(values: impl Iterator<Item = f64>) -> (f64, f64) {
    let most = values.fold(0.1, f64::max);
    let step =
        [0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0].into_iter().find(|step| most <= step * 5.0).unwrap_or(100.0);
    ((most / step).ceil() * step, step)
}

fn words(svg: &mut Svg, at: (f64, f64), anchor: &str, size: f64, text: &str) {
    svg.text(
        "text",
        attrs![x = at.0, y = at.1, "font-size" = size, "text-anchor" = anchor.to_owned(), fill = INK],
        text,
    );
}

fn rule(svg: &mut Svg, from: (f64, f64), to: (f64, f64), width: f64) {
    svg.empty(
        "line",
        attrs![x1 = from.0, y1 = from.1, x2 = to.0, y2 = to.1, stroke = INK, "stroke-width" = width],
    );
}

fn axis(svg: &mut Svg, top: (f64, f64), from: f64, height: f64) {
    let mut kw = 0.0;
    while kw <= top.0 + 1e-9 {
        let y = from + height * (1.0 - kw / top.0);
        rule(svg, (LEFT, y), (RIGHT, y), if kw == 0.0 { 1.0 } else { 0.25 });
        words(svg, (LEFT - 3.0, y + 3.5), "end", SMALL, &plain(kw, 1));
        kw += top.1;
    }
}

fn year(svg: &mut Svg, chart: &MeterChart, top: (f64, f64)) {
    words(svg, (LEFT, 13.0), "start", 11.0, "Peak of each day, kW");
    axis(svg, top, YEAR_TOP, YEAR_HEIGHT);
    let (Some(first), Some(last)) = (chart.days.first(), chart.days.last()) else { return };
    let day_number = |day: Date| f64::from(first.day.until(day).map_or(0, |span| span.get_days()));
    let n_days = day_number(last.day) + 1.0;
    let step = (RIGHT - LEFT) / n_days;
    let bottom = YEAR_TOP + YEAR_HEIGHT;
    for day in &chart.days {
        let high = YEAR_HEIGHT * (day.kw / top.0).clamp(0.0, 1.0);
        // A day that is not covered whole is drawn open: a peak may lie in what is missing.
        let whole = 22.9 < day.covered_h;
        svg.empty(
            "rect",
            attrs![
                x = LEFT + step * day_number(day.day),
                y = bottom - high,
                width = (step * 0.8).max(0.35),
                height = high,
                fill = if whole { INK } else { "none" },
                stroke = INK,
                "stroke-width" = if whole { 0.0 } else { 0.3 }
            ],
        );
    }
    if let Some((least, most)) = chart.demand_kw {
        for (kw, dash) in [(least, "none"), (most, "3 2")] {
            let y = YEAR_TOP + YEAR_HEIGHT * (1.0 - kw / top.0);
            svg.empty(
                "line",
                attrs![
                    x1 = LEFT,
                    y1 = y,
                    x2 = RIGHT,
                    y2 = y,
                    stroke = INK,
                    "stroke-width" = 0.8,
                    "stroke-dasharray" = dash
                ],
            );
        }
    }
    for (day, anchor) in [(first.day, "start"), (last.day, "end")] {
        let x = if anchor == "start" { LEFT } else { RIGHT };
        words(svg, (x, bottom + 12.0), anchor, SMALL, &day.to_string());
    }
    let told = match chart.demand_kw {
        Some((least, most)) if least < most => vec![
            format!("Line: fifteen minutes took at least {} kW.", plain(least, 2)),
            format!("Broken line: at most {} kW.", plain(most, 2)),
        ],
        Some((_, most)) => vec![format!("Line: fifteen minutes took {} kW.", plain(most, 2))],
        None => vec!["No demand can be told from these readings.".to_owned()],
    };
    for (idx, line) in told.iter().enumerate() {
        words(svg, (LEFT, bottom + 25.0 + 12.0 * idx as f64), "start", SMALL, line);
    }
}

fn course(svg: &mut Svg, peak: &PeakDay, top: (f64, f64), from: f64) {
    let x = |hour: f64| LEFT + (RIGHT - LEFT) * hour.clamp(0.0, 24.0) / 24.0;
    let y = |kw: f64| from + COURSE_HEIGHT * (1.0 - (kw / top.0).clamp(0.0, 1.0));
    words(svg, (LEFT, from - 5.0), "start", SMALL, &format!("{}, peak {} kW", peak.day, plain(peak.kw, 2)));
    rule(svg, (LEFT, from + COURSE_HEIGHT), (RIGHT, from + COURSE_HEIGHT), 1.0);
    rule(svg, (LEFT, from), (RIGHT, from), 0.25);
    words(svg, (LEFT - 3.0, from + 3.5), "end", SMALL, &thousands(top.0));
    let mut points = String::new();
    for (idx, (hour, kw)) in peak.course.iter().enumerate() {
        let until = peak.course.get(idx + 1).map_or(24.0, |(next, _)| *next);
        for at in [*hour, until] {
            points.push_str(&format!("{},{} ", plain(x(at), 2), plain(y(*kw), 2)));
        }
    }
    svg.empty(
        "polyline",
        attrs![points = points.trim_end().to_owned(), fill = "none", stroke = INK, "stroke-width" = 1.0],
    );
    for (hour, anchor) in [(0.0, "start"), (6.0, "middle"), (12.0, "middle"), (18.0, "middle"), (24.0, "end")]
    {
        words(svg, (x(hour), from + COURSE_HEIGHT + 11.0), anchor, SMALL, &format!("{hour:.0} h"));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_end_at_a_round_figure_above_all() {
        for (most, top, step) in [(0.02, 0.5, 0.5), (4.6, 5.0, 1.0), (12.3, 15.0, 5.0), (48.0, 50.0, 10.0)] {
            assert_eq!(steps([most].into_iter()), (top, step), "{most}");
        }
    }

    #[test]
    fn a_chart_of_nothing_is_a_chart() {
        let svg = meter_svg(&MeterChart { days: vec![], peaks: vec![], demand_kw: None });
        assert!(svg.starts_with("<svg") && svg.contains("No day has readings."), "{svg}");
    }

    #[test]
    fn days_that_are_not_whole_are_open() {
        let day = |day, covered_h| DayBar { day, kw: 3.0, covered_h };
        let (first, second) = (model::Date::constant(2026, 1, 1), model::Date::constant(2026, 1, 2));
        let peak = PeakDay { day: first, kw: 3.0, course: vec![(0.0, 1.0), (12.0, 3.0)] };
        let chart = MeterChart {
            days: vec![day(first, 24.0), day(second, 20.0)],
            peaks: vec![peak],
            demand_kw: Some((3.0, 12.0)),
        };
        let svg = meter_svg(&chart);
        assert_eq!(
            svg.matches("fill=\"none\" stroke=\"currentColor\" stroke-width=\"0.3\"").count(),
            1,
            "{svg}"
        );
        assert!(svg.contains("at least 3 kW") && svg.contains("at most 12 kW"), "{svg}");
    }
}
