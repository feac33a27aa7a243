//! Rule: the register of the code book's rules is the one that the data make.

use super::{Breach, breach};
use crate::register::{PAGE, page};
use crate::tree::Tree;

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    if tree.register == page() {
        return vec![];
    }
    let line = tree.register.lines().zip(page().lines()).take_while(|(is, should)| is == should).count() + 1;
    vec![breach(PAGE, line, "stale: run `cargo xtask register`, read what changed, and commit it")]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fires() {
        let fresh = Tree { register: page(), ..Tree::default() };
        assert!(breaches(&fresh).is_empty());
        let stale = Tree { register: page().replacen("220.53", "220.54", 1), ..Tree::default() };
        assert!(breaches(&stale)[0].to_string().starts_with("docs/codebook-register.md:"));
        assert_eq!(breaches(&Tree::default()).len(), 1);
    }
}
