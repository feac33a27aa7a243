//! The frame of every page: top bar, places of the job, cautions.

use crate::context::{Context, Judged, Light};
use crate::route::Route;
use maud::{DOCTYPE, Markup, html};

/// A whole page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// Title of the window.
    pub title: String,
    /// The whole HTML document.
    pub html: String,
}

/// Puts a body into the frame. `title` is the heading of the page, too, and `here` the page's own route.
pub(crate) fn shell(cx: &Context<'_>, title: &str, here: &Route, body: Markup) -> Page {
    frame(Some(cx), title, Some(here), false, body)
}

/// As [`shell`], for pages that lay two columns side by side where there is room.
pub(crate) fn wide_shell(cx: &Context<'_>, title: &str, here: &Route, body: Markup) -> Page {
    frame(Some(cx), title, Some(here), true, body)
}

/// A page that says what went wrong and what can be done.
pub fn failure_page(title: &str, message: &str, hint: &str) -> Page {
    let body = html! {
        section.sheet {
            p { (message) }
            @if !hint.is_empty() { p { (hint) } }
        }
        p { a.plain href="/" { "All jobs" } }
    };
    frame(None, title, None, false, body)
}

/// A page for somebody outside the shop: no script, no way on into the bench, nothing for search engines, and the cautions.
pub(crate) fn outside_frame(title: &str, body: Markup) -> Page {
    let window = format!("{title} · Panelwright");
    let markup = html! {
        (DOCTYPE)
        html lang="en" data-light="auto" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover";
                meta name="color-scheme" content="light dark";
                meta name="robots" content="noindex, nofollow";
                meta name="referrer" content="no-referrer";
                title { (window) }
                link rel="stylesheet" href="/look.css";
            }
            body {
                a.skip href="#main" { "To the content" }
                header.bar { a.home.alone { (glyph()) span { "Panelwright" } } span.job-name {} }
                main #main tabindex="-1" { h1 { (title) } (body) }
                (cautions())
            }
        }
    };
    Page { title: window, html: markup.into_string() }
}

/// The page with a remark below its heading.
pub fn with_remark(page: Page, remark: &str) -> Page {
    let note = html! { div.note #remark { p role="status" { (remark) } } }.into_string();
    Page { html: page.html.replacen("</h1>", &format!("</h1>{note}"), 1), ..page }
}

/// The page of a job with a remark that links to its papers are open.
pub fn with_open_links(page: Page, n_links: usize) -> Page {
    let words = match n_links {
        1 => "One link for others is open: see Papers.".to_owned(),
        n => format!("{n} links for others are open: see Papers."),
    };
    with_remark(page, &words)
}

fn frame(cx: Option<&Context<'_>>, title: &str, here: Option<&Route>, wide: bool, body: Markup) -> Page {
    let light = cx.map(|cx| cx.light).unwrap_or_default();
    let job = here.and_then(Route::job);
    // By these a page sees whether what it shows is still the newest.
    let view = cx.and_then(|cx| cx.job);
    let judged = view.map(|view| match &view.judged {
        Judged::Done { current: true, .. } => "true",
        judged if judged.first_look().is_some() => "first",
        _ => "false",
    });
    let window = match job {
        Some(job) => format!("{title} · {job} · Panelwright"),
        None => format!("{title} · Panelwright"),
    };
    let markup = html! {
        (DOCTYPE)
        html lang="en" data-light=(light.word()) {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1, viewport-fit=cover";
                meta name="color-scheme" content="light dark";
                title { (window) }
                link rel="stylesheet" href="/look.css";
                link rel="manifest" href="/manifest.webmanifest";
                link rel="icon" href="/icon.svg" type="image/svg+xml";
                script src="/app.js" type="module" {}
            }
            body data-job=[job] data-revision=[view.map(|view| view.revision)] data-judged=[judged] {
                a.skip href="#main" { "To the content" }
                header.bar {
                    a.home.alone[job.is_none()] href="/" {
                        (glyph())
                        span { "Panelwright" }
                        @if job.is_some() { span.off-screen { "All jobs" } }
                    }
                    @match (cx, job) {
                        (Some(cx), Some(job)) => span.job-name { (place_of(cx, job)) },
                        _ => span.job-name {},
                    }
                    a #waiting href="/guide#outbox" title="What waits to be sent" { "Outbox" }
                    @if let (Some(cx), Some(here)) = (cx, here) { (lights(cx, here)) }
                }
                @if let (Some(job), Some(here)) = (job, here) { (places(job, here)) }
                main #main .wide[wide] tabindex="-1" {
                    h1 { (title) }
                    (body)
                }
                (cautions())
            }
        }
    };
    Page { title: window, html: markup.into_string() }
}

