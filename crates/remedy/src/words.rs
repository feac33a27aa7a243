//! Words: how joints are called, and the words of files.

use model::advice::{ChoiceKind, Urgency};
use model::assessment::Cause;
use model::breaker::Breaker;
use model::cite::Standing;
use model::conductor::Metal;
use model::evidence::{Observed, Sign};
use model::id::Slot;
use model::installation::Installation;
use model::isolation::{Disconnect, Part, ProofPoint};
use model::job::ComplaintKind;
use model::joint::JointId;
use model::place::Place;
use serde::Deserialize;

/// All options, in order.
pub(crate) const ALL_CHOICES: [ChoiceKind; 9] = [
    ChoiceKind::LeaveAndWatch,
    ChoiceKind::MakeSafe,
    ChoiceKind::CallUtility,
    ChoiceKind::CorrectLoad,
    ChoiceKind::MoveCircuit,
    ChoiceKind::RemakeJoint,
    ChoiceKind::ReplaceInterior,
    ChoiceKind::ReplacePanel,
    ChoiceKind::ReplaceService,
];

const ALL_URGENCIES: [Urgency; 5] =
    [Urgency::Now, Urgency::Within72Hours, Urgency::ThisMonth, Urgency::PlanIt, Urgency::NoAction];

const ALL_CAUSES: [Cause; 14] = [
    Cause::BurntStab,
    Cause::LooseTerminal,
    Cause::LooseLug,
    Cause::PanelNeutral,
    Cause::ServiceNeutral,
    Cause::LostLeg,
    Cause::UtilitySide,
    Cause::Overload,
    Cause::WeakBreaker,
    Cause::ProtectionWorking,
    Cause::MotorStart,
    Cause::WarmSurroundings,
    Cause::BeyondPanel,
    Cause::NotExplained,
];

/// How a place is called in a sentence, for example `the line lug of leg A of panel main`.
pub(crate) fn place_label(place: &Place) -> String {
    let of = match place {
        Place::Face(slot) => format!("the face of space {}", slot.space),
        Place::Load(slot) => format!("the load terminal of space {}", slot.space),
        Place::Wire(slot) => format!("the wire at the load terminal of space {}", slot.space),
        Place::NeutralWire(slot) => format!("the neutral wire of space {}", slot.space),
        Place::Receptacle(slot) => format!("a receptacle on space {}", slot.space),
        Place::Lug(_, leg) => format!("the line lug of leg {leg}"),
        Place::Line(_, leg) => format!("the conductor at the line lug of leg {leg}"),
        Place::NeutralLug(_) => "the neutral lug".to_owned(),
        Place::NeutralLine(_) => "the conductor at the neutral lug".to_owned(),
        Place::NeutralBar(_) => "the neutral bar".to_owned(),
        Place::Cover(_) => "the cover".to_owned(),
        Place::Earth(_) => "earth".to_owned(),
    };
    format!("{of} of panel {}", place.panel())
}

/// A reading in a sentence, for example `65.0 °C at the face of space 4 of panel main`.
pub(crate) fn reading_label(observed: &Observed) -> String {
    match observed {
        Observed::Temperature(reading) => {
            format!("{:.1} °C at {}", reading.value.c(), place_label(&reading.place))
        }
        Observed::Drop(reading) => {
            let [from, to] = [&reading.from, &reading.to].map(place_label);
            format!("{:.0} mV from {from} to {to}", 1e3 * reading.value.v())
        }
        Observed::Voltage(reading) => {
            let [from, to] = [&reading.from, &reading.to].map(place_label);
            format!("{:.1} V from {from} to {to}", reading.value.v())
        }
        Observed::Current(reading) => format!("a current of {:.1} A", reading.value.a()),
        Observed::Touch(_) | Observed::Trip(_) | Observed::Sign(_) => "what was found".to_owned(),
    }
}

