//! The words of the papers of a new panel, from `data/install.toml`.

pub(super) use crate::words::Words;

const FILE: &str = include_str!("../../data/install.toml");

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
            include_str!("card.rs"),
            include_str!("look_back.rs"),
            include_str!("now.rs"),
            include_str!("order.rs"),
            include_str!("packet.rs"),
            include_str!("pull.rs"),
            include_str!("set.rs"),
        ];
        assert_eq!(english().strays(&sources), Vec::<String>::new());
    }
}
