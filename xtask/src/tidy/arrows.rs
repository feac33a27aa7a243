//! Rule: the arrow table and the manifests say the same, both ways.

use super::{Breach, breach};
use crate::arrows::{CRATES, Crate};
use crate::tree::{Manifest, Tree};
use std::collections::BTreeSet;

const TABLE: &str = "xtask/src/arrows.rs";

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    judge(tree, CRATES)
}

fn judge(tree: &Tree, crates: &[Crate]) -> Vec<Breach> {
    let mut found = Vec::new();
    let own: BTreeSet<&str> = tree.manifests.iter().map(Manifest::name).collect();
    let mut used = BTreeSet::new();
    for manifest in &tree.manifests {
        let name = manifest.name();
        let uses = Uses::of(manifest);
        used.extend(uses.all());
        from_workspace(manifest, &mut found);
        let Some(krate) = crates.iter().find(|krate| krate.name == name) else {
            found.push(breach(TABLE, 0, format!("package `{name}` is not in the table")));
            continue;
        };
        let mut compare = |kind: &str, in_manifest: &BTreeSet<String>, in_table: &[&[&str]]| {
            let table: BTreeSet<String> = in_table.concat().iter().map(|name| (*name).to_owned()).collect();
            for extra in in_manifest.difference(&table) {
                let side = if own.contains(extra.as_str()) { "" } else { "outside " };
                let what = format!("{kind} {side}dependency `{extra}` is not allowed by {TABLE}");
                found.push(breach(&manifest.path(), 0, what));
            }
            for unused in table.difference(in_manifest) {
                let what = format!("`{name}` is allowed {kind} `{unused}`, which its manifest does not use");
                found.push(breach(TABLE, 0, what));
            }
        };
        compare("normal", &uses.normal, &[krate.internal, krate.outside]);
        compare("dev", &uses.dev, &[krate.internal_dev, krate.outside_dev]);
        compare("build", &uses.build, &[krate.outside_build]);
    }
    for krate in crates.iter().filter(|krate| !own.contains(krate.name)) {
        found.push(breach(
            TABLE,
            0,
            format!("`{}` is in the table, but no package has this name", krate.name),
        ));
    }
    order(crates, &mut found);
    for name in listed(&tree.workspace).filter(|name| !used.contains(*name) && !own.contains(*name)) {
        found.push(breach("Cargo.toml", 0, format!("workspace dependency `{name}` is used by no package")));
    }
    found
}

/// Arrows point one way: a package uses only those above it in the table.
fn order(crates: &[Crate], found: &mut Vec<Breach>) {
    for (idx, krate) in crates.iter().enumerate() {
        let above: Vec<&str> = crates[..idx].iter().map(|krate| krate.name).collect();
        for internal in krate.internal.iter().chain(krate.internal_dev) {
            if !above.contains(internal) {
                let what = format!("`{}` may use `{internal}`, which does not stand above it", krate.name);
                found.push(breach(TABLE, 0, what));
            }
        }
    }
}

/// Versions are said once, in the manifest of the workspace. Free of it are our own crates, which a package may
/// want without their default features, and a package that is a workspace of its own.
fn from_workspace(manifest: &Manifest, found: &mut Vec<Breach>) {
    if manifest.table.contains_key("workspace") {
        return;
    }
    for (_, table) in tables(&manifest.table) {
        for (name, wanted) in table {
            let inherited = wanted.get("workspace").and_then(toml::Value::as_bool).unwrap_or(false);
            if !inherited && wanted.get("path").is_none() {
                let what = format!("`{name}` must come from the workspace: write `{name}.workspace = true`");
                found.push(breach(&manifest.path(), 0, what));
            }
        }
    }
}

fn listed(workspace: &toml::Table) -> impl Iterator<Item = &str> {
    let table = workspace.get("workspace").and_then(|workspace| workspace.get("dependencies"));
    table.and_then(toml::Value::as_table).into_iter().flat_map(|table| table.keys().map(String::as_str))
}

/// What a manifest asks for, by kind.
#[derive(Default)]
struct Uses {
    normal: BTreeSet<String>,
    dev: BTreeSet<String>,
    build: BTreeSet<String>,
}

impl Uses {
    fn of(manifest: &Manifest) -> Uses {
        let mut uses = Uses::default();
        for (kind, table) in tables(&manifest.table) {
            let set = match kind {
                "dev-dependencies" => &mut uses.dev,
                "build-dependencies" => &mut uses.build,
                _ => &mut uses.normal,
            };
            set.extend(table.keys().cloned());
        }
        uses
    }

