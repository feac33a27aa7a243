//! The survey of the circuits for the replacement: one circuit a page, a few big taps, the next one by itself.

mod read;
mod surprises;

pub(crate) use read::read;
pub(crate) use surprises::{page as surprises_page, read as read_surprises};

use crate::context::{Context, JobView};
use crate::entry::words::with_query;
use crate::fields::{Fields, Refusal, plain};
use crate::form::{Choice, Sheet, form};
use crate::route::Route;
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::breaker::{LoadClass, Protection};
use model::job::Job;
use model::{PanelId, Slot};
use record::text::Textual;
use study::survey::KnownCircuit;

/// Free lengths that have a tile, inches.
const LENGTHS: [&str; 9] = ["8", "12", "16", "20", "24", "28", "32", "36", "48"];
/// Wire sizes that have a tile.
const SIZES: [&str; 7] = ["14", "12", "10", "8", "6", "4", "2"];

pub(crate) fn page(job: &str, query: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let route = Route::Survey(job.to_owned());
    let Some((view, settled)) = cx.job.zip(cx.settled_job()) else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let Some(panel) = panel_of(settled, query) else {
        let body = html! {
            section.sheet {
                p { "The panel is not described yet. Its rows and breakers come first." }
                p { a.big href=(Route::Panel(job.to_owned(), String::new())) { "Describe the panel" } }
            }
        };
        return shell(cx, "Survey", &route, body);
    };
    let all = study::survey::circuits(settled, &panel);
    let asked =
        query.text("space").and_then(|text| all.iter().find(|one| one.slot.space.to_string() == text));
    let circuit = asked.or_else(|| all.iter().find(|one| !one.surveyed));
    let n_done = all.iter().filter(|one| one.surveyed).count();
    let body = html! {
        p.lede { (n_done) " of " (all.len()) " circuits surveyed. What you do not know stays “not known”: it is carried in the price, not guessed." }
        @if 1 < settled.installation.panels.len() {
            div.links {
                @for other in &settled.installation.panels {
                    a.chip href=(with_query(&route, &[("panel", other.id.as_str())]))
                        aria-current=[(other.id == panel).then_some("true")] { "Panel " (other.id) }
                }
            }
        }
        div.caution { p { "By eye and from outside of what is live. Measure along a tape in front of the panel; never reach in, bend or pull a conductor to find its length." } }
        @match circuit {
            Some(circuit) => (one(view, settled, &panel, &all, circuit, query, again, cx)),
            None => (finished(job, all.is_empty())),
        }
        (list(job, &panel, &all, circuit))
        div.links {
            a.plain.small href=(Route::Surprises(job.to_owned())) { "Questions before the day" }
            a.plain.small href=(Route::Layout(job.to_owned())) { "Layout of the new panel" }
        }
    };
    shell(cx, "Survey", &route, body)
}

/// The panel asked for, else the only or first one.
pub(crate) fn panel_of(job: &Job, query: &Fields) -> Option<PanelId> {
    let named = query.text("panel").map(PanelId::new).filter(|id| job.installation.panel(id).is_some());
    named
        .or_else(|| job.default_panel.clone())
        .or_else(|| job.installation.panels.first().map(|panel| panel.id.clone()))
}

fn finished(job: &str, none: bool) -> Markup {
    html! {
        section.sheet {
            @if none {
                h2 { "No circuit is on record" }
                p { a.big href=(Route::Bench(job.to_owned())) { "To the bench" } }
            } @else {
                h2 { "Every circuit is surveyed" }
                p { "Next come the questions whose answers cost money on the day." }
                p { a.big.full href=(Route::Surprises(job.to_owned())) { "Questions before the day" } }
                p { a.plain.full href=(Route::Layout(job.to_owned())) { "Lay out the new panel" } }
            }
        }
    }
}

