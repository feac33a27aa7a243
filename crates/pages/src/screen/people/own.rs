//! Who looks: name and role, own devices, own password, signing out.

use super::act;
use super::sign::password;
use crate::context::{Context, Device};
use crate::fields::{Fields, Refusal};
use crate::form::Sheet;
use crate::rights::{Need, Role};
use crate::route::Route;
use crate::screen::devices::when;
use crate::shell::{Page, shell};
use maud::{Markup, html};

/// What the page is made from.
#[derive(Debug, Clone)]
pub struct MeGround {
    /// Name of the person, or of the device where nobody signed in.
    pub name: String,
    /// What may be done.
    pub role: Role,
    /// Did a person sign in? Otherwise the device joined by a code.
    pub is_person: bool,
    /// The person's devices, or this one.
    pub devices: Vec<Device>,
}

/// The page.
pub fn me_page(ground: &MeGround, fields: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let sheet = Sheet::new(fields, again);
    let body = html! {
        p.lede { (ground.name) ", " (ground.role.word()) ": " (ground.role.sentence()) "." }
        (sheet.error_list())
        section.sheet {
            h2 { "Signed in on" }
            ul.rows { @for device in &ground.devices { (line(device, cx)) } }
            p.quiet { "What waits in the outbox of this device is sent under the name of whoever is signed in then. Send it first." }
            (act(cx, &Route::Me, "leave", "", html! { button.big.full { "Sign out on this device" } }))
        }
        @if ground.is_person {
            section.sheet {
                h2 { "Another password" }
                (act(cx, &Route::Me, "password", "", html! {
                    (password("old", "The one that holds now", "current-password", &sheet))
                    p.hint { "The new one: 15 characters or more." }
                    (password("password", "The new one", "new-password", &sheet))
                    (password("repeated", "The new one again", "new-password", &sheet))
                    button.big.full { "Change the password" }
                }))
                p.quiet { "Your other devices are signed out by that." }
            }
        }
        @if ground.role.may(Need::Manage) {
            p.links {
                a.plain.small href=(Route::People) { "People" }
                a.plain.small href=(Route::Devices) { "Devices" }
                a.plain.small href=(Route::Audit) { "Audit trail" }
            }
        }
    };
    shell(cx, "You", &Route::Me, body)
}

fn line(device: &Device, cx: &Context<'_>) -> Markup {
    html! {
        li.row {
            span.grow {
                span.lead { (device.name) }
                @if device.this { " " span.tag { "this one" } }
                br;
                span.quiet {
                    "Since " (when(device.joined)) "; until " (when(device.expires)) "."
                    @if let Some(seen) = device.seen { " Last seen " (when(seen)) "." }
                }
            }
            @if !device.this {
                (act(cx, &Route::Me, "shut", &device.id, html! {
                    button.small aria-label={ "Sign out " (device.name) } { "Sign out" }
                }))
            }
        }
    }
}
