//! Results to drawings and documents: the panel as SVG, the owner's letter and the technical record as PDF
//! and as plain text.
//!
//! Both forms of a paper come from one page tree, so they say the same. Nothing here knows a solver or a
//! rule, reads a clock or a file: equal input gives equal bytes.

mod calendar;
mod chance;
mod chart;
mod clean;
pub mod drawing;
mod html;
mod install;
mod letter;
mod mark;
mod number;
mod offer;
pub mod page;
#[cfg(feature = "pdf")]
mod pdf;
mod permit;
mod phrases;
mod plan;
mod svg;
mod technical;
mod terms;
pub mod text;
mod width;
mod words;

pub use calendar::{CalendarDay, calendar};
pub use chart::{DayBar, MeterChart, PeakDay, meter_svg};
pub use drawing::{Audience, panel_svg};
pub use install::{
    CardPaper, InstallHead, Packet, PermitSet, PullLine, ScheduleLine, SetRow, close_out, directory_card,
    look_back_sheet, panel_now_sheet, permit_set, permit_set_name, protection_words, pull_list,
    switching_sheet,
};
pub use letter::owner_letter;
pub use mark::{Mark, Marks};
pub use offer::{
    Choice as QuoteChoice, ContestRow, DayPaper, DayStep, OfferHead, QuotePaper, day_sheet, quote_paper,
};
pub use page::Paper;
#[cfg(feature = "pdf")]
pub use pdf::{Fonts, PaperError};
pub use permit::{
    LoadPaper, MethodFigures, MethodRow, OneLine, OpenQuestion, PermitHead, SizeRow, Stage, Symbol, Wire,
    load_sheet, one_line_paper, one_line_svg,
};
pub use plan::{
    CallNote, CrewSheet, Language, PlanWords, StepState, call_note, crew_sheet, owner_sheet, step_svg,
    stop_gap_tag,
};
pub use technical::technical_record;
