//! Texts of spaces, slots, places, clamp places, sign scopes and joints.
//!
//! A panel's id stands in front where the job has several panels: `sub/5`, `sub/face:5`, `sub:stab:5`.

use super::{NotRead, Textual};
use model::conductor::WireSize;
use model::evidence::{ClampPlace, SignScope};
use model::place::Place;
use model::{FactId, JointId, Leg, PanelId, SectionId, Slot, Space};
use std::str::FromStr;

/// Longest id of a panel, section or fact, in characters.
pub const ID_MAX: usize = 64;

/// Is the text an id: letters, digits, `-`, `_` and `.`, one at least?
pub fn is_id(text: &str) -> bool {
    !text.is_empty()
        && text.chars().count() <= ID_MAX
        && text.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | '.'))
}

pub(super) fn wrong(text: &str, what: &'static str, right: impl Into<String>) -> NotRead {
    NotRead::Form { text: text.to_owned(), what, right: right.into() }
}

/// Splits `sub/face:5` into panel and rest.
pub(super) fn split_home<'a>(
    text: &'a str,
    home: Option<&PanelId>,
    what: &'static str,
    right: &str,
) -> Result<(PanelId, &'a str), NotRead> {
    match text.split_once('/') {
        Some((panel, rest)) if is_id(panel) => Ok((PanelId::new(panel), rest)),
        Some(_) => Err(wrong(text, what, right)),
        None => match home {
            Some(panel) => Ok((panel.clone(), text)),
            None => Err(NotRead::NoPanel { text: text.to_owned(), right: format!("main/{text}") }),
        },
    }
}

const SPACE_FORM: &str =
    "write the number beside the space, with `a` or `b` behind it for half of one: `5`, `5a`";

impl Textual for Space {
    const WHAT: &'static str = "a space";

    fn write(&self) -> String {
        self.to_string()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        Space::from_str(text).map_err(|_| wrong(text, Self::WHAT, SPACE_FORM))
    }
}

impl Textual for Slot {
    const WHAT: &'static str = "a space of a panel";

    fn write(&self) -> String {
        self.to_string()
    }

    fn read(text: &str, home: Option<&PanelId>) -> Result<Self, NotRead> {
        let right = "write the number beside the space, `5` or `5a`, with the panel in front where the job has several: `sub/5`";
        let (panel, space) = split_home(text, home, Self::WHAT, right)?;
        match Space::from_str(space) {
            Ok(space) => Ok(Slot::new(panel, space)),
            Err(_) => Err(wrong(text, Self::WHAT, right)),
        }
    }
}

const PLACE_FORM: &str = "a place is one of `face:5`, `load:5`, `wire:5`, `neutral-wire:5`, `receptacle:5` (any \
space), `lug:A`, `line:A` (any leg), `neutral-lug`, `neutral-line`, `neutral-bar`, `cover`, `earth`";

impl Textual for Place {
    const WHAT: &'static str = "a place";

    fn write(&self) -> String {
        self.to_string()
    }

    fn read(text: &str, home: Option<&PanelId>) -> Result<Self, NotRead> {
        let error = || wrong(text, Self::WHAT, PLACE_FORM);
        let (panel, rest) = split_home(text, home, Self::WHAT, PLACE_FORM)?;
        if let Some((word, subject)) = rest.split_once(':') {
            let slot =
                |panel| Space::from_str(subject).map(|space| Slot::new(panel, space)).map_err(|_| error());
            let leg = || Leg::read(subject, None).map_err(|_| error());
            return match word {
                "face" => slot(panel).map(Place::Face),
                "load" => slot(panel).map(Place::Load),
                "wire" => slot(panel).map(Place::Wire),
                "neutral-wire" => slot(panel).map(Place::NeutralWire),
                "receptacle" => slot(panel).map(Place::Receptacle),
                "lug" => leg().map(|leg| Place::Lug(panel, leg)),
                "line" => leg().map(|leg| Place::Line(panel, leg)),
                _ => Err(error()),
            };
        }
        match rest {
            "neutral-lug" => Ok(Place::NeutralLug(panel)),
            "neutral-line" => Ok(Place::NeutralLine(panel)),
            "neutral-bar" => Ok(Place::NeutralBar(panel)),
            "cover" => Ok(Place::Cover(panel)),
            "earth" => Ok(Place::Earth(panel)),
            _ => Err(error()),
        }
    }
}

const CLAMP_FORM: &str = "a clamp goes around a branch conductor (its space, `5`), a service conductor (`line:A`), \
the service neutral (`neutral`) or the electrode conductor (`electrode`)";

impl Textual for ClampPlace {
    const WHAT: &'static str = "a place for a clamp";

