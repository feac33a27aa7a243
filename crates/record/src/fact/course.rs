//! Facts about the course of a job: opened, complained, photographed, decided, done, found.

use crate::text::{AsText, Textual};
use jiff::civil::Date;
use model::job::{CallAnswer, ComplaintKind, Condition, Exposure};
use model::{JointId, Slot};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The job was opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JobOpened {
    /// Name of the job, unique in the shop.
    pub job: String,
    /// Invented, for the demo or a test?
    #[serde(default)]
    pub invented: bool,
    /// How the papers call the place.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub place: String,
    /// Town, as printed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub town: String,
    /// How the papers address the owner.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub owner: String,
    /// Day the job was opened.
    #[schemars(with = "String")]
    pub opened: Date,
}

impl JobOpened {
    pub(super) fn subject(&self) -> String {
        self.job.clone()
    }
}

/// The panel was opened this far.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ExposureReached {
    /// How far.
    pub reached: AsText<Exposure>,
}

impl ExposureReached {
    pub(super) fn subject(&self) -> String {
        self.reached.0.write()
    }
}

/// A complaint in the caller's words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ComplaintMade {
    /// What of.
    pub of: AsText<ComplaintKind>,
    /// The circuit it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slot: Option<AsText<Slot>>,
    /// The caller's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl ComplaintMade {
    pub(super) fn subject(&self) -> String {
        self.of.0.write()
    }
}

/// A photo, kept by its hash.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PhotoTaken {
    /// SHA-256 of the file, 64 lower-case hex digits.
    pub sha256: String,
    /// What it shows.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
    /// The space it shows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slot: Option<AsText<Slot>>,
}

impl PhotoTaken {
    pub(super) fn subject(&self) -> String {
        self.slot.as_ref().map(|slot| slot.0.write()).unwrap_or_default()
    }
}

/// A mark was set on a photo.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PhotoPinned {
    /// SHA-256 of the photo, 64 lower-case hex digits.
    pub photo: String,
    /// From the left edge of the upright picture, as a fraction of its width.
    pub x: f64,
    /// From the top edge of the upright picture, as a fraction of its height.
    pub y: f64,
    /// The space it marks.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slot: Option<AsText<Slot>>,
    /// What is there.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl PhotoPinned {
    pub(super) fn subject(&self) -> String {
        self.slot.as_ref().map(|slot| slot.0.write()).unwrap_or_default()
    }
}

/// Somebody called, and was asked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CallTaken {
    /// Answers as `question:answer`; a question may have several.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub answers: Vec<AsText<CallAnswer>>,
    /// What else the caller said, in the caller's words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl CallTaken {
    pub(super) fn subject(&self) -> String {
        String::new()
    }
}

/// Something decided.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DecisionMade {
    /// What, in the words of who decided.
    pub words: String,
    /// Was advice declined?
    #[serde(default)]
    pub declined: bool,
}

impl DecisionMade {
    pub(super) fn subject(&self) -> String {
        String::new()
    }
}

/// Does the work last?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum WorkKind {
    /// Meant to last.
    Lasting,
    /// Bridges the time until something better; has a day on which it expires.
    StopGap,
}

/// Work done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WorkDone {
    /// Stop-gap or lasting.
    pub kind_of_work: WorkKind,
    /// What was done.
    pub words: String,
    /// Spaces it touched.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub slots: Vec<AsText<Slot>>,
    /// Spaces to which the circuit was moved; a move is always a stop-gap.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub moved_to: Vec<AsText<Slot>>,
    /// Day on which a stop-gap expires.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub expires: Option<Date>,
    /// Day on which a stop-gap is looked at again. Facts of the first days lack it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub recheck: Option<Date>,
}

impl WorkDone {
    pub(super) fn subject(&self) -> String {
        self.slots.first().map(|slot| slot.0.write()).unwrap_or_default()
    }
}

/// A joint was opened, proven dead.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JointOpened {
    /// Which.
    pub joint: AsText<JointId>,
    /// What was found.
    pub found: AsText<Condition>,
    /// In words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl JointOpened {
    pub(super) fn subject(&self) -> String {
        self.joint.0.write()
    }
}

/// The customer asked to be forgotten. Holds for every fact of the job, whenever it arrives: see
/// [`forget`](crate::forget).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JobForgotten {
    /// On which ground; no name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl JobForgotten {
    pub(super) fn subject(&self) -> String {
        String::new()
    }
}

/// The facts that this one supersedes are taken back, with nothing in their place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Retraction {
    /// Why.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl Retraction {
    pub(super) fn subject(&self) -> String {
        String::new()
    }
}