fn place_of<'a>(cx: &Context<'a>, job: &'a str) -> &'a str {
    match cx.settled_job() {
        Some(settled) if !settled.place.is_empty() => &settled.place,
        _ => job,
    }
}

/// A panel in one glance: two columns of spaces, one of them marked.
fn glyph() -> Markup {
    html! {
        svg viewBox="0 0 28 28" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="1.8" {
            rect x="4" y="2" width="20" height="24" rx="2" {}
            path d="M14 6v16M8 8h3.5M8 14h3.5M8 20h3.5M16.5 8H20M16.5 20H20" {}
            rect x="16.6" y="12.4" width="3.4" height="3.4" fill="currentColor" stroke="none" {}
        }
    }
}

fn lights(cx: &Context<'_>, here: &Route) -> Markup {
    html! {
        details.lights {
            summary title="Light" {
                svg viewBox="0 0 26 26" aria-hidden="true" fill="none" stroke="currentColor" stroke-width="1.8" {
                    circle cx="13" cy="13" r="8.5" {}
                    path d="M13 4.5a8.5 8.5 0 0 1 0 17z" fill="currentColor" stroke="none" {}
                }
                span.off-screen { "Light" }
            }
            form method="post" action="/light" {
                input type="hidden" name="csrf" value=(cx.csrf);
                input type="hidden" name="back" value=(here);
                @for light in Light::ALL {
                    button.small name="light" value=(light.word()) aria-pressed=(light == cx.light) {
                        (match light {
                            Light::Auto => "Automatic",
                            Light::Day => "Day",
                            Light::Dark => "Dark",
                            Light::Glare => "Glare",
                        })
                    }
                }
            }
        }
    }
}

/// Places of a job that a narrow phone shows in one row.
const N_FIRST: usize = 4;

fn places(job: &str, here: &Route) -> Markup {
    let own = || job.to_owned();
    let all = [
        ("Bench", Route::Bench(own())),
        ("Call", Route::Call(own())),
        ("Photos", Route::Photos(own())),
        ("Papers", Route::Papers(own())),
        ("Isolation", Route::Isolation(own())),
        ("Plan", Route::Plan(own())),
        ("Survey", Route::Survey(own())),
        ("Layout", Route::Layout(own())),
        ("Code", Route::Code(own())),
        ("Log", Route::Log(own())),
    ];
    html! {
        nav.places aria-label="Job" {
            @for (idx, (word, route)) in all.iter().enumerate() {
                a.rest[N_FIRST <= idx] href=(route) aria-current=[(route == here).then_some("page")] { (word) }
            }
            // On a phone the rest is one tap away; nothing is to be swiped for.
            details.others {
                summary.here[all.iter().skip(N_FIRST).any(|(_, route)| route == here)] { "More" }
                div {
                    @for (word, route) in all.iter().skip(N_FIRST) {
                        a href=(route) aria-current=[(route == here).then_some("page")] { (word) }
                    }
                }
            }
        }
    }
}

/// What stands at the foot of every page.
const CAUTIONS: [&str; 6] = [
    "Smoke, flame or crackle: leave, call the emergency services, touch nothing.",
    "Work inside a panel is for qualified persons.",
    "Service conductors stay live with every handle off, until the utility has cut them and that is proven. An old \
     split-bus panel has no single main: its upper section is live whatever the handles say.",
    "Never pull a breaker off a live stab that may be burnt. A handle position, one reading or one tester proves \
     nothing: prove dead on all pairs, with a tester proven before and after.",
    "Local code, the utility’s rules, the manufacturer’s instructions and the inspector come first.",
    "This record is what was seen and measured that day. It is no guarantee for the rest.",
];

fn cautions() -> Markup {
    html! {
        footer.cautions {
            ul { @for caution in CAUTIONS { li { (caution) } } }
        }
    }
}