    fn write(&self) -> String {
        match self {
            ClampPlace::Pole(slot) => slot.to_string(),
            ClampPlace::Line(panel, leg) => format!("{panel}/line:{leg}"),
            ClampPlace::Neutral(panel) => format!("{panel}/neutral"),
            ClampPlace::Electrode(panel) => format!("{panel}/electrode"),
        }
    }

    fn read(text: &str, home: Option<&PanelId>) -> Result<Self, NotRead> {
        let error = || wrong(text, Self::WHAT, CLAMP_FORM);
        let (panel, rest) = split_home(text, home, Self::WHAT, CLAMP_FORM)?;
        match rest {
            "neutral" => Ok(ClampPlace::Neutral(panel)),
            "electrode" => Ok(ClampPlace::Electrode(panel)),
            _ => match rest.split_once(':') {
                Some(("line" | "lug", leg)) => match Leg::read(leg, None) {
                    Ok(leg) => Ok(ClampPlace::Line(panel, leg)),
                    Err(_) => Err(error()),
                },
                Some(_) => Err(error()),
                None => match Space::from_str(rest) {
                    Ok(space) => Ok(ClampPlace::Pole(Slot::new(panel, space))),
                    Err(_) => Err(error()),
                },
            },
        }
    }
}

const SCOPE_FORM: &str = "a sign is looked for at a space (`5`), a line lug (`lug:A`), the neutral (`neutral`), \
everything on a leg (`leg:A`) or the whole panel (`panel`)";

impl Textual for SignScope {
    const WHAT: &'static str = "a place for a sign";

    fn write(&self) -> String {
        match self {
            SignScope::Slot(slot) => slot.to_string(),
            SignScope::Lug(panel, leg) => format!("{panel}/lug:{leg}"),
            SignScope::Neutral(panel) => format!("{panel}/neutral"),
            SignScope::Leg(panel, leg) => format!("{panel}/leg:{leg}"),
            SignScope::Panel(panel) => format!("{panel}/panel"),
        }
    }

    fn read(text: &str, home: Option<&PanelId>) -> Result<Self, NotRead> {
        let error = || wrong(text, Self::WHAT, SCOPE_FORM);
        let (panel, rest) = split_home(text, home, Self::WHAT, SCOPE_FORM)?;
        match rest {
            "neutral" => Ok(SignScope::Neutral(panel)),
            "panel" => Ok(SignScope::Panel(panel)),
            _ => match rest.split_once(':') {
                Some((word @ ("lug" | "leg"), leg)) => match (word, Leg::read(leg, None)) {
                    ("lug", Ok(leg)) => Ok(SignScope::Lug(panel, leg)),
                    (_, Ok(leg)) => Ok(SignScope::Leg(panel, leg)),
                    (_, Err(_)) => Err(error()),
                },
                Some(_) => Err(error()),
                None => match Space::from_str(rest) {
                    Ok(space) => Ok(SignScope::Slot(Slot::new(panel, space))),
                    Err(_) => Err(error()),
                },
            },
        }
    }
}

const JOINT_FORM: &str = "a joint is one of `stab:5`, `terminal:5`, `neutral:5` (any space), `lug:A` (any leg), \
`neutral:lug`, `feeder:upper:A` (a section and a leg), with the panel in front where the job has several: `sub:stab:5`";

impl Textual for JointId {
    const WHAT: &'static str = "a joint";

    fn write(&self) -> String {
        self.to_string()
    }

    fn read(text: &str, home: Option<&PanelId>) -> Result<Self, NotRead> {
        let error = || wrong(text, Self::WHAT, JOINT_FORM);
        let parts: Vec<&str> = text.split(':').collect();
        let no_panel = || NotRead::NoPanel { text: text.to_owned(), right: format!("main:{text}") };
        let bare =
            matches!(parts.as_slice(), ["stab" | "terminal" | "neutral" | "lug", _] | ["feeder", _, _]);
        let (panel, rest) = if bare {
            (home.cloned().ok_or_else(no_panel)?, parts.as_slice())
        } else {
            match parts.split_first() {
                Some((panel, rest)) if is_id(panel) => (PanelId::new(*panel), rest),
                _ => return Err(error()),
            }
        };
        let slot =
            |panel, space| Space::from_str(space).map(|space| Slot::new(panel, space)).map_err(|_| error());
        match rest {
            ["stab", space] => slot(panel, space).map(JointId::Stab),
            ["terminal", space] => slot(panel, space).map(JointId::Terminal),
            ["neutral", "lug"] => Ok(JointId::NeutralLug(panel)),
            ["neutral", space] => slot(panel, space).map(JointId::NeutralTerminal),
            ["lug", leg] => Leg::read(leg, None).map(|leg| JointId::Lug(panel, leg)).map_err(|_| error()),
            ["feeder", section, leg] if is_id(section) => Leg::read(leg, None)
                .map(|leg| JointId::Feeder(panel, SectionId::new(*section), leg))
                .map_err(|_| error()),
            _ => Err(error()),
        }
    }
}

