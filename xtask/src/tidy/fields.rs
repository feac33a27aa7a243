//! Rule: no field of a form of the pages has the name of a field that every form carries hidden.

use super::{Breach, breach};
use crate::tree::Tree;

/// Where the pages are.
const PAGES: &str = "crates/pages/src/";

/// The file that makes the hidden fields, and the moment, which is a visible `at` in a form that has no hidden one.
const MAKER: &str = "crates/pages/src/form.rs";

/// Names that every form carries hidden, or that the phone's script adds. `csrf` may stand in a form that is not queued.
const HIDDEN: [&str; 4] = ["entry", "at", "known", "facts"];

/// How a field gets its name in the pages.
const WAYS: [&str; 12] = [
    "name=\"{}\"",
    "name: \"{}\"",
    ".text(\"{}\", \"",
    ".text_among(\"{}\", ",
    ".words(\"{}\", ",
    ".words_up_to(\"{}\", ",
    ".whole(\"{}\", ",
    ".day(\"{}\", ",
    ".select(\"{}\", ",
    ".pick(\"{}\", ",
    ".choose(\"{}\", ",
    ".list(\"{}\", ",
];

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    let mut found = Vec::new();
    let pages = tree.sources.iter().filter(|source| source.path.starts_with(PAGES) && source.path != MAKER);
    for source in pages {
        for (idx, line) in source.text.lines().enumerate() {
            for name in HIDDEN {
                if WAYS.iter().any(|way| line.contains(&way.replace("{}", name))) {
                    let what =
                        format!("the field `{name}` would clash with the hidden one: give it another name");
                    found.push(breach(&source.path, idx + 1, what));
                }
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use crate::tidy::tests::says;

    #[test]
    fn fires_on_each_way_and_only_in_pages() {
        let bad = "//! A.\nhtml! { input name=\"at\"; (sheet.text(\"entry\", \"Where\", \"\", \"\")) }\n\
                   html! { (sheet.pick(\"entry\", \"Side\", \"\", &[], \"\")) }\n";
        let found = says(super::breaches, &[("crates/pages/src/a.rs", bad), ("crates/web/src/a.rs", bad)]);
        let starts = [
            "crates/pages/src/a.rs:2: the field `entry`",
            "crates/pages/src/a.rs:2: the field `at`",
            "crates/pages/src/a.rs:3: the field `entry`",
        ];
        assert_eq!(found.len(), starts.len(), "{found:?}");
        for (said, start) in found.iter().zip(starts) {
            assert!(said.starts_with(start), "{said}");
        }
    }

    #[test]
    fn reading_them_is_free() {
        let fine = "//! A.\nfn a() { fields.text(\"at\"); reader.fields().text(\"entry\"); }\n";
        assert!(
            says(
                super::breaches,
                &[("crates/pages/src/a.rs", fine), ("crates/pages/src/form.rs", "//! F.\n name=\"at\"\n")]
            )
            .is_empty()
        );
    }
}
