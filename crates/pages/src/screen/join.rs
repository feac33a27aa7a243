//! Joining with the code of an invitation.

use crate::context::Context;
use crate::fields::{Fields, Refusal};
use crate::form::Sheet;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::html;

pub(crate) fn page(query: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let sheet = Sheet::new(query, again);
    let code = sheet.value("code", "");
    let body = html! {
        p.lede { "This device is not known here yet. A device that has joined shows the code, under “Devices”." }
        (sheet.error_list())
        form method="post" action=(Route::Join) {
            input type="hidden" name="csrf" value=(cx.csrf);
            section.sheet {
                div.field {
                    label for="f-code" { "Code" }
                    input #f-code.code type="text" name="code" value=(code) inputmode="text" autocomplete="one-time-code"
                        autocapitalize="off" spellcheck="false" maxlength="40" required;
                    (sheet.error("code"))
                }
                div.field {
                    label for="f-name" { "Name of this device" }
                    p.hint #f-name-hint { "It stands beside everything that is entered here, as in: phone of the electrician." }
                    input #f-name type="text" name="name" value=(sheet.value("name", "")) autocomplete="off" maxlength="80"
                        required aria-describedby="f-name-hint";
                    (sheet.error("name"))
                }
            }
            div.actions { button.big { "Join" } }
        }
        p { "Who has a name and a password here needs no code: " a href=(Route::SignIn) { "sign in" } "." }
    };
    shell(cx, "Join", &Route::Join, body)
}
