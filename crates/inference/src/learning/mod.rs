//! What openings teach: signs and odds as counts beside the data files, and a score of predicted against found. Pure
//! functions; whoever keeps the jobs calls them.

mod experience;
mod odds;
mod score;
mod signs;

pub use experience::{Experience, OddsCount, OtherCount, SignCount};
pub use odds::{Faced, names_of};
pub use score::{Score, log_cost};
pub use signs::wholly_opened;

/// How many observations a chance in the data files is taken to be worth until openings replace it. JUDGEMENT: a chance
/// that somebody guessed weighs as much as ten joints that somebody opened.
pub const WORTH: f64 = 10.0;
