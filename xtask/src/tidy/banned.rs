//! Rule: nothing is skipped, left as a stub, or turned into an error without a type.

use super::{Breach, breach};
use crate::source::find;
use crate::tree::Tree;

/// Tokens that are banned everywhere, and what to do instead.
const BANNED: &[(&str, &str)] = &[
    ("# [ ignore", "a skipped test proves nothing: make it fast, or gate it by `RUN_SLOW=1` inside the test"),
    ("# [ should_panic", "return an error and assert which one"),
    ("todo !", "no stub is called done: leave the function out until it exists"),
    ("unimplemented !", "no stub is called done: leave the function out until it exists"),
    ("Other ( String )", "an error is a type with fields: name the fault"),
    ("Generic ( String )", "an error is a type with fields: name the fault"),
    ("GenericError", "an error is a type with fields: name the fault"),
];

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    let mut found = Vec::new();
    for source in &tree.sources {
        let tokens = source.tokens();
        for (pattern, instead) in BANNED {
            for line in find(&tokens, pattern) {
                let what = format!("`{}`: {instead}", pattern.replace(' ', ""));
                found.push(breach(&source.path, line, what));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use crate::tidy::tests::says;

    #[test]
    fn fires() {
        let bad = "//! Lugs.\n#[test]\n#[ignore = \"slow\"]\nfn a() { todo!() }\nenum E { Other(String), Else(u8) }\n";
        let found = says(super::breaches, &[("a.rs", bad)]);
        let starts = ["a.rs:3: `#[ignore`", "a.rs:4: `todo!`", "a.rs:5: `Other(String)`"];
        assert_eq!(found.len(), starts.len(), "{found:?}");
        for (said, start) in found.iter().zip(starts) {
            assert!(said.starts_with(start), "{said}");
        }
    }

    #[test]
    fn words_in_comments_and_strings_are_free() {
        let fine = "//! On `todo!()` and #[ignore].\nconst A: &str = \"todo!()\";\n";
        assert!(says(super::breaches, &[("a.rs", fine)]).is_empty());
    }
}
