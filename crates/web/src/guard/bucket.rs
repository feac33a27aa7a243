//! Limits on tries: a bucket for each address and one for all together.

use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

/// How many tries a bucket holds, and how fast it fills again.
#[derive(Debug, Clone, Copy)]
pub(super) struct Size {
    pub(super) most: f64,
    pub(super) refill_s: f64,
}

/// Of one address: five tries, then one every half minute.
const OF_ONE: Size = Size { most: 5.0, refill_s: 30.0 };

/// Of all: thirty tries, then one every five seconds.
const OF_ALL: Size = Size { most: 30.0, refill_s: 5.0 };

/// Addresses that are remembered; past that the fullest are forgotten first, who are the least suspicious.
const ADDRESSES_MAX: usize = 4096;

#[derive(Debug, Clone, Copy)]
pub(super) struct Bucket {
    pub(super) left: f64,
    at: Instant,
}

impl Bucket {
    pub(super) fn full(size: Size, now: Instant) -> Self {
        Bucket { left: size.most, at: now }
    }

    pub(super) fn refill(&mut self, size: Size, now: Instant) {
        let since_s = now.saturating_duration_since(self.at).as_secs_f64();
        self.left = (self.left + since_s / size.refill_s).min(size.most);
        self.at = now;
    }

    pub(super) fn wait(&self, size: Size) -> Option<Duration> {
        (self.left < 1.0).then(|| Duration::from_secs_f64((1.0 - self.left) * size.refill_s))
    }
}

/// The buckets of the tries to join.
#[derive(Debug)]
pub(crate) struct Buckets {
    inner: Mutex<Inner>,
}

#[derive(Debug)]
struct Inner {
    all: Bucket,
    each: BTreeMap<IpAddr, Bucket>,
}

impl Buckets {
    /// Full buckets.
    pub(crate) fn new(now: Instant) -> Self {
        Buckets { inner: Mutex::new(Inner { all: Bucket::full(OF_ALL, now), each: BTreeMap::new() }) }
    }

    /// Takes a try.
    ///
    /// # Errors
    /// How long to wait for the next one.
    pub(crate) fn take(&self, from: IpAddr, now: Instant) -> Result<(), Duration> {
        let mut inner = self.inner.lock().unwrap_or_else(PoisonError::into_inner);
        let from = network_of(from);
        if ADDRESSES_MAX <= inner.each.len() && !inner.each.contains_key(&from) {
            for bucket in inner.each.values_mut() {
                bucket.refill(OF_ONE, now);
            }
            inner.each.retain(|_, bucket| bucket.left < OF_ONE.most);
        }
        if ADDRESSES_MAX <= inner.each.len() && !inner.each.contains_key(&from) {
            return Err(Duration::from_secs_f64(OF_ONE.refill_s));
        }
        inner.all.refill(OF_ALL, now);
        let all = inner.all.wait(OF_ALL);
        let one = inner.each.entry(from).or_insert_with(|| Bucket::full(OF_ONE, now));
        one.refill(OF_ONE, now);
        if let Some(wait) = one.wait(OF_ONE).max(all) {
            return Err(wait);
        }
        one.left -= 1.0;
        inner.all.left -= 1.0;
        Ok(())
    }
}

impl Buckets {
    /// Gives a try back: it was no guess.
    pub(crate) fn give_back(&self, from: IpAddr) {
        let mut inner = self.inner.lock().unwrap_or_else(PoisonError::into_inner);
        inner.all.left = (inner.all.left + 1.0).min(OF_ALL.most);
        if let Some(one) = inner.each.get_mut(&network_of(from)) {
            one.left = (one.left + 1.0).min(OF_ONE.most);
        }
    }
}

/// The network that one party is likely to command: one address of version 4, a /64 of version 6.
fn network_of(address: IpAddr) -> IpAddr {
    match address.to_canonical() {
        IpAddr::V4(four) => IpAddr::V4(four),
        IpAddr::V6(six) => IpAddr::V6((u128::from(six) >> 64 << 64).into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_address_is_slowed_and_others_are_not() {
        let now = Instant::now();
        let buckets = Buckets::new(now);
        let (one, other) = (IpAddr::from([10, 0, 0, 1]), IpAddr::from([10, 0, 0, 2]));
        for _ in 0..5 {
            assert_eq!(buckets.take(one, now), Ok(()));
        }
        let wait = buckets.take(one, now).expect_err("the bucket is empty");
        assert!(wait <= Duration::from_secs(30) && Duration::from_secs(29) < wait, "{wait:?}");
        assert_eq!(buckets.take(other, now), Ok(()));
        assert_eq!(buckets.take(one, now + Duration::from_secs(31)), Ok(()));
    }

    #[test]
    fn a_try_that_was_no_guess_costs_nothing() {
        let now = Instant::now();
        let buckets = Buckets::new(now);
        let one = IpAddr::from([10, 0, 0, 1]);
        for _ in 0..50 {
            assert_eq!(buckets.take(one, now), Ok(()));
            buckets.give_back(one);
        }
    }

    #[test]
    fn many_addresses_together_are_slowed_too() {
        let now = Instant::now();
        let buckets = Buckets::new(now);
        let took = (0..=255).filter(|n| buckets.take(IpAddr::from([10, 0, 0, *n]), now).is_ok()).count();
        assert_eq!(took, 30);
    }

    #[test]
    fn an_address_of_version_6_stands_for_its_network() {
        let of = |text: &str| network_of(text.parse().expect("an address"));
        assert_eq!(of("fd00:1:2:3::1"), of("fd00:1:2:3:ffff::2"));
        assert_ne!(of("fd00:1:2:3::1"), of("fd00:1:2:4::1"));
        assert_eq!(of("::ffff:10.0.0.1"), of("10.0.0.1"));
    }
}
