//! A surveyed circuit out of its form.

use super::{panel_of, surprises};
use crate::context::Context;
use crate::entry::Taking;
use crate::entry::words::with_query;
use crate::fields::{FieldError, Fields, Refusal};
use crate::route::Route;
use crate::screen::Entry;
use model::breaker::{LoadClass, Protection};
use model::conductor::{EntrySide, Metal, WireSize};
use model::{FactId, Slot, Space};
use record::Body;
use record::fact::{CircuitSurveyed, ConductorDescribed, LengthAs};
use record::limits;
use record::text::{AsText, Textual};

/// Reads what the survey sent.
///
/// # Errors
/// Every field that cannot be taken.
pub(crate) fn read(job: &str, fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    let refuse = |message: &str| {
        Err(Refusal { errors: vec![FieldError { field: String::new(), message: message.to_owned() }] })
    };
    let Some((view, settled)) = cx.job.zip(cx.settled_job()) else {
        return refuse("This form belongs to a job that is not here.");
    };
    let panel = panel_of(settled, fields);
    let space = fields.text("space").and_then(|text| Space::read(text, None).ok());
    let (Some(panel), Some(space)) = (panel, space) else {
        return refuse("Choose the circuit again from the list.");
    };
    let slot = Slot::new(panel.clone(), space);
    let all = study::survey::circuits(settled, &panel);
    let Some(old) = all.iter().find(|one| one.slot == slot) else {
        return refuse("The record holds no circuit there any more: choose it again from the list.");
    };
    let mut taking = Taking::new(fields, view, cx);
    let earlier: Vec<FactId> = view
        .used()
        .filter(|fact| matches!(&fact.body, Body::Circuit(body) if body.slot.0 == slot))
        .map(|fact| fact.id().clone())
        .filter(|id| view.is_known_to(fields, id))
        .collect();
    taking.supersedes.extend(earlier);
    let body = circuit(&mut taking, &slot, &old.feeds);
    let mut bodies: Vec<Body> = vec![Box::new(body).into()];
    bodies.extend(surprises::read_of_circuit(settled, &slot, fields));
    let route = Route::Survey(job.to_owned());
    let go = if fields.text("then") == Some("stay") {
        super::survey_of(job, &slot)
    } else {
        let at = all.iter().position(|one| one.slot == slot).unwrap_or(0);
        let after = all.iter().skip(at + 1).chain(all.iter().take(at)).find(|one| !one.surveyed);
        match after {
            Some(next) => {
                with_query(&route, &[("panel", panel.as_str()), ("space", &next.slot.space.to_string())])
            }
            None => with_query(&route, &[("panel", panel.as_str())]),
        }
    };
    taking.finish(bodies, go)
}

/// A word of tiles with one for “not known”.
fn tile<T: Textual>(taking: &mut Taking<'_>, field: &str) -> Option<AsText<T>> {
    if matches!(taking.text(field), None | Some("unknown")) { None } else { taking.may(field).map(AsText) }
}

fn circuit(taking: &mut Taking<'_>, slot: &Slot, drawn: &str) -> CircuitSurveyed {
    let inches = taking
        .text("length-other")
        .is_some()
        .then_some("length-other")
        .or_else(|| taking.text("length").filter(|text| *text != "unknown").map(|_| "length"));
    let most = limits::FREE_LENGTH_M.1 / 0.0254;
    let free_length = inches.and_then(|field| taking.may_number(field, (0.0, most), "in")).map(LengthAs::In);
    let deep = limits::CABINET_M.1 / 0.0254;
    let entry_down = taking.text("entry-down").is_some().then_some("entry-down");
    let entry_down =
        entry_down.and_then(|field| taking.may_number(field, (0.0, deep), "in")).map(LengthAs::In);
    let multiwire = taking.reader.yes_no("multiwire");
    let partner = taking.text("partner").and_then(|_| taking.may::<Space>("partner")).map(AsText);
    let partner = match (multiwire, partner) {
        (Some(false), Some(_)) => None,
        (_, Some(partner)) if partner.0 == slot.space => {
            taking.wrong("partner", "A circuit is not its own partner: choose the other one.");
            None
        }
        (_, partner) => partner,
    };
    let feeds = taking.words("feeds");
    CircuitSurveyed {
        name: taking.name("name").unwrap_or_default(),
        // What is drawn already is not said again.
        feeds: if feeds == drawn { String::new() } else { feeds },
        room: taking.name("room").unwrap_or_default(),
        class: taking.text("class").and_then(|_| taking.may::<LoadClass>("class")).map(AsText),
        conductor: ConductorDescribed {
            size: tile::<WireSize>(taking, "size"),
            metal: tile::<Metal>(taking, "metal"),
            insulation: None,
            free_length,
            entry: tile::<EntrySide>(taking, "side"),
            entry_down,
            colour: taking.name("colour"),
        },
        multiwire: multiwire.or(partner.is_some().then_some(true)),
        partner,
        grounded: taking.reader.yes_no("grounded"),
        protection_after: tile::<Protection>(taking, "protection-after"),
        continuous: taking.reader.yes_no("continuous"),
        motor: taking.reader.yes_no("motor"),
        together: taking.name("together").unwrap_or_default(),
        words: taking.words("words"),
        ..CircuitSurveyed::blank(slot.clone())
    }
}
