//! Passwords: hashed by argon2id, compared in the same time whether there is such a person or not, and tried slowly.

use crate::failure::Failure;
use crate::guard::NameBuckets;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use std::sync::Arc;
use tokio::sync::{OnceCell, Semaphore};

/// Memory of one hash, KiB; 19 MiB.
///
/// Source: OWASP Password Storage Cheat Sheet, "Argon2id": m=19456 (19 MiB), t=2, p=1. Value from memory; it is also the
/// default of the `argon2` crate, version 0.6.0.
const MEMORY_KIB: u32 = 19 * 1024;

/// Passes over the memory. Source: as [`MEMORY_KIB`].
const PASSES: u32 = 2;

/// Lanes. Source: as [`MEMORY_KIB`].
const LANES: u32 = 1;

/// Fewest characters.
///
/// Source: NIST SP 800-63B-4 (2025), section 3.1.1.2, for a password that is the only factor. Value from memory.
const FEWEST: usize = 15;

/// Most characters, so that nobody has us hash a book. Source: common practice, no source; the same standard asks for 64
/// at the least.
const MOST: usize = 200;

/// Hashes that are computed at once; each takes its memory for a moment.
const AT_ONCE: usize = 2;

/// Who hashes passwords, and how often they may be tried.
pub(crate) struct Passwords {
    turns: Arc<Semaphore>,
    /// Stands in where there is no such person, so that the answer takes as long.
    nobody: OnceCell<String>,
    pub(crate) tries: NameBuckets,
}

impl Passwords {
    pub(crate) fn new() -> Passwords {
        Passwords {
            turns: Arc::new(Semaphore::new(AT_ONCE)),
            nobody: OnceCell::new(),
            tries: NameBuckets::default(),
        }
    }

    /// PHC text of the hash of a password.
    pub(crate) async fn hash(&self, password: &str) -> Result<String, Failure> {
        let password = password.to_owned();
        self.do_it(move || hash(&password)).await?.ok_or_else(fault)
    }

    /// Is this the password of the hash? With an empty hash, that of nobody, the answer is no and takes as long.
    pub(crate) async fn is_right(&self, password: &str, known: &str) -> Result<bool, Failure> {
        let nobody = self.nobody.get_or_try_init(|| self.hash("nobody has this password")).await?;
        let is_person = !known.is_empty();
        let known = if is_person { known.to_owned() } else { nobody.clone() };
        let password = password.to_owned();
        let right = self.do_it(move || verify(&password, &known)).await?;
        Ok(right && is_person)
    }

    async fn do_it<T: Send + 'static>(&self, act: impl FnOnce() -> T + Send + 'static) -> Result<T, Failure> {
        let _turn = Arc::clone(&self.turns).acquire_owned().await.map_err(|_| Failure::busy())?;
        tokio::task::spawn_blocking(act).await.map_err(|_| fault())
    }
}

/// What is wrong with a new password, where something is.
pub(crate) fn doubt(password: &str, repeated: &str, name: &str) -> Option<(&'static str, String)> {
    let n_letters = password.chars().count();
    if n_letters < FEWEST {
        let message =
            format!("It has {n_letters} characters; {FEWEST} are the least. A few words in a row will do.");
        return Some(("password", message));
    }
    if MOST < n_letters {
        return Some(("password", format!("It has {n_letters} characters; {MOST} are the most.")));
    }
    let few = password.chars().collect::<std::collections::BTreeSet<char>>().len() < 5;
    let holds_name =
        !name.is_empty() && password.to_lowercase().replace(&name.to_lowercase(), "").chars().count() < 8;
    if few || holds_name {
        let message = "This one is guessed at once: the same few letters, or your name. Choose words that do not belong together.";
        return Some(("password", message.to_owned()));
    }
    (password != repeated).then(|| ("repeated", "The two are not the same.".to_owned()))
}

fn argon() -> Option<Argon2<'static>> {
    let params = Params::new(MEMORY_KIB, PASSES, LANES, None).ok()?;
    Some(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

fn hash(password: &str) -> Option<String> {
    argon()?.hash_password(password.as_bytes()).ok().map(|hash| hash.to_string())
}

fn verify(password: &str, known: &str) -> bool {
    let Ok(known) = PasswordHash::new(known) else { return false };
    argon().is_some_and(|argon| argon.verify_password(password.as_bytes(), &known).is_ok())
}

fn fault() -> Failure {
    Failure::internal("The password could not be hashed.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hashes_are_argon2id_with_the_stated_costs_and_a_salt_each() {
        let (one, other) =
            (hash("correct horse battery").expect("hashed"), hash("correct horse battery").expect("hashed"));
        assert!(one.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{one}");
        assert_ne!(one, other);
        assert!(verify("correct horse battery", &one) && verify("correct horse battery", &other));
        for wrong in ["", "correct horse batterY", "correct horse battery "] {
            assert!(!verify(wrong, &one), "{wrong}");
        }
        for broken in ["", "x", "$argon2id$v=19$m=19456,t=2,p=1$", "$2b$10$abc"] {
            assert!(!verify("correct horse battery", broken), "{broken}");
        }
    }

    #[test]
    fn weak_passwords_are_doubted_and_long_sentences_are_not() {
        for weak in ["", "short", "aaaaaaaaaaaaaaaaaaaa", "j. doe the third"] {
            assert!(doubt(weak, weak, "J. Doe the").is_some(), "{weak}");
        }
        assert!(doubt(&"wörter ".repeat(40), "", "").is_some(), "too long");
        assert_eq!(doubt("kettle violin seventy rain", "kettle violin seventy rain", "J. Doe"), None);
        assert_eq!(
            doubt("kettle violin seventy rain", "kettle violin", "J. Doe").map(|doubt| doubt.0),
            Some("repeated")
        );
    }

    /// By what is done, not by the clock alone: on a busy machine two runs of the same differ by a factor.
    #[tokio::test]
    async fn a_name_that_nobody_has_costs_a_hash_like_a_wrong_password() {
        let passwords = Passwords::new();
        let known = hash("correct horse battery").expect("hashed");
        for stands_for in [known.as_str(), ""] {
            let begun = std::time::Instant::now();
            assert!(!passwords.is_right("correct horse batterY", stands_for).await.expect("compared"));
            // Without a hash it would take microseconds.
            assert!(std::time::Duration::from_millis(5) < begun.elapsed(), "{:?}", begun.elapsed());
        }
        let nobody = passwords.nobody.get().expect("made by the first try").clone();
        let costs = |hash: &str| hash.rsplitn(3, '$').nth(2).map(str::to_owned);
        assert_eq!(costs(&nobody), costs(&known));
        assert!(!passwords.is_right("nobody has this password", "").await.expect("compared"));
    }
}
