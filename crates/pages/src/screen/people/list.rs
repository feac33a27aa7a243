//! The people of the shop: inviting, roles, shutting out.

use super::act;
use crate::context::{Context, Invitation};
use crate::fields::{Fields, Refusal};
use crate::form::Sheet;
use crate::rights::Role;
use crate::route::Route;
use crate::screen::devices::when;
use crate::shell::{Page, shell};
use maud::{Markup, PreEscaped, html};

/// A person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PersonLine {
    /// Id.
    pub id: String,
    /// Name.
    pub name: String,
    /// What the person may do.
    pub role: Role,
    /// Has the person set a password?
    pub has_password: bool,
    /// Shut out?
    pub revoked: bool,
    /// Devices on which the person is signed in.
    pub n_devices: usize,
    /// Is it the one who looks?
    pub this: bool,
}

/// What the page is made from.
#[derive(Debug, Clone, Default)]
pub struct PeopleGround {
    /// All persons.
    pub persons: Vec<PersonLine>,
    /// An invitation just made, with the name of whom it is for.
    pub invitation: Option<(String, Invitation)>,
    /// Roles that the one who looks may give.
    pub roles: Vec<Role>,
}

/// The page.
pub fn people_page(
    ground: &PeopleGround,
    fields: &Fields,
    again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    let sheet = Sheet::new(fields, again);
    let body = html! {
        p.lede { "Who signs in with a name and a password. What a person may do counts on all of the person’s devices." }
        (sheet.error_list())
        @match &ground.invitation {
            Some((name, invitation)) => (invited(name, invitation)),
            None => (invite(ground, &sheet, cx)),
        }
        section.sheet {
            h2 { "People" }
            @if ground.persons.is_empty() { p { "None yet. A bench of one person needs none: its devices join by a code." } }
            ul.rows { @for person in &ground.persons { (line(person, ground, cx)) } }
        }
        p.links {
            a.plain.small href=(Route::Devices) { "Devices" }
            a.plain.small href=(Route::Audit) { "Audit trail" }
        }
        p.quiet { "A role is a rule of the shop, no proof of a licence: the program does not know who holds the phone." }
    };
    shell(cx, "People", &Route::People, body)
}

fn invite(ground: &PeopleGround, sheet: &Sheet<'_>, cx: &Context<'_>) -> Markup {
    html! {
        section.sheet {
            h2 { "A further person" }
            (act(cx, &Route::People, "invite", "", html! {
                div.field {
                    label for="f-name" { "Name, as the papers call the author" }
                    input #f-name type="text" name="name" value=(sheet.value("name", "")) autocomplete="off" maxlength="120" required;
                    (sheet.error("name"))
                }
                fieldset.pick.list {
                    legend { "The person may" }
                    div.tiles {
                        @for role in &ground.roles {
                            label {
                                input type="radio" name="role" value=(role.word()) checked[*role == Role::Apprentice];
                                span { (role.word()) ": " (role.sentence()) }
                            }
                        }
                    }
                }
                button.big.full { "Invite" }
            }))
        }
    }
}

fn invited(name: &str, invitation: &Invitation) -> Markup {
    html! {
        section.sheet.invitation {
            h2 { "For " (name) }
            div.two {
                div.qr role="img" aria-label="QR code of the address" { (PreEscaped(&invitation.qr_svg)) }
                div {
                    p { "Give this to nobody else: who has it sets the password. It is shown this once." }
                    p { span.label { "Address" } br; a href=(invitation.address) { (invitation.address) } }
                    p { span.label { "Code" } br; span.figure.code { (invitation.code) } }
                    p.quiet { "Good once, until " (when(invitation.expires)) "." }
                }
            }
        }
    }
}

fn line(person: &PersonLine, ground: &PeopleGround, cx: &Context<'_>) -> Markup {
    let button = |word: &str, label: &str| {
        act(
            cx,
            &Route::People,
            word,
            &person.id,
            html! {
                button.small aria-label={ (label) ": " (person.name) } { (label) }
            },
        )
    };
    // The office makes no electricians, and takes none's rights either.
    let mine = ground.roles.contains(&person.role);
    html! {
        li.row {
            span.grow {
                span.lead { (person.name) }
                " " span.tag { (person.role.word()) }
                @if person.this { " " span.tag { "you" } }
                br;
                span.quiet {
                    @if person.revoked { "Shut out." }
                    @else if !person.has_password { "Invited; no password yet." }
                    @else if person.n_devices == 0 { "Signed in nowhere." }
                    @else if person.n_devices == 1 { "Signed in on one device." }
                    @else { "Signed in on " (person.n_devices) " devices." }
                }
                @if mine && !person.revoked {
                    details.more {
                        summary { "Role, new password" }
                        (act(cx, &Route::People, "role", &person.id, html! {
                            div.field {
                                label for={ "f-role-" (person.id) } { "Role" }
                                select id={ "f-role-" (person.id) } name="role" {
                                    @for role in &ground.roles {
                                        option value=(role.word()) selected[*role == person.role] { (role.word()) }
                                    }
                                }
                            }
                            button.small { "Change the role" }
                        }))
                        (button("again", "New invitation"))
                    }
                }
            }
            @if mine && person.revoked { (button("restore", "Let in again")) }
            @else if mine { (button("revoke", "Shut out")) }
        }
    }
}
