//! What the shop's openings say of signs and odds: counted on request, put in force as a version, taken back.

use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use crate::members::Member;
use crate::sent::Sent;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Request, State};
use axum::response::{IntoResponse, Redirect, Response};
use pages::Route;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};
use store::{ShopText, ShopVersion};
use study::Settings;
use study::shop::{Experience, OpenedJob};

/// Whether openings are being counted, and why the last count came to nothing.
#[derive(Default)]
pub(crate) struct Counting {
    running: AtomicBool,
    failed: Mutex<Option<String>>,
}

impl Counting {
    /// Is it running?
    pub(crate) fn running(&self) -> bool {
        self.running.load(Ordering::Acquire)
    }

    /// Why the last one came to nothing.
    pub(crate) fn failed(&self) -> Option<String> {
        self.failed.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}

/// Experience in force, with whose it is and the number of its version.
pub(crate) struct Counted {
    pub(crate) experience: Experience,
    pub(crate) origin: String,
    pub(crate) number: i64,
}

impl Bench {
    /// The experience in force: that of the command line, else the newest version of this data folder.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn read_experience(&self) -> Result<Counted, Failure> {
        let given = &self.inner.setup.settings.experience;
        if !given.is_empty() {
            let origin = "Given on the command line.".to_owned();
            return Ok(Counted { experience: given.clone(), origin, number: 0 });
        }
        let texts = self.inner.store.shop_texts(ShopText::Experience).await;
        let newest = texts.map_err(|error| trouble(&error))?.into_iter().next();
        Ok(newest.map_or_else(|| Counted::none("", 0), |stored| Counted::of(&stored)))
    }

    /// Counts all openings, and puts the count in force.
    async fn count_openings(&self, device: &str) -> Result<(), String> {
        let failed = |failure: Failure| failure.message().to_owned();
        let mut opened = Vec::new();
        let n_unread = self.freshen().await.map_err(failed)?;
        if 0 < n_unread {
            return Err(format!("{n_unread} jobs are still being read. Count again in a minute."));
        }
        for job in self.opened_jobs().await.map_err(failed)? {
            // A job that cannot be read must not hide what the others say.
            let Ok(view) = self.view(&job).await else { continue };
            opened.extend(view.settled.job.as_ref().and_then(|job| OpenedJob::of(job, &view.facts)));
        }
        if opened.is_empty() {
            return Err(
                "No joint was opened with its part proven dead: there is nothing to count.".to_owned()
            );
        }
        let policy = self.in_force().await.map_err(failed)?.policy.clone();
        let settings = Settings { day: self.day(), policy, ..self.inner.setup.settings.clone() };
        let counted =
            self.inner.judge.do_it(move |run| study::shop::learn(&opened, &settings, run, |_| ())).await;
        let counted = counted.ok_or("The count failed by a fault of the program; please report it.")?;
        let text = counted.map_err(|error| error.to_string())?.write();
        let stored =
            self.inner.store.put_shop_text(ShopText::Experience, &text, Some(device), store::now_ms()).await;
        stored.map_err(|error| error.to_string())?;
        self.policy_changed().await;
        Ok(())
    }
}

impl Counted {
    fn none(origin: &str, number: i64) -> Counted {
        Counted { experience: Experience::default(), origin: origin.to_owned(), number }
    }

    fn of(stored: &ShopVersion) -> Counted {
        let (number, day) = (stored.number, clock::civil(stored.made).date());
        if stored.text.is_empty() {
            return Counted::none(
                &format!("The program’s own chances, put in force again on {day}."),
                number,
            );
        }
        match Experience::parse(&stored.text) {
            Ok(experience) => {
                let origin = format!("Version {number} in this data folder, counted on {day}.");
                Counted { experience, origin, number }
            }
            // Written by a newer program: the program's own chances stand in, and it is said.
            Err(_) => Counted::none(
                "What was counted cannot be read by this program; its own chances are used until it is put right.",
                number,
            ),
        }
    }
}

/// Counts the openings, or goes back to the program's own chances.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    match sent.fields().text("do") {
        Some("count") => {
            let counting = &bench.inner.counting;
            if !counting.running.swap(true, Ordering::AcqRel) {
                let bench = bench.clone();
                tokio::spawn(async move {
                    let failed = bench.count_openings(&member.id).await.err();
                    let counting = &bench.inner.counting;
                    *counting.failed.lock().unwrap_or_else(PoisonError::into_inner) = failed;
                    counting.running.store(false, Ordering::Release);
                });
            }
        }
        Some("own") => {
            bench.put_text(ShopText::Experience, "", &member).await?;
            bench.policy_changed().await;
        }
        _ => return Err(Failure::not_found()),
    }
    Ok(Redirect::to(&format!("{}#experience", Route::Score)).into_response())
}
