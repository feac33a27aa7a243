//! Predicted against found: calibration, log score over time, counts by bus, and healthy readings.

use super::experience::{self, ExperienceGround};
use super::{chart, jobs_behind, share_words};
use crate::context::Context;
use crate::fields::Fields;
use crate::form::Sheet;
use crate::route::Route;
use crate::shell::{Page, wide_shell};
use maud::{Markup, html};
use std::sync::Arc;
use study::shop::{Calibration, Scored, Share};

/// What the page is made from.
#[derive(Debug, Clone, Default)]
pub struct ScoreGround {
    /// Joints that were opened, with what was thought of them before, and readings at sound ones.
    pub scored: Arc<Scored>,
    /// Jobs with openings that are still being judged as they were before.
    pub waiting: usize,
    /// Of the healthy readings like the one that was asked for: how many are lower, and how many there are.
    pub ranked: Option<(usize, usize)>,
    /// What was counted, and whether it is in force.
    pub experience: ExperienceGround,
    /// Jobs whose facts were not read yet.
    pub n_unread: usize,
}

/// The page.
pub fn score_page(ground: &ScoreGround, query: &Fields, cx: &Context<'_>) -> Page {
    let scored = &ground.scored;
    let body = html! {
        p.lede { "What the program said of each joint before it was opened, beside what was found. Counted are joints whose parts were proven dead by the record. A prediction knows only what was on record before the first opening of its job." }
        (super::unread(ground.n_unread))
        @if 0 < ground.waiting {
            div.note { p role="status" { (ground.waiting) @if ground.waiting == 1 { " job is" } @else { " jobs are" } " still being judged as before the opening. Load the page again in a minute." } }
        }
        @if 0 < scored.n_not_judged {
            section.sheet {
                p { "Opened without a record before it that can be judged:" }
                (jobs_behind(&scored.not_judged, scored.n_not_judged))
            }
        }
        @match &scored.calibration {
            None => section.sheet { p { "Nothing is scored yet: no joint was opened with its parts proven dead, or its job is still being judged." } },
            Some(calibration) => { (numbers(calibration)) (tenths(calibration)) (over_time(calibration)) (by_bus(calibration)) },
        }
        (experience::section(&ground.experience, cx))
        (healthy(ground, query))
        (joints(scored))
    };
    wide_shell(cx, "Predicted and found", &Route::Score, body)
}

fn numbers(calibration: &Calibration) -> Markup {
    let score = &calibration.score;
    html! {
        section.sheet {
            h2 { "All joints" }
            p { strong { (score.n) " joints" } ": the probabilities add up to " (format!("{:.1}", score.expected)) " burnt; " (score.found) " were found burnt." }
            table {
                tr { th scope="row" { "Log score" } td.n { (format!("{:.3}", score.log_loss)) } td { "a coin 0.693; lower is better" } }
                tr { th scope="row" { "Brier score" } td.n { (format!("{:.3}", score.brier)) } td { "giving every joint the share found " (format!("{:.3}", score.brier_of_share)) } }
            }
            p.quiet { "A score of few joints says little. It is no promise for the next one: who opens a joint usually had a reason." }
        }
    }
}

fn tenths(calibration: &Calibration) -> Markup {
    html! {
        section.sheet {
            h2 { "Said and found, by tenth" }
            (chart::calibration(calibration))
            table {
                tr { th scope="col" { "Given" } th scope="col" { "Joints" } th scope="col" { "Mean given" } th scope="col" { "Found burnt (95 %)" } }
                @for (tenth, (n, given, found)) in calibration.score.tenths.iter().enumerate().filter(|(_, tenth)| 0 < tenth.0) {
                    tr {
                        th scope="row" { (tenth * 10) "–" (tenth * 10 + 10) " %" }
                        td { (n) }
                        td { (format!("{:.0} %", given * 100.0)) }
                        td { (share_words(Share { yes: *found, n: *n })) }
                    }
                }
            }
        }
    }
}

