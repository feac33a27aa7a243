//! An option while its reasons are gathered.

use crate::situation::{JointView, Situation};
use crate::words::{self, percent};
use model::advice::{Choice, ChoiceKind, Standing};

/// An option in the making. It starts open, with the texts and figures of the policy.
pub(super) struct Draft {
    choice: Choice,
}

impl Draft {
    pub(super) fn new(situation: &Situation<'_>, kind: ChoiceKind) -> Self {
        let text = situation.policy.option(kind);
        Draft {
            choice: Choice {
                kind,
                title: situation.title(kind).to_owned(),
                standing: Standing::Open,
                reasons_for: Vec::new(),
                reasons_against: Vec::new(),
                leaves: Vec::new(),
                consequences: text.meaning.clone(),
                would_change: String::new(),
                conditions: Vec::new(),
                hours_off: text.hours_off,
                price_usd: text.price_usd,
            },
        }
    }

    pub(super) fn speaks_for(&mut self, reason: impl Into<String>) -> &mut Self {
        self.choice.reasons_for.push(reason.into());
        self
    }

    pub(super) fn speaks_against(&mut self, reason: impl Into<String>) -> &mut Self {
        self.choice.reasons_against.push(reason.into());
        self
    }

    pub(super) fn leaves(&mut self, what: impl Into<String>) -> &mut Self {
        self.choice.leaves.push(what.into());
        self
    }

    pub(super) fn condition(&mut self, what: impl Into<String>) -> &mut Self {
        self.choice.conditions.push(what.into());
        self
    }

    /// Adds a sentence to what happens if the option is chosen.
    pub(super) fn then(&mut self, sentence: impl AsRef<str>) -> &mut Self {
        self.choice.consequences.push(' ');
        self.choice.consequences.push_str(sentence.as_ref());
        self
    }

    pub(super) fn standing(&mut self, standing: Standing) -> &mut Self {
        self.choice.standing = standing;
        self
    }

    /// The finished option. Figures of an option that is refused are left out: they would be a price for nothing.
    pub(super) fn done(mut self, would_change: impl Into<String>) -> Choice {
        self.choice.would_change = would_change.into();
        if self.choice.standing == Standing::Refused {
            self.choice.hours_off = None;
            self.choice.price_usd = None;
            self.choice.conditions.clear();
        }
        self.choice
    }
}

/// Joints with their probabilities, for a sentence; three at most by name.
pub(super) fn named(joints: &[&JointView<'_>]) -> String {
    let mut named: Vec<String> =
        joints.iter().take(3).map(|view| format!("{} ({})", view.label, percent(view.burnt()))).collect();
    if named.len() < joints.len() {
        named.push(format!("{} more", joints.len() - named.len()));
    }
    words::listed(&named)
}
