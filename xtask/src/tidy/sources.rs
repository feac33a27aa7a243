//! Rule: every check against the outside world says its source and what kind of evidence it is.

use super::{Breach, breach};
use crate::tree::Tree;
use syn::visit::Visit;

const FOLDER: &str = "tests/reference/tests/";

/// What a name may begin with: against a published value or program, against theory or itself, a reported bug.
const KINDS: &[&str] = &["val_", "verif_", "gh_"];

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    let mut found = Vec::new();
    for source in tree.sources.iter().filter(|source| source.path.starts_with(FOLDER)) {
        let mut checks = Checks::default();
        if let Some(file) = source.syntax() {
            checks.visit_file(&file);
        }
        for (name, line, doc) in &checks.0 {
            if !KINDS.iter().any(|kind| name.starts_with(kind)) {
                let what = format!("`{name}`: begin its name with `val_`, `verif_` or `gh_`");
                found.push(breach(&source.path, *line, what));
            }
            if !doc.contains("Source:") {
                let what = format!(
                    "`{name}` has no `Source:` in its doc comment; none known is a source too: say so"
                );
                found.push(breach(&source.path, *line, what));
            }
        }
    }
    found
}

/// Tests of a file: name, line, doc comment.
#[derive(Default)]
struct Checks(Vec<(String, usize, String)>);

impl<'ast> Visit<'ast> for Checks {
    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        if item.attrs.iter().any(|attribute| attribute.path().is_ident("test")) {
            let line = item.sig.ident.span().start().line;
            self.0.push((item.sig.ident.to_string(), line, crate::source::doc_of(&item.attrs)));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tidy::tests::says;

    #[test]
    fn fires() {
        let bad =
            "//! Lugs.\n/// Source: a table.\n#[test]\nfn val_a() {}\n#[test]\nfn heat() {}\nfn free() {}\n";
        let path = "tests/reference/tests/physics/lugs.rs";
        let want = [
            format!("{path}:6: `heat`: begin its name with `val_`, `verif_` or `gh_`"),
            format!(
                "{path}:6: `heat` has no `Source:` in its doc comment; none known is a source too: say so"
            ),
        ];
        assert_eq!(says(super::breaches, &[(path, bad), ("crates/a/src/tests.rs", bad)]), want);
    }
}
