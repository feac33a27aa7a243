//! The words of quote and day, from `data/offer.toml`.

pub(super) use crate::words::Words;

const FILE: &str = include_str!("../../data/offer.toml");

pub(super) fn english() -> Words {
    Words::of(FILE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_phrase_is_there_and_used() {
        let sources = [
            include_str!("../words.rs"),
            include_str!("mod.rs"),
            include_str!("quote.rs"),
            include_str!("day.rs"),
        ];
        assert_eq!(english().strays(&sources), Vec::<String>::new());
    }
}
