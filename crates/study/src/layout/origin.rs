//! Which circuit is given a place: one of the old panel by its space, or one that is added by its name.

use std::fmt;
use std::str::FromStr;

/// Word before the name of a circuit that is added.
const NEW: &str = "new:";

/// Which circuit is given a place in the new panel.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// That of the old panel whose first pole is in this space.
    Old(u16),
    /// One that is added, by its name among the planned work.
    New(String),
}

impl Origin {
    /// In a sentence.
    pub fn words(&self) -> String {
        match self {
            Origin::Old(space) => format!("the circuit of {space}"),
            Origin::New(name) => format!("the new circuit {name}"),
        }
    }
}

impl From<u16> for Origin {
    fn from(space: u16) -> Self {
        Origin::Old(space)
    }
}

/// As it is written: `15`, or `new:name`.
impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Origin::Old(space) => write!(f, "{space}"),
            Origin::New(name) => write!(f, "{NEW}{name}"),
        }
    }
}

impl FromStr for Origin {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.trim().strip_prefix(NEW) {
            Some(name) if !name.trim().is_empty() => Ok(Origin::New(name.trim().to_owned())),
            Some(_) => Err("a new circuit is written `new:` and its name".to_owned()),
            None => {
                text.trim().parse().map(Origin::Old).map_err(|_| format!("`{}` is no space", text.trim()))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_reads_back() {
        for origin in [Origin::Old(15), Origin::New("car charger - garage=2".to_owned())] {
            assert_eq!(origin.to_string().parse(), Ok(origin));
        }
        for wrong in ["", "new:", "new: ", "fifteen", "70000"] {
            assert!(wrong.parse::<Origin>().is_err(), "{wrong}");
        }
    }
}
