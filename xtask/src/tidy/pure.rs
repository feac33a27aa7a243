//! Rule: the pure crates touch no clock, file, network, environment, thread, process, global or random source,
//! and print nothing. Looked for outside test code.

use super::{Breach, breach};
use crate::arrows::CRATES;
use crate::source::{Source, find};
use crate::tree::Tree;
use std::collections::BTreeSet;
use syn::visit::Visit;

/// Paths that are closed to the pure crates, and why.
const CLOSED: &[(&str, &str)] = &[
    ("std::time", "the day and the time are arguments"),
    ("std::fs", "files are read and written by the faces"),
    ("std::io", "input and output belong to the faces"),
    ("std::net", "a computation knows no network"),
    ("std::env", "a setting is an argument"),
    ("std::thread", "work is spread over threads by the faces"),
    ("std::process", "a computation starts and ends nothing"),
    ("std::collections::HashMap", "its order is random: use `BTreeMap`"),
    ("std::collections::HashSet", "its order is random: use `BTreeSet`"),
];

/// Tokens that are closed to them.
const TOKENS: &[(&str, &str)] = &[
    ("static mut", "no globals"),
    ("thread_local !", "no globals"),
    ("SystemTime", "the day and the time are arguments"),
    ("Instant : : now", "the day and the time are arguments"),
    ("Zoned : : now", "the day and the time are arguments"),
    ("Timestamp : : now", "the day and the time are arguments"),
    ("println !", "results are returned, not printed"),
    ("print !", "results are returned, not printed"),
    ("eprintln !", "remarks are returned as notes, not printed"),
    ("eprint !", "remarks are returned as notes, not printed"),
];

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    let pure: Vec<String> =
        CRATES.iter().filter(|krate| krate.pure).map(|krate| format!("crates/{}/src/", krate.name)).collect();
    let mut found = BTreeSet::new();
    for source in
        tree.sources.iter().filter(|source| pure.iter().any(|folder| source.path.starts_with(folder)))
    {
        judge(source, &mut found);
    }
    found.into_iter().collect()
}

fn judge(source: &Source, found: &mut BTreeSet<Breach>) {
    let tokens = source.tokens_outside_tests();
    for (path, why) in CLOSED {
        let pattern = path.replace("::", " : : ");
        for line in find(&tokens, &pattern) {
            found.insert(breach(&source.path, line, format!("`{path}`: {why}")));
        }
    }
    for (pattern, why) in TOKENS {
        for line in find(&tokens, pattern) {
            found.insert(breach(&source.path, line, format!("`{}`: {why}", written(pattern))));
        }
    }
    // `use std::{fs, time::Instant}` has no token run `std::fs`, so use trees are spelled out.
    let code_lines: BTreeSet<usize> = tokens.iter().map(|token| token.line).collect();
    let mut uses = Uses::default();
    if let Some(file) = source.syntax() {
        uses.visit_file(&file);
    }
    for (path, line) in uses.paths.iter().filter(|(_, line)| code_lines.contains(line)) {
        for (closed, why) in CLOSED {
            let inside =
                path.strip_prefix(closed).is_some_and(|rest| rest.is_empty() || rest.starts_with("::"));
            if inside {
                found.insert(breach(&source.path, *line, format!("`{closed}`: {why}")));
            }
        }
    }
}

/// A token pattern as people write it.
fn written(pattern: &str) -> String {
    pattern.replace(" : : ", "::").replace(" !", "!")
}

/// Paths that `use` brings in, spelled out, with the line of the `use`.
#[derive(Default)]
struct Uses {
    paths: Vec<(String, usize)>,
}

impl Uses {
    fn spell(&mut self, tree: &syn::UseTree, before: &str, line: usize) {
        let join = |name: &syn::Ident| {
            if before.is_empty() { name.to_string() } else { format!("{before}::{name}") }
        };
        match tree {
            syn::UseTree::Path(path) => self.spell(&path.tree, &join(&path.ident), line),
            syn::UseTree::Name(name) => self.paths.push((join(&name.ident), line)),
            syn::UseTree::Rename(name) => self.paths.push((join(&name.ident), line)),
            syn::UseTree::Glob(_) => self.paths.push((before.to_owned(), line)),
            syn::UseTree::Group(group) => {
                for item in &group.items {
                    self.spell(item, before, line);
                }
            }
        }
    }
}

impl<'ast> Visit<'ast> for Uses {
    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        let line = item.use_token.span.start().line;
        self.spell(&item.tree, "", line);
    }
}

#[cfg(test)]
mod tests {
    use crate::tidy::tests::says;

    #[test]
    fn fires() {
        let bad = "//! Lugs.\nuse std::{fmt, time::Instant};\nuse std::collections::{BTreeMap, HashMap};\n\
                   fn a() { println!(\"{:?}\", std::env::args()); }\nstatic mut N: u8 = 0;\n\
                   #[cfg(test)]\nmod tests { use std::fs; }\n";
        let found =
            says(super::breaches, &[("crates/physics/src/a.rs", bad), ("crates/cli/src/main.rs", bad)]);
        let want = [
            "crates/physics/src/a.rs:2: `std::time`: the day and the time are arguments",
            "crates/physics/src/a.rs:3: `std::collections::HashMap`: its order is random: use `BTreeMap`",
            "crates/physics/src/a.rs:4: `println!`: results are returned, not printed",
            "crates/physics/src/a.rs:4: `std::env`: a setting is an argument",
            "crates/physics/src/a.rs:5: `static mut`: no globals",
        ];
        assert_eq!(found, want);
    }
}
