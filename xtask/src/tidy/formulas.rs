//! Rule: a public formula in `physics` tells its formula, source, validity and check.
//!
//! A formula is a public function, free or in an `impl`, that takes at least one scalar (a plain `f64` or one of
//! the quantity types) and returns scalars (alone, in a tuple or array, in an `Option` or `Result`). So
//! constructors (they return `Self`) and accessors (they take nothing but `self`) are free of it. A function
//! whose doc has one of the parts is held to all of them, whatever it takes.

use super::{Breach, breach};
use crate::source::doc_of;
use crate::tree::Tree;
use std::collections::BTreeSet;
use syn::visit::Visit;

const FOLDER: &str = "crates/physics/src/";

/// Types that count as a scalar.
const SCALARS: &[&str] = &["f64", "Current", "Length", "Power", "Resistance", "Temperature", "Voltage"];

/// The parts of the doc comment, in their order.
const PARTS: &[&str] = &["```text", "**Source:**", "**Valid:**", "**Checked:**"];

/// Functions that look like a formula and are none: (file, function, reason).
const EXCUSED: &[(&str, &str, &str)] = &[
    ("crates/physics/src/limits.rs", "highest", "adds a rise to the air; the limit itself is cited"),
    ("crates/physics/src/range.rs", "within", "checks a range and gives the value back"),
];

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    judge(tree, EXCUSED)
}

fn judge(tree: &Tree, excused: &[(&str, &str, &str)]) -> Vec<Breach> {
    let mut found = Vec::new();
    for source in tree.sources.iter().filter(|source| source.path.starts_with(FOLDER) && !source.is_test()) {
        let mut functions = Functions::default();
        if let Some(file) = source.syntax() {
            functions.visit_file(&file);
        }
        for function in &functions.0 {
            let excused =
                EXCUSED.iter().any(|(path, name, _)| *path == source.path && *name == function.name);
            if !excused && let Some(what) = function.lack(&tree.files) {
                found.push(breach(&source.path, function.line, format!("`{}` {what}", function.name)));
            }
        }
    }
    for (path, name, _) in excused {
        let text = tree.source(path).map_or("", |source| source.text.as_str());
        if !text.contains(&format!("fn {name}")) {
            found.push(breach(
                path,
                0,
                format!("`{name}` is excused in xtask/src/tidy/formulas.rs but not here"),
            ));
        }
    }
    found
}

/// A public function with its doc comment.
struct Function {
    name: String,
    line: usize,
    doc: String,
    formula: bool,
}

impl Function {
    /// What its doc lacks.
    fn lack(&self, files: &[String]) -> Option<String> {
        let started = PARTS[1..].iter().any(|part| self.doc.contains(part));
        if !self.formula && !started {
            return None;
        }
        let places: Vec<Option<usize>> = PARTS.iter().map(|part| self.doc.find(part)).collect();
        let lacking: Vec<String> = PARTS
            .iter()
            .zip(&places)
            .filter(|(_, at)| at.is_none())
            .map(|(part, _)| format!("`{part}`"))
            .collect();
        if !lacking.is_empty() {
            return Some(format!("is a formula without {} in its doc comment", lacking.join(", ")));
        }
        if !places.is_sorted() {
            return Some("has its parts out of order: formula, Source, Valid, Checked".to_owned());
        }
        let checked = places[3].map_or("", |at| &self.doc[at..]);
        let paths: BTreeSet<&str> = checked
            .split('`')
            .skip(1)
            .step_by(2)
            .filter(|word| word.contains('/') && !word.contains(' '))
            .collect();
        let exists = |path: &&str| {
            let (whole, inside) = (path.trim_end_matches('/'), format!("crates/physics/{path}"));
            let below = |file: &String| file.strip_prefix(whole).is_some_and(|rest| rest.starts_with('/'));
            files.iter().any(|file| file == whole || *file == inside || below(file))
        };
        let missing = paths.into_iter().find(|path| !exists(path));
        missing.map(|path| format!("says it is checked in `{path}`, which does not exist"))
    }
}

#[derive(Default)]
struct Functions(Vec<Function>);

impl Functions {
    fn add(
        &mut self,
        visibility: &syn::Visibility,
        signature: &syn::Signature,
        attributes: &[syn::Attribute],
    ) {
        if !matches!(visibility, syn::Visibility::Public(_)) {
            return;
        }
        let takes = signature.inputs.iter().any(|input| match input {
            syn::FnArg::Typed(input) => is_scalar(&input.ty),
            _ => false,
        });
        let gives = match &signature.output {
            syn::ReturnType::Type(_, given) => is_scalar_result(given),
            syn::ReturnType::Default => false,
        };
        self.0.push(Function {
            name: signature.ident.to_string(),
            line: signature.ident.span().start().line,
            doc: doc_of(attributes),
            formula: takes && gives,
        });
    }
}

