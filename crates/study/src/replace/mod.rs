//! The replacement as both faces ask for it: what is built, what it costs, and the day it is done.

mod course;
mod design;
mod json;
mod outage;
mod past;
mod place;
mod price;
mod print;
mod shop;

pub use course::{
    Built, StepCourse, StepHours, against, booked, booking_of, built_of, day_steps, step_hours,
};
pub use design::{Contest, ContestStanding, NotDesigned};
pub use json::{built_json, outage_json, price_json};
pub use outage::{
    LearnedStep, LearnedSurprise, NeedLine, OutageAsk, OutagePlan, ToldLine, ahead_words, outage_calendar,
    plan_outage,
};
pub use past::{past_job, past_jobs_most};
pub use place::PlaceRule;
pub use price::{OptionPrice, PriceAsk, Prices, contested_names, planned_parts, price_options};
pub use print::{DAY_NAME, Offer, day_documents, offer_paper, quote_documents, quote_name};
pub use shop::{EarlierBook, Shop};

/// What goes on every sheet of a price or of a day without power.
pub const WORK_CAUTIONS: [&str; 5] = [
    "Work inside a panel is for qualified persons. The owner touches nothing behind a cover.",
    "Service conductors stay live with every handle off, until the utility has cut them and that is proven on all pairs. \
     An old split-bus panel has no single main.",
    "No breaker is taken off a live stab. Nothing is done dead before it is proven dead.",
    "Local code, the utility's rules, the maker's instructions and the inspector come first.",
    "This rests on what was recorded that day. It is no guarantee for the rest.",
];
