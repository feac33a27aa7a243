//! The screens, one file each, and the way from a route to its screen.

mod bench;
mod board;
mod call;
mod cards;
mod code;
mod devices;
mod exchange;
mod fill;
mod guide;
mod isolation;
mod jobs;
mod join;
mod joint;
mod layout;
mod leaf;
mod log;
mod moves;
mod outage;
mod panel;
mod papers;
mod people;
mod photos;
mod plan;
mod policy;
mod price;
mod prices;
mod proving;
mod shop;
mod space;
mod survey;
mod torque;
mod verdict;

use crate::context::Context;
use crate::entry;
use crate::fields::{FieldError, Fields, Refusal};
use crate::route::Route;
use crate::shell::Page;
pub use board::board_page;
pub use cards::of_form as cards_of_form;
pub use code::read_page as meter_page;
pub use exchange::{ExchangeAsk, ExchangeGround, Exchanged, exchange_of_form, exchange_page};
pub use jobs::jobs_page;
pub use leaf::{Leaf, by_urgency};
pub use people::{
    AuditGround, AuditWords, LinkLine, LinksGround, MadeLink, MeGround, PeopleGround, PersonLine, SeeGround,
    SeePaper, audit_page, links_page, me_page, people_page, see_page, unseen_page,
};
pub use policy::of_form as policy_of_form;
pub(crate) use prices::warning as invented_prices;
pub use prices::{ShopChange, of_form as shop_of_form};
use record::Fact;
pub use shop::{ExperienceGround, NAMED, ScoreGround, asked_reading, questions_page, score_page};

/// What a form came to: facts to append, and where to go on.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The job it belongs to.
    pub job: String,
    /// New facts, in order.
    pub facts: Vec<Fact>,
    /// The page to show next.
    pub go: String,
}

/// The page of a route.
pub fn show(route: &Route, query: &Fields, cx: &Context<'_>) -> Page {
    page(route, query, None, cx)
}

/// The page of a route again, with what was sent and what is wrong with it.
pub fn show_refused(route: &Route, fields: &Fields, refusal: &Refusal, cx: &Context<'_>) -> Page {
    page(route, fields, Some(refusal), cx)
}

fn page(route: &Route, fields: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    match route {
        Route::Jobs => jobs::page(fields, cx),
        Route::New => call::new_page(fields, again, cx),
        Route::Call(job) => call::page(job, fields, again, cx),
        Route::Devices => devices::page(fields, again, cx),
        Route::Join => join::page(fields, again, cx),
        Route::SignIn => people::sign_in_page(fields, again, cx),
        Route::Welcome => people::welcome_page(fields, again, cx),
        Route::Me => shop::without("You", route, cx),
        Route::People => shop::without("People", route, cx),
        Route::Audit => shop::without("Audit trail", route, cx),
        Route::Exchange => shop::without("Exchange", route, cx),
        Route::Links(_) => shop::without("Links for others", route, cx),
        Route::Guide => guide::page(cx),
        Route::Board => board::page(fields, cx),
        Route::Policy => policy::page(fields, again, cx),
        Route::Score => shop::without("Predicted and found", route, cx),
        Route::Questions => shop::without("Questions", route, cx),
        Route::Prices => prices::page(fields, again, cx),
        Route::Cards => cards::page(fields, again, cx),
        Route::Panel(job, panel) => panel::page(job, panel, fields, again, cx),
        Route::Fill(job, panel) => fill::page(job, panel, fields, again, cx),
        Route::Bench(job) => bench::page(job, fields, again, cx),
        Route::Space(job, panel, space) => space::page(job, panel, space, fields, again, cx),
        Route::Joint(job, joint) => joint::page(job, joint, fields, again, cx),
        Route::Enter(_, kind) => entry::page(*kind, fields, again, cx),
        Route::Isolation(job) => isolation::page(job, fields, cx),
        Route::Plan(job) => plan::page(job, cx),
        Route::Survey(job) => survey::page(job, fields, again, cx),
        Route::Surprises(job) => survey::surprises_page(job, fields, again, cx),
        Route::Layout(job) => layout::page(job, fields, again, cx),
        Route::Verdict(job) => verdict::page(job, cx),
        Route::Moves(job, panel, space) => moves::page(job, panel, space, cx),
        Route::Code(job) => code::hub(job, cx),
        Route::Load(job) => code::load(job, fields, cx),
        Route::Sizes(job) => code::sizes(job, fields, cx),
        Route::Asks(job) => code::asks(job, cx),
        Route::Editions(job) => code::editions(job, cx),
        Route::Meter(job) => code::meter(job, fields, cx),
        Route::Proving(job) => proving::page(job, cx),
        Route::Torque(job) => torque::page(job, cx),
        Route::Log(job) => log::page(job, fields, again, cx),
        Route::Photos(job) => photos::page(job, fields, again, cx),
        Route::Photo(job, photo) => photos::photo_page(job, photo, fields, again, cx),
        Route::Price(job) => price::page(job, fields, cx),
        Route::Outage(job) => outage::page(job, cx),
        Route::Papers(job) => papers::page(job, fields, again, cx),
    }
}

/// Reads what a form of a route sent.
///
/// # Errors
/// Every field that cannot be taken, and what would be right.
pub fn read(route: &Route, fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    match route {
        Route::New => call::read_new(fields, cx),
        Route::Call(job) => call::read(job, fields, cx),
        Route::Panel(job, panel) => panel::read(job, panel, fields, cx),
        Route::Fill(job, panel) => fill::read(job, panel, fields, cx),
        Route::Survey(job) => survey::read(job, fields, cx),
        Route::Surprises(job) => survey::read_surprises(job, fields, cx),
        Route::Layout(job) => layout::read(job, fields, cx),
        Route::Enter(_, kind) => entry::read(*kind, fields, cx),
        Route::Photos(job) => {
            let facts = photos::read(fields, cx)?;
            Ok(Entry { job: job.clone(), facts, go: onward(job, fields) })
        }
        _ => {
            let message = "This page takes no entries; open the form again from the job.".to_owned();
            Err(Refusal { errors: vec![FieldError { field: String::new(), message }] })
        }
    }
}

/// Where a form says to go on, within the same job; else the bench.
fn onward(job: &str, fields: &Fields) -> String {
    match fields.text("go") {
        Some(go)
            if Route::of_path(go.split(['?', '#']).next().unwrap_or(go)).as_ref().and_then(Route::job)
                == Some(job) =>
        {
            go.to_owned()
        }
        _ => Route::Bench(job.to_owned()).to_string(),
    }
}
