//! What the phone's scripts ask, and what they hand over with it.

use jiff::civil::{Date, DateTime};
use serde::Deserialize;

/// A question.
#[derive(Debug, Clone, Deserialize)]
pub struct Ask {
    /// What is wanted.
    pub what: What,
    /// Path of the address, percent-encoded.
    #[serde(default)]
    pub path: String,
    /// Fields of the query.
    #[serde(default)]
    pub query: Vec<(String, String)>,
    /// Civil time at the phone.
    pub now: DateTime,
    /// A fresh id for what is entered on the page.
    #[serde(default)]
    pub entry: String,
    /// Minutes by which the phone's clock was ahead of the bench's at the last contact; `now` is put right by it.
    #[serde(default)]
    pub clock_min: i64,
    /// What the bench told at the last contact.
    pub desk: Desk,
    /// The jobs that the question is about: one, or all for the pages that list them.
    #[serde(default)]
    pub jobs: Vec<HeldJob>,
    /// Forms that wait to be sent, in the order in which they were made.
    #[serde(default)]
    pub queue: Vec<Queued>,
}

/// What is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum What {
    /// The page of an address.
    Page,
    /// To judge the job of an address; the pages asked for afterwards show it.
    Judge,
    /// What the last of the waiting forms comes to: where to go on, or what is wrong with it.
    Read,
    /// A paper, by its address.
    Paper,
    /// To begin the judgement of the job of an address, so that its chains may be concluded.
    Begin,
    /// Like `Judge`, from chains that were run elsewhere.
    Conclude,
    /// To go the way of a first look once, so that the first one is quick.
    Rehearse,
    /// A first look at the job of an address, where it was judged before with fewer facts; the pages asked for afterwards show it.
    First,
}

/// What the bench told of itself and of this device at the last contact.
#[derive(Debug, Clone, PartialEq, Deserialize)]
pub struct Desk {
    /// Name of this device, the author of what is entered here.
    pub name: String,
    /// Token for forms.
    #[serde(default)]
    pub csrf: String,
    /// The light in which pages are read.
    #[serde(default)]
    pub light: String,
    /// Day to judge for, where the bench judges for a day that was given to it.
    #[serde(default)]
    pub day: Option<Date>,
    /// Seed of the judgement, as text: scripts round large numbers.
    pub seed: String,
    /// Sweeps kept a chain.
    pub sweeps: usize,
    /// Chains.
    pub chains: usize,
    /// Text of the shop's policy.
    pub policy: String,
    /// Whose policy it is.
    #[serde(default)]
    pub policy_origin: String,
    /// Given on the command line of the bench?
    #[serde(default)]
    pub policy_locked: bool,
    /// The shop's price book as CSV; empty: the invented one.
    #[serde(default)]
    pub prices: String,
    /// Whose price book it is.
    #[serde(default)]
    pub prices_origin: String,
    /// Books that were in force: number, when, title.
    #[serde(default)]
    pub earlier_prices: Vec<(i64, String, String)>,
    /// What the shop has counted; empty: the program's own chances.
    #[serde(default)]
    pub experience: String,
    /// The shop's notice of cancelling.
    #[serde(default)]
    pub notice: String,
    /// The shop's address cards as TOML; `None`: the invented ones.
    #[serde(default)]
    pub cards: Option<String>,
    /// Whose cards they are.
    #[serde(default)]
    pub cards_origin: String,
    /// What the shop's jobs took and met.
    #[serde(default)]
    pub past: study::Past,
    /// The shop's copy of the code book's refusals, where it has one.
    #[serde(default)]
    pub refusals: Option<String>,
    /// Address of the bench, for the code on a tag.
    #[serde(default)]
    pub address: String,
}

/// A job that the phone keeps.
#[derive(Debug, Clone, Deserialize)]
pub struct HeldJob {
    /// Its name.
    pub job: String,
    /// Its facts in the order of arrival at the bench, each as the line that is stored there. Text, because a number
    /// that a script had read and written again might not be the same.
    pub facts: Vec<String>,
    /// When it last changed, civil time.
    pub changed: DateTime,
}

/// A form that waits to be sent.
#[derive(Debug, Clone, Deserialize)]
pub struct Queued {
    /// Its number in the outbox.
    pub n: u64,
    /// Job that it belongs to, where that is known.
    #[serde(default)]
    pub job: String,
    /// The facts that it came to when it was kept, each a line as in [`HeldJob`]. With them the form is not read again.
    #[serde(default)]
    pub facts: Option<Vec<String>>,
    /// Path that it is sent to.
    pub action: String,
    /// Its fields, without files.
    #[serde(default)]
    pub fields: Vec<(String, String)>,
}
