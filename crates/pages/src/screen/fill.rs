//! Filling the spaces of a panel: the panel as two columns of spaces, and one strip that says what is in the space
//! chosen. One tap records a usual circuit and goes on to the next empty space.

mod grid;
mod read;
mod strip;
mod usual;
mod walk;

pub(crate) use read::{fact_at as breaker_fact, read};

use crate::context::{Context, JobView};
use crate::fields::{Fields, Refusal, plain};
use crate::form::form_that_stays;
use crate::route::Route;
use crate::shell::{Page, shell, wide_shell};
use maud::{Markup, html};
use model::panel::Panel;
use model::{PanelId, Space};
use read::fact_at;
use record::Body;
use record::fact::BreakerDescribed;
use record::text::Textual;
use strip::{feeds_section, strip};
use walk::{next_empty, walk};

pub(crate) fn page(
    job: &str,
    panel_id: &str,
    query: &Fields,
    again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    let here = Route::Fill(job.to_owned(), panel_id.to_owned());
    let name = PanelId::new(panel_id);
    let panel = cx.settled_job().and_then(|settled| settled.installation.panel(&name));
    let (Some(view), Some(panel)) = (cx.job, panel) else {
        let body = html! {
            section.sheet {
                p { "Panel " (panel_id) " is not described yet. Its rows and its main come first." }
                p { a.big href=(Route::Panel(job.to_owned(), String::new())) { "Describe the panel" } }
            }
        };
        return shell(cx, "Spaces", &here, body);
    };
    let asked = query
        .text("space")
        .and_then(|text| Space::read(text, None).ok())
        .filter(|space| panel.has_space(*space));
    let done = query.text("done").is_some() && again.is_none();
    let space = asked.or_else(|| if done { None } else { next_empty(panel, None, &[]) });
    let title = format!("Spaces of {}", panel.id);
    let body = html! {
        (last_one(view, panel, &here, cx))
        div.two.fill {
            div.strip-side {
                @match space {
                    Some(space) => (strip(job, panel, space, query, again, &here, cx)),
                    None => (finished(job, panel)),
                }
            }
            (grid::grid(job, panel, space))
        }
    };
    wide_shell(cx, &title, &here, body)
}

/// The panel as its spaces stand, each a link to fill it.
pub(crate) fn panel_sketch(job: &str, panel: &Panel) -> Markup {
    grid::grid(job, panel, None)
}

/// What is described of the breaker in a space.
pub(crate) fn breaker_at<'a>(
    view: &'a JobView,
    panel: &PanelId,
    space: Space,
) -> Option<&'a BreakerDescribed> {
    fact_at(view, panel, space).map(|(_, body)| body)
}

/// The last breaker entered, with the way to take it back.
fn last_one(view: &JobView, panel: &Panel, here: &Route, cx: &Context<'_>) -> Markup {
    let last = view.facts.iter().rev().find_map(|fact| match &fact.body {
        Body::Breaker(body) if body.panel.0 == panel.id => Some((fact, body)),
        _ => None,
    });
    // The breaker that feeds the lower section came with the panel's description, and is corrected there.
    let is_here = |body: &BreakerDescribed| {
        let first = body.spaces.first().map(|space| space.0);
        !first.is_some_and(|space| feeds_section(panel, space))
    };
    let Some((fact, body)) = last.filter(|(fact, body)| view.settled.is_used(fact.id()) && is_here(body))
    else {
        return html! { div #last data-live {} };
    };
    let spaces: Vec<String> = body.spaces.iter().map(|space| space.0.write()).collect();
    let undo = form_that_stays(
        cx,
        here,
        "undo",
        html! {
            input type="hidden" name="act" value="undo";
            input type="hidden" name="fact" value=(fact.id());
            button.as-link { "Undo" }
        },
    );
    html! {
        div.last #last data-live {
            span { "Last: " strong { (spaces.join(" and ")) } ", " (in_words(body)) }
            (undo)
        }
    }
}

fn in_words(body: &BreakerDescribed) -> String {
    let feeds = body.circuit.as_ref().map(|circuit| circuit.feeds.as_str()).unwrap_or_default();
    let rating = plain(body.rating_a);
    if feeds.is_empty() { format!("{rating} A") } else { format!("{rating} A {feeds}") }
}

fn finished(job: &str, panel: &Panel) -> Markup {
    let empty: Vec<String> =
        walk(panel).filter(|space| !walk::is_taken(panel, *space)).map(|space| space.write()).collect();
    html! {
        section.sheet {
            h2 { "That was the last space" }
            @if empty.is_empty() {
                p { "Every space holds a breaker." }
            } @else {
                p { "Empty: " (empty.join(", ")) "." }
            }
            p { "Tap a space to change it, or go on to what is seen and measured." }
            p { a.big.full href=(Route::Bench(job.to_owned())) { "To the bench" } }
        }
    }
}
