//! Devices that may use the bench: the list, an invitation, shutting one out.

use crate::context::{Context, Device, Invitation};
use crate::fields::{Fields, Refusal};
use crate::form::Sheet;
use crate::rights::Role;
use crate::route::Route;
use crate::shell::{Page, shell};
use jiff::civil::DateTime;
use maud::{Markup, PreEscaped, html};

pub(crate) fn page(query: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let sheet = Sheet::new(query, again);
    let body = html! {
        p.lede { "Phones and laptops that may use the jobs of this shop, each with a role." }
        (sheet.error_list())
        @match cx.invitation {
            Some(invitation) => (invited(invitation)),
            None => section.sheet {
                h2 { "A further device" }
                p { "An invitation is a code that one device uses once. It ends by itself after a while." }
                (act(cx, "invite", None, html! {
                    fieldset.pick.list {
                        legend { "It may" }
                        div.tiles {
                            @for role in Role::ALL {
                                label {
                                    input type="radio" name="role" value=(role.word()) checked[role == Role::Electrician];
                                    span { (role.word()) ": " (role.sentence()) }
                                }
                            }
                        }
                    }
                    button.big.full { "Invite a device" }
                }))
            },
        }
        p.links {
            a.plain.small href=(Route::People) { "People" }
            a.plain.small href=(Route::Audit) { "Audit trail" }
            a.plain.small href=(Route::Exchange) { "Exchange with a shop" }
        }
        section.sheet {
            h2 { "Devices" }
            @if cx.devices.is_empty() { p { "None has joined yet." } }
            ul.rows { @for device in cx.devices { (line(device, cx)) } }
        }
        p.quiet { "A phone is lost: shut it out here. What it has sent stays; what waits on it cannot come any more." }
    };
    shell(cx, "Devices", &Route::Devices, body)
}

/// A form of this page. It does nothing to facts and is never kept for later.
fn act(cx: &Context<'_>, word: &str, device: Option<&str>, button: Markup) -> Markup {
    html! {
        form method="post" action=(Route::Devices) {
            input type="hidden" name="csrf" value=(cx.csrf);
            input type="hidden" name="act" value=(word);
            @if let Some(device) = device { input type="hidden" name="device" value=(device); }
            (button)
        }
    }
}

fn invited(invitation: &Invitation) -> Markup {
    html! {
        section.sheet.invitation {
            h2 { "Join with this" }
            div.two {
                div.qr role="img" aria-label="QR code of the address" { (PreEscaped(&invitation.qr_svg)) }
                div {
                    ol {
                        li { "Bring the phone into the same network as this program." }
                        li { "Point its camera at the square, or open the address by hand." }
                        li { "Give the device a name and join." }
                    }
                    p { span.label { "Address" } br; a href=(invitation.address) { (invitation.address) } }
                    p { span.label { "Code" } br; span.figure.code { (invitation.code) } }
                    p.quiet { "Good for one device, until " (when(invitation.expires)) "." }
                }
            }
        }
    }
}

fn line(device: &Device, cx: &Context<'_>) -> Markup {
    html! {
        li.row {
            span.grow {
                span.lead { (device.name) }
                @if !device.person.is_empty() { " of " (device.person) }
                " " span.tag { (device.role.word()) }
                @if device.this { " " span.tag { "this one" } }
                br;
                span.quiet {
                    @if device.revoked {
                        "Shut out. Joined " (when(device.joined)) "."
                    } @else {
                        "Joined " (when(device.joined)) "; may come until " (when(device.expires)) "."
                        @if let Some(seen) = device.seen { " Last seen " (when(seen)) "." }
                    }
                }
            }
            @if !device.revoked {
                (act(cx, "revoke", Some(&device.id), html! {
                    button.small aria-label={ "Shut out " (device.name) } { "Shut out" }
                }))
            }
        }
    }
}

pub(crate) fn when(at: DateTime) -> Markup {
    html! { time datetime=(at.strftime("%Y-%m-%dT%H:%M")) { (at.strftime("%Y-%m-%d %H:%M")) } }
}
