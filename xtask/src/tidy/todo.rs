//! Rule: a note of work left open names its owner and a day or version: `TODO(kit, 0.3)`.

use super::{Breach, breach};
use crate::tree::Tree;

/// The mark, put together so that this file does not carry it.
const MARK: &str = concat!("TO", "DO");

pub(super) fn breaches(tree: &Tree) -> Vec<Breach> {
    let mut found = Vec::new();
    for source in &tree.sources {
        for (idx, line) in source.text.lines().enumerate() {
            let Some((_, comment)) = line.split_once("//") else { continue };
            let Some((_, rest)) = comment.split_once(MARK) else { continue };
            let inside =
                rest.strip_prefix('(').and_then(|rest| rest.split_once(')')).map(|(inside, _)| inside);
            if !inside.is_some_and(|inside| inside.contains(',')) && source.path != "xtask/src/tidy/todo.rs" {
                found.push(breach(
                    &source.path,
                    idx + 1,
                    format!("write `{MARK}(owner, day or version): …`"),
                ));
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tidy::tests::says;

    #[test]
    fn fires() {
        let bad = format!("//! Lugs.\nfn a() {{}} // {MARK}: later\n");
        let good = format!("//! Lugs.\nfn a() {{}} // {MARK}(kit, 0.3): later\n");
        let found = says(breaches, &[("a.rs", &bad), ("b.rs", &good)]);
        assert_eq!(found, [format!("a.rs:2: write `{MARK}(owner, day or version): …`")]);
    }
}
