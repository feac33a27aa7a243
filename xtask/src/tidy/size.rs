//! Rule: a Rust file stays under 800 lines unless it is listed here with its reason.

use super::{Breach, breach};
use crate::tree::Tree;

const LIMIT_LINES: usize = 800;

/// Files that may be longer, each with the reason.
const LISTED: &[(&str, &str)] = &[];

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    judge(tree, LISTED)
}

fn judge(tree: &Tree, listed: &[(&str, &str)]) -> Vec<Breach> {
    let mut found = Vec::new();
    for source in &tree.sources {
        let n_lines = source.text.lines().count();
        let excused = listed.iter().any(|(path, _)| *path == source.path);
        if LIMIT_LINES <= n_lines && !excused {
            let what =
                format!("{n_lines} lines; under {LIMIT_LINES} are allowed: look for the second noun in it");
            found.push(breach(&source.path, 0, what));
        }
    }
    for (path, _) in listed {
        let needed = tree.source(path).is_some_and(|source| LIMIT_LINES <= source.text.lines().count());
        if !needed {
            found.push(breach(
                path,
                0,
                "listed as long in xtask/src/tidy/size.rs, but it is not: strike it there",
            ));
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tests::tree_of;

    #[test]
    fn fires() {
        let tree = tree_of(&[("a.rs", &"//\n".repeat(799)), ("b.rs", &"//\n".repeat(800))]);
        let said = |listed| judge(&tree, listed).iter().map(Breach::to_string).collect::<Vec<_>>();
        assert_eq!(said(&[]), ["b.rs: 800 lines; under 800 are allowed: look for the second noun in it"]);
        assert!(said(&[("b.rs", "a table")]).is_empty());
        let stale = said(&[("b.rs", "a table"), ("a.rs", "once long")]);
        assert!(stale.len() == 1 && stale[0].starts_with("a.rs: listed as long"), "{stale:?}");
    }
}
