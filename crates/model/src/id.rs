//! Names of things: panels, sections, spaces, facts.

use std::fmt;
use std::str::FromStr;

macro_rules! text_id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(String);

        impl $name {
            /// Wraps the text as it stands; `record` checks its form.
            pub fn new(text: impl Into<String>) -> Self {
                $name(text.into())
            }

            /// The text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

text_id! {
    /// Name of a panel within a job, for example `main`.
    PanelId
}
text_id! {
    /// Name of a bus section within a panel, for example `upper`.
    SectionId
}
text_id! {
    /// Name of a fact, unique within a job on every device.
    FactId
}

/// Which half of a space a half-width breaker fills.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Half {
    /// The half nearer the top of the panel, written `a`.
    Upper,
    /// The half nearer the bottom, written `b`.
    Lower,
}

/// One breaker place of a panel, or half of one. Two-column panels number odd on the left, even on the right.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Space {
    /// Number printed beside the space, from 1.
    pub number: u16,
    /// Set where the place is half of the space.
    pub half: Option<Half>,
}

impl Space {
    /// A whole space.
    pub const fn whole(number: u16) -> Self {
        Space { number, half: None }
    }

    /// Do the two places share copper: the same space, or a space and one of its halves?
    pub fn overlaps(self, other: Space) -> bool {
        self.number == other.number
            && (self.half.is_none() || other.half.is_none() || self.half == other.half)
    }
}

impl fmt::Display for Space {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.half {
            None => write!(f, "{}", self.number),
            Some(Half::Upper) => write!(f, "{}a", self.number),
            Some(Half::Lower) => write!(f, "{}b", self.number),
        }
    }
}

/// The text is not a space: a number from 1, with `a` or `b` behind it for half of one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a space: write its number, with `a` or `b` behind it for half of a space")]
pub struct NotASpace(pub String);

impl FromStr for Space {
    type Err = NotASpace;

    fn from_str(text: &str) -> Result<Self, NotASpace> {
        let trimmed = text.trim();
        let (digits, half) = match trimmed.as_bytes().last() {
            Some(b'a' | b'A') => (&trimmed[..trimmed.len() - 1], Some(Half::Upper)),
            Some(b'b' | b'B') => (&trimmed[..trimmed.len() - 1], Some(Half::Lower)),
            _ => (trimmed, None),
        };
        let number_ok = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
        match digits.parse::<u16>() {
            Ok(number) if number_ok && number > 0 => Ok(Space { number, half }),
            _ => Err(NotASpace(text.to_owned())),
        }
    }
}

/// A space of a named panel. Every breaker pole sits in exactly one slot, so a slot also names a pole.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Slot {
    /// The panel.
    pub panel: PanelId,
    /// The space in it.
    pub space: Space,
}

impl Slot {
    /// A slot from its two parts.
    pub fn new(panel: PanelId, space: Space) -> Self {
        Slot { panel, space }
    }
}

impl fmt::Display for Slot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.panel, self.space)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spaces_read_back_as_written() {
        for text in ["1", "42", "7a", "12b"] {
            assert_eq!(text.parse::<Space>().map(|space| space.to_string()).as_deref(), Ok(text));
        }
        for text in ["", "0", "a", "7c", "+7", "-1", "1.5", "99999", "7 a b", "é"] {
            assert!(text.parse::<Space>().is_err(), "{text}");
        }
    }

    #[test]
    fn halves_overlap_their_space_but_not_each_other() {
        let [whole, upper, lower] = ["7", "7a", "7b"].map(|text| text.parse::<Space>().expect("a space"));
        assert!(whole.overlaps(upper) && lower.overlaps(whole) && upper.overlaps(upper));
        assert!(!upper.overlaps(lower) && !whole.overlaps(Space::whole(8)));
    }
}