/// All circuits, each a link; what is open first says so.
fn list(job: &str, panel: &PanelId, all: &[KnownCircuit], now: Option<&KnownCircuit>) -> Markup {
    let route = Route::Survey(job.to_owned());
    html! {
        section.sheet #circuits data-live {
            h2 { "Circuits" }
            div.links {
                @for one in all {
                    @let here = now.is_some_and(|now| now.slot == one.slot);
                    a.chip href=(with_query(&route, &[("panel", panel.as_str()), ("space", &one.slot.space.to_string())]))
                        aria-current=[here.then_some("true")] {
                        (one.slot.space) " " (if one.surveyed { "done" } else { "open" })
                    }
                }
            }
        }
    }
}

#[allow(clippy::too_many_arguments)]
fn one(
    view: &JobView,
    settled: &Job,
    panel: &PanelId,
    all: &[KnownCircuit],
    circuit: &KnownCircuit,
    query: &Fields,
    again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Markup {
    let sheet = Sheet::new(query, again);
    let survey = settled.replacement.circuit(&circuit.slot);
    // A cable most likely comes in where the one before it did: shown as chosen, and a tap away from another.
    let before = settled.replacement.circuits.last().and_then(|one| one.conductor.entry);
    let entry = circuit.conductor.entry.or(before.filter(|_| survey.is_none()));
    let entry = entry.map_or("unknown".to_owned(), |side| side.write());
    let length = circuit.conductor.free_length.map(|length| plain((length.inches() * 10.0).round() / 10.0));
    let tile = length.as_deref().filter(|length| LENGTHS.contains(length)).unwrap_or("unknown").to_owned();
    let other = length.filter(|length| !LENGTHS.contains(&length.as_str())).unwrap_or_default();
    let mut lengths: Vec<Choice<'_>> = vec![("unknown", "not known", "")];
    lengths.extend(LENGTHS.iter().map(|&inches| (inches, inches, "")));
    let sides: Vec<Choice<'_>> = vec![
        ("top", "Top", ""),
        ("bottom", "Bottom", ""),
        ("left", "Left", ""),
        ("right", "Right", ""),
        ("back", "Back", ""),
        ("unknown", "Not known", ""),
    ];
    let multiwire = match circuit.partner {
        Some(Some(_)) => "yes",
        Some(None) => "no",
        None => "unknown",
    };
    let usual = if multiwire == "unknown" && 1 < circuit.poles { "no" } else { multiwire };
    let body = html! {
        input type="hidden" name="panel" value=(panel);
        input type="hidden" name="space" value=(circuit.slot.space);
        (sheet.error_list())
        (sheet.pick_narrow("side", "Cable comes in at the", "", &sides, &entry))
        (sheet.pick_narrow("length", "Free length in the cabinet, inches", "From where it comes in to its end.", &lengths, &tile))
        (sheet.pick("multiwire", "Shares its neutral with another?", "Three wires and two breakers: a multiwire circuit.", &[
            ("no", "No", ""), ("yes", "Yes", ""), ("unknown", "Not known", ""),
        ], usual))
        (partners(&sheet, all, circuit))
        (sheet.yes_no("grounded", "Has it an equipment ground?", "", circuit.grounded))
        (more(&sheet, circuit, &other, survey.map(|survey| survey.words.as_str()).unwrap_or_default()))
        (surprises::of_circuit(settled, &circuit.slot, &sheet))
        div.actions {
            button.plain name="then" value="stay" { "Save" }
            button.big name="then" value="next" { "Save and next" }
        }
    };
    html! {
        section.sheet #circuit {
            h2 { "Space " (circuit.slot.space) ", " (plain(circuit.rating.a())) " A" @if 1 < circuit.poles { ", " (circuit.poles) " poles" } }
            p.lead { (circuit.label()) @if !circuit.room.is_empty() { ", " (circuit.room) } }
            (form(cx, &Route::Survey(view.name.clone()), body))
        }
    }
}

