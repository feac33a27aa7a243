//! The screens: every page a pure function of facts and judgement, every form read into facts, routes as a type.
//!
//! Nothing here does I/O or reads a clock. The program serves these pages over HTTP; a phone may one day make them
//! for itself from the facts it holds.

mod context;
mod entry;
mod fields;
mod form;
mod rights;
mod route;
mod screen;
mod shell;
mod urgency;

pub use context::{AsOf, Context, Device, Invitation, JobLine, JobView, Judged, Light, PolicyText, Viewer};
pub use fields::{FieldError, Fields, Refusal};
pub use rights::{Need, Role, need_of_fact};
pub use route::{EntryKind, Rendition, Route};
pub use screen::{
    AuditGround, AuditWords, LinkLine, LinksGround, MadeLink, MeGround, PeopleGround, PersonLine, SeeGround,
    SeePaper, audit_page, links_page, me_page, people_page, see_page, unseen_page,
};
pub use screen::{
    Entry, ExperienceGround, Leaf, NAMED, ScoreGround, ShopChange, asked_reading, board_page, by_urgency,
    cards_of_form, jobs_page, meter_page, policy_of_form, questions_page, read, score_page, shop_of_form,
    show, show_refused,
};
pub use screen::{ExchangeAsk, ExchangeGround, Exchanged, exchange_of_form, exchange_page};
pub use shell::{Page, failure_page, with_open_links, with_remark};
