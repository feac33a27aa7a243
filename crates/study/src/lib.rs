//! What a user can ask of a job: an assessment, its papers, its machine-readable form.
//!
//! Both faces call these. Nothing here reads a file, a clock or a random source: day and seed are in [`Settings`].

mod assess;
mod begun;
mod chance;
pub mod code;
mod first;
pub mod install;
mod isolation;
pub mod json;
mod layout;
mod plan;
mod print;
mod replace;
mod round;
#[cfg(test)]
mod sample;
mod settings;
pub mod shop;
mod statement;

pub use assess::{assess, assess_keeping, assess_told, assess_with};
pub use begun::Begun;
pub use chance::in_words;
pub use first::{FIRST_LOOK_SWEEPS, first_look, may_be_shown, rehearse_look};
pub use inference::{OneThread, Run, Warm};
pub use isolation::{closed, gate, isolation, moves};
pub use layout::{
    CannotLayOut, LaidOut, LayoutAsk, Member, Origin, chosen, current_layout, fill_words, forecasts,
    lay_out_panel, moved_seat,
};
pub use model::Cents;
pub use papers::{Mark, Marks, PlanWords, StepState, step_svg};
pub use plan::{
    BoardLine, NotProven, board, board_calendar, board_lines, due_word, not_proven, propose_plan, sort_board,
};
pub use print::{Document, Press, panel_drawing, paper, paper_names, papers};
pub use remedy::address as cards;
pub use remedy::experience::{Past, PastJob};
pub use remedy::forecast::{Forecast, Warmth};
pub use remedy::gate::{allowed, closed_by};
pub use remedy::layout::{Aim, Bill, Exchange, Layout, NoLayout, Proof, Want, Weights};
pub use remedy::outage::RUNS;
pub use remedy::outage::{self, Booking};
pub use remedy::price::{BadPrice, DRAWS, Group, NoPrice, Price, PriceBook, Range, valid_until};
pub use remedy::work::{OPTIONS, option_of_word, option_words};
pub use remedy::{CallAdvice, CallUrgency, FirstCall, Policy, PolicyError, Triage, triage, words};
pub use remedy::{NoSuchPart, NotMovable, PlanDraft, PolicyProblem, RuleWords};
/// The survey for the replacement: what is known of each circuit, and the list of surprises.
pub mod survey {
    pub use remedy::surprise::{Per, Standing, Surprise, standing, surprises};
    pub use remedy::survey::{KnownCircuit, circuits};
}
pub use remedy::rebuilt;
pub use replace::{
    Built, Contest, ContestStanding, DAY_NAME, EarlierBook, LearnedStep, LearnedSurprise, NeedLine,
    NotDesigned, Offer, OptionPrice, OutageAsk, OutagePlan, PlaceRule, PriceAsk, Prices, Shop, StepCourse,
    StepHours, ToldLine, WORK_CAUTIONS, against, ahead_words, booked, booking_of, built_json, built_of,
    contested_names, day_documents, day_steps, offer_paper, outage_calendar, outage_json, past_job,
    past_jobs_most, plan_outage, planned_parts, price_json, price_options, quote_documents, quote_name,
    step_hours,
};
pub use settings::{Settings, StudyError};
