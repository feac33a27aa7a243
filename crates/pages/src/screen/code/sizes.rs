//! Every size that the load leads to, for the service on record or one that is tried.

use super::{cautions, job_of, note, places, questions, with_law, working};
use crate::context::Context;
use crate::fields::{Fields, Reader};
use crate::form::{Keypad, Sheet};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::{Markup, html};
use model::conductor::Metal;
use record::limits;
use study::code::{SizeLine, Sizes, Wish};
use study::words::capital;

pub(crate) fn page(job: &str, query: &Fields, cx: &Context<'_>) -> Page {
    let route = Route::Sizes(job.to_owned());
    let (view, job) = match job_of(cx) {
        Ok(found) => found,
        Err(page) => return page,
    };
    let (wish, refusal) = wish(query);
    let sheet = Sheet::new(query, refusal.as_ref());
    let body = html! {
        p.lede { "For the rating on record, planned or present, or for another one that you try here. Trying stores nothing." }
        (places(view, &route))
        (sheet.error_list())
        (form(&sheet, &route))
        div #sizes data-live {
            (with_law(cx, view, job, |law| {
                let sizes = study::code::sizes(law, job, &wish);
                html! { p.quiet { "By " (sizes.law) "." } (list(&sizes)) }
            }))
        }
        (cautions())
    };
    shell(cx, "Sizes", &route, body)
}

/// What is tried, and what of it cannot be.
fn wish(query: &Fields) -> (Wish, Option<crate::fields::Refusal>) {
    let mut reader = Reader::new(query);
    let wish = Wish {
        rating_a: reader.number("rating", "A", limits::BUS_RATING_A),
        metal: reader.thing::<Metal>("metal", None),
        ambient_c: reader.number("ambient", "°C", (-20.0, 85.0)),
        n_carrying: reader.whole("carrying", (1, 60)).map(u32::from),
        length_ft: reader.number("length", "ft", (0.0, 2000.0)),
        interrupting_a: reader.number("interrupting", "A", limits::FAULT_A),
        fill_in2: cabinet(&mut reader),
        splice_box: splice_box(&mut reader),
        ..Wish::default()
    };
    let refusal = reader.refusal();
    (wish, (!refusal.errors.is_empty()).then_some(refusal))
}

/// Wiring space of the cabinet, and what is in it, where all three are there.
fn cabinet(reader: &mut Reader<'_>) -> Option<(f64, f64, f64)> {
    let mut area = |name: &str| reader.number(name, "in²", (0.0, 500.0));
    let (space, wires, splices) = (area("space"), area("wires"), area("splices"));
    if space.is_some() || wires.is_some() || splices.is_some() {
        for (name, value) in [("space", space), ("wires", wires), ("splices", splices)] {
            if value.is_none() {
                reader.wrong(name, "All three areas are needed, 0 where there is nothing.");
            }
        }
    }
    Some((space?, wires?, splices?))
}

/// A box in which conductors are lengthened.
fn splice_box(reader: &mut Reader<'_>) -> Option<(study::code::BoxContents, Option<f64>)> {
    let conductors = reader.text("in-box", 80)?;
    let grounds = reader.text("box-grounds", 20).unwrap_or_default();
    let clamps = reader.ticked("box-clamps");
    let volume = reader.number("box-volume", "in³", (1.0, 2000.0));
    match study::code::box_contents(&conductors, &grounds, clamps) {
        Ok(contents) => Some((contents, volume)),
        Err(error) => {
            reader.wrong("in-box", format!("{}.", capital(&error)));
            None
        }
    }
}

fn form(sheet: &Sheet<'_>, route: &Route) -> Markup {
    let pad = |name: &'static str, label: &'static str, unit: &'static str, hint: &'static str| Keypad {
        name,
        label,
        unit,
        hint,
        value: None,
        required: false,
    };
    html! {
        details.more open[sheet.is_again()] {
            summary { "Try another rating, metal, air or length, or the fill of cabinet and box" }
            form method="get" action=(route) {
                (sheet.number(&pad("rating", "Rating of the service", "A", "Left empty: the one on record.")))
                (sheet.pick("metal", "Metal of new conductors", "", &[("", "Both", ""), ("copper", "Copper", ""), ("aluminium", "Aluminium", "")], ""))
                (sheet.signed(&pad("ambient", "Air around the conductors", "°C", "Left empty: 30 °C.")))
                (sheet.whole("carrying", "Current-carrying conductors together", "Left empty: up to three.", None))
                (sheet.number(&pad("length", "Service conductors, one way", "ft", "Left empty: as on record.")))
                (sheet.number(&pad("interrupting", "Interrupting rating of the main", "A", "As marked.")))
                h3 { "Splices in the cabinet" }
                (sheet.number(&pad("space", "Wiring space at its fullest cross-section", "in²", "Width times depth.")))
                (sheet.number(&pad("wires", "Conductors in that cross-section", "in²", "")))
                (sheet.number(&pad("splices", "Splices in it", "in²", "")))
                h3 { "Splices in a box" }
                (sheet.text("in-box", "Conductors in the box", "Size and number, as 12x4, 14x2. One that passes through without a splice counts once.", ""))
                (sheet.text("box-grounds", "Equipment grounds in it", "The largest size, and how many in all: 12x3.", ""))
                (sheet.tick("box-clamps", "Clamps inside the box", "", false))
                (sheet.number(&pad("box-volume", "Volume of the box", "in³", "As marked.")))
                div.actions { button.big { "Try" } }
            }
        }
    }
}

fn list(sizes: &Sizes) -> Markup {
    html! {
        section.sheet {
            h2 { "Sizes" @if let Some(rating_a) = sizes.rating_a { " for " (format!("{rating_a:.0}")) " A" } }
            @if sizes.lines.is_empty() { p { "None yet: see what is asked." } }
            @for line in &sizes.lines { (size(line)) }
        }
        @if !sizes.questions.is_empty() { section.sheet { h2 { "To be asked" } (questions(&sizes.questions)) } }
    }
}

fn size(line: &SizeLine) -> Markup {
    html! {
        @match &line.result {
            Err(why) => p { strong { (capital(&line.title)) } ": none. " span.quiet { (capital(why)) "." } },
            Ok(size) => {
                details.working {
                    summary { span { (capital(&line.title)) ": " strong { (size) } } }
                    div { @for one in &line.workings { (working(one)) } @for one in &line.notes { (note(one)) } }
                }
            }
        }
    }
}
