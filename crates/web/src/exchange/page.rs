//! The page that starts an exchange with a shop from the laptop's own bench, while it is served.

use super::client::{Errand, Report, exchange};
use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use crate::members::Member;
use crate::page::{Ground, made};
use crate::people::unkept;
use crate::sent::{Sent, query};
use crate::watch::is_here;
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use pages::{ExchangeAsk, ExchangeGround, Exchanged, Fields, Refusal, Route};
use std::path::PathBuf;
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

/// How long a line that gives nothing is tried.
const PATIENCE: Duration = Duration::from_secs(300);

/// The shop of the last time, and the certificate that vouches for it, in the folder of the exchange.
const SHOP: &str = "shop.txt";
const AUTHORITY: &str = "shop.crt";

/// What runs, and what the last one came to.
#[derive(Default)]
pub(crate) struct Exchanging(Mutex<(Option<String>, Option<Exchanged>)>);

impl Exchanging {
    fn with<T>(&self, act: impl FnOnce(&mut (Option<String>, Option<Exchanged>)) -> T) -> T {
        act(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner))
    }
}

/// The page.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let (here, headers, fields) = (is_here(&request), request.headers().clone(), query(request.uri()));
    page(&bench, &member, &headers, here, fields, None).await
}

/// Starts an exchange. Only who sits at this machine may: it makes the program ask an address.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let (here, headers) = (is_here(&request), request.headers().clone());
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    if !here {
        return Err(Failure::foreign("An exchange is started on the machine that the bench runs on."));
    }
    let fields = sent.fields();
    match pages::exchange_of_form(&fields) {
        Ok(ask) => {
            let errand = bench.errand(ask, &member)?;
            bench.start_exchange(errand);
            Ok(Redirect::to(&Route::Exchange.to_string()).into_response())
        }
        Err(refusal) => page(&bench, &member, &headers, here, fields, Some(refusal)).await,
    }
}

async fn page(
    bench: &Bench,
    member: &Member,
    headers: &HeaderMap,
    here: bool,
    fields: Fields,
    again: Option<Refusal>,
) -> Result<Response, Failure> {
    let exchange = bench.exchange_ground(here);
    let ground = Ground::of(bench, &Route::Exchange, Some(member), headers).await?;
    made(move || pages::exchange_page(&exchange, &fields, again.as_ref(), &ground.context()))
        .await
        .map(unkept)
}

impl Bench {
    fn exchange_file(&self, name: &str) -> PathBuf {
        self.inner.store.folder().join(super::parts::FOLDER).join(name)
    }

    fn exchange_ground(&self, here: bool) -> ExchangeGround {
        let shop = std::fs::read_to_string(self.exchange_file(SHOP)).unwrap_or_default();
        let (running, last) = self.inner.exchanging.with(|state| state.clone());
        ExchangeGround { here, shop: shop.trim().to_owned(), running, last }
    }

    /// Keeps the address and the certificate for the next time.
    fn errand(&self, ask: ExchangeAsk, member: &Member) -> Result<Errand, Failure> {
        let ExchangeAsk { shop, code, name, authority } = ask;
        let (place, known) = (self.exchange_file(AUTHORITY), self.exchange_file(SHOP));
        let same = std::fs::read_to_string(&known).is_ok_and(|before| before.trim() == shop);
        let kept = || -> std::io::Result<bool> {
            std::fs::create_dir_all(self.inner.store.folder().join(super::parts::FOLDER))?;
            std::fs::write(&known, &shop)?;
            if let Some(pem) = &authority {
                std::fs::write(&place, pem)?;
            } else if !same && place.exists() {
                // The certificate of another shop vouches for nobody here.
                std::fs::remove_file(&place)?;
            }
            Ok(place.exists())
        };
        let has = kept().map_err(|_| Failure::internal("The folder of the exchange cannot be written."))?;
        Ok(Errand {
            shop,
            code,
            name,
            authority: has.then_some(place),
            jobs: Vec::new(),
            same: Vec::new(),
            every_job: false,
            patience: PATIENCE,
            by: (member.person.clone(), member.id.clone()),
        })
    }

    /// One at a time; who asks while one runs sees that it does.
    fn start_exchange(&self, errand: Errand) {
        let free = self.inner.exchanging.with(|state| {
            let free = state.0.is_none();
            state.0.get_or_insert_with(|| "asking the shop".to_owned());
            free
        });
        if !free {
            return;
        }
        let bench = self.clone();
        tokio::spawn(async move {
            let tell = |told: &str| {
                let told = told.to_owned();
                bench.inner.exchanging.with(|state| state.0 = Some(told));
            };
            let done = exchange(&bench.inner.store, &errand, tell).await;
            let mut last = match done {
                Ok(report) => told(&report),
                Err(error) => Exchanged {
                    failed: Some((error.to_string(), error.hint().to_owned())),
                    ..Exchanged::default()
                },
            };
            last.at = clock::now().strftime("%Y-%m-%d %H:%M").to_string();
            bench.inner.exchanging.with(|state| *state = (None, Some(last)));
        });
    }
}

/// What an exchange came to, in words.
fn told(report: &Report) -> Exchanged {
    let mut lines = vec![
        format!("{} jobs on both sides, {} of them differed", report.n_jobs, report.n_differed),
        format!("sent: {} facts, {} photos", report.n_facts_sent, report.n_photos_sent),
        format!("taken: {} facts, {} photos", report.n_facts_fetched, report.n_photos_fetched),
    ];
    if 0 < report.n_cuts {
        lines.push(format!("the line broke {} times; nothing was lost by it", report.n_cuts));
    }
    if 0 < report.n_photos_without_original {
        let n = report.n_photos_without_original;
        lines.push(format!("not sent: {n} photos of which only the copy without place and camera is here"));
    }
    let mut open = Vec::new();
    for job in &report.other_jobs {
        let words = "both sides have a job of this name, and no entry in common; left as it is";
        open.push((job.clone(), words.to_owned()));
    }
    for one in &report.not_taken {
        open.push((one.job.clone(), format!("{} was not taken: {}", one.what, one.why)));
    }
    for one in &report.conflicts {
        let other = one.other.as_ref().map(|other| format!(" and {other}")).unwrap_or_default();
        open.push((one.job.clone(), format!("{}{other}: {}", one.entry, one.why)));
    }
    Exchanged { lines, open, ..Exchanged::default() }
}
