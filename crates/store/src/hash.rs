//! Hashes and chance: SHA-256 as text, and names and secrets that nobody guesses.

use crate::Error;
use sha2::{Digest, Sha256};

/// Letters and digits that are not taken for one another when read from a screen.
const CLEAR: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

/// SHA-256 of the bytes, 64 lower-case hex digits.
pub fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Is the text a hash as [`sha256`] writes it?
pub fn is_sha256(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
}

/// A hash that grows with what is read or written.
#[derive(Default)]
pub(crate) struct Running(Sha256);

impl Running {
    pub(crate) fn add(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    pub(crate) fn finish(self) -> String {
        hex(&self.0.finalize())
    }
}

/// Hex digits of `N` random bytes.
pub(crate) fn random_hex<const N: usize>() -> Result<String, Error> {
    Ok(hex(&random::<N>()?))
}

/// `N` random letters and digits out of [`CLEAR`].
pub(crate) fn random_code<const N: usize>() -> Result<String, Error> {
    let clear = |byte: &u8| char::from(CLEAR[usize::from(byte % 32)]);
    Ok(random::<N>()?.iter().map(clear).collect())
}

fn random<const N: usize>() -> Result<[u8; N], Error> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes).map_err(|_| Error::NoChance)?;
    Ok(bytes)
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hashes_are_the_published_ones() {
        // FIPS 180-2, appendix B.1.
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert!(is_sha256(&sha256(b"abc")));
        assert!(!is_sha256("BA7816BF"));
    }

    #[test]
    fn codes_have_only_clear_letters() {
        let code = random_code::<200>().expect("the machine has chance");
        assert!(code.bytes().all(|byte| CLEAR.contains(&byte)), "{code}");
        assert_ne!(random_hex::<16>().expect("chance"), random_hex::<16>().expect("chance"));
    }
}
