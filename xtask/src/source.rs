//! One Rust file: its tokens with their lines, and which of them are test code.

use proc_macro2::{TokenStream, TokenTree};
use std::ops::RangeInclusive;
use std::str::FromStr;
use syn::spanned::Spanned;
use syn::visit::Visit;

/// A Rust file.
#[derive(Debug, Clone)]
pub(crate) struct Source {
    /// Path relative to the root, with `/`.
    pub(crate) path: String,
    /// What it holds.
    pub(crate) text: String,
}

/// One token: a name, a literal, or one character of punctuation. Comments are no tokens.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Token {
    /// As written.
    pub(crate) text: String,
    /// Line, from 1.
    pub(crate) line: usize,
}

impl Source {
    /// Is the whole file test code?
    pub(crate) fn is_test(&self) -> bool {
        let mut folders: Vec<&str> = self.path.split('/').collect();
        let name = folders.pop().unwrap_or("");
        name == "tests.rs" || folders.iter().any(|folder| ["tests", "benches", "examples"].contains(folder))
    }

    /// The file as syntax; `None` where it is not Rust (the compiler will say so).
    pub(crate) fn syntax(&self) -> Option<syn::File> {
        syn::parse_file(&self.text).ok()
    }

    /// All tokens.
    pub(crate) fn tokens(&self) -> Vec<Token> {
        let mut tokens = Vec::new();
        // A file that is not Rust has no tokens here; the compiler reports it.
        if let Ok(stream) = TokenStream::from_str(&self.text) {
            flatten(stream, &mut tokens);
        }
        tokens
    }

    /// Tokens outside test code.
    pub(crate) fn tokens_outside_tests(&self) -> Vec<Token> {
        if self.is_test() {
            return Vec::new();
        }
        let tests = self.test_lines();
        let mut tokens = self.tokens();
        tokens.retain(|token| !tests.iter().any(|lines| lines.contains(&token.line)));
        tokens
    }

    /// Lines of the items under `#[cfg(test)]` or `#[test]`.
    fn test_lines(&self) -> Vec<RangeInclusive<usize>> {
        struct Tests(Vec<RangeInclusive<usize>>);
        impl<'ast> Visit<'ast> for Tests {
            fn visit_item(&mut self, item: &'ast syn::Item) {
                if attributes(item).iter().any(marks_test) {
                    let span = item.span();
                    self.0.push(span.start().line..=span.end().line);
                } else {
                    syn::visit::visit_item(self, item);
                }
            }
        }
        let mut tests = Tests(Vec::new());
        if let Some(file) = self.syntax() {
            tests.visit_file(&file);
        }
        tests.0
    }
}

fn marks_test(attribute: &syn::Attribute) -> bool {
    let path = attribute.path();
    if path.is_ident("test") {
        return true;
    }
    let tokens = match &attribute.meta {
        syn::Meta::List(list) => list.tokens.to_string(),
        _ => return false,
    };
    path.is_ident("cfg") && (tokens == "test" || tokens.replace(' ', "").starts_with("all(test"))
}

fn attributes(item: &syn::Item) -> &[syn::Attribute] {
    match item {
        syn::Item::Const(item) => &item.attrs,
        syn::Item::Enum(item) => &item.attrs,
        syn::Item::Fn(item) => &item.attrs,
        syn::Item::Impl(item) => &item.attrs,
        syn::Item::Macro(item) => &item.attrs,
        syn::Item::Mod(item) => &item.attrs,
        syn::Item::Static(item) => &item.attrs,
        syn::Item::Struct(item) => &item.attrs,
        syn::Item::Trait(item) => &item.attrs,
        syn::Item::Type(item) => &item.attrs,
        syn::Item::Use(item) => &item.attrs,
        _ => &[],
    }
}

fn flatten(stream: TokenStream, tokens: &mut Vec<Token>) {
    for tree in stream {
        let line = tree.span().start().line;
        match tree {
            TokenTree::Group(group) => {
                let (open, close) = match group.delimiter() {
                    proc_macro2::Delimiter::Parenthesis => ("(", ")"),
                    proc_macro2::Delimiter::Brace => ("{", "}"),
                    proc_macro2::Delimiter::Bracket => ("[", "]"),
                    proc_macro2::Delimiter::None => ("", ""),
                };
                tokens.push(Token { text: open.to_owned(), line });
                let end = group.span_close().start().line;
                flatten(group.stream(), tokens);
                tokens.push(Token { text: close.to_owned(), line: end });
            }
            other => tokens.push(Token { text: other.to_string(), line }),
        }
    }
}

/// Lines where `pattern`, tokens parted by spaces, begins.
pub(crate) fn find(tokens: &[Token], pattern: &str) -> Vec<usize> {
    let wanted: Vec<&str> = pattern.split(' ').collect();
    let same = |window: &&[Token]| window.iter().zip(&wanted).all(|(token, text)| token.text == *text);
    tokens.windows(wanted.len()).filter(same).map(|window| window[0].line).collect()
}

/// The doc comment of an item.
pub(crate) fn doc_of(attributes: &[syn::Attribute]) -> String {
    let mut doc = String::new();
    for attribute in attributes.iter().filter(|attribute| attribute.path().is_ident("doc")) {
        if let syn::Meta::NameValue(pair) = &attribute.meta
            && let syn::Expr::Lit(syn::ExprLit { lit: syn::Lit::Str(text), .. }) = &pair.value
        {
            doc.push_str(&text.value());
            doc.push('\n');
        }
    }
    doc
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn test_code_and_comments_are_left_out() {
        let text =
            "//! `todo ! ( )`\nfn a() { todo!() }\n#[cfg(test)]\nmod tests {\n fn b() { todo!() }\n}\n";
        let source = Source { path: "crates/a/src/lib.rs".to_owned(), text: text.to_owned() };
        assert_eq!(find(&source.tokens(), "todo !"), [2, 5]);
        assert_eq!(find(&source.tokens_outside_tests(), "todo !"), [2]);
    }

    #[test]
    fn test_files_are_known_by_their_path() {
        let at = |path: &str| Source { path: path.to_owned(), text: String::new() }.is_test();
        assert!(
            at("crates/a/tests/main.rs") && at("crates/a/src/b/tests.rs") && at("tests/reference/src/lib.rs")
        );
        assert!(!at("crates/a/src/b.rs"));
    }
}
