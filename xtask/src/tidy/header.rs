//! Rule: every Rust file opens with `//!`, one sentence on what is here.

use super::{Breach, breach};
use crate::tree::Tree;

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    let lacks = |text: &str| !text.trim_start().starts_with("//!");
    let bad = tree.sources.iter().filter(|source| lacks(&source.text));
    bad.map(|source| breach(&source.path, 1, "opens without `//!`: say in one sentence what is here"))
        .collect()
}

#[cfg(test)]
mod tests {
    use crate::tidy::tests::says;

    #[test]
    fn fires() {
        let files = [("crates/a/src/b.rs", "use c::D;\n"), ("crates/a/src/c.rs", "//! Lugs.\n")];
        let found = says(super::breaches, &files);
        assert_eq!(found, ["crates/a/src/b.rs:1: opens without `//!`: say in one sentence what is here"]);
    }
}