/// How a joint is called in a sentence, for example `the clip of breaker 6 (dryer) on its stab, pole in space 8`.
pub fn joint_label(installation: &Installation, id: &JointId) -> String {
    let several = installation.panels.len() > 1;
    let bare = match id {
        JointId::Stab(slot) => match section_of(installation, slot) {
            Some(section) => {
                let breaker = breaker_label(installation, slot);
                format!("the stab under {breaker}, which feeds {section}{}", pole_label(installation, slot))
            }
            None => {
                format!(
                    "the stab under {}{}",
                    breaker_label(installation, slot),
                    pole_label(installation, slot)
                )
            }
        },
        JointId::Terminal(slot) => {
            let pole = pole_label(installation, slot);
            format!("the load terminal of {}{pole}", breaker_label(installation, slot))
        }
        JointId::NeutralTerminal(slot) => {
            format!("the neutral terminal of the circuit of {}", breaker_label(installation, slot))
        }
        JointId::Lug(_, leg) => format!("the line lug of leg {leg}"),
        JointId::NeutralLug(_) => "the neutral lug".to_owned(),
        JointId::Feeder(_, section, leg) => format!("the feed of section {section} on leg {leg}"),
    };
    if several { format!("{bare}, panel {}", id.panel()) } else { bare }
}

/// How a part is called in a sentence, for example `the bus of the lower section`.
pub fn part(installation: &Installation, part: &Part) -> String {
    let (bare, panel) = match part {
        Part::LineLugs(panel) => ("the service conductors and line lugs".to_owned(), panel),
        Part::Bus(panel, section) => (format!("the bus of the {section} section with all its stabs"), panel),
        Part::Branch(slot) => {
            (format!("the load side of {}", breaker_label(installation, slot)), &slot.panel)
        }
    };
    if installation.panels.len() > 1 { format!("{bare}, panel {panel}") } else { bare }
}

/// A pair of points of a proof, for example `leg A to neutral`.
pub fn point_pair(pair: (ProofPoint, ProofPoint)) -> String {
    let point = |point| match point {
        ProofPoint::Leg(leg) => format!("leg {leg}"),
        ProofPoint::Neutral => "neutral".to_owned(),
        ProofPoint::Ground => "ground".to_owned(),
    };
    format!("{} to {}", point(pair.0), point(pair.1))
}

/// How a disconnect is called, for example `breaker 9 (no branch circuit)` or `the main breaker`.
pub fn disconnect(installation: &Installation, disconnect: &Disconnect) -> String {
    match disconnect {
        Disconnect::Breaker(slot) => match section_of(installation, slot) {
            Some(section) => format!("{}, which feeds {section}", breaker_label(installation, slot)),
            None => breaker_label(installation, slot),
        },
        Disconnect::Main(panel, _) if installation.panels.len() > 1 => {
            format!("the main breaker of panel {panel}")
        }
        Disconnect::Main(..) => "the main breaker".to_owned(),
    }
}

/// A breaker by its first space and what it feeds, for example `breaker 6 (dryer)`.
pub fn breaker_label(installation: &Installation, slot: &Slot) -> String {
    match installation.breaker_at(slot) {
        Some(breaker) => {
            let spaces = spaces_label(breaker);
            match &breaker.circuit {
                Some(circuit) if !circuit.feeds.is_empty() => format!("breaker {spaces} ({})", circuit.feeds),
                _ => format!("breaker {spaces}"),
            }
        }
        None => format!("space {}", slot.space),
    }
}

/// The spaces of a breaker, for example `6/8`.
pub fn spaces_label(breaker: &Breaker) -> String {
    let spaces: Vec<String> = breaker.spaces.iter().map(ToString::to_string).collect();
    spaces.join("/")
}

fn pole_label(installation: &Installation, slot: &Slot) -> String {
    match installation.breaker_at(slot) {
        Some(breaker) if breaker.n_poles() > 1 => format!(", pole in space {}", slot.space),
        _ => String::new(),
    }
}