    fn all(&self) -> impl Iterator<Item = String> {
        self.normal.iter().chain(&self.dev).chain(&self.build).cloned()
    }
}

/// The dependency tables of a manifest, those for one platform included.
fn tables(manifest: &toml::Table) -> Vec<(&'static str, &toml::Table)> {
    let mut places = vec![manifest];
    if let Some(targets) = manifest.get("target").and_then(toml::Value::as_table) {
        places.extend(targets.values().filter_map(toml::Value::as_table));
    }
    let mut tables = Vec::new();
    for place in places {
        for kind in ["dependencies", "dev-dependencies", "build-dependencies"] {
            if let Some(table) = place.get(kind).and_then(toml::Value::as_table) {
                tables.push((kind, table));
            }
        }
    }
    tables
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOTHING: Crate = Crate {
        name: "",
        pure: true,
        internal: &[],
        internal_dev: &[],
        outside: &[],
        outside_dev: &[],
        outside_build: &[],
    };

    fn tree(manifests: &[&str]) -> Tree {
        let read = |text: &&str| {
            let table: toml::Table = text.parse().expect("the sample is TOML");
            let name = table["package"]["name"].as_str().expect("the sample has a name").to_owned();
            Manifest { folder: format!("crates/{name}"), table }
        };
        Tree { manifests: manifests.iter().map(read).collect(), ..Tree::default() }
    }

    fn said(tree: &Tree, crates: &[Crate]) -> Vec<String> {
        judge(tree, crates).iter().map(Breach::to_string).collect()
    }

    const MODEL: &str = "[package]\nname = 'model'\n";

    #[test]
    fn fires_on_an_arrow_that_is_not_in_the_table() {
        let physics = "[package]\nname = 'physics'\n[dependencies]\nmodel.workspace = true\ntokio.workspace = true\n\
                       [target.'cfg(unix)'.dev-dependencies]\nrand.workspace = true\n";
        let crates = [Crate { name: "model", ..NOTHING }, Crate { name: "physics", ..NOTHING }];
        let want = [
            "crates/physics/Cargo.toml: normal dependency `model` is not allowed by xtask/src/arrows.rs",
            "crates/physics/Cargo.toml: normal outside dependency `tokio` is not allowed by xtask/src/arrows.rs",
            "crates/physics/Cargo.toml: dev outside dependency `rand` is not allowed by xtask/src/arrows.rs",
        ];
        assert_eq!(said(&tree(&[MODEL, physics]), &crates), want);
    }

    #[test]
    fn fires_on_an_entry_that_nobody_uses() {
        let mut tree = tree(&[MODEL]);
        let workspace = "[workspace.dependencies]\nserde = '1'\n".parse().expect("the sample is TOML");
        tree.workspace = workspace;
        let crates =
            [Crate { name: "model", outside: &["jiff"], ..NOTHING }, Crate { name: "web", ..NOTHING }];
        let want = [
            "xtask/src/arrows.rs: `model` is allowed normal `jiff`, which its manifest does not use",
            "xtask/src/arrows.rs: `web` is in the table, but no package has this name",
            "Cargo.toml: workspace dependency `serde` is used by no package",
        ];
        assert_eq!(said(&tree, &crates), want);
    }

    #[test]
    fn fires_on_a_version_outside_the_workspace_and_on_a_strange_package() {
        let papers = "[package]\nname = 'papers'\n[dependencies]\nserde = '1'\n";
        let want = [
            "crates/papers/Cargo.toml: `serde` must come from the workspace: write `serde.workspace = true`",
            "xtask/src/arrows.rs: package `papers` is not in the table",
        ];
        assert_eq!(said(&tree(&[papers]), &[]), want);
    }

    #[test]
    fn fires_on_an_arrow_that_points_back() {
        let model = "[package]\nname = 'model'\n[dependencies]\nphysics.workspace = true\n";
        let physics = "[package]\nname = 'physics'\n";
        let crates = [
            Crate { name: "model", internal: &["physics"], ..NOTHING },
            Crate { name: "physics", ..NOTHING },
        ];
        let want = ["xtask/src/arrows.rs: `model` may use `physics`, which does not stand above it"];
        assert_eq!(said(&tree(&[model, physics]), &crates), want);
    }
}
