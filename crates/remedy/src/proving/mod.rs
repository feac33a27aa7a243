//! Proving a new panel: what is read before any branch, block by block, torque, shared neutrals, the first readings
//! held against the new ones at equal load, the card, what does not agree, and how the panel stands now.

mod agree;
mod card;
mod compare;
mod limits;
mod look_back;
mod neutral;
mod now;
mod order;
#[cfg(test)]
mod tests;
mod torque;

pub use agree::mismatches;
pub use card::{card_lines, words_faults};
pub use compare::hold_against;
pub use limits::Limits;
pub use look_back::look_back;
pub use neutral::judge_neutral;
pub use now::panel_now;
pub use order::switching_on;
pub use torque::torque_log;

use model::id::{Slot, Space};
use model::install::Installed;
use model::job::Job;
use model::system::{Leg, System};

/// Cautions of switching on and of work at the new panel. A shop cannot switch them off.
pub const CAUTIONS: [&str; 6] = [
    "Work inside a panel is for qualified persons. Line lugs and service conductors stay live with every handle off.",
    "A handle that says off is a claim, not a proof. Before a hand goes in: cut off, and proven dead on all pairs.",
    "Smoke, flame, glow or crackle: stand clear, everybody out, call the emergency services.",
    "Voltages that move apart: switch off, call the utility, open no neutral and no bond while it is live.",
    "Local code, the utility's rules, the maker's instructions and the inspector come first.",
    "This is what was seen and measured on one day, and no guarantee for the rest.",
];

/// The supply system of the new panel: that of the panel fed by the service, else split phase.
pub fn system(job: &Job) -> System {
    job.installation.panels.first().map_or(System::SplitPhase, |panel| panel.system)
}

/// Leg of a space of the new panel, by its chosen layout; without one two columns, legs by rows in turn from A at the
/// top.
pub fn leg_of(job: &Job, space: Space) -> Leg {
    let legs = system(job).legs();
    let chosen = job.replacement.arrangements.last().map(|chosen| &chosen.new);
    let n_columns = chosen.map_or(2, |new| u16::from(new.n_columns.max(1)));
    let first = chosen.and_then(|new| legs.iter().position(|leg| *leg == new.first_leg)).unwrap_or(0);
    legs[(first + usize::from((space.number.max(1) - 1) / n_columns)) % legs.len()]
}

/// What the old circuit at a slot feeds, by the survey or else by the panel.
pub(crate) fn old_feeds(job: &Job, slot: &Slot) -> Option<String> {
    let surveyed = job.replacement.circuit(slot).map(|circuit| circuit.feeds.clone());
    let drawn = || job.installation.breaker_at(slot).map(|old| old.feeds_label().to_owned());
    surveyed.filter(|feeds| !feeds.trim().is_empty()).or_else(drawn)
}

/// Spaces as printed: `2/4`.
pub fn spaces_words(spaces: &[Space]) -> String {
    spaces.iter().map(Space::to_string).collect::<Vec<_>>().join("/")
}

/// What a breaker feeds: its own words, else those of the old circuit.
pub fn words_of(job: &Job, one: &Installed) -> String {
    if !one.words.trim().is_empty() {
        return one.words.clone();
    }
    let mut words: Vec<String> = Vec::new();
    for slot in &one.from {
        if let Some(old) = old_feeds(job, slot)
            && !words.contains(&old)
        {
            words.push(old);
        }
    }
    if words.is_empty() { "not traced".to_owned() } else { words.join(", ") }
}
