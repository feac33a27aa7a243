//! Who may do what: four roles, five needs, and the need of every page and form as data.

use crate::route::{EntryKind, Route};
use record::Body;

/// The role of whoever joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// A qualified person: everything. The one-man bench has no other.
    Electrician,
    /// Calls, dates, prices, devices and policy; no step at a panel.
    Office,
    /// Records what is seen; no step that needs a qualified person, no devices, no policy.
    Apprentice,
    /// Looks.
    Reader,
}

/// What a page or form needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Need {
    /// Nothing: it is what is needed to join.
    Open,
    /// To have joined.
    Look,
    /// To enter facts.
    Record,
    /// To be a qualified person: parts are live, or are called dead by what is entered.
    Qualified,
    /// To let others in or shut them out, and to change the shop's policy.
    Manage,
}

impl Role {
    /// All roles.
    pub const ALL: [Role; 4] = [Role::Electrician, Role::Office, Role::Apprentice, Role::Reader];

    /// The word for it, in the store and in forms.
    pub const fn word(self) -> &'static str {
        match self {
            Role::Electrician => "electrician",
            Role::Office => "office",
            Role::Apprentice => "apprentice",
            Role::Reader => "reader",
        }
    }

    /// The role of a word; one that a newer program wrote may only look.
    pub fn of_word(word: &str) -> Role {
        Role::ALL.into_iter().find(|role| role.word() == word).unwrap_or(Role::Reader)
    }

    /// What it may do, in a sentence.
    pub const fn sentence(self) -> &'static str {
        match self {
            Role::Electrician => "may do everything",
            Role::Office => "calls, dates, prices, devices, policy; no steps at a panel",
            Role::Apprentice => "records what is seen; no steps that need a qualified person",
            Role::Reader => "looks and prints",
        }
    }

    /// May it?
    pub const fn may(self, need: Need) -> bool {
        match need {
            Need::Open | Need::Look => true,
            Need::Record => !matches!(self, Role::Reader),
            Need::Qualified => matches!(self, Role::Electrician),
            Need::Manage => matches!(self, Role::Electrician | Role::Office),
        }
    }
}

impl Route {
    /// What a page needs, or its form where one `sends`. Every route states it: one without does not compile.
    pub fn need(&self, sends: bool) -> Need {
        match self {
            Route::Join | Route::SignIn | Route::Welcome | Route::Guide => Need::Open,
            Route::Devices | Route::People | Route::Audit | Route::Exchange | Route::Links(_) => Need::Manage,
            // Everybody may leave, and change the own password.
            Route::Me => Need::Look,
            Route::Policy | Route::Prices | Route::Cards | Route::Score if sends => Need::Manage,
            Route::Isolation(_) | Route::Moves(..) | Route::Proving(_) | Route::Torque(_) => Need::Qualified,
            Route::Enter(_, kind) => kind.need(),
            Route::New => Need::Record,
            Route::Jobs
            | Route::Board
            | Route::Policy
            | Route::Prices
            | Route::Cards
            | Route::Score
            | Route::Questions
            | Route::Bench(_)
            | Route::Call(_)
            | Route::Panel(..)
            | Route::Fill(..)
            | Route::Space(..)
            | Route::Joint(..)
            | Route::Plan(_)
            | Route::Survey(_)
            | Route::Surprises(_)
            | Route::Layout(_)
            | Route::Verdict(_)
            | Route::Log(_)
            | Route::Photos(_)
            | Route::Photo(..)
            | Route::Code(_)
            | Route::Load(_)
            | Route::Sizes(_)
            | Route::Asks(_)
            | Route::Editions(_)
            | Route::Meter(_)
            | Route::Price(_)
            | Route::Outage(_)
            | Route::Papers(_) => {
                if sends {
                    Need::Record
                } else {
                    Need::Look
                }
            }
        }
    }
}

impl EntryKind {
    /// What its form needs, to look at and to send: a form is a step, and a step that one may not take is not shown.
    pub const fn need(self) -> Need {
        match self {
            // The dead front is off, a part is opened, or something is called dead or switched on by it.
            EntryKind::Exposure
            | EntryKind::Clamp
            | EntryKind::Drop
            | EntryKind::Opening
            | EntryKind::Work
            | EntryKind::Handle
            | EntryKind::Cut
            | EntryKind::Source
            | EntryKind::Proof
            | EntryKind::Installed
            | EntryKind::Torqued
            | EntryKind::Energised
            | EntryKind::SharedNeutral
            | EntryKind::Tried
            | EntryKind::Verified => Need::Qualified,
            _ => Need::Record,
        }
    }
}

/// What a fact needs of whoever enters it, by whichever form it comes.
pub fn need_of_fact(body: &Body) -> Need {
    match body {
        Body::Opening(_)
        | Body::Handle(_)
        | Body::Cut(_)
        | Body::Source(_)
        | Body::Proof(_)
        | Body::Work(_)
        | Body::Installed(_)
        | Body::Torqued(_)
        | Body::Energised(_)
        | Body::Drop(_) => Need::Qualified,
        // It takes words and photos out of the job for good.
        Body::Forgotten(_) => Need::Manage,
        _ => Need::Record,
    }
}
