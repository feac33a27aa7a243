//! People: signing in, setting a password, who is there, what was done, and links for others.

mod audit;
mod links;
mod list;
mod own;
mod see;
mod sign;

pub use audit::{AuditGround, AuditWords, audit_page};
pub use links::{LinkLine, LinksGround, MadeLink, links_page};
pub use list::{PeopleGround, PersonLine, people_page};
pub use own::{MeGround, me_page};
pub use see::{SeeGround, SeePaper, see_page, unseen_page};
pub(crate) use sign::{sign_in_page, welcome_page};

use crate::context::Context;
use crate::route::Route;
use maud::{Markup, html};

/// A form of these pages: it changes no fact and is never kept for later.
fn act(cx: &Context<'_>, route: &Route, word: &str, on: &str, body: Markup) -> Markup {
    html! {
        form method="post" action=(route) {
            input type="hidden" name="csrf" value=(cx.csrf);
            input type="hidden" name="act" value=(word);
            @if !on.is_empty() { input type="hidden" name="on" value=(on); }
            (body)
        }
    }
}
