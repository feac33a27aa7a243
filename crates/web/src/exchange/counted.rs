//! What an exchange brought and took, counted by the shop itself, and the line of it in the audit trail.

use super::take::check_token;
use crate::bench::Bench;
use crate::failure::Failure;
use crate::members::Member;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::{Extension, Json};
use std::collections::{BTreeMap, BTreeSet};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};
use store::{Act, Actor};

/// A laptop that asked nothing for so long has broken off. Longer than its patience and than a piece of a photo.
const BROKEN_OFF: Duration = Duration::from_secs(900);

/// Facts and photos of one exchange, as the side sees it that counts.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    pub(crate) facts_in: usize,
    pub(crate) facts_out: usize,
    pub(crate) photos_in: usize,
    pub(crate) photos_out: usize,
    /// Did it come to its end?
    pub(crate) ended: bool,
}

impl Counts {
    /// As it stands in the trail: figures and nothing else.
    pub(crate) fn to_text(self) -> String {
        let Counts { facts_in, facts_out, photos_in, photos_out, ended } = self;
        format!(
            "{facts_in} {facts_out} {photos_in} {photos_out} {}",
            if ended { "ended" } else { "broke-off" }
        )
    }

    /// From the trail; `None` where a newer program wrote it.
    pub(crate) fn of_text(text: &str) -> Option<Counts> {
        let mut parts = text.split(' ');
        let mut number = || parts.next()?.parse().ok();
        let (facts_in, facts_out, photos_in, photos_out) = (number()?, number()?, number()?, number()?);
        Some(Counts { facts_in, facts_out, photos_in, photos_out, ended: parts.next()? == "ended" })
    }

    /// In words.
    pub(crate) fn words(self) -> String {
        let n = |n: usize, one: &str| format!("{n} {one}{}", if n == 1 { "" } else { "s" });
        format!(
            "{} and {} came in, {} and {} went out{}",
            n(self.facts_in, "fact"),
            n(self.photos_in, "photo"),
            n(self.facts_out, "fact"),
            n(self.photos_out, "photo"),
            if self.ended { "" } else { "; it broke off" }
        )
    }
}

/// An exchange that is under way.
struct Running {
    /// Id of the person, where the laptop signed in as one.
    person: String,
    counts: Counts,
    /// Photos that were given: one that goes on where it broke off counts once.
    photos: BTreeSet<String>,
    /// What was asked for last: the same question again, because its answer was lost, counts once.
    asked: u64,
    last: Instant,
}

/// The exchanges that are under way, by the device that asks.
#[derive(Default)]
pub(crate) struct Exchanges(Mutex<BTreeMap<String, Running>>);

impl Exchanges {
    fn with<T>(&self, act: impl FnOnce(&mut BTreeMap<String, Running>) -> T) -> T {
        act(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }

    /// Counts something of a device's exchange, which begins with it if need be.
    fn count(&self, member: &Member, act: impl FnOnce(&mut Running)) {
        self.with(|all| {
            let running = all.entry(member.id.clone()).or_insert_with(|| Running {
                person: member.actor().person.to_owned(),
                counts: Counts::default(),
                photos: BTreeSet::new(),
                asked: 0,
                last: Instant::now(),
            });
            running.last = Instant::now();
            act(running);
        });
    }

    /// The device asks something.
    pub(super) fn asks(&self, member: &Member) {
        self.count(member, |_| {});
    }

    /// New facts arrived.
    pub(super) fn took_facts(&self, member: &Member, n: usize) {
        self.count(member, |running| running.counts.facts_in += n);
    }

    /// A photo arrived whole.
    pub(super) fn took_photo(&self, member: &Member) {
        self.count(member, |running| running.counts.photos_in += 1);
    }

    /// Facts were given to a question.
    pub(super) fn gave_facts(&self, member: &Member, asked: &impl Hash, n: usize) {
        let mut print = DefaultHasher::new();
        asked.hash(&mut print);
        let print = print.finish();
        self.count(member, |running| {
            if running.asked != print {
                running.asked = print;
                running.counts.facts_out += n;
            }
        });
    }

    /// A photo was given, or the rest of it.
    pub(super) fn gave_photo(&self, member: &Member, photo: &str) {
        self.count(member, |running| {
            if running.photos.insert(photo.to_owned()) {
                running.counts.photos_out += 1;
            }
        });
    }
}

/// The laptop says that it is done.
pub(crate) async fn done(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    headers: HeaderMap,
) -> Result<(StatusCode, Json<()>), Failure> {
    check_token(&headers, &member)?;
    let running = bench.inner.exchanges.with(|all| all.remove(&member.id));
    // Said again, because the answer was lost, it was noted before.
    if let Some(running) = running {
        let counts = Counts { ended: true, ..running.counts };
        bench.note(Act::Exchanged, member.actor(), &counts.to_text()).await;
    }
    Ok((StatusCode::OK, Json(())))
}

impl Bench {
    /// Notes exchanges that broke off; `all` those that are under way, too, as when the program ends.
    pub(crate) async fn note_broken_exchanges(&self, all: bool) {
        let broken: Vec<(String, Running)> = self.inner.exchanges.with(|running| {
            let old: Vec<String> = running
                .iter()
                .filter(|(_, one)| all || BROKEN_OFF < one.last.elapsed())
                .map(|(device, _)| device.clone())
                .collect();
            old.into_iter().filter_map(|device| running.remove_entry(&device)).collect()
        });
        for (device, one) in broken {
            let by = Actor { person: &one.person, device: &device };
            self.note(Act::Exchanged, by, &one.counts.to_text()).await;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_in_the_trail_reads_back() {
        let counts = Counts { facts_in: 12, facts_out: 1, photos_in: 0, photos_out: 3, ended: true };
        assert_eq!(Counts::of_text(&counts.to_text()), Some(counts));
        assert_eq!(counts.words(), "12 facts and 0 photos came in, 1 fact and 3 photos went out");
        let broken = Counts { ended: false, ..counts };
        assert_eq!(Counts::of_text(&broken.to_text()), Some(broken));
        assert!(broken.words().ends_with("; it broke off"));
        assert_eq!(Counts::of_text("something else"), None);
    }
}
