//! Links for somebody outside the shop to papers of a job: making one, what is open, taking one back.

use super::act;
use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::form::Sheet;
use crate::route::Route;
use crate::screen::devices::when;
use crate::shell::{Page, shell};
use jiff::civil::DateTime;
use maud::{Markup, PreEscaped, html};

/// A link.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LinkLine {
    /// Its id, which also stands on the papers in the place of the job's name.
    pub id: String,
    /// What it opens, in words.
    pub what: String,
    /// For whom.
    pub audience: String,
    /// When it was made.
    pub made: DateTime,
    /// Until when it opens.
    pub expires: DateTime,
    /// Taken back?
    pub revoked: bool,
    /// Does it open now?
    pub is_open: bool,
}

/// A link just made, with its address, which is shown once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MadeLink {
    /// The address with the secret.
    pub address: String,
    /// The address as a QR code, SVG text.
    pub qr_svg: String,
    /// Until when it opens.
    pub expires: DateTime,
}

/// What the page is made from.
#[derive(Debug, Clone, Default)]
pub struct LinksGround {
    /// The links of the job.
    pub links: Vec<LinkLine>,
    /// One just made.
    pub made: Option<MadeLink>,
    /// What may be opened: word and name.
    pub papers: Vec<(&'static str, &'static str)>,
    /// For whom a link may be: word and name.
    pub audiences: Vec<(&'static str, &'static str)>,
    /// How long a link may open, days.
    pub days: Vec<u16>,
}

/// The page.
pub fn links_page(
    job: &str,
    ground: &LinksGround,
    fields: &Fields,
    again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    let sheet = Sheet::new(fields, again);
    let route = Route::Links(job.to_owned());
    let body = html! {
        p.lede { "Who has the address of a link reads the papers without joining, until its day. Nothing else can be reached by it." }
        (sheet.error_list())
        @match &ground.made {
            Some(made) => (shown(made)),
            None => (make(&route, ground, cx)),
        }
        section.sheet {
            h2 { "Links of this job" }
            @if ground.links.is_empty() { p { "None was made yet." } }
            ul.rows { @for link in &ground.links { (line(link, &route, cx)) } }
        }
        p.quiet {
            "Left out for others: street, town, owner, who recorded it, photos, every note, and what the shop calls its load \
             states, meters and panels where that is not plain. The judgement and the figures are the same. Look at the papers \
             yourself by the link before you send it."
        }
    };
    shell(cx, "Links for others", &route, body)
}

fn make(route: &Route, ground: &LinksGround, cx: &Context<'_>) -> Markup {
    let pick = |name: &str, legend: &str, options: &[(&str, String)]| {
        html! {
            fieldset.pick {
                legend { (legend) }
                div.tiles {
                    @for (at, (word, words)) in options.iter().enumerate() {
                        label {
                            input type="radio" name=(name) value=(word) checked[at == 0];
                            span { (words) }
                        }
                    }
                }
            }
        }
    };
    let own = |pairs: &[(&'static str, &str)]| -> Vec<(&'static str, String)> {
        pairs.iter().map(|(word, words)| (*word, (*words).to_owned())).collect()
    };
    let days: Vec<String> = ground.days.iter().map(u16::to_string).collect();
    let days: Vec<(&str, String)> = days.iter().map(|days| (days.as_str(), format!("{days} days"))).collect();
    html! {
        section.sheet {
            h2 { "A further link" }
            (act(cx, route, "make", "", html! {
                (pick("audience", "For", &own(&ground.audiences)))
                (pick("paper", "It opens", &own(&ground.papers)))
                (pick("days", "For how long", &days))
                button.big.full { "Make the link" }
            }))
        }
    }
}

fn shown(made: &MadeLink) -> Markup {
    html! {
        section.sheet.invitation {
            h2 { "The address" }
            div.two {
                div.qr role="img" aria-label="QR code of the address" { (PreEscaped(&made.qr_svg)) }
                div {
                    p { a.wrap href=(made.address) rel="noreferrer" { (made.address) } }
                    p { "It is shown this once, and kept nowhere. Opens until " (when(made.expires)) "." }
                }
            }
        }
    }
}

fn line(link: &LinkLine, route: &Route, cx: &Context<'_>) -> Markup {
    html! {
        li.row {
            span.grow {
                span.lead { (link.what) }
                " " span.tag { (link.audience) }
                br;
                span.quiet {
                    (link.id) ". Made " (when(link.made)) "; "
                    @if link.revoked { "taken back." }
                    @else if link.is_open { "opens until " (when(link.expires)) "." }
                    @else { "run out on " (when(link.expires)) "." }
                }
            }
            @if link.is_open {
                (act(cx, route, "revoke", &link.id, html! {
                    button.small aria-label={ "Take back " (link.id) } { "Take back" }
                }))
            }
        }
    }
}
