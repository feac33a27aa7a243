//! Rule: every Rust file of a package is reached from one of its roots, so that no test lies there unrun.
//!
//! A file that no `mod` line names is compiled by nobody: its tests pass because they never run.

use super::{Breach, breach};
use crate::tree::{Manifest, Tree};
use std::collections::BTreeSet;

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    let mut found = Vec::new();
    for manifest in &tree.manifests {
        let prefix = format!("{}/", manifest.folder);
        let mut reached = BTreeSet::new();
        for root in roots(manifest, tree) {
            reach(tree, &root, true, &mut reached);
        }
        for source in tree.sources.iter().filter(|source| source.path.starts_with(&prefix)) {
            if !reached.contains(&source.path) {
                found.push(breach(
                    &source.path,
                    0,
                    "no `mod` line reaches this file: it is compiled by nobody",
                ));
            }
        }
    }
    found
}

/// Files that cargo compiles by itself.
fn roots(manifest: &Manifest, tree: &Tree) -> Vec<String> {
    let folder = &manifest.folder;
    let mut roots: Vec<String> =
        ["build.rs", "src/lib.rs", "src/main.rs"].iter().map(|at| format!("{folder}/{at}")).collect();
    for kind in ["lib", "bin", "test", "bench", "example"] {
        let targets = match manifest.table.get(kind) {
            Some(toml::Value::Array(targets)) => targets.as_slice(),
            Some(single) => std::slice::from_ref(single),
            None => &[],
        };
        let paths = targets.iter().filter_map(|target| target.get("path")).filter_map(toml::Value::as_str);
        roots.extend(paths.map(|path| format!("{folder}/{path}")));
    }
    let package = manifest.table.get("package");
    for (place, switch) in [
        ("tests", "autotests"),
        ("benches", "autobenches"),
        ("examples", "autoexamples"),
        ("src/bin", "autobins"),
    ] {
        let off =
            package.and_then(|package| package.get(switch)).and_then(toml::Value::as_bool) == Some(false);
        let prefix = format!("{folder}/{place}/");
        for source in &tree.sources {
            let Some(rest) = source.path.strip_prefix(&prefix) else { continue };
            let auto = !rest.contains('/') || (rest.ends_with("/main.rs") && rest.matches('/').count() == 1);
            if !off && auto {
                roots.push(source.path.clone());
            }
        }
    }
    roots
}

/// Follows the `mod` lines of a file.
fn reach(tree: &Tree, path: &str, root: bool, reached: &mut BTreeSet<String>) {
    let Some(source) = tree.source(path) else { return };
    if !reached.insert(path.to_owned()) {
        return;
    }
    let Some(file) = source.syntax() else { return };
    let (folder, name) = path.rsplit_once('/').unwrap_or(("", path));
    let inside =
        if root || name == "mod.rs" { folder.to_owned() } else { path.trim_end_matches(".rs").to_owned() };
    follow(tree, &file.items, &inside, folder, reached);
}

fn follow(tree: &Tree, items: &[syn::Item], inside: &str, folder: &str, reached: &mut BTreeSet<String>) {
    for item in items {
        let syn::Item::Mod(module) = item else { continue };
        let name = module.ident.to_string();
        if let Some((_, items)) = &module.content {
            follow(tree, items, &format!("{inside}/{name}"), folder, reached);
        } else if let Some(path) = path_attribute(&module.attrs) {
            reach(tree, &format!("{folder}/{path}"), false, reached);
        } else {
            reach(tree, &format!("{inside}/{name}.rs"), false, reached);
            reach(tree, &format!("{inside}/{name}/mod.rs"), false, reached);
        }
    }
}

fn path_attribute(attributes: &[syn::Attribute]) -> Option<String> {
    let attribute = attributes.iter().find(|attribute| attribute.path().is_ident("path"))?;
    let syn::Meta::NameValue(pair) = &attribute.meta else { return None };
    let syn::Expr::Lit(syn::ExprLit { lit: syn::Lit::Str(path), .. }) = &pair.value else { return None };
    Some(path.value())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tests::tree_of;

    #[test]
    fn fires() {
        let mut tree = tree_of(&[
            ("tests/reference/tests/main.rs", "//! A.\nmod physics;\nmod codebook { mod loads; }\n"),
            ("tests/reference/tests/physics.rs", "//! A.\nmod lugs;\n"),
            ("tests/reference/tests/physics/lugs.rs", "//! A.\n"),
            ("tests/reference/tests/physics/stabs.rs", "//! Forgotten.\n"),
            ("tests/reference/tests/codebook/loads.rs", "//! A.\n"),
            ("tests/reference/tests/inference.rs", "//! Forgotten.\n"),
        ]);
        let text = "[package]\nname = 'reference'\nautotests = false\n[[test]]\npath = 'tests/main.rs'\n";
        let table = text.parse().expect("the sample is TOML");
        tree.manifests.push(Manifest { folder: "tests/reference".to_owned(), table });
        let found: Vec<String> = breaches(&tree).iter().map(Breach::to_string).collect();
        let why = "no `mod` line reaches this file: it is compiled by nobody";
        let want = [
            format!("tests/reference/tests/inference.rs: {why}"),
            format!("tests/reference/tests/physics/stabs.rs: {why}"),
        ];
        assert_eq!(found, want);
    }
}
