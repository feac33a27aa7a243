//! Results to drawings and documents: the panel as SVG, the owner's letter and the technical record as PDF
//! and as plain text.
//!
//! Both forms of a paper come from one page tree, so they say the same. Nothing here knows a solver or a
//! rule, reads a clock or a file: equal input gives equal bytes.

mod chance;
mod clean;
pub mod drawing;
mod letter;
mod mark;
mod number;
pub mod page;
#[cfg(feature = "pdf")]
mod pdf;
mod phrases;
mod svg;
mod technical;
mod terms;
pub mod text;
mod width;

pub use drawing::{Audience, panel_svg};
pub use letter::owner_letter;
pub use mark::{Mark, Marks};
pub use page::Paper;
#[cfg(feature = "pdf")]
pub use pdf::{Fonts, PaperError};
pub use technical::technical_record;
