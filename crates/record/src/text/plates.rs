//! Texts of nameplates: `4500 VA`, `12 kW`, `19 A at 240 V`, `1/2 hp at 115 V`.

use super::{NotRead, Textual};
use model::PanelId;
use model::dwelling::Rating;

/// Largest load of one nameplate, VA: no dwelling has a larger one.
const MOST_VA: f64 = 100_000.0;
const RIGHT: &str = "write it as printed: `4500 VA`, `12 kW`, `19 A at 240 V` or `1/2 hp at 115 V`";

impl Textual for Rating {
    const WHAT: &'static str = "a nameplate";

    fn write(&self) -> String {
        self.label()
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        plate(text.trim()).ok_or_else(|| NotRead::Form {
            text: text.chars().take(60).collect(),
            what: Self::WHAT,
            right: RIGHT.to_owned(),
        })
    }
}

fn plate(text: &str) -> Option<Rating> {
    let end = text.find(|mark: char| !(mark.is_ascii_digit() || mark == '.' || mark == '/'))?;
    let (figure, unit) = (&text[..end], text[end..].trim());
    let words: Vec<&str> = unit.split_whitespace().collect();
    match words.as_slice() {
        ["VA" | "W"] => Some(Rating::Va(number(figure, MOST_VA)?)),
        ["kVA" | "kW"] => Some(Rating::Kw(number(figure, MOST_VA / 1000.0)?)),
        ["A", "at", volts, "V"] => {
            let (amps, volts) = (number(figure, 1000.0)?, number(volts, 300.0)?);
            (100.0 <= volts).then_some(Rating::Amps { amps, volts })
        }
        ["hp", "at", volts, "V"] => {
            let volts = number(volts, 300.0)?;
            let whole = figure.split('/').all(|part| number(part, 1000.0).is_some_and(|part| 0.0 < part));
            (whole && figure.split('/').count() <= 2).then(|| Rating::Hp { hp: figure.to_owned(), volts })
        }
        _ => None,
    }
}

fn number(text: &str, most: f64) -> Option<f64> {
    let number: f64 = text.parse().ok()?;
    (0.0..=most).contains(&number).then_some(number)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plates_read_as_they_are_written() {
        for (text, written) in [
            ("4500 VA", "4500 VA"),
            ("4500W", "4500 VA"),
            ("12 kW", "12 kW"),
            ("11.5 kVA", "11.5 kW"),
            ("0 VA", "0 VA"),
            ("19 A at 240 V", "19 A at 240 V"),
            ("9.8 A at 120 V", "9.8 A at 120 V"),
            ("1/2 hp at 115 V", "1/2 hp at 115 V"),
            ("1.5 hp at 230 V", "1.5 hp at 230 V"),
        ] {
            let plate = Rating::read(text, None).expect(text);
            assert_eq!(plate.write(), written);
            assert_eq!(Rating::read(written, None), Ok(plate));
        }
        for bad in [
            "",
            "4500",
            "VA",
            "-5 VA",
            "19 A",
            "19 A at 12 V",
            "1/2/3 hp at 115 V",
            "1e9 VA",
            "200 kW",
            "5 hp",
            "/ hp at 115 V",
        ] {
            let error = Rating::read(bad, None).expect_err(bad);
            assert!(error.hint().contains("4500 VA"), "{bad}");
        }
    }
}
