//! Answers of a call as text: `smell:now`. Which questions there are is for those who ask them.

use super::{NotRead, Textual};
use model::PanelId;
use model::job::CallAnswer;

/// Longest id of a question or an answer.
const ID_MAX: usize = 40;

impl Textual for CallAnswer {
    const WHAT: &'static str = "an answer of a call";

    fn write(&self) -> String {
        format!("{}:{}", self.question, self.answer)
    }

    fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
        let is_id = |part: &str| {
            (1..=ID_MAX).contains(&part.len())
                && part.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-')
        };
        match text.split_once(':') {
            Some((question, answer)) if is_id(question) && is_id(answer) => {
                Ok(CallAnswer { question: question.to_owned(), answer: answer.to_owned() })
            }
            _ => Err(NotRead::Form {
                text: text.chars().take(2 * ID_MAX).collect(),
                what: Self::WHAT,
                right: "question and answer by their ids, in lower case: `smell:now`".to_owned(),
            }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn answers_read_as_they_are_written() {
        let answer = CallAnswer::read("smell:now", None).expect("an answer");
        assert_eq!((answer.question.as_str(), answer.answer.as_str()), ("smell", "now"));
        assert_eq!(answer.write(), "smell:now");
        for bad in ["", "smell", "smell:", ":now", "Smell:now", "smell:now:again", "smell: now"] {
            assert!(CallAnswer::read(bad, None).is_err(), "{bad}");
        }
    }
}
