//! Things that files write as one text: a space, a place, a joint, a word from a fixed list.

pub mod answers;
pub mod install;
pub mod parts;
pub mod places;
mod plates;
pub mod words;

use model::PanelId;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::borrow::Cow;

/// A thing with one text form, the same in job files and in stored facts.
pub trait Textual: Sized {
    /// Name of the kind of thing, with its article, for messages: `a space`.
    const WHAT: &'static str;
    /// The words it may be, where it is one of a fixed list.
    const WORDS: &'static [&'static str] = &[];

    /// The text.
    fn write(&self) -> String;

    /// Reads the text. `home` is the panel meant where the text names none.
    ///
    /// # Errors
    /// The text has not the form, or names no panel where there is no `home`.
    fn read(text: &str, home: Option<&PanelId>) -> Result<Self, NotRead>;
}

/// Why a text was not read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotRead {
    /// The text has not the form.
    #[error("`{text}` is not {what}")]
    Form {
        /// The text.
        text: String,
        /// What it should have been.
        what: &'static str,
        /// What would be right.
        right: String,
    },
    /// The text names no panel and the job has several.
    #[error("`{text}` does not say which panel")]
    NoPanel {
        /// The text.
        text: String,
        /// The text with an invented panel in front.
        right: String,
    },
}

impl NotRead {
    /// What would be right.
    pub fn hint(&self) -> String {
        match self {
            NotRead::Form { right, .. } => right.clone(),
            NotRead::NoPanel { right, .. } => {
                format!("the job has several panels: put the panel's id in front, as in `{right}`")
            }
        }
    }
}

/// Carries a [`Textual`] thing in a stored fact as its text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AsText<T>(pub T);

impl<T: Textual> Serialize for AsText<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.write())
    }
}

impl<'de, T: Textual> Deserialize<'de> for AsText<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = Cow::<'de, str>::deserialize(deserializer)?;
        match T::read(&text, None) {
            Ok(thing) => Ok(AsText(thing)),
            Err(error) => Err(de::Error::custom(format_args!("{error}; {}", error.hint()))),
        }
    }
}

impl<T: Textual> JsonSchema for AsText<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> Cow<'static, str> {
        Cow::Borrowed(T::WHAT)
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        if T::WORDS.is_empty() {
            json_schema!({ "type": "string", "description": T::WHAT })
        } else {
            json_schema!({ "type": "string", "enum": T::WORDS })
        }
    }
}

/// Longest text that is compared with others, in characters.
const SLIP_MAX: usize = 80;
/// Most words compared with one text; a list beyond that is not one that a person has in mind.
const WORDS_COMPARED: usize = 200;

/// The word nearest to `text` among `words`, if one is near enough to be a slip of the finger.
pub fn nearest<'a>(text: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let length = text.chars().count();
    if SLIP_MAX < length {
        return None;
    }
    let lower = text.to_lowercase();
    let budget = (length / 3).max(1);
    words
        .into_iter()
        .take(WORDS_COMPARED)
        .map(|word| (distance(&lower, &word.to_lowercase()), word))
        .filter(|&(distance, word)| distance <= budget || begins_like(&lower, word))
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, word)| word)
}

/// Slips between two texts; a unit left off the end of the word is none.
fn distance(text: &str, word: &str) -> usize {
    let whole = strsim::damerau_levenshtein(text, word);
    match word.rsplit_once('_') {
        Some((stem, unit)) if unit.len() <= 3 => whole.min(strsim::damerau_levenshtein(text, stem)),
        _ => whole,
    }
}

/// `temp` for `temperature`, `amp` for `amps`: one begins with the other, with three letters at least.
fn begins_like(text: &str, word: &str) -> bool {
    text.len() >= 3 && word.len() >= 3 && (word.starts_with(text) || text.starts_with(word))
}

/// `a`, `b` or `c`: a list for a message, cut short after a dozen.
pub fn list<'a>(words: impl IntoIterator<Item = &'a str>) -> String {
    const SHOWN: usize = 14;
    let all: Vec<&str> = words.into_iter().collect();
    let mut quoted: Vec<String> = all.iter().take(SHOWN).map(|word| format!("`{word}`")).collect();
    if all.len() > SHOWN {
        return format!("{} … ({} in all)", quoted.join(", "), all.len());
    }
    match quoted.pop() {
        None => "nothing".to_owned(),
        Some(last) if quoted.is_empty() => last,
        Some(last) => format!("{} or {last}", quoted.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_of_the_finger_find_their_word() {
        let words = ["rating_a", "feeds", "handle", "spaces"];
        assert_eq!(nearest("raiting_a", words), Some("rating_a"));
        assert_eq!(nearest("rating", words), Some("rating_a"));
        assert_eq!(nearest("raiting", words), Some("rating_a"));
        assert_eq!(nearest("Feeds", words), Some("feeds"));
        assert_eq!(nearest("colour", words), None);
    }

    #[test]
    fn lists_read_like_a_sentence() {
        assert_eq!(list(["a"]), "`a`");
        assert_eq!(list(["a", "b", "c"]), "`a`, `b` or `c`");
        assert_eq!(list([]), "nothing");
    }
}
