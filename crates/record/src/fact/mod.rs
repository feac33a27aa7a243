//! Facts: what a person saw, measured, decided or did, as it is stored and exchanged. Immutable; a correction
//! is a new fact that supersedes an old one.
//!
//! This is version 1 of the durable form. A later version is a new type beside this one with a written
//! conversion; what is here does not change.

mod course;
mod equipment;
mod install;
mod isolation;
mod measure;
mod observed;
mod offer;
mod plan;
mod premises;
mod replacement;

pub use course::{
    CallTaken, ComplaintMade, DecisionMade, ExposureReached, JobForgotten, JobOpened, JointOpened,
    PhotoPinned, PhotoTaken, Retraction, WorkDone, WorkKind,
};
pub use equipment::{
    BreakerDescribed, BusDescribed, CabinetDescribed, CircuitDescribed, ConductorDescribed, FeedDescribed,
    HalfWidthDescribed, PanelDescribed, SectionDescribed, ServiceDescribed,
};
pub use install::{
    BreakerInstalled, CardHung, CardLine, CircuitFiled, DeviceTried, LegRead, NeutralClamped, PermitFiled,
    StageReached, TerminalTorqued, TerminalVerified, TorqueFrom,
};
pub use isolation::{DeadProven, HandleMoved, PairRead, SourceLooked, UtilityCutMade};
pub use measure::{LengthAs, TemperatureAs, TorqueAs};
pub use observed::{
    ClampTaken, DropTaken, LoadStateHeld, SignLookedFor, TemperatureTaken, TouchTaken, TripSeen, VoltageTaken,
};
pub use offer::{OutageBooked, PartUsed, QuoteGiven, StepTicked};
pub use plan::{DueKept, InterimPlanned, PromiseGiven};
pub use replacement::{CircuitSurveyed, LayoutChosen, SeatChosen, SpacesHeld, SurpriseAnswered};

pub use premises::{
    AmendedAs, AmendmentMade, ApplianceDescribed, CircuitPlanned, CodeAdopted, DemandMeasured,
    DwellingDescribed, EditionTaken, ManagedDescribed, SiteSeen, ThreeWireFound,
};

use crate::text::AsText;
use jiff::civil::DateTime;
use model::FactId;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

/// Version of the durable form that this type is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(try_from = "u32", into = "u32")]
pub struct V1;

impl From<V1> for u32 {
    fn from(_: V1) -> u32 {
        1
    }
}

/// A stored fact is of a version that this program does not know.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the fact is of version {0}; this program reads version 1 (a newer program may read it)")]
pub struct UnknownVersion(pub u32);

impl TryFrom<u32> for V1 {
    type Error = UnknownVersion;

    fn try_from(version: u32) -> Result<Self, UnknownVersion> {
        if version == 1 { Ok(V1) } else { Err(UnknownVersion(version)) }
    }
}

impl JsonSchema for V1 {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "version".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "const": 1 })
    }
}

/// One fact.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fact {
    /// Version of the durable form.
    pub v: V1,
    /// Name, unique in the job on every device.
    pub id: AsText<FactId>,
    /// When it was seen, measured, decided or done: civil time at the site.
    #[schemars(with = "String")]
    pub at: DateTime,
    /// Who, by role or initials.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Facts that no longer hold because of this one.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub supersedes: Vec<AsText<FactId>>,
    /// What.
    pub body: Body,
}

impl Fact {
    /// A fact whose id comes from its content, so that the same entry has the same id wherever it is read.
    pub fn new(at: DateTime, by: Option<String>, supersedes: Vec<FactId>, body: Body) -> Self {
        let supersedes: Vec<AsText<FactId>> = supersedes.into_iter().map(AsText).collect();
        let id = derived_id(at, by.as_deref(), &supersedes, &body);
        Fact { v: V1, id: AsText(id), at, by, supersedes, body }
    }

    /// The id.
    pub fn id(&self) -> &FactId {
        &self.id.0
    }

    /// Is the id the one that the content gives?
    pub fn has_derived_id(&self) -> bool {
        self.id.0 == derived_id(self.at, self.by.as_deref(), &self.supersedes, &self.body)
    }

    /// One line of JSON.
    pub fn to_json(&self) -> String {
        serde_json::to_string(self).expect("facts hold text keys and finite numbers only")
    }

    /// Reads one line of JSON.
    ///
    /// # Errors
    /// The text is not JSON, or not a fact of version 1.
    pub fn from_json(line: &str) -> Result<Self, serde_json::Error> {
        serde_json::from_str(line)
    }
}

