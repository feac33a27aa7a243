//! Invented houses from a few words, for the tests.

use model::breaker::{Attachment, Breaker, Circuit, Handle, LoadClass, Protection};
use model::conductor::Conductor;
use model::id::{PanelId, SectionId, Slot, Space};
use model::installation::Installation;
use model::isolation::{Disconnect, Part};
use model::panel::{Bus, Cabinet, Feed, HalfWidth, Panel, Section};
use model::quantity::Current;
use model::system::{Leg, System};

/// A panel from text: sections `name feed first-last`, then breakers `spaces what`, separated by `;`. The feed is `lugs`,
/// `main` or the slot of a breaker; `what` starting with `source` is a source, with `partner N` it shares a neutral.
pub(crate) fn panel(id: &str, text: &str) -> Panel {
    let mut panel = Panel {
        id: PanelId::new(id),
        place: String::new(),
        system: System::SplitPhase,
        n_spaces: 0,
        n_columns: 2,
        first_leg: Leg::A,
        bus: Bus::default(),
        cabinet: Cabinet::default(),
        half_width: HalfWidth::Everywhere,
        year: None,
        moisture: None,
        sections: Vec::new(),
        breakers: Vec::new(),
    };
    for entry in text.split(';').map(str::trim).filter(|entry| !entry.is_empty()) {
        let words: Vec<&str> = entry.split_whitespace().collect();
        if entry.starts_with(|c: char| c.is_ascii_digit()) {
            panel.breakers.push(breaker(words[0], &words[1..]));
            continue;
        }
        let (first, last) = words[2].split_once('-').expect("rows");
        let (first, last): (u16, u16) = (first.parse().expect("a row"), last.parse().expect("a row"));
        let feed = match words[1] {
            "lugs" => Feed::ServiceLugs,
            "main" => Feed::MainBreaker { rating: Current::from_a(100.0) },
            slot => Feed::Breaker { slot: slot_of(slot) },
        };
        panel.sections.push(Section {
            id: SectionId::new(words[0]),
            first_row: first - 1,
            last_row: last - 1,
            feed,
            feeder: Conductor::default(),
        });
        panel.n_spaces = panel.n_spaces.max(2 * last);
    }
    panel
}

/// A house of these panels.
pub(crate) fn house(panels: &[(&str, &str)]) -> Installation {
    Installation {
        panels: panels.iter().map(|(id, text)| panel(id, text)).collect(),
        ..Installation::default()
    }
}

/// `main/9` as a slot.
pub(crate) fn slot_of(text: &str) -> Slot {
    let (panel, space) = text.split_once('/').expect("panel and space");
    Slot::new(PanelId::new(panel), space.parse().expect("a space"))
}

/// `main/upper`: a bus; `main/9`: a branch; `main`: line lugs.
pub(crate) fn part_of(text: &str) -> Part {
    match text.split_once('/') {
        None => Part::LineLugs(PanelId::new(text)),
        Some((panel, rest)) if rest.parse::<Space>().is_ok() => {
            Part::Branch(Slot::new(PanelId::new(panel), rest.parse().expect("a space")))
        }
        Some((panel, section)) => Part::Bus(PanelId::new(panel), SectionId::new(section)),
    }
}

/// A disconnect in a few letters: `main/9`, or `main/whole` for a main breaker.
pub(crate) fn in_short(disconnect: &Disconnect) -> String {
    match disconnect {
        Disconnect::Main(panel, section) => format!("{panel}/{section}"),
        Disconnect::Breaker(slot) => slot.to_string(),
    }
}

fn breaker(spaces: &str, words: &[&str]) -> Breaker {
    let partner =
        words.iter().position(|&word| word == "partner").and_then(|idx| words[idx + 1].parse().ok());
    let class = match words.first() {
        Some(&"source") => Some(LoadClass::Source),
        Some(&"spare") => Some(LoadClass::Spare),
        _ => None,
    };
    let circuit = Circuit { feeds: words.join(" "), class, partner, ..Circuit::default() };
    Breaker {
        spaces: spaces.split(',').map(|space| space.parse().expect("a space")).collect(),
        rating: Current::from_a(20.0),
        protection: Protection::ThermalMagnetic,
        attachment: Attachment::PlugOn,
        other_make: None,
        later: None,
        handle: Handle::On,
        circuit: Some(circuit),
    }
}
