//! Tokens of forms, and how secrets are compared.

use sha2::{Digest, Sha256};

/// The token that every form of a signed-in browser carries. It comes from the secret in the cookie, which no other
/// site can read, so nothing further has to be kept, and it outlives a restart.
pub(crate) fn csrf_of(token: &str) -> String {
    let mut text = hash_hex("panelwright form", token);
    text.truncate(32);
    text
}

/// SHA-256 of a secret under a use, so that what is kept for one use is worth nothing for another.
pub(crate) fn hash_hex(purpose: &str, secret: &str) -> String {
    let mut digest = Sha256::new();
    digest.update(purpose.as_bytes());
    digest.update([0]);
    digest.update(secret.as_bytes());
    hex(&digest.finalize())
}

/// Are two secrets the same? Compared by their hashes, so that the time it takes tells nothing of either.
pub(crate) fn same(one: &str, other: &str) -> bool {
    hash_hex("compare", one) == hash_hex("compare", other)
}

/// 128 bits by chance, as text.
pub(crate) fn chance_hex() -> Result<String, getrandom::Error> {
    let mut bytes = [0_u8; 16];
    getrandom::fill(&mut bytes)?;
    Ok(hex(&bytes))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tokens_of_forms_differ_by_browser_and_by_use() {
        assert_ne!(csrf_of("one"), csrf_of("other"));
        assert_ne!(hash_hex("panelwright form", "one"), hash_hex("compare", "one"));
        assert!(same("a", "a") && !same("a", "b"));
        assert_ne!(chance_hex().expect("chance"), chance_hex().expect("chance"));
    }
}