impl Textual for WireSize {
    const WHAT: &'static str = "a wire size";

    fn write(&self) -> String {
        match self {
            WireSize::Awg(gauge) => gauge.to_string(),
            WireSize::Aught(noughts) => format!("{noughts}/0"),
            WireSize::Kcmil(thousands) => thousands.to_string(),
        }
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        let right = "write 18, 16, 14, 12, 10, 8, 6, 4, 3, 2, 1, 1/0 … 4/0, or 250 … 1000 for kcmil";
        WireSize::from_str(text).map_err(|_| wrong(text, Self::WHAT, right))
    }
}

impl Textual for PanelId {
    const WHAT: &'static str = "the id of a panel";

    fn write(&self) -> String {
        self.to_string()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        if is_id(text) && text != FEEDER {
            return Ok(PanelId::new(text));
        }
        let right = if text == FEEDER {
            "another name: a panel called so could not be told from a feeder joint".to_owned()
        } else {
            id_form()
        };
        Err(wrong(text, Self::WHAT, right))
    }
}

/// First word of a feeder joint's short text; a panel of that name could not be told from it.
const FEEDER: &str = "feeder";

fn id_form() -> String {
    format!("use letters, digits, `-`, `_` and `.` only, {ID_MAX} at most, as in `main` or `upper-2`")
}

macro_rules! plain_ids {
    ($($kind:ident, $what:literal;)+) => {
        $(
            impl Textual for $kind {
                const WHAT: &'static str = $what;

                fn write(&self) -> String {
                    self.to_string()
                }

                fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
                    if is_id(text) {
                        return Ok($kind::new(text));
                    }
                    Err(wrong(text, Self::WHAT, id_form()))
                }
            }
        )+
    };
}

plain_ids! {
    SectionId, "the id of a section";
    FactId, "the id of a fact";
}

#[cfg(test)]
mod tests {
    use super::*;

    fn home() -> PanelId {
        PanelId::new("main")
    }

    fn both_ways<T: Textual + PartialEq + std::fmt::Debug>(short: &str, full: &str) {
        let thing = T::read(short, Some(&home())).unwrap_or_else(|error| panic!("{short}: {error}"));
        assert_eq!(thing.write(), full);
        assert_eq!(T::read(full, None), Ok(thing), "{full}");
    }

    #[test]
    fn texts_read_with_and_without_the_panel() {
        both_ways::<Slot>("5a", "main/5a");
        for rest in [
            "face:5",
            "load:5b",
            "wire:1",
            "neutral-wire:3",
            "receptacle:9",
            "lug:A",
            "line:C",
            "neutral-lug",
        ] {
            both_ways::<Place>(rest, &format!("main/{rest}"));
        }
        for rest in ["neutral-line", "neutral-bar", "cover", "earth"] {
            both_ways::<Place>(rest, &format!("main/{rest}"));
        }
        for rest in ["5", "line:B", "neutral", "electrode"] {
            both_ways::<ClampPlace>(rest, &format!("main/{rest}"));
        }
        both_ways::<ClampPlace>("lug:A", "main/line:A");
        for rest in ["5", "lug:B", "neutral", "leg:A", "panel"] {
            both_ways::<SignScope>(rest, &format!("main/{rest}"));
        }
        for rest in ["stab:5", "terminal:5a", "neutral:5", "neutral:lug", "lug:A", "feeder:lower:B"] {
            both_ways::<JointId>(rest, &format!("main:{rest}"));
        }
    }

    #[test]
    fn wrong_texts_are_refused_with_the_right_form() {
        for text in ["", "face", "face:", "face:0", "lug:D", "roof", "a/b/face:5", "/face:5", "face:5:6"] {
            let error = Place::read(text, Some(&home())).expect_err(text);
            assert!(error.hint().contains("neutral-bar"), "{text}: {}", error.hint());
        }
        let no_panel = Slot::read("5", None).expect_err("no panel");
        assert!(no_panel.hint().contains("`main/5`"), "{}", no_panel.hint());
        assert!(JointId::read("stab:5", None).is_err() && JointId::read("main:weld:5", None).is_err());
    }

    #[test]
    fn ids_hold_no_separators() {
        assert!(is_id("main") && is_id("upper-2") && is_id("Küche"));
        assert!(!is_id("") && !is_id("a/b") && !is_id("a:b") && !is_id("a b") && !is_id(&"x".repeat(65)));
    }
}
