//! A finding: what the code asks on one point, with its citation.

use crate::ruling::{Refused, Ruling};
use model::Cite;

/// Points that are answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// Number and place of the service disconnects.
    DisconnectCount,
    /// Disconnect outdoors.
    OutdoorDisconnect,
    /// Surge protection.
    Surge,
    /// Arc-fault protection of existing circuits.
    ArcExisting,
    /// Arc-fault protection of a new circuit.
    ArcNew,
    /// Ground-fault protection.
    GroundFault,
    /// Place of the panel.
    Place,
    /// Height of the handles.
    HandleHeight,
    /// Working space.
    WorkingSpace,
    /// Directory.
    Directory,
    /// Unused openings.
    Openings,
    /// Neutrals at a terminal.
    NeutralTerminal,
    /// New interior in an old cabinet.
    Interior,
    /// Breakers of another make or type.
    BreakerListing,
    /// Split bus.
    SplitBus,
    /// Marking of the fault current.
    FaultMarking,
    /// Three-wire range and dryer circuits.
    ThreeWire,
    /// Multiwire circuits.
    Multiwire,
    /// Grounding electrodes.
    Electrodes,
    /// Intersystem bonding.
    Intersystem,
    /// Torque.
    Torque,
}

/// What the code says.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// It asks for it.
    Required {
        /// Is it so already, as recorded? `None` where the record does not tell.
        met: Option<bool>,
    },
    /// It does not ask for it.
    NotRequired,
    /// It depends on something that is not known.
    DependsOn(String),
    /// It can be read in more than one way: the inspector decides.
    InspectorsCall,
    /// The book does not answer for this edition.
    Refused(Box<Refused>),
}

/// One finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// Point.
    pub subject: Subject,
    /// What it is about, in a few words.
    pub title: String,
    /// Answer.
    pub answer: Answer,
    /// One or two sentences.
    pub text: String,
    /// Citation; of a refusal there is none.
    pub cite: Option<Cite>,
}

impl Finding {
    pub(crate) fn new(
        subject: Subject,
        title: &str,
        answer: Answer,
        text: impl Into<String>,
        ruling: &Ruling<impl Sized>,
    ) -> Finding {
        let mut text = text.into();
        if let Some(note) = &ruling.note {
            text = format!("{text} Note: {note}.");
        }
        Finding { subject, title: title.to_owned(), answer, text, cite: Some(ruling.cite()) }
    }

    pub(crate) fn refused(subject: Subject, title: &str, refused: Refused) -> Finding {
        let text = refused.hint();
        Finding {
            subject,
            title: title.to_owned(),
            answer: Answer::Refused(Box::new(refused)),
            text,
            cite: None,
        }
    }
}

/// A finding, or the refusal as one.
pub(crate) fn or_refused(subject: Subject, title: &str, found: Result<Finding, Refused>) -> Finding {
    found.unwrap_or_else(|refused| Finding::refused(subject, title, refused))
}

/// Required, unless it is already so.
pub(crate) fn asked(text: impl Into<String>) -> Answer {
    Answer::DependsOn(text.into())
}
