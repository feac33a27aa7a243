//! Editions of the national electrical code, oldest first.

use std::fmt;
use std::str::FromStr;

/// An edition of NFPA 70. Ordered by year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Deserialize)]
#[serde(try_from = "u16")]
pub enum Edition {
    /// 2008.
    Y2008,
    /// 2011.
    Y2011,
    /// 2014.
    Y2014,
    /// 2017.
    Y2017,
    /// 2020.
    Y2020,
    /// 2023.
    Y2023,
    /// 2026.
    Y2026,
}

/// The year is none of an edition in this book.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is no edition of this book: write 2008, 2011, 2014, 2017, 2020, 2023 or 2026")]
pub struct NotAnEdition(pub String);

impl Edition {
    /// All, oldest first.
    pub const ALL: [Edition; 7] = [
        Edition::Y2008,
        Edition::Y2011,
        Edition::Y2014,
        Edition::Y2017,
        Edition::Y2020,
        Edition::Y2023,
        Edition::Y2026,
    ];

    /// The year in its title.
    pub const fn year(self) -> u16 {
        match self {
            Edition::Y2008 => 2008,
            Edition::Y2011 => 2011,
            Edition::Y2014 => 2014,
            Edition::Y2017 => 2017,
            Edition::Y2020 => 2020,
            Edition::Y2023 => 2023,
            Edition::Y2026 => 2026,
        }
    }

    /// The document as cited.
    pub fn document(self) -> String {
        format!("NFPA 70, {} edition", self.year())
    }

    /// The edition before this one.
    pub fn before(self) -> Option<Edition> {
        Edition::ALL.into_iter().rev().find(|edition| *edition < self)
    }
}

impl fmt::Display for Edition {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.year())
    }
}

impl TryFrom<u16> for Edition {
    type Error = NotAnEdition;

    fn try_from(year: u16) -> Result<Self, NotAnEdition> {
        Edition::ALL
            .into_iter()
            .find(|edition| edition.year() == year)
            .ok_or_else(|| NotAnEdition(year.to_string()))
    }
}

impl FromStr for Edition {
    type Err = NotAnEdition;

    fn from_str(text: &str) -> Result<Self, NotAnEdition> {
        text.trim()
            .parse::<u16>()
            .map_err(|_| NotAnEdition(text.to_owned()))
            .and_then(Edition::try_from)
            .map_err(|_| NotAnEdition(text.to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn years_read_back_and_are_in_order() {
        for pair in Edition::ALL.windows(2) {
            assert!(pair[0] < pair[1] && pair[0].year() + 3 == pair[1].year());
            assert_eq!(pair[1].before(), Some(pair[0]));
        }
        for edition in Edition::ALL {
            assert_eq!(edition.to_string().parse(), Ok(edition));
        }
        assert!("2009".parse::<Edition>().is_err() && "new".parse::<Edition>().is_err());
    }
}
