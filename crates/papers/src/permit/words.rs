//! The words of the papers for a permit, from `data/permit.toml`.

pub(super) use crate::words::Words;

const FILE: &str = include_str!("../../data/permit.toml");

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
            include_str!("sheet.rs"),
            include_str!("one_line.rs"),
            include_str!("marks.rs"),
        ];
        assert_eq!(english().strays(&sources), Vec::<String>::new());
    }
}
