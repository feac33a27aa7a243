//! What to do without a network, HTTPS on a phone, what the marks mean.

use crate::context::Context;
use crate::route::Route;
use crate::shell::{Page, shell};
use crate::urgency::urgency_words;
use maud::{Markup, html};
use model::advice::Urgency;

pub(crate) fn page(cx: &Context<'_>) -> Page {
    let body = html! {
        nav.chips aria-label="On this page" {
            a.chip href="#offline" { "Without a network" }
            a.chip href="#secure" { "Making a phone ready" }
            a.chip href="#marks" { "What the marks mean" }
            a.chip href="#danger" { "Danger" }
        }
        (danger())
        (offline())
        (secure())
        (marks())
        (gloves())
    };
    shell(cx, "Guide", &Route::Guide, body)
}

fn danger() -> Markup {
    html! {
        section.sheet #danger {
            h2 { "Before a hand goes near it" }
            ul {
                li { "Smoke, flame or crackle: everybody out, call the emergency services, touch nothing." }
                li { "Look first. A cover that is warm, smells or hums stays closed until you know why." }
                li { "With every handle off, the service conductors, the lugs and the upper section of a split bus are live." }
                li { "Dead is what was proven dead: tester on a known source, all pairs, tester on the known source again." }
                li { "Look for a second supply: generator inlet, solar, battery, a second meter, a neighbour." }
                li { "No breaker comes off a live stab that may be burnt. It may be welded to it, and nothing in the house protects that arc." }
                li { "Stand back for photos. A phone that falls into an open live panel is a conductor." }
            }
        }
    }
}

fn offline() -> Markup {
    html! {
        section.sheet #offline {
            h2 { "Without a network" }
            p {
                "What you enter is kept on the phone first and sent when there is a network. Nothing is lost when the page or "
                "the browser is closed. The top bar always says how many entries wait; tap it to see them."
            }
            ul {
                li { "The last jobs that were open, their spaces and all forms work in the cellar, once the phone has shown them." }
                li { "If the program was built with its part for phones, a whole job can be begun, judged and printed there. Such a page says so at its head. If it was not, a judgement needs the laptop." }
                li { "Photos are sent first. Until then they are on this phone alone." }
                li { "Entries keep the time at which you made them." }
                li { "An entry that cannot be taken stays in the list, with what is wrong. Correct it or drop it there." }
                li { "Two devices that worked apart are put together. Where they contradict, both entries stand in the log and the later one is used." }
                li { "Before the phone goes away for good, wait until it says that all is sent." }
            }
            p.quiet #outbox {
                "If this page opened when you tapped the badge in the top bar, the script of the pages is not running. Every form "
                "still works, but only with a network."
            }
        }
    }
}

fn secure() -> Markup {
    html! {
        section.sheet #secure {
            h2 { "Making a phone ready for the cellar" }
            p {
                "A browser keeps pages for use without a network only from an address that it trusts. The program can make a "
                "certificate authority of its own for that; the phone has to be told once to trust it."
            }
            ol {
                li { "Start the program with HTTPS switched on." }
                li { "On the phone, in the same network, open " a href="/authority.crt" { "the certificate of its authority" } " and let it be saved. It is there only with HTTPS on." }
                li { "In the phone’s settings, under security or certificates, install it as an authority. Some phones want it switched on in a second place." }
                li { "Open the HTTPS address again. Without a warning in the address bar, it worked." }
                li { "Leave the job open for a moment, so that its pages are kept." }
                li { "Put the bench on the home screen, from the menu of the browser. It then opens like a program, and some browsers keep its data longer." }
            }
            p {
                "Such an authority vouches for private networks and the names given to the program, for nothing else. Use it only on "
                "devices of the shop, keep its key on the machine that made it, and take it off a phone that is given away."
            }
        }
    }
}

fn marks() -> Markup {
    const STATEMENTS: [(&str, &str); 4] = [
        ("seen", "Somebody saw, heard, felt or smelt it."),
        ("measured", "An instrument showed it, in a load state that has a name."),
        ("inferred", "Computed from the record, with a probability and reasons."),
        (
            "unknown",
            "Nobody looked, or it could not be told. Unknown means live, and unknown means not sound.",
        ),
    ];
    const CONDITIONS: [(&str, &str); 4] = [
        ("sound", "As it should be."),
        ("worn", "More resistance than new, not yet hot at rated load."),
        ("burnt", "Damaged by heat or arcing."),
        ("unknown", "The record does not tell."),
    ];
    const URGENCIES: [(Urgency, &str); 5] = [
        (Urgency::Now, "Do not leave it energized."),
        (Urgency::Within72Hours, "The circuit is off and tagged; a date is set."),
        (Urgency::ThisMonth, "Nothing is hot now, but it will not last."),
        (Urgency::PlanIt, "No hurry; it belongs in a plan."),
        (Urgency::NoAction, "The record gives no reason to do anything on the panel."),
    ];
    html! {
        section.sheet #marks {
            h2 { "What the marks mean" }
            h3 { "How a statement is known" }
            ul.rows { @for (word, means) in STATEMENTS {
                li.row { span class=(format!("tag {word}")) { (word) } span.grow { (means) } }
            } }
            h3 { "Condition of a joint" }
            ul.rows { @for (word, means) in CONDITIONS {
                li.row { span class=(format!("mark {word}")) { (word) } span.grow { (means) } }
            } }
            h3 { "Urgency" }
            ul.rows { @for (urgency, means) in URGENCIES {
                li.row { (urgency_words(urgency)) span.grow { (means) } }
            } }
        }
    }
}

fn gloves() -> Markup {
    html! {
        section.sheet {
            h2 { "Light and gloves" }
            p {
                "The half disc in the top bar changes the light: day, dark for the cellar, glare for the sun. Numbers have their own "
                "big keys; a number may have a point or a comma."
            }
        }
    }
}