impl<'ast> Visit<'ast> for Functions {
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        let test = item.attrs.iter().any(|attribute| attribute.path().is_ident("cfg"));
        if !test {
            syn::visit::visit_item_mod(self, item);
        }
    }

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        self.add(&item.vis, &item.sig, &item.attrs);
    }

    fn visit_impl_item_fn(&mut self, item: &'ast syn::ImplItemFn) {
        self.add(&item.vis, &item.sig, &item.attrs);
    }
}

/// The last name of a type path, and its first generic argument.
fn named(of: &syn::Type) -> Option<(String, Option<&syn::Type>)> {
    let syn::Type::Path(path) = of else { return None };
    let last = path.path.segments.last()?;
    let inner = match &last.arguments {
        syn::PathArguments::AngleBracketed(arguments) => {
            arguments.args.iter().find_map(|argument| match argument {
                syn::GenericArgument::Type(inner) => Some(inner),
                _ => None,
            })
        }
        _ => None,
    };
    Some((last.ident.to_string(), inner))
}

fn is_scalar(of: &syn::Type) -> bool {
    match of {
        syn::Type::Reference(reference) => is_scalar(&reference.elem),
        _ => named(of).is_some_and(|(name, _)| SCALARS.contains(&name.as_str())),
    }
}

fn is_scalar_result(of: &syn::Type) -> bool {
    match of {
        syn::Type::Tuple(tuple) => !tuple.elems.is_empty() && tuple.elems.iter().all(is_scalar),
        syn::Type::Array(array) => is_scalar(&array.elem),
        _ => match named(of) {
            Some((name, Some(inner))) if name == "Option" || name == "Result" => is_scalar_result(inner),
            _ => is_scalar(of),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tests::tree_of;

    fn says(text: &str) -> Vec<String> {
        judge(&tree_of(&[(PATH, text)]), &[]).iter().map(Breach::to_string).collect()
    }

    const PATH: &str = "crates/physics/src/joint.rs";

    const GOOD: &str = "/// Heat in a joint.\n///\n/// ```text\n/// P = I² R\n/// ```\n///\n\
        /// - **Source:** Joule 1841.\n/// - **Valid:** all.\n/// - **Checked:** `crates/physics/src/joint.rs`.\n";

    #[test]
    fn fires_on_a_formula_that_does_not_tell_its_source() {
        let text = format!(
            "//! Joints.\n{GOOD}pub fn heat_w(current_a: f64, r_ohm: f64) -> f64 {{ 0.0 }}\n\
             /// Heat.\npub fn bare_w(current: Current) -> Result<Power, Bad> {{ Err(Bad) }}\n\
             impl Joint {{\n/// Drop.\n/// - **Source:** none.\npub fn drop_v(&self) -> f64 {{ 0.0 }}\n}}\n"
        );
        let found = says(&text);
        let want = [
            format!(
                "{PATH}:13: `bare_w` is a formula without ````text`, `**Source:**`, `**Valid:**`, `**Checked:**` in its doc comment"
            ),
            format!(
                "{PATH}:17: `drop_v` is a formula without ````text`, `**Valid:**`, `**Checked:**` in its doc comment"
            ),
        ];
        assert_eq!(found, want);
    }

    #[test]
    fn constructors_accessors_and_private_functions_are_free() {
        let text = "//! Joints.\nimpl Joint {\npub fn from_mohm(r: f64) -> Self { Joint }\npub fn mohm(&self) -> f64 { 0.0 }\n}\n\
                    fn inner(x: f64) -> f64 { x }\npub fn solve(x: &[f64]) -> Vec<f64> { x.to_vec() }\n";
        assert!(says(text).is_empty());
    }

    #[test]
    fn fires_on_a_check_that_does_not_exist() {
        let text = format!(
            "//! Joints.\n{}pub fn heat_w(i: f64) -> f64 {{ i }}\n",
            GOOD.replace("joint.rs", "gone.rs")
        );
        let found = says(&text);
        assert_eq!(
            found,
            [format!(
                "{PATH}:11: `heat_w` says it is checked in `crates/physics/src/gone.rs`, which does not exist"
            )]
        );
    }
}
