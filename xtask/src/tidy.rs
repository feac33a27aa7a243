//! The house rules that a program can check. One rule a file; each runs as a test on this tree and shows on a
//! bad sample that it fires.

mod architecture;
mod arrows;
mod banned;
mod fields;
mod forgotten;
mod formulas;
mod header;
mod pure;
mod register;
mod size;
mod sources;
mod todo;
mod weight;

use crate::tree::Tree;
use std::fmt;
use std::process::ExitCode;

/// One breach of a rule.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Breach {
    /// File, relative to the root.
    path: String,
    /// Line, from 1; 0 where it is about the whole file.
    line: usize,
    /// What is wrong and what would be right.
    what: String,
}

impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            0 => write!(f, "{}: {}", self.path, self.what),
            line => write!(f, "{}:{line}: {}", self.path, self.what),
        }
    }
}

fn breach(path: &str, line: usize, what: impl Into<String>) -> Breach {
    Breach { path: path.to_owned(), line, what: what.into() }
}

/// A rule: its name and what it finds.
type Rule = (&'static str, fn(&Tree) -> Vec<Breach>);

const RULES: &[Rule] = &[
    ("arrows", arrows::breaches),
    ("pure", pure::breaches),
    ("formulas", formulas::breaches),
    ("sources", sources::breaches),
    ("banned", banned::breaches),
    ("header", header::breaches),
    ("size", size::breaches),
    ("forgotten", forgotten::breaches),
    ("todo", todo::breaches),
    ("architecture", architecture::breaches),
    ("register", register::breaches),
    ("weight", weight::breaches),
    ("fields", fields::breaches),
];

/// Runs all rules on the tree and prints what they find.
pub(crate) fn run() -> ExitCode {
    let tree = match Tree::of_workspace() {
        Ok(tree) => tree,
        Err(error) => {
            eprintln!("tidy: {error}");
            return ExitCode::FAILURE;
        }
    };
    let mut n_breaches = 0;
    for (name, rule) in RULES {
        for breach in rule(&tree) {
            eprintln!("tidy/{name}: {breach}");
            n_breaches += 1;
        }
    }
    println!("tidy: {} rules, {} files, {n_breaches} breaches", RULES.len(), tree.sources.len());
    if n_breaches == 0 { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Source;

    /// A tree of these Rust files, for samples.
    pub(super) fn tree_of(files: &[(&str, &str)]) -> Tree {
        let mut tree = Tree::default();
        for (path, text) in files {
            tree.sources.push(Source { path: (*path).to_owned(), text: (*text).to_owned() });
            tree.files.push((*path).to_owned());
        }
        tree.sources.sort_by(|a, b| a.path.cmp(&b.path));
        tree.files.sort();
        tree
    }

    /// What a rule says of a sample, one line a breach.
    pub(super) fn says(rule: fn(&Tree) -> Vec<Breach>, files: &[(&str, &str)]) -> Vec<String> {
        rule(&tree_of(files)).iter().map(Breach::to_string).collect()
    }

    fn kept(name: &str) {
        let tree = Tree::of_workspace().expect("the workspace can be read");
        let (_, rule) = RULES.iter().find(|(rule, _)| *rule == name).expect("the rule is listed");
        let breaches: Vec<String> = rule(&tree).iter().map(Breach::to_string).collect();
        assert!(breaches.is_empty(), "breaches of the rule `{name}`:\n{}", breaches.join("\n"));
    }

    #[test]
    fn the_tree_keeps_arrows() {
        kept("arrows");
    }

    #[test]
    fn the_tree_keeps_pure() {
        kept("pure");
    }

    #[test]
    fn the_tree_keeps_formulas() {
        kept("formulas");
    }

    #[test]
    fn the_tree_keeps_sources() {
        kept("sources");
    }

    #[test]
    fn the_tree_keeps_banned() {
        kept("banned");
    }

    #[test]
    fn the_tree_keeps_fields() {
        kept("fields");
    }

    #[test]
    fn the_tree_keeps_header() {
        kept("header");
    }

    #[test]
    fn the_tree_keeps_size() {
        kept("size");
    }

    #[test]
    fn the_tree_keeps_forgotten() {
        kept("forgotten");
    }

    #[test]
    fn the_tree_keeps_todo() {
        kept("todo");
    }

    #[test]
    fn the_tree_keeps_architecture() {
        kept("architecture");
    }

    #[test]
    fn the_tree_keeps_register() {
        kept("register");
    }

    #[test]
    fn the_tree_keeps_weight() {
        kept("weight");
    }
}
