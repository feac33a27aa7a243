//! The words of quote and day, from `data/offer.toml`.

use std::collections::BTreeMap;

const FILE: &str = include_str!("../../data/offer.toml");

/// The words by their names.
#[derive(Debug, Clone)]
pub(super) struct Words(BTreeMap<String, String>);

impl Words {
    pub(super) fn english() -> Words {
        Words(toml::from_str(FILE).expect("data/offer.toml is read in a test"))
    }

    /// A phrase; its name where the file has none, which a test rules out.
    pub(super) fn get<'a>(&'a self, name: &'a str) -> &'a str {
        self.0.get(name).map_or(name, String::as_str)
    }

    /// A phrase with values in its places.
    pub(super) fn fill(&self, name: &str, values: &[(&str, &str)]) -> String {
        crate::phrases::fill(self.get(name), values)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_phrase_is_there_and_used() {
        let words = Words::english();
        let source = [include_str!("mod.rs"), include_str!("quote.rs"), include_str!("day.rs")].concat();
        for name in words.0.keys() {
            assert!(source.contains(&format!("\"{name}\"")), "`{name}` is not used");
        }
        for call in ["get(\"", "fill(\""] {
            for part in source.split(call).skip(1) {
                let name = part.split('"').next().unwrap_or_default();
                assert!(words.0.contains_key(name), "`{name}` is not in the file");
            }
        }
    }
}