/// Characters of the hash in a derived id: 48 bits, so ten thousand facts of one job clash once in millions
/// of jobs, and a clash is reported, not swallowed.
const HASH_HEX: usize = 12;

fn derived_id(at: DateTime, by: Option<&str>, supersedes: &[AsText<FactId>], body: &Body) -> FactId {
    let content = serde_json::to_string(&(at, by, supersedes, body)).expect("as in `to_json`");
    let digest = Sha256::digest(content.as_bytes());
    let mut id = String::from(body.kind());
    let subject = body.subject();
    if !subject.is_empty() {
        id.push('-');
        id.push_str(&subject);
    }
    id.push('-');
    for byte in digest.iter().take(HASH_HEX / 2) {
        id.push_str(&format!("{byte:02x}"));
    }
    FactId::new(id)
}

macro_rules! bodies {
    ($($(#[$doc:meta])* $variant:ident($ty:ty) = $kind:literal;)+) => {
        /// What a fact says.
        #[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
        #[serde(tag = "kind")]
        pub enum Body {
            $($(#[$doc])* #[serde(rename = $kind)] $variant($ty),)+
        }

        impl Body {
            /// The word for the kind of fact.
            pub const fn kind(&self) -> &'static str {
                match self { $(Body::$variant(_) => $kind,)+ }
            }

            /// What it is about, as part of an id; empty where the kind says it all.
            fn subject(&self) -> String {
                match self { $(Body::$variant(body) => slug(&body.subject()),)+ }
            }
        }

        $(impl From<$ty> for Body {
            fn from(body: $ty) -> Self {
                Body::$variant(body)
            }
        })+
    };
}

bodies! {
    /// The job was opened.
    Job(JobOpened) = "job";
    /// What comes before the panels was described.
    Service(Box<ServiceDescribed>) = "service";
    /// A panel with its sections was described.
    Panel(Box<PanelDescribed>) = "panel";
    /// A breaker was described.
    Breaker(Box<BreakerDescribed>) = "breaker";
    /// A load state was set up.
    State(LoadStateHeld) = "state";
    /// A temperature was taken.
    Temperature(TemperatureTaken) = "temperature";
    /// A breaker face was touched.
    Touch(TouchTaken) = "touch";
    /// A current was clamped.
    Clamp(ClampTaken) = "clamp";
    /// A voltage was taken.
    Voltage(VoltageTaken) = "voltage";
    /// A millivolt drop was taken.
    Drop(DropTaken) = "drop";
    /// A breaker opened by itself.
    Trip(TripSeen) = "trip";
    /// A sign was looked for.
    Sign(SignLookedFor) = "sign";
    /// A photo was taken.
    Photo(PhotoTaken) = "photo";
    /// A mark was set on a photo.
    Pin(PhotoPinned) = "pin";
    /// Somebody called.
    Call(CallTaken) = "call";
    /// A complaint was made.
    Complaint(ComplaintMade) = "complaint";
    /// Something was decided.
    Decision(DecisionMade) = "decision";
    /// Work was done.
    Work(WorkDone) = "work";
    /// A joint was opened.
    Opening(JointOpened) = "opening";
    /// A handle was moved.
    Handle(HandleMoved) = "handle";
    /// The utility cut the supply, or gave it back.
    Cut(UtilityCutMade) = "cut";
    /// Another source was looked for.
    Source(SourceLooked) = "source";
    /// Absence of voltage was tested.
    Proof(DeadProven) = "proof";
    /// A plan until the replacement was agreed or declined.
    Interim(Box<InterimPlanned>) = "interim";
    /// Something was promised.
    Promise(PromiseGiven) = "promise";
    /// Something due was done.
    Kept(DueKept) = "kept";
    /// A circuit was surveyed.
    Circuit(Box<CircuitSurveyed>) = "circuit";
    /// A question of the list of surprises was answered.
    Surprise(SurpriseAnswered) = "surprise";
    /// A layout of the new panel was chosen.
    Arrangement(Box<LayoutChosen>) = "arrangement";
    /// A permit was filed.
    Permit(PermitFiled) = "permit";
    /// A breaker went into the new panel.
    Installed(BreakerInstalled) = "installed";
    /// A termination was tightened.
    Torqued(TerminalTorqued) = "torqued";
    /// The new panel was switched on this far.
    Energised(StageReached) = "energised";
    /// A temperature was taken at the new panel.
    Verified(TerminalVerified) = "verified";
    /// Two circuits on one neutral were clamped.
    SharedNeutral(NeutralClamped) = "shared-neutral";
    /// A device or circuit was tried.
    Tried(DeviceTried) = "tried";
    /// The directory card was hung up.
    Card(CardHung) = "card";
    /// A quote was given.
    Quote(QuoteGiven) = "quote";
    /// The day without power was booked.
    Outage(Box<OutageBooked>) = "outage";
    /// A step of the day was begun or done.
    Tick(StepTicked) = "tick";
    /// Parts were used.
    Used(PartUsed) = "used";
    /// Which code holds was looked up.
    Adoption(CodeAdopted) = "adoption";
    /// A dwelling was described.
    Dwelling(DwellingDescribed) = "dwelling";
    /// An appliance was described.
    Appliance(ApplianceDescribed) = "appliance";
    /// A demand was measured.
    Demand(DemandMeasured) = "demand";
    /// The site was looked at, and the work planned.
    Site(Box<SiteSeen>) = "site";
    /// The panel was opened this far.
    Exposure(ExposureReached) = "exposure";
    /// Earlier facts are taken back without anything in their place.
    Retraction(Retraction) = "retraction";
    /// The customer asked to be forgotten.
    Forgotten(JobForgotten) = "forgotten";
}

/// Turns `main/face:5` into `main-face-05`, so that ids sort by space.
fn slug(text: &str) -> String {
    const SLUG_MAX: usize = 36;
    let mut out = String::new();
    let mut digits = String::new();
    let flush = |digits: &mut String, out: &mut String| {
        if digits.len() == 1 {
            out.push('0');
        }
        out.push_str(digits);
        digits.clear();
    };
    for c in text.chars().take(SLUG_MAX) {
        if c.is_ascii_digit() {
            digits.push(c);
            continue;
        }
        flush(&mut digits, &mut out);
        if c.is_alphanumeric() {
            out.push(c);
        } else if !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
    }
    flush(&mut digits, &mut out);
    let cut: String = out.chars().take(SLUG_MAX).collect();
    cut.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::Textual;
    use model::evidence::{Surface, TemperatureMethod};
    use model::place::Place;

    fn reading(c: f64) -> Fact {
        let body = TemperatureTaken {
            place: AsText(Place::read("main/face:5", None).expect("a place")),
            value: TemperatureAs::C(c),
            method: AsText(TemperatureMethod::Infrared),
            surface: AsText(Surface::Matte),
            emissivity: None,
            reflected: None,
            instrument: None,
            state: "dryer on".to_owned(),
        };
        Fact::new(jiff::civil::date(2026, 3, 4).at(14, 30, 0, 0), None, vec![], body.into())
    }

    #[test]
    fn a_stored_fact_reads_back() {
        let fact = reading(61.2);
        let line = fact.to_json();
        assert_eq!(
            line,
            format!(
                r#"{{"v":1,"id":"{}","at":"2026-03-04T14:30:00","body":{{"kind":"temperature","place":"main/face:5","value":{{"c":61.2}},"method":"infrared","surface":"matte","state":"dryer on"}}}}"#,
                fact.id()
            )
        );
        assert_eq!(Fact::from_json(&line).expect("it was just written"), fact);
    }

    #[test]
    fn ids_come_from_content() {
        assert_eq!(reading(61.2).id(), reading(61.2).id());
        assert_ne!(reading(61.2).id(), reading(61.3).id());
        assert!(reading(61.2).id().as_str().starts_with("temperature-main-face-05-"));
        assert!(reading(61.2).has_derived_id());
    }

    #[test]
    fn unknown_versions_and_fields_are_refused() {
        let line = reading(61.2).to_json();
        let newer = Fact::from_json(&line.replace("\"v\":1", "\"v\":2")).expect_err("version 2");
        assert!(newer.to_string().contains("version 2"), "{newer}");
        assert!(Fact::from_json(&line.replace("\"surface\"", "\"surfaces\"")).is_err());
        assert!(Fact::from_json(&line.replace("\"state\"", "\"estate\":1,\"state\"")).is_err());
    }

    #[test]
    fn slugs_sort_by_space() {
        assert_eq!(slug("main/face:5"), "main-face-05");
        assert_eq!(slug("main/12b"), "main-12b");
        assert_eq!(slug("dryer on!"), "dryer-on");
        assert_eq!(slug(""), "");
    }
}