/// The other half of a multiwire circuit: the single-pole circuits of the panel.
fn partners(sheet: &Sheet<'_>, all: &[KnownCircuit], circuit: &KnownCircuit) -> Markup {
    let mut choices = vec![(String::new(), "Not a multiwire circuit, or not known".to_owned())];
    choices.extend(
        all.iter()
            .filter(|other| other.slot != circuit.slot && other.poles == 1)
            .map(|other| (other.slot.space.to_string(), format!("{}: {}", other.slot.space, other.label()))),
    );
    let usual = circuit.partner.flatten().map(|space| space.to_string()).unwrap_or_default();
    sheet.select(
        "partner",
        "With which space",
        "Only where it shares its neutral.",
        &[(String::new(), choices)],
        &usual,
    )
}

/// What is rarely asked, or is drawn already.
fn more(sheet: &Sheet<'_>, circuit: &KnownCircuit, other_length: &str, words: &str) -> Markup {
    let mut sizes: Vec<Choice<'_>> = vec![("unknown", "not known", "")];
    sizes.extend(SIZES.iter().map(|&size| (size, size, "")));
    let size = circuit.conductor.size.map(|size| size.write()).unwrap_or_else(|| "unknown".to_owned());
    let metal = circuit.conductor.metal.map_or("unknown".to_owned(), |metal| metal.write());
    let device = |one: Option<Protection>| one.map_or("unknown".to_owned(), |one| one.write());
    let devices = [
        ("unknown", "Not decided", ""),
        ("thermal-magnetic", "Plain", ""),
        ("arc-fault", "Arc fault", ""),
        ("ground-fault", "Ground fault", ""),
        ("arc-and-ground-fault", "Both", ""),
    ];
    let down = circuit
        .conductor
        .entry_down
        .map(|down| plain((down.inches() * 10.0).round() / 10.0))
        .unwrap_or_default();
    let mut classes = vec![(String::new(), "As drawn, or not known".to_owned())];
    classes.extend(LoadClass::WORDS.iter().map(|&word| (word.to_owned(), word.replace('-', " "))));
    let class = circuit.class.map(|class| class.write()).unwrap_or_default();
    html! {
        details.more open[sheet.is_again()] {
            summary { "More about it" }
            (sheet.text("feeds", "What it feeds", "", &circuit.feeds))
            (sheet.text("room", "Room", "Rooms, not persons.", &circuit.room))
            (sheet.text("name", "Number or name on its tag", "", &circuit.name))
            (sheet.text("length-other", "Another length, inches", "", other_length))
            (sheet.text("entry-down", "Through the back: inches below the top wall", "Only where it comes in at the back.", &down))
            (sheet.text("colour", "Colour of the conductor", "Black. Of two poles: black, red.", circuit.conductor.colour.as_deref().unwrap_or_default()))
            (sheet.pick_narrow("size", "Conductor, AWG", "", &sizes, &size))
            (sheet.pick_narrow("metal", "Metal", "Dull silver may be aluminium: look at the marking.", &[
                ("copper", "Copper", ""), ("aluminium", "Aluminium", ""), ("unknown", "Not known", ""),
            ], &metal))
            (sheet.yes_no("continuous", "Runs three hours or more at a time?", "Water heater, space heat, vehicle.", circuit.continuous))
            (sheet.yes_no("motor", "A motor?", "", circuit.motor))
            (sheet.pick_narrow("protection-after", "Protection in the new panel", "The code book says what the edition asks; left open, it is like the old one.", &devices, &device(circuit.protection_after)))
            (sheet.select("class", "Kind of load", "", &[(String::new(), classes)], &class))
            (sheet.text("together", "Keep together with", "The same word at each circuit of the group: kitchen.", &circuit.together))
            (sheet.words("words", "Remarks", "", words))
        }
    }
}

/// Where the survey of a circuit is.
pub(crate) fn survey_of(job: &str, slot: &Slot) -> String {
    let route = Route::Survey(job.to_owned());
    with_query(&route, &[("panel", slot.panel.as_str()), ("space", &slot.space.to_string())])
}