fn section_of(installation: &Installation, slot: &Slot) -> Option<String> {
    let (panel, section) = installation.sections_fed_by(slot).next()?;
    Some(if panel.id == slot.panel {
        format!("the {} section", section.id)
    } else {
        format!("panel {}", panel.id)
    })
}

/// What a sign is called in a sentence.
pub fn sign_phrase(sign: Sign) -> &'static str {
    match sign {
        Sign::Discoloration => "discoloration, soot or melting",
        Sign::MeltedCase => "a melted or browned breaker case",
        Sign::Smell => "a fishy or acrid smell",
        Sign::RoughHandle => "a gritty, stiff or mushy handle",
        Sign::Buzz => "a buzz, sizzle or crackle under load",
        Sign::Flicker => "flicker",
        Sign::TripsWithoutLoad => "opening with little or no load",
        Sign::WillNotReset => "a breaker that will not reset",
        Sign::Moisture => "rust, white powder or a water trail",
        Sign::CoverDiscoloured => "a discoloured cover or bubbled paint",
        Sign::PittedStab => "a pitted or notched stab",
        Sign::BakedInsulation => "baked or browned insulation at a terminal",
    }
}

/// Items in a sentence: `a, b and c`.
pub fn listed<T: AsRef<str>>(items: &[T]) -> String {
    match items {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [most @ .., last] => {
            let most: Vec<&str> = most.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", most.join(", "), last.as_ref())
        }
    }
}

/// A probability as a whole percentage, never 0 % or 100 %.
pub fn percent(probability: f64) -> String {
    match probability * 100.0 {
        value if value < 0.5 => "under 1 %".to_owned(),
        value if 99.5 <= value => "over 99 %".to_owned(),
        value => format!("{value:.0} %"),
    }
}

/// With a capital letter and a full stop.
pub fn sentence(text: &str) -> String {
    if text.is_empty() {
        return String::new();
    }
    let end = if text.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{}{end}", capital(text))
}

/// The text with a capital first letter.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// A word of a file that is not one of those it may be.
fn unknown(word: &str, what: &str, known: impl Iterator<Item = &'static str>) -> String {
    format!("`{word}` is not {what}: write one of {}", known.collect::<Vec<_>>().join(", "))
}

macro_rules! word_of_file {
    ($(#[$doc:meta])* $name:ident($of:ty), $what:literal, $all:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
        #[serde(try_from = "String")]
        pub(crate) struct $name(pub(crate) $of);

        impl TryFrom<String> for $name {
            type Error = String;

            fn try_from(text: String) -> Result<Self, String> {
                let all = $all;
                match all.iter().find(|(word, _)| *word == text) {
                    Some((_, value)) => Ok($name(*value)),
                    None => Err(unknown(&text, $what, all.iter().map(|(word, _)| *word))),
                }
            }
        }
    };
}

word_of_file! {
    /// An urgency as written.
    UrgencyWord(Urgency), "an urgency", ALL_URGENCIES.map(|urgency| (urgency.word(), urgency))
}
word_of_file! {
    /// A cause as written.
    CauseWord(Cause), "a cause", ALL_CAUSES.map(|cause| (cause.word(), cause))
}
word_of_file! {
    /// A sign as written.
    SignWord(Sign), "a sign", Sign::ALL.map(|sign| (sign.word(), sign))
}
word_of_file! {
    /// A complaint as written.
    ComplaintWord(ComplaintKind), "a complaint", ComplaintKind::ALL.map(|kind| (kind.word(), kind))
}
word_of_file! {
    /// A metal as written.
    MetalWord(Metal), "a bus metal", [
        ("copper", Metal::Copper),
        ("aluminium", Metal::Aluminium),
        ("copper-clad-aluminium", Metal::CopperCladAluminium),
    ]
}
word_of_file! {
    /// A standing as written.
    StandingWord(Standing), "a standing", [
        ("published", Standing::Published),
        ("derived", Standing::Derived),
        ("common-practice", Standing::CommonPractice),
        ("from-memory", Standing::FromMemory),
        ("judgement", Standing::Judgement),
    ]
}
