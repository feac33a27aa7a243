//! One space: its joints, two-tap entry, and what was recorded there.

use super::bench::{mark_words, standing_of_judging};
use super::joint::line;
use super::log::fact_line;
use crate::context::{Context, JobView};
use crate::entry::standing::{Standing, slots_of};
use crate::entry::words::{enter, feeds, installation, space_route, with_query};
use crate::entry::{alt, feel_tiles, picture, question, signs_at};
use crate::fields::{Fields, Refusal};
use crate::form::form_as;
use crate::route::{EntryKind, Rendition, Route};
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::evidence::{Sign, SignScope};
use model::job::Exposure;
use model::panel::Panel;
use model::{JointId, PanelId, Slot, Space};
use record::{Body, Fact};
use study::words::{capital, sign_phrase};
use study::{Marks, in_words};

/// Facts shown before the rest is left to the log.
const N_FACTS: usize = 30;

pub(crate) fn page(
    job: &str,
    panel: &str,
    space: &str,
    query: &Fields,
    _again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    let route = Route::Space(job.to_owned(), panel.to_owned(), space.to_owned());
    let found = cx.job.and_then(|view| {
        let panel = installation(view)?.panel(&PanelId::new(panel))?;
        let space: Space = space.parse().ok()?;
        panel.has_space(space).then_some((view, panel, space))
    });
    let Some((view, panel, space)) = found else {
        return failure_page(
            "No such space",
            "The panel of this job has no such space.",
            "Open the bench and tap a space.",
        );
    };
    let slot = Slot::new(panel.id.clone(), space);
    let mut standing = Standing::of(view);
    if let Some(state) = query.text("state").filter(|state| standing.has_state(state)) {
        state.clone_into(&mut standing.state);
    }
    let title = format!("Space {space}");
    let body = html! {
        div #asked data-live { (question(view, cx)) }
        (head(view, panel, &slot, &standing))
        div #short data-live { (short(view, &slot)) }
        @if panel.breaker_at(space).is_some() {
            section.sheet #feel { (feel(view, &slot, &standing, cx)) }
            section.sheet #enter { (entries(view, &slot, &standing)) }
        } @else {
            section.sheet #enter {
                p { "No breaker is recorded here." }
                a.big.full href=(enter(view, EntryKind::Breaker, &[("place", &slot.to_string())])) { "Describe a breaker" }
            }
        }
        div #judged data-live { (standing_of_judging(view)) (judged(view, &slot)) }
        section.sheet #signs data-live { (signs(view, &slot, &standing, cx)) }
        section.sheet #facts data-live { (facts(view, &slot, cx)) }
        section.sheet #photos data-live { (photos(view, &slot)) }
    };
    shell(cx, &title, &route, body)
}

/// What it is and feeds, and the way to the spaces beside it.
fn head(view: &JobView, panel: &Panel, slot: &Slot, standing: &Standing<'_>) -> Markup {
    let mut spaces: Vec<Space> =
        panel.breakers.iter().flat_map(|breaker| breaker.spaces.iter().copied()).collect();
    let free = (1..=panel.n_spaces).map(Space::whole);
    let free: Vec<Space> = free.filter(|space| spaces.iter().all(|taken| !taken.overlaps(*space))).collect();
    spaces.extend(free);
    spaces.sort_by_key(|&space| (panel.column_of(space), space));
    let here = spaces.iter().position(|&space| space == slot.space);
    let beside = |idx: Option<usize>| {
        let space = *spaces.get(idx?)?;
        let to = Slot::new(panel.id.clone(), space);
        Some((space, with_query(&space_route(view, &to), &[("state", &standing.state)])))
    };
    let above = beside(here.and_then(|idx| idx.checked_sub(1)));
    let below = beside(here.map(|idx| idx + 1));
    let breaker = panel.breaker_at(slot.space);
    let section = panel.section_of(slot.space).filter(|_| 1 < panel.sections.len());
    html! {
        p.lede {
            @if let Some(breaker) = breaker { strong { (breaker.rating.a()) " A" } " · " }
            (feeds(installation(view), slot))
            @if let Some(breaker) = breaker.filter(|breaker| 1 < breaker.n_poles()) { " · spaces " (study::words::spaces_label(breaker)) }
            " · leg " (panel.leg_of(slot.space))
            @if let Some(section) = section { " · section " (section.id) }
        }
        nav.chips aria-label="Spaces beside it" {
            a.chip href=(with_query(&Route::Bench(view.name.clone()), &[("panel", panel.id.as_str()), ("state", &standing.state)])) { "Panel" }
            @if let Some((space, href)) = above { a.chip href=(href) { "↑ " (space) span.off-screen { ", the space above" } } }
            @if let Some((space, href)) = below { a.chip href=(href) { "↓ " (space) span.off-screen { ", the space below" } } }
            @if breaker.is_some() {
                a.chip href=(Route::Moves(view.name.clone(), panel.id.to_string(), slot.space.to_string())) { "Where could it go?" }
            }
        }
    }
}