fn over_time(calibration: &Calibration) -> Markup {
    html! {
        section.sheet {
            h2 { "Log score over time" }
            (chart::trend(&calibration.trend))
            table {
                tr { th scope="col" { "Until" } th scope="col" { "Joints" } th scope="col" { "Mean log score" } }
                @for one in calibration.trend.iter().rev().take(12) {
                    tr { th scope="row" { (one.day) } td { (one.n) } td { (format!("{:.3}", one.log_loss)) } }
                }
            }
        }
    }
}

fn by_bus(calibration: &Calibration) -> Markup {
    html! {
        section.sheet {
            h2 { "By bus" }
            p.quiet { "By what the bus is made of, never by make. Intervals are Wilson’s, 95 %." }
            @for bus in &calibration.by_bus {
                h3 { (bus.bus) }
                p { "Burnt " (share_words(bus.burnt)) ". Worn " (share_words(bus.worn)) "." }
                (jobs_behind(&bus.jobs, bus.n_jobs))
            }
        }
    }
}

/// The reading that is compared with healthy ones: rating in amperes, load as a share of it, kelvin above the room.
pub fn asked_reading(query: &Fields) -> Option<(f64, f64, f64)> {
    let number =
        |name: &str| query.text(name).and_then(|text| text.replace(',', ".").trim().parse::<f64>().ok());
    let (rating, current, rise) = (number("rating")?, number("current")?, number("rise")?);
    (0.0 < rating && 0.0 <= current).then(|| (rating, current / rating, rise))
}

fn healthy(ground: &ScoreGround, query: &Fields) -> Markup {
    let bands = &ground.scored.bands;
    let sheet = Sheet::new(query, None);
    html! {
        section.sheet #healthy {
            h2 { "Healthy readings" }
            p { "Faces of breakers whose stab was later opened and found sound: kelvin above the room, after twenty minutes of load or more." }
            form method="get" action={ (Route::Score) "#healthy" } {
                div.two {
                    (sheet.text("rating", "Rating, A", "", ""))
                    (sheet.text("current", "Current, A", "", ""))
                    (sheet.text("rise", "Above the room, K", "", ""))
                }
                button.full { "Compare" }
            }
            @if let Some((below, n)) = ground.ranked {
                p role="status" {
                    @if n == 0 { "No sound reading of this rating at about this load is on record." }
                    @else { strong { "Higher than " (below) " of your " (n) " sound readings at this load." } " That is no proof either way: a worn joint can read low, a sound one high." }
                }
            }
            @if bands.is_empty() { p { "None on record yet." } }
            @else {
                table {
                    tr { th scope="col" { "Rating" } th scope="col" { "Load" } th scope="col" { "Readings" } th scope="col" { "Lowest, median, highest" } }
                    @for band in bands {
                        tr {
                            th scope="row" { (band.rating_a) " A" }
                            td { (format!("{:.0}–{:.0} %", band.load.0 * 100.0, band.load.1 * 100.0)) }
                            td { (band.n) }
                            td { (format!("{:.1}, {:.1}, {:.1} K", band.rise_k.0, band.rise_k.1, band.rise_k.2)) }
                        }
                    }
                }
            }
        }
    }
}

fn joints(scored: &Scored) -> Markup {
    let n = scored.calibration.as_ref().map_or(0, |calibration| calibration.score.n);
    html! {
        @if !scored.newest.is_empty() {
            section.sheet {
                @if scored.newest.len() < n { h2 { "The " (scored.newest.len()) " joints opened last, of " (n) } }
                @else { h2 { "Every joint" } }
                ul.rows {
                    @for one in &scored.newest {
                        li.row {
                            span.grow {
                                span.lead { (one.joint) ": found " (one.found.word()) }
                                br;
                                span.quiet { (one.day) " · said: burnt " (format!("{:.0} %, worn {:.0} %", one.given.burnt * 100.0, one.given.worn * 100.0)) @if one.invented { " · invented" } }
                            }
                            a.plain.small href=(Route::Bench(one.job.clone())) { (one.job) }
                        }
                    }
                }
            }
        }
    }
}
