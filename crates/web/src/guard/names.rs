//! Limits on tries for one name, from wherever they come.

use super::bucket::{Bucket, Size};
use super::secret::hash_hex;
use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// Of one name: ten tries, then one a minute. Its owner with the right password waits too, so it is not less.
const OF_NAME: Size = Size { most: 10.0, refill_s: 60.0 };

/// Names that are remembered.
const NAMES_MAX: usize = 4096;

/// The buckets of names; a name that nobody has gets one too.
#[derive(Debug, Default)]
pub(crate) struct NameBuckets {
    each: Mutex<BTreeMap<String, Bucket>>,
}

impl NameBuckets {
    /// Takes a try.
    ///
    /// # Errors
    /// How long to wait for the next one.
    pub(crate) fn take(&self, name: &str, now: Instant) -> Result<(), Duration> {
        let mut each = self.each.lock().unwrap_or_else(PoisonError::into_inner);
        if NAMES_MAX <= each.len() {
            for bucket in each.values_mut() {
                bucket.refill(OF_NAME, now);
            }
            each.retain(|_, bucket| bucket.left < OF_NAME.most);
        }
        if NAMES_MAX <= each.len() {
            // Addresses are limited as well, so this takes an attack from many; then all wait.
            return Err(Duration::from_secs_f64(OF_NAME.refill_s));
        }
        let bucket = each.entry(key(name)).or_insert_with(|| Bucket::full(OF_NAME, now));
        bucket.refill(OF_NAME, now);
        match bucket.wait(OF_NAME) {
            Some(wait) => Err(wait),
            None => {
                bucket.left -= 1.0;
                Ok(())
            }
        }
    }

    /// The password was right: the tries before it were those of its owner.
    pub(crate) fn forgive(&self, name: &str) {
        self.each.lock().unwrap_or_else(PoisonError::into_inner).remove(&key(name));
    }
}

/// However long the name that was typed.
fn key(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    hash_hex("tries", &words.join(" ").to_lowercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_slowed_however_it_is_written_and_others_are_not() {
        let now = Instant::now();
        let buckets = NameBuckets::default();
        for n in 0..10 {
            assert_eq!(buckets.take(if n % 2 == 0 { "J. Doe" } else { " j.  DOE" }, now), Ok(()));
        }
        let wait = buckets.take("J. Doe", now).expect_err("the bucket is empty");
        assert!(Duration::from_secs(59) < wait && wait <= Duration::from_secs(60), "{wait:?}");
        assert_eq!(buckets.take("K. Roe", now), Ok(()));
        assert_eq!(buckets.take("J. Doe", now + Duration::from_secs(61)), Ok(()));
        buckets.forgive("J. Doe");
        assert_eq!(buckets.take("J. Doe", now), Ok(()));
    }
}