/// The joints of a space.
fn joints(slot: &Slot) -> [JointId; 3] {
    [JointId::Stab(slot.clone()), JointId::Terminal(slot.clone()), JointId::NeutralTerminal(slot.clone())]
}

/// The worst of its joints in one line: never sound where one of them is not known to be.
fn short(view: &JobView, slot: &Slot) -> Markup {
    let Some(marks) = view.judged.shown().map(Marks::of) else { return Markup::default() };
    let ids = joints(slot);
    let worst = ids.iter().filter_map(|id| Some((marks.mark(id)?, marks.finding(id)?))).min_by(
        |(one, a), (other, b)| {
            let likelier = || b.probability.burnt.total_cmp(&a.probability.burnt);
            one.concern().cmp(&other.concern()).then_with(likelier)
        },
    );
    html! {
        @if let Some((mark, finding)) = worst {
            p {
                a href="#judged" { span class={ "mark " (mark.word()) } { (capital(mark_words(mark))) } }
                span.quiet { " burnt is " (in_words(finding.probability.burnt)) @if view.judged.first_look().is_some() { ", at first look" } }
            }
        }
    }
}

/// The joints of this space.
fn judged(view: &JobView, slot: &Slot) -> Markup {
    let Some(assessment) = view.judged.shown() else { return Markup::default() };
    let ids = joints(slot);
    let judged = assessment.joints.iter().any(|finding| ids.contains(&finding.joint.id));
    html! {
        @if judged {
            section.sheet {
                h2 { "Condition" }
                ul.rows { @for id in &ids { (line(view, assessment, id)) } }
            }
        }
    }
}

/// One tap saves what a hand felt.
fn feel(view: &JobView, slot: &Slot, standing: &Standing<'_>, cx: &Context<'_>) -> Markup {
    let route = Route::Enter(view.name.clone(), EntryKind::Touch);
    let back = with_query(&space_route(view, slot), &[("state", &standing.state)]);
    html! {
        h2 { "The face felt" }
        p.quiet {
            "With “" (standing.state) "”. "
            @if standing.exposure == Exposure::CoverOn { "Plastic only, bare dry hand, one to three seconds." }
            @else { "The record says that the dead front is off: put it back on before a hand goes there." }
        }
        (form_as(cx, &route, "feel", html! {
            input type="hidden" name="place" value=(slot);
            input type="hidden" name="state" value=(standing.state);
            input type="hidden" name="go" value=(back);
            (feel_tiles("What the hand felt"))
        }))
        p { a href=(enter(view, EntryKind::Touch, &[("place", &slot.to_string()), ("state", &standing.state)])) { "Glove, other loads or time, all faces in a row" } }
    }
}

fn entries(view: &JobView, slot: &Slot, standing: &Standing<'_>) -> Markup {
    let place = slot.to_string();
    let kinds = [
        (EntryKind::Temperature, "Face temperature"),
        (EntryKind::Clamp, "Current"),
        (EntryKind::Drop, "Millivolt drop"),
        (EntryKind::Voltage, "Voltage at receptacle"),
        (EntryKind::Trip, "It opened"),
        (EntryKind::Sign, "Sign in words"),
        (EntryKind::Opening, "Opened, dead"),
        (EntryKind::Breaker, "Breaker details"),
    ];
    html! {
        h2 { "Record here" }
        div.links {
            @for (kind, word) in kinds {
                a.plain.small href=(enter(view, kind, &[("place", &place), ("state", &standing.state)])) { (word) }
            }
            a.plain.small href=(with_query(&Route::Photos(view.name.clone()), &[("place", &place)])) { "Photo" }
        }
    }
}

