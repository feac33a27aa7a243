//! The policy file as it is written, before it is checked.

use crate::condition::Condition;
use crate::words::{StandingWord, UrgencyWord};
use serde::Deserialize;
use std::collections::BTreeMap;
use toml::Spanned;

/// The whole file.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PolicyFile {
    pub(super) name: String,
    pub(super) version: String,
    pub(super) thresholds: ThresholdsTable,
    #[serde(default)]
    pub(super) plan: PlanTable,
    #[serde(default)]
    pub(super) rule: Vec<Spanned<RuleTable>>,
    #[serde(default)]
    pub(super) option: BTreeMap<Spanned<String>, Spanned<OptionTable>>,
}

/// `[thresholds]`. Policies written before `may_become_urgent` was there take the standard one.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ThresholdsTable {
    pub(super) likely_burnt: Spanned<f64>,
    pub(super) suspect_burnt: Spanned<f64>,
    pub(super) likely_worn: Spanned<f64>,
    pub(super) supply_failing: Spanned<f64>,
    pub(super) two_stabs_expected: Spanned<f64>,
    pub(super) likely_cause: Spanned<f64>,
    pub(super) possible_cause: Spanned<f64>,
    pub(super) may_become_urgent: Option<Spanned<f64>>,
    pub(super) move_current_limit_a: Spanned<f64>,
    pub(super) stop_gap_days: Spanned<u32>,
}

/// `[plan]`. Policies written before it was there take the standard days.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PlanTable {
    pub(super) recheck_now_days: Option<Spanned<u32>>,
    pub(super) recheck_within_72_hours_days: Option<Spanned<u32>>,
    pub(super) recheck_this_month_days: Option<Spanned<u32>>,
    pub(super) recheck_otherwise_days: Option<Spanned<u32>>,
    pub(super) look_back_days: Option<Spanned<u32>>,
}

/// One `[[rule]]`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RuleTable {
    pub(super) name: Spanned<String>,
    pub(super) urgency: UrgencyWord,
    pub(super) when: Vec<Spanned<Condition>>,
    pub(super) reason: String,
    pub(super) owner: Option<String>,
    pub(super) source: String,
    pub(super) standing: StandingWord,
}

/// One `[option.…]`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OptionTable {
    pub(super) title: String,
    pub(super) meaning: String,
    pub(super) hours_off: Option<Spanned<[f64; 2]>>,
    pub(super) price_usd: Option<Spanned<[f64; 2]>>,
    pub(super) source: String,
    pub(super) standing: StandingWord,
}
