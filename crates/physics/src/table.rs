//! Reading of the cited tables in `data/`: comma-separated, one header line, `#` before remarks.

use model::{Cite, Standing};
use serde::de::DeserializeOwned;

/// All rows of a data file of this crate.
///
/// The files are part of the program; a test of the module that owns each file reads every row, so a slip in a
/// file stops the build's tests and not a user's work.
pub(crate) fn rows<T: DeserializeOwned>(text: &str) -> Vec<T> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
        .deserialize()
        .collect::<Result<Vec<T>, csv::Error>>()
        .expect("data files of this crate are read whole by its tests")
}

/// The words of the `standing` columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
#[serde(rename_all = "lowercase")]
pub(crate) enum Word {
    Published,
    Derived,
    Practice,
    Memory,
    Judgement,
}

impl Word {
    pub(crate) const fn standing(self) -> Standing {
        match self {
            Word::Published => Standing::Published,
            Word::Derived => Standing::Derived,
            Word::Practice => Standing::CommonPractice,
            Word::Memory => Standing::FromMemory,
            Word::Judgement => Standing::Judgement,
        }
    }

    pub(crate) fn cite(self, source: &str) -> Cite {
        Cite::new(source, "", self.standing())
    }
}