/// Can an empty space show it?
const fn of_the_stab(sign: Sign) -> bool {
    matches!(sign, Sign::Discoloration | Sign::PittedStab)
}

/// Latest word on a sign at this space.
fn known(standing: &Standing<'_>, slot: &Slot, sign: Sign) -> Option<bool> {
    standing.live.iter().rev().find_map(|fact| match &fact.body {
        Body::Sign(body) if body.sign.0 == sign && body.scope.0 == SignScope::Slot(slot.clone()) => {
            Some(body.seen)
        }
        _ => None,
    })
}

fn signs(view: &JobView, slot: &Slot, standing: &Standing<'_>, cx: &Context<'_>) -> Markup {
    let route = Route::Enter(view.name.clone(), EntryKind::Sign);
    let here = with_query(&space_route(view, slot), &[("state", &standing.state)]);
    // A tap leads back to its own line, so that the next one is below the thumb.
    let back = |sign: Sign| format!("{here}#sign-{}", sign.word());
    let has_breaker = installation(view).and_then(|installation| installation.breaker_at(slot)).is_some();
    html! {
        h2 { "Signs here" }
        @if !has_breaker && standing.exposure == Exposure::CoverOn {
            p.quiet { "An empty space shows signs only behind the dead front." }
        }
        p.quiet { "One tap saves. Looked and not there counts, too." }
        ul.rows {
            @for sign in signs_at(standing.exposure).filter(|sign| has_breaker || of_the_stab(*sign)) {
                li.row id={ "sign-" (sign.word()) } {
                    span.grow {
                        (capital(sign_phrase(sign)))
                        @match known(standing, slot, sign) {
                            Some(true) => { br; strong { "There" } }
                            Some(false) => { br; span.quiet { "Looked, not there" } }
                            None => {}
                        }
                    }
                    (form_as(cx, &route, sign.word(), html! {
                        input type="hidden" name="place" value=(slot);
                        input type="hidden" name="sign" value=(sign.word());
                        input type="hidden" name="go" value=(back(sign));
                        div.links {
                            button.small name="seen" value="yes" { "There" span.off-screen { ": " (sign_phrase(sign)) } }
                            button.small name="seen" value="no" { "Not there" span.off-screen { ": " (sign_phrase(sign)) } }
                        }
                    }))
                }
            }
        }
    }
}

fn facts(view: &JobView, slot: &Slot, cx: &Context<'_>) -> Markup {
    let mut facts: Vec<&Fact> = view
        .facts
        .iter()
        .filter(|fact| match &fact.body {
            Body::Breaker(body) => {
                body.panel.0 == slot.panel && body.spaces.iter().any(|space| space.0.overlaps(slot.space))
            }
            body => slots_of(body).contains(&slot),
        })
        .collect();
    facts.sort_by_key(|fact| std::cmp::Reverse((fact.at, fact.id().clone())));
    html! {
        h2 { "Recorded here" }
        @if facts.is_empty() { p.quiet { "Nothing yet." } }
        ul.facts { @for fact in facts.iter().take(N_FACTS) { (fact_line(view, fact, cx)) } }
        @if N_FACTS < facts.len() { p { a href=(Route::Log(view.name.clone())) { "More in the log" } } }
    }
}

fn photos(view: &JobView, slot: &Slot) -> Markup {
    let photos = view.settled.job.as_ref().map(|job| job.photos.as_slice()).unwrap_or_default();
    let here: Vec<_> = photos
        .iter()
        .filter(|photo| {
            photo.slot.as_ref() == Some(slot) || photo.pins.iter().any(|pin| pin.slot.as_ref() == Some(slot))
        })
        .collect();
    html! {
        h2 { "Photos" }
        @if here.is_empty() { p.quiet { "None of this space." } }
        ul.photo-grid {
            @for photo in &here {
                li {
                    a href=(Route::Photo(view.name.clone(), photo.sha256.clone())) {
                        img src=(picture(&view.name, &photo.sha256, Rendition::Thumb)) alt=(alt(&photo.words)) loading="lazy" width="320" height="240";
                    }
                }
            }
        }
        a.plain href=(with_query(&Route::Photos(view.name.clone()), &[("place", &slot.to_string())])) { "Take a photo" }
    }
}
