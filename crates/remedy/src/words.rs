//! Words: how joints are called, and the words of files.

use model::advice::{ChoiceKind, MayChange, Urgency};
use model::assessment::Cause;
use model::breaker::Breaker;
use model::cite::Standing;
use model::conductor::Metal;
use model::evidence::{ClampPlace, Observed, Sign};
use model::id::{PanelId, Slot};
use model::installation::Installation;
use model::isolation::{Disconnect, Part, ProofPoint};
use model::job::{ComplaintKind, Job, Work};
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

/// How a place is called in a sentence, for example `the line lug of leg A`.
pub fn place_label(installation: &Installation, place: &Place) -> String {
    let bare = match place {
        Place::Face(slot) => format!("the face of {}", breaker_label(installation, slot)),
        Place::Load(slot) => format!("the load terminal of space {}", slot.space),
        Place::Wire(slot) => format!("the wire of space {}", slot.space),
        Place::Lug(_, leg) => format!("the line lug of leg {leg}"),
        Place::Line(_, leg) => format!("the service conductor of leg {leg}"),
        Place::NeutralLug(_) => "the neutral lug".to_owned(),
        Place::NeutralLine(_) => "the service neutral".to_owned(),
        Place::NeutralBar(_) => "the neutral bar".to_owned(),
        Place::NeutralWire(slot) => format!("the neutral wire of space {}", slot.space),
        Place::Cover(_) => "the cover".to_owned(),
        Place::Receptacle(slot) => format!("a receptacle of {}", breaker_label(installation, slot)),
        Place::Earth(_) => "earth".to_owned(),
    };
    of_panel(installation, bare, place.panel())
}

/// A reading in a sentence, for example `65.0 °C at the face of breaker 4 (kitchen)`.
pub(crate) fn reading_label(installation: &Installation, observed: &Observed) -> String {
    let place = |place: &Place| place_label(installation, place);
    match observed {
        Observed::Temperature(reading) => {
            format!("{:.1} °C at {}", reading.value.c(), place(&reading.place))
        }
        Observed::Drop(reading) => format!(
            "{:.0} mV from {} to {}",
            1e3 * reading.value.v(),
            place(&reading.from),
            place(&reading.to)
        ),
        Observed::Voltage(reading) => {
            format!("{:.1} V from {} to {}", reading.value.v(), place(&reading.from), place(&reading.to))
        }
        Observed::Current(reading) => {
            format!("{:.1} A at {}", reading.value.a(), clamp_label(installation, &reading.place))
        }
        Observed::Touch(_) | Observed::Trip(_) | Observed::Sign(_) => "what was found".to_owned(),
    }
}

fn clamp_label(installation: &Installation, place: &ClampPlace) -> String {
    match place {
        ClampPlace::Pole(slot) => place_label(installation, &Place::Wire(slot.clone())),
        ClampPlace::Line(panel, leg) => place_label(installation, &Place::Line(panel.clone(), *leg)),
        ClampPlace::Neutral(panel) => place_label(installation, &Place::NeutralLine(panel.clone())),
        ClampPlace::Electrode(panel) => of_panel(installation, "the electrode conductor".to_owned(), panel),
    }
}

/// With the panel named where there are several.
fn of_panel(installation: &Installation, bare: String, panel: &PanelId) -> String {
    if 1 < installation.panels.len() { format!("{bare}, panel {panel}") } else { bare }
}

/// How a joint is called in a sentence, for example `the clip of breaker 6 (dryer) on its stab, pole in space 8`.
pub fn joint_label(installation: &Installation, id: &JointId) -> String {
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
    of_panel(installation, bare, id.panel())
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

/// A sentence for each lasting work at whose spaces nothing was read since.
pub fn unread_since(job: &Job) -> Vec<String> {
    let of_work = |work: &Work| {
        let unread: Vec<String> = job.unread_since(work).map(|slot| slot.space.to_string()).collect();
        let at = if unread.len() == 1 { "space" } else { "spaces" };
        let (day, spaces) = (work.at.date(), listed(&unread));
        (!unread.is_empty()).then(|| {
            format!("Since the work of {day} nothing was read at {at} {spaces}: that it holds is not shown.")
        })
    };
    job.work.iter().filter_map(of_work).collect()
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

/// How more knowledge may change the verdict, for example `more urgent with 20 %, less urgent with 30 %`. What has under 1 % is
/// left out; `None` where nothing is left.
pub fn may_change(change: &MayChange) -> Option<String> {
    const LEAST: f64 = 0.005;
    let both = [("more", change.more_urgent), ("less", change.less_urgent)];
    let told = both.into_iter().filter(|(_, chance)| LEAST <= *chance);
    let told: Vec<String> =
        told.map(|(way, chance)| format!("{way} urgent with {}", percent(chance))).collect();
    (!told.is_empty()).then(|| told.join(", "))
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{Sample, sound_panel};
    use model::Leg;
    use model::evidence::CurrentReading;
    use model::quantity::Current;

    #[test]
    fn a_change_that_hardly_comes_is_left_out() {
        let told = |more_urgent, less_urgent| {
            may_change(&MayChange { more_urgent, less_urgent, checks: Vec::new(), basis: String::new() })
        };
        assert_eq!(told(0.2, 0.3).as_deref(), Some("more urgent with 20 %, less urgent with 30 %"));
        assert_eq!(told(0.2, 0.001).as_deref(), Some("more urgent with 20 %"));
        assert_eq!(told(0.0, 0.0), None);
    }

    /// The panel is named where there are several, and only there.
    #[test]
    fn a_reading_is_told_with_its_place() {
        let one = sound_panel().job.installation;
        let clamped = Observed::Current(CurrentReading {
            place: ClampPlace::Line(PanelId::new("main"), Leg::A),
            value: Current::from_a(36.0),
            instrument: None,
            state: "evening".to_owned(),
        });
        assert_eq!(reading_label(&one, &clamped), "36.0 A at the service conductor of leg A");
        let mut other = one.panels[0].clone();
        other.id = PanelId::new("workshop");
        let two = Sample::of(vec![one.panels[0].clone(), other]).job.installation;
        assert_eq!(reading_label(&two, &clamped), "36.0 A at the service conductor of leg A, panel main");
        let lug = Place::Lug(PanelId::new("workshop"), Leg::B);
        assert_eq!(place_label(&two, &lug), "the line lug of leg B, panel workshop");
    }
}
