//! What the shop's openings change: counts beside the program's own chances, and whether they are in force.

use crate::context::Context;
use crate::rights::Need;
use crate::route::Route;
use maud::{Markup, html};
use study::shop::{Experience, SignCount, WORTH};

/// What is known of the experience.
#[derive(Debug, Clone, Default)]
pub struct ExperienceGround {
    /// In force; empty: the program's own chances.
    pub experience: Experience,
    /// Whose it is; empty where nothing was ever counted.
    pub origin: String,
    /// Given on the command line, so that it is not changed here?
    pub locked: bool,
    /// Is it being counted now?
    pub counting: bool,
    /// Why the last count came to nothing.
    pub failed: Option<String>,
    /// May who looks change it?
    pub may_change: bool,
}

impl ExperienceGround {
    /// What changing it needs.
    pub const NEED: Need = Need::Manage;
}

pub(super) fn section(ground: &ExperienceGround, cx: &Context<'_>) -> Markup {
    let experience = &ground.experience;
    html! {
        section.sheet #experience {
            h2 { "What the openings change" }
            p { "The program’s chances are judgement. Counted, the shop’s own openings take their place little by little: a chance of the program weighs as much as " (format!("{WORTH:.0}")) " joints that were opened. Signs are counted on panels whose stabs were all opened; the odds of burnt by what was predicted before and found." }
            @if ground.counting { p role="status" { strong { "Counting now." } " Each opened job is judged once more. Load the page again in a minute." } }
            @if let Some(failed) = &ground.failed { div.note { p role="status" { (failed) } } }
            p { strong { @if experience.is_empty() { "In force: the program’s own chances." } @else { "In force: " (experience.n_panels) " whole panels, " (experience.n_joints) " joints." } } " " (ground.origin) }
            @if !experience.is_empty() { (odds(experience)) (signs(experience)) }
            @if ground.may_change && !ground.locked && !ground.counting {
                (button("count", "Count all openings and judge by them from now on", cx))
                @if !experience.is_empty() { (button("own", "Back to the program’s own chances", cx)) }
            }
            p.quiet { "Every paper names the count it was made with. The scores above are those of the program’s own chances: what was counted on these openings must not be scored on them." }
        }
    }
}

fn button(what: &str, words: &str, cx: &Context<'_>) -> Markup {
    html! {
        form method="post" action=(Route::Score) {
            input type="hidden" name="csrf" value=(cx.csrf);
            input type="hidden" name="do" value=(what);
            button.full { (words) }
        }
    }
}

fn odds(experience: &Experience) -> Markup {
    html! {
        h3 { "Odds of burnt" }
        table {
            tr { th scope="col" { "Of" } th scope="col" { "Predicted, found, opened" } th.n scope="col" { "Odds" } }
            @for one in &experience.odds {
                tr { th scope="row" { (one.of.replace('-', " ")) } td { (format!("{:.1}", one.predicted)) ", " (one.found) " of " (one.n) } td.n { "× " (format!("{:.2}", one.factor)) } }
            }
        }
    }
}

fn signs(experience: &Experience) -> Markup {
    let changed: Vec<(&SignCount, f64, f64)> = experience
        .signs
        .iter()
        .filter(|one| one.found != "sound")
        .filter_map(|one| one.chance().map(|(assumed, now)| (one, assumed, now)))
        .collect();
    html! {
        @if !changed.is_empty() {
            h3 { "Signs at worn and burnt joints" }
            table {
                tr { th scope="col" { "Sign" } th scope="col" { "Showed it" } th.n scope="col" { "Chance" } }
                @for (one, assumed, now) in changed {
                    tr {
                        th scope="row" { (one.sign.replace('-', " ")) ", " (one.found) " " (one.joint) }
                        td { (format!("{:.1} of {:.0}", one.shown, one.n)) }
                        td.n { (format!("{:.0} % → {:.0} %", assumed * 100.0, now * 100.0)) }
                    }
                }
            }
        }
    }
}
