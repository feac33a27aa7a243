//! Signing in with name and password, and setting a password by the code of an invitation.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::form::Sheet;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::{Markup, html};

pub(crate) fn sign_in_page(query: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let sheet = Sheet::new(query, again);
    let body = html! {
        p.lede { "For the people of this shop. A device without a person joins by a code." }
        (sheet.error_list())
        form method="post" action=(Route::SignIn) {
            section.sheet {
                div.field {
                    label for="f-name" { "Your name" }
                    input #f-name type="text" name="name" value=(sheet.value("name", "")) autocomplete="username"
                        autocapitalize="words" spellcheck="false" maxlength="120" required;
                    (sheet.error("name"))
                }
                (password("password", "Password", "current-password", &sheet))
                (device(&sheet))
            }
            div.actions { button.big { "Sign in" } }
        }
        p.quiet { "Password forgotten: whoever manages the people of the shop makes a new invitation for you." }
        p { a.plain href=(Route::Join) { "Join by a code" } }
    };
    shell(cx, "Sign in", &Route::SignIn, body)
}

pub(crate) fn welcome_page(query: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let sheet = Sheet::new(query, again);
    let body = html! {
        p.lede { "You were invited. Choose a password; from then on you sign in with your name and it, on any device." }
        (sheet.error_list())
        form method="post" action=(Route::Welcome) {
            section.sheet {
                div.field {
                    label for="f-code" { "Code of the invitation" }
                    input #f-code.code type="text" name="code" value=(sheet.value("code", "")) autocomplete="one-time-code"
                        autocapitalize="characters" spellcheck="false" maxlength="40" required;
                    (sheet.error("code"))
                }
                p.hint { "A password of 15 characters or more. Four or five words that do not belong together are easy to keep in mind. Use it nowhere else." }
                (password("password", "Password", "new-password", &sheet))
                (password("repeated", "The same again", "new-password", &sheet))
                (device(&sheet))
            }
            div.actions { button.big { "Set the password" } }
        }
    };
    shell(cx, "Welcome", &Route::Welcome, body)
}

/// A field for a password. What was typed is never put into a page.
pub(super) fn password<'a>(name: &'a str, label: &str, kind: &str, sheet: &Sheet<'a>) -> Markup {
    let id = sheet.id_of(name);
    html! {
        div.field {
            label for=(id) { (label) }
            input id=(id) type="password" name=(name) autocomplete=(kind) maxlength="200" required;
            (sheet.error(name))
        }
    }
}

fn device(sheet: &Sheet<'_>) -> Markup {
    html! {
        div.field {
            label for="f-device" { "Name of this device" }
            p.hint #f-device-hint { "So that you know it in the list of your devices, as in: phone." }
            input #f-device type="text" name="device" value=(sheet.value("device", "")) autocomplete="off" maxlength="80"
                required aria-describedby="f-device-hint";
            (sheet.error("device"))
        }
    }
}
