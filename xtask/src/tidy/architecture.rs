//! Rule: every crate has a heading in `ARCHITECTURE.md`, and every such heading a crate.

use super::{Breach, breach};
use crate::tree::Tree;
use std::collections::BTreeSet;

const PAGE: &str = "ARCHITECTURE.md";

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    let headings: BTreeSet<&str> = tree.architecture.lines().filter_map(crate_of_heading).collect();
    let folders = tree.manifests.iter().filter_map(|manifest| manifest.folder.strip_prefix("crates/"));
    let crates: BTreeSet<&str> = folders.collect();
    let lacking =
        crates.difference(&headings).map(|name| format!("crate `{name}` has no heading ### `{name}`"));
    let stale = headings.difference(&crates).map(|name| format!("heading ### `{name}` has no crate"));
    lacking.chain(stale).map(|what| breach(PAGE, 0, what)).collect()
}

/// The crate that a line such as "### `physics`" is about.
fn crate_of_heading(line: &str) -> Option<&str> {
    line.strip_prefix("### `")?.split_once('`').map(|(name, _)| name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tree::Manifest;

    #[test]
    fn fires() {
        let manifest = |folder: &str| Manifest { folder: folder.to_owned(), table: toml::Table::new() };
        let tree = Tree {
            manifests: vec![manifest("crates/model"), manifest("crates/physics"), manifest("xtask")],
            architecture: "# A\n### `model`\nNouns.\n### `solver`\n".to_owned(),
            ..Tree::default()
        };
        let found: Vec<String> = breaches(&tree).iter().map(Breach::to_string).collect();
        let want = [
            "ARCHITECTURE.md: crate `physics` has no heading ### `physics`",
            "ARCHITECTURE.md: heading ### `solver` has no crate",
        ];
        assert_eq!(found, want);
    }
}
