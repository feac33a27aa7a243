//! Texts of parts that are live or not as a whole, of what a hand can open, and of pairs of points of a proof.

use super::places::{is_id, split_home, wrong};
use super::{NotRead, Textual};
use model::isolation::{Disconnect, MovedTo, Part, ProofPoint};
use model::{Leg, PanelId, SectionId, Slot, Space};
use std::str::FromStr;

const PART_FORM: &str = "a part is the line lugs of a panel (`main`), the bus of a section (`main/lower`) or the load \
side of a breaker (`main/15`)";
/// The lugs, of a panel whose id reads like a space.
const LUGS: &str = "lugs";
/// In front of a section whose id reads like something else.
const SECTION: &str = "section:";

fn is_plain_section(id: &str) -> bool {
    Space::from_str(id).is_err() && id != LUGS
}

impl Textual for Part {
    const WHAT: &'static str = "a part of the installation";

    fn write(&self) -> String {
        match self {
            Part::LineLugs(panel) if Space::from_str(panel.as_str()).is_ok() => format!("{panel}/{LUGS}"),
            Part::LineLugs(panel) => panel.to_string(),
            Part::Bus(panel, section) if is_plain_section(section.as_str()) => format!("{panel}/{section}"),
            Part::Bus(panel, section) => format!("{panel}/{SECTION}{section}"),
            Part::Branch(slot) => slot.to_string(),
        }
    }

    fn read(text: &str, home: Option<&PanelId>) -> Result<Self, NotRead> {
        let Some((panel, rest)) = text.split_once('/') else {
            return match Space::from_str(text) {
                Ok(_) => Slot::read(text, home).map(Part::Branch),
                Err(_) if is_id(text) => Ok(Part::LineLugs(PanelId::new(text))),
                Err(_) => Err(wrong(text, Self::WHAT, PART_FORM)),
            };
        };
        let named = rest.strip_prefix(SECTION);
        if !is_id(panel) || !is_id(named.unwrap_or(rest)) {
            return Err(wrong(text, Self::WHAT, PART_FORM));
        }
        let panel = PanelId::new(panel);
        Ok(match (named, Space::from_str(rest)) {
            (Some(section), _) => Part::Bus(panel, SectionId::new(section)),
            (None, Ok(space)) => Part::Branch(Slot::new(panel, space)),
            (None, Err(_)) if rest == LUGS => Part::LineLugs(panel),
            (None, Err(_)) => Part::Bus(panel, SectionId::new(rest)),
        })
    }
}

const HANDLE_FORM: &str =
    "a handle is that of a breaker (any of its spaces, `9`) or of the main of a section (`main:upper`)";

impl Textual for Disconnect {
    const WHAT: &'static str = "a handle";

    fn write(&self) -> String {
        match self {
            Disconnect::Main(panel, section) => format!("{panel}/main:{section}"),
            Disconnect::Breaker(slot) => slot.to_string(),
        }
    }

    fn read(text: &str, home: Option<&PanelId>) -> Result<Self, NotRead> {
        let (panel, rest) = split_home(text, home, Self::WHAT, HANDLE_FORM)?;
        match (rest.strip_prefix("main:"), Space::from_str(rest)) {
            (Some(section), _) if is_id(section) => Ok(Disconnect::Main(panel, SectionId::new(section))),
            (None, Ok(space)) => Ok(Disconnect::Breaker(Slot::new(panel, space))),
            _ => Err(wrong(text, Self::WHAT, HANDLE_FORM)),
        }
    }
}

impl Textual for MovedTo {
    const WHAT: &'static str = "where a handle is moved to";
    const WORDS: &'static [&'static str] = &["on", "off"];

    fn write(&self) -> String {
        match self {
            MovedTo::On => "on",
            MovedTo::Off => "off",
        }
        .to_owned()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        match text {
            "on" => Ok(MovedTo::On),
            "off" => Ok(MovedTo::Off),
            _ => Err(wrong(text, Self::WHAT, "`on` or `off`")),
        }
    }
}

const PAIR_FORM: &str = "two of `A`, `B`, `C`, `neutral` and `ground`: `A-B`, `A-neutral`, `neutral-ground`";

fn point(text: &str) -> Option<ProofPoint> {
    match text {
        "neutral" => Some(ProofPoint::Neutral),
        "ground" => Some(ProofPoint::Ground),
        leg => Leg::read(leg, None).ok().map(ProofPoint::Leg),
    }
}

fn point_word(point: ProofPoint) -> String {
    match point {
        ProofPoint::Leg(leg) => leg.to_string(),
        ProofPoint::Neutral => "neutral".to_owned(),
        ProofPoint::Ground => "ground".to_owned(),
    }
}

impl Textual for (ProofPoint, ProofPoint) {
    const WHAT: &'static str = "a pair of points";

    fn write(&self) -> String {
        format!("{}-{}", point_word(self.0), point_word(self.1))
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        let points = text.split_once('-').and_then(|(first, second)| Some((point(first)?, point(second)?)));
        match points {
            Some((first, second)) if first != second => Ok((first.min(second), first.max(second))),
            _ => Err(wrong(text, Self::WHAT, PAIR_FORM)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_read_as_they_are_written_whatever_the_ids() {
        let home = PanelId::new("main");
        for panel in ["main", "7", "lugs", "sub-2"] {
            let id = PanelId::new(panel);
            let mut parts = vec![Part::LineLugs(id.clone())];
            for section in ["lower", "15", "lugs", "section", "5a"] {
                parts.push(Part::Bus(id.clone(), SectionId::new(section)));
            }
            parts.push(Part::Branch(Slot::new(id, Space::whole(15))));
            for part in parts {
                let text = part.write();
                for home in [None, Some(&home)] {
                    assert_eq!(Part::read(&text, home).as_ref(), Ok(&part), "{text}");
                }
            }
        }
        for (short, full) in [("main", "main"), ("main/lower", "main/lower"), ("15", "main/15")] {
            assert_eq!(Part::read(short, Some(&home)).map(|part| part.write()).as_deref(), Ok(full));
        }
        for bad in ["", "a/b/c", "/lower", "main/", "main:upper", "main/section:"] {
            assert!(Part::read(bad, Some(&home)).is_err(), "{bad}");
        }
    }

    #[test]
    fn handles_and_pairs_read_as_they_are_written() {
        let home = PanelId::new("main");
        for (short, full) in [("9", "main/9"), ("main:upper", "main/main:upper"), ("sub/2a", "sub/2a")] {
            let handle = Disconnect::read(short, Some(&home)).expect(short);
            assert_eq!(handle.write(), full);
            assert_eq!(Disconnect::read(full, None), Ok(handle));
        }
        assert!(Disconnect::read("upper", Some(&home)).is_err() && Disconnect::read("9", None).is_err());
        for (text, written) in
            [("A-B", "A-B"), ("ground-A", "A-ground"), ("neutral-ground", "neutral-ground")]
        {
            let pair = <(ProofPoint, ProofPoint)>::read(text, None).expect(text);
            assert_eq!(pair.write(), written);
        }
        for bad in ["A", "A-A", "A-D", "A-B-C", "-", ""] {
            assert!(<(ProofPoint, ProofPoint)>::read(bad, None).is_err(), "{bad}");
        }
    }
}
