//! Who is in: devices by the secret of their cookie, remembered for a moment so that not every request asks the
//! store.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::guard::{csrf_of, hash_hex};
use crate::trouble::trouble;
use axum::http::HeaderMap;
use axum::http::header::COOKIE;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};
use tokio::sync::broadcast;

/// Name of the cookie.
pub(crate) const COOKIE_NAME: &str = "bench";

/// How long a device is remembered without asking the store. One that is shut out is forgotten at once.
const REMEMBERED: Duration = Duration::from_secs(20);

/// Devices that are remembered.
const MEMBERS_MAX: usize = 4096;

/// A device that is in, put into its requests.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Member {
    /// Its id.
    pub(crate) id: String,
    /// Name of the person who signed in on it, else its own: the author of what is entered.
    pub(crate) name: String,
    /// Id of that person; empty where it joined by a code alone.
    pub(crate) person: String,
    /// Token of its forms.
    pub(crate) csrf: String,
    /// What it may do.
    pub(crate) role: pages::Role,
    /// Until when it is in, milliseconds since 1970-01-01 UTC.
    pub(crate) expires: i64,
}

/// The devices that were here a moment ago.
pub(crate) struct Members {
    known: Mutex<BTreeMap<String, (Member, Instant)>>,
    shut_out: broadcast::Sender<String>,
}

impl Default for Members {
    fn default() -> Self {
        Members { known: Mutex::default(), shut_out: broadcast::channel(64).0 }
    }
}

impl Members {
    /// Tells of every device that is shut out from now on.
    pub(crate) fn shut_out(&self) -> broadcast::Receiver<String> {
        self.shut_out.subscribe()
    }

    /// Forgets a device at once, and ends its streams.
    pub(crate) fn forget(&self, device: &str) {
        // Told first: whoever is being remembered at this moment hears of it, or is forgotten below.
        let _ = self.shut_out.send(device.to_owned());
        self.lock().retain(|_, (member, _)| member.id != device);
    }

    /// Asks the store for everybody afresh.
    pub(crate) fn forget_all(&self) {
        let ids: BTreeSet<String> = self.lock().values().map(|(member, _)| member.id.clone()).collect();
        ids.iter().for_each(|id| self.forget(id));
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, BTreeMap<String, (Member, Instant)>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Bench {
    /// The device that sends these headers, where it is in.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn member(&self, headers: &HeaderMap) -> Result<Option<Member>, Failure> {
        let Some(token) = cookie(headers, COOKIE_NAME).filter(|token| is_token(token)) else {
            return Ok(None);
        };
        let key = hash_hex("panelwright member", token);
        let now = store::now_ms();
        if let Some((member, since)) = self.inner.members.lock().get(&key)
            && since.elapsed() < REMEMBERED
            && now < member.expires
        {
            return Ok(Some(member.clone()));
        }
        // Before the store is asked, so that a device that is shut out meanwhile is not remembered.
        let mut shut_out = self.inner.members.shut_out();
        let device = self.inner.store.device_by_token(token, now).await.map_err(|error| trouble(&error))?;
        let Some(device) = device else {
            self.inner.members.lock().remove(&key);
            return Ok(None);
        };
        let role = pages::Role::of_word(&device.role);
        let name = if device.person_name.is_empty() { device.name } else { device.person_name };
        let (person, expires) = (device.person, device.expires);
        let member = Member { id: device.id, name, person, csrf: csrf_of(token), role, expires };
        let mut known = self.inner.members.lock();
        if shut_out.try_recv().is_err() {
            if MEMBERS_MAX <= known.len() {
                known.retain(|_, (_, since)| since.elapsed() < REMEMBERED);
            }
            known.insert(key, (member.clone(), Instant::now()));
        }
        Ok(Some(member))
    }
}

/// Value of a cookie.
pub(crate) fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    let all = headers.get_all(COOKIE).iter().filter_map(|value| value.to_str().ok());
    all.flat_map(|line| line.split(';')).find_map(|pair| {
        let (key, value) = pair.trim().split_once('=')?;
        (key == name).then_some(value)
    })
}

fn is_token(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|byte| byte.is_ascii_hexdigit())
}
