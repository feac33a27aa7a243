//! Photos of a job: taking them, looking at them, pins on them.

use crate::context::{Context, JobView};
use crate::entry::words::{enter, installation, read_slot, space_route, space_words, when, with_query};
use crate::entry::{alt, is_hash, picture, pin_fields};
use crate::fields::{Fields, Reader, Refusal};
use crate::form::{Sheet, Spaces, form, form_with_files};
use crate::route::{EntryKind, Rendition, Route};
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::job::Photo;
use record::Fact;
use record::fact::PhotoTaken;
use record::limits;
use record::text::AsText;

fn all(view: &JobView) -> &[Photo] {
    view.settled.job.as_ref().map(|job| job.photos.as_slice()).unwrap_or_default()
}

pub(crate) fn page(job: &str, query: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let Some(view) = cx.job else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let route = Route::Photos(job.to_owned());
    let sheet = Sheet::new(query, again);
    let of_space = query
        .text("place")
        .and_then(|text| read_slot(view, text))
        .map(|slot| space_route(view, &slot).to_string());
    let back = query.text("go").map(str::to_owned).or(of_space);
    let body = html! {
        (sheet.error_list())
        section.sheet {
            h2 { "Take photos" }
            p.quiet { "Step back from the opening before you handle the phone. Wide first, then each anomaly with its space." }
            (form_with_files(cx, &route, html! {
                @if let Some(go) = back { input type="hidden" name="go" value=(go); }
                div.field {
                    label for=(sheet.id_of("photo")) { "Photos" }
                    input id=(sheet.id_of("photo")) type="file" name="photo" accept="image/*" capture="environment" multiple required;
                    (sheet.error("photo"))
                }
                (sheet.place("place", "Of the space", "", cx.settled_job(), Spaces::All, Some("No one space")))
                (sheet.text("words", "What they show", "", ""))
                div.actions { button.big { "Save photos" } }
            }))
        }
        section.sheet #gallery data-live {
            h2 { "Photos " span.quiet { (all(view).len()) } }
            @if all(view).is_empty() { p.quiet { "None yet." } }
            ul.photo-grid {
                @for photo in all(view).iter().rev() {
                    li {
                        a href=(Route::Photo(job.to_owned(), photo.sha256.clone())) {
                            img src=(picture(job, &photo.sha256, Rendition::Thumb)) alt=(alt(&photo.words)) loading="lazy" width="320" height="240";
                            small { (caption(photo)) }
                        }
                    }
                }
            }
        }
    };
    shell(cx, "Photos", &route, body)
}

fn caption(photo: &Photo) -> String {
    let at = photo.slot.as_ref().map(|slot| format!("Space {}. ", slot.space)).unwrap_or_default();
    let pins = match photo.pins.len() {
        0 => String::new(),
        1 => " 1 pin.".to_owned(),
        n => format!(" {n} pins."),
    };
    format!("{at}{}{pins}", if photo.words.is_empty() { when(photo.at) } else { photo.words.clone() })
}

pub(crate) fn photo_page(
    job: &str,
    photo: &str,
    query: &Fields,
    again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    let route = Route::Photo(job.to_owned(), photo.to_owned());
    let found = cx.job.and_then(|view| Some((view, all(view).iter().find(|one| one.sha256 == photo)?)));
    let Some((view, photo)) = found else {
        return failure_page(
            "No such photo",
            "No photo of this job has that name.",
            "It may be on a phone that has not sent it yet.",
        );
    };
    let sheet = Sheet::new(query, again);
    let action = Route::Enter(job.to_owned(), EntryKind::Pin);
    let body = html! {
        p.lede {
            (when(photo.at))
            @if let Some(slot) = &photo.slot { " · " (space_words(installation(view), slot)) }
            @if !photo.words.is_empty() { " · " (photo.words) }
        }
        (form(cx, &action, html! {
            input type="hidden" name="photo" value=(photo.sha256);
            input type="hidden" name="go" value=(route);
            div.photo data-pins {
                img src=(picture(job, &photo.sha256, Rendition::Page)) alt=(alt(&photo.words));
                (overlay(photo))
            }
            @if !photo.pins.is_empty() {
                ol.rows {
                    @for (idx, pin) in photo.pins.iter().enumerate() {
                        li.row {
                            span.pin { (idx + 1) }
                            span.grow {
                                @if let Some(slot) = &pin.slot { strong { (study::words::capital(&space_words(installation(view), slot))) } " " }
                                (pin.words)
                                @if pin.words.is_empty() && pin.slot.is_none() { "No words" }
                            }
                            a.plain.small href=(enter(view, EntryKind::TakeBack, &[("supersedes", pin.fact.as_str()), ("go", &route.to_string())])) {
                                "Take back" span.off-screen { " pin " (idx + 1) }
                            }
                        }
                    }
                }
            }
            section.sheet {
                h2 { "Set a pin" }
                p.quiet { "Tap the photo where it is, then say what." }
                (sheet.place("place", "At the space", "", cx.settled_job(), Spaces::All, Some("No one space")))
                (pin_fields(&sheet))
                div.actions { button.big { "Set pin" } }
            }
        }))
        div.links {
            a.plain.small href=(picture(job, &photo.sha256, Rendition::Original)) { "The photo as it was taken" }
            a.plain.small href=(enter(view, EntryKind::TakeBack, &[("supersedes", photo.fact.as_str())])) { "Take back this photo" }
            a.plain.small href=(with_query(&Route::Photos(job.to_owned()), &[])) { "All photos" }
        }
        p.quiet { "Kept by its hash, " span.mono { (photo.sha256) } ". A copy handed to others carries no location." }
    };
    shell(cx, "Photo", &route, body)
}

/// Pins over the picture, by share of its width and height.
fn overlay(photo: &Photo) -> Markup {
    let share = |value: f64| format!("{:.2}%", value.clamp(0.0, 1.0) * 100.0);
    html! {
        svg.pins aria-hidden="true" width="100%" height="100%" {
            @for (idx, pin) in photo.pins.iter().enumerate() {
                circle cx=(share(pin.x)) cy=(share(pin.y)) r="15" fill="#ffffff" stroke="#000000" stroke-width="2.5" {}
                text x=(share(pin.x)) y=(share(pin.y)) dy="5.5" text-anchor="middle" font-size="16" font-weight="700" fill="#000000" { (idx + 1) }
            }
        }
    }
}

/// Facts of photos that were kept: the fields `sha256` name them, `words` and `place` are of all of them.
pub(crate) fn read(fields: &Fields, cx: &Context<'_>) -> Result<Vec<Fact>, Refusal> {
    let mut reader = Reader::new(fields);
    let at = reader.moment(cx.now);
    let words = reader.text("words", limits::WORDS_MAX).unwrap_or_default();
    let slot = reader.slot("place", cx.settled_job());
    let hashes: Vec<&str> = fields.all("sha256").collect();
    if hashes.is_empty() {
        reader.wrong("photo", "Choose or take a photo.");
    }
    if hashes.iter().any(|hash| !is_hash(hash)) {
        reader.wrong("photo", "This is not a photo that was kept here.");
    }
    reader.finish()?;
    let mut facts: Vec<Fact> = Vec::new();
    for hash in hashes {
        let body =
            PhotoTaken { sha256: hash.to_owned(), words: words.clone(), slot: slot.clone().map(AsText) };
        let fact = cx.fact(at, Vec::new(), body);
        if facts.iter().all(|known| known.id() != fact.id()) {
            facts.push(fact);
        }
    }
    Ok(facts)
}
