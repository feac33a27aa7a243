//! Texts of the places where conductors of the new panel are tightened.

use super::places::wrong;
use super::{NotRead, Textual};
use model::install::Terminal;
use model::{Leg, PanelId, Space};
use std::str::FromStr;

const FORM: &str = "one of `lug:A`, `neutral-lug`, `bond`, `electrode`, or of a circuit by its space `pole:7`, \
`neutral:7`, `ground:7`";

impl Textual for Terminal {
    const WHAT: &'static str = "a termination";

    fn write(&self) -> String {
        self.to_string()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        let bad = || wrong(text, Self::WHAT, FORM);
        let Some((kind, rest)) = text.split_once(':') else {
            return match text {
                "neutral-lug" => Ok(Terminal::NeutralLug),
                "bond" => Ok(Terminal::Bond),
                "electrode" => Ok(Terminal::Electrode),
                _ => Err(bad()),
            };
        };
        if kind == "lug" {
            return Leg::read(rest, None).map(Terminal::Lug).map_err(|_| bad());
        }
        let space = Space::from_str(rest).map_err(|_| bad())?;
        match kind {
            "pole" => Ok(Terminal::Pole(space)),
            "neutral" => Ok(Terminal::Neutral(space)),
            "ground" => Ok(Terminal::Ground(space)),
            _ => Err(bad()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn terminations_read_as_they_are_written() {
        for text in
            ["lug:A", "lug:C", "neutral-lug", "bond", "electrode", "pole:7", "neutral:12b", "ground:1"]
        {
            assert_eq!(Terminal::read(text, None).map(|one| one.write()).as_deref(), Ok(text));
        }
        for bad in ["", "lug", "lug:D", "pole", "pole:0", "7", "bond:7", "earth:7"] {
            assert!(Terminal::read(bad, None).is_err(), "{bad}");
        }
    }
}
