//! Rule: no tracked file is heavier than 300 kB unless it is listed here with its reason: a clone stays small for ever
//! only if nothing big is ever committed.

use super::{Breach, breach};
use crate::tree::Tree;

const LIMIT_BYTES: u64 = 300_000;

/// Files that may be heavier, each with the reason.
const LISTED: &[(&str, &str)] = &[("Cargo.lock", "written by cargo; grows with every dependency")];

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    judge(tree, LISTED)
}

fn judge(tree: &Tree, listed: &[(&str, &str)]) -> Vec<Breach> {
    let heavy = tree.weights.iter().filter(|(_, bytes)| LIMIT_BYTES < *bytes);
    let unlisted = heavy.filter(|(path, _)| !listed.iter().any(|(name, _)| name == path));
    let what = |bytes: &u64| {
        format!(
            "{bytes} bytes; {LIMIT_BYTES} are allowed: make it in a script or a test, or fetch it into a cache"
        )
    };
    unlisted.map(|(path, bytes)| breach(path, 0, what(bytes))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fires() {
        let weights = [("a.png", 300_000), ("b.png", 300_001), ("Cargo.lock", 900_000)];
        let weights = weights.map(|(path, bytes)| (path.to_owned(), bytes)).to_vec();
        let tree = Tree { weights, ..Tree::default() };
        let said: Vec<String> = breaches(&tree).iter().map(Breach::to_string).collect();
        assert_eq!(said.len(), 1, "{said:?}");
        assert!(said[0].starts_with("b.png: 300001 bytes; 300000 are allowed"), "{said:?}");
    }

    #[test]
    fn the_tree_is_weighed() {
        let tree = Tree::of_workspace().expect("the workspace can be read");
        let manifest = tree.weights.iter().find(|(path, _)| path == "Cargo.toml");
        assert!(
            manifest.is_some_and(|(_, bytes)| 500 < *bytes),
            "{manifest:?} of {} files",
            tree.weights.len()
        );
    }
}
