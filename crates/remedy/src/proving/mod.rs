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

use model::id::Space;
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

/// Leg of a space of the new panel: two columns, legs by rows in turn from A at the top.
pub fn leg_of(system: System, space: Space) -> Leg {
    let legs = system.legs();
    legs[usize::from((space.number.max(1) - 1) / 2) % legs.len()]
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
    let mut words: Vec<&str> = Vec::new();
    for slot in &one.from {
        if let Some(old) = job.installation.breaker_at(slot)
            && !words.contains(&old.feeds_label())
        {
            words.push(old.feeds_label());
        }
    }
    if words.is_empty() { "not traced".to_owned() } else { words.join(", ") }
}
