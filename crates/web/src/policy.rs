//! The shop's policy: the one of the command line, else the one that was put in force here, else the standard one.

use crate::bench::Bench;
use crate::entry::again;
use crate::experience::Counted;
use crate::failure::{Failure, is_script};
use crate::members::Member;
use crate::page::Ground;
use crate::sent::Sent;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use pages::Route;
use std::sync::Arc;
use study::Policy;

/// A policy in force.
pub(crate) struct InForce {
    pub(crate) policy: Policy,
    /// Its text.
    pub(crate) text: String,
    /// Whose it is, in a sentence.
    pub(crate) origin: String,
    /// Given on the command line?
    pub(crate) locked: bool,
    /// What the shop has counted, and whose it is.
    pub(crate) counted: Counted,
    /// Which policy and count; a judgement by another one is stale.
    pub(crate) number: i64,
    /// Of what it says, by which summaries know it: one of the command line has no number.
    pub(crate) print: String,
}

impl InForce {
    fn standard(origin: &str, number: i64, counted: Counted) -> InForce {
        let (text, origin) = (Policy::standard_text().to_owned(), origin.to_owned());
        let (number, policy) = (both(number, &counted), Policy::standard());
        InForce { print: print(&policy), policy, text, origin, locked: false, counted, number }
    }
}

/// One number for a policy and a count; versions are counted from 1, and nobody makes a million of them.
fn both(policy: i64, counted: &Counted) -> i64 {
    policy + 1_000_000 * counted.number
}

fn print(policy: &Policy) -> String {
    let mut print = crate::guard::hash_hex("policy", &format!("{policy:?}"));
    print.truncate(16);
    print
}

impl Bench {
    /// The policy in force.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn in_force(&self) -> Result<Arc<InForce>, Failure> {
        self.inner.policy.get(self.read_policy()).await
    }

    /// Reads the policy and what else is the shop's afresh, and has the jobs that were worked on last judged by it.
    pub(crate) async fn policy_changed(&self) {
        self.inner.policy.forget().await;
        self.inner.shop.forget().await;
        // Where the store fails now, the next page that needs the policy says so.
        let Ok(now) = self.in_force().await else { return };
        self.inner.judge.by(now.number);
        for line in self.inner.store.newest_jobs(5).await.unwrap_or_default() {
            self.judge(&line.job);
        }
    }

    async fn read_policy(&self) -> Result<InForce, Failure> {
        let counted = self.read_experience().await?;
        let given = &self.inner.setup.settings.policy;
        if *given != Policy::standard() {
            return Ok(InForce {
                print: print(given),
                policy: given.clone(),
                text: String::new(),
                origin: "Given on the command line.".to_owned(),
                locked: true,
                number: both(0, &counted),
                counted,
            });
        }
        let stored = self.inner.store.policy().await.map_err(|error| trouble(&error))?;
        let Some(stored) = stored else { return Ok(InForce::standard("The standard policy.", 0, counted)) };
        if stored.text.is_empty() {
            return Ok(InForce::standard("The standard policy, put in force again.", stored.number, counted));
        }
        match Policy::parse("the shop's policy", &stored.text) {
            Ok(policy) => Ok(InForce {
                print: print(&policy),
                policy,
                origin: format!("The shop’s own, version {} in this data folder.", stored.number),
                text: stored.text,
                locked: false,
                number: both(stored.number, &counted),
                counted,
            }),
            // Written by a newer program: nobody is left without rules for that, and it is said.
            Err(_) => Ok(InForce::standard(
                "The shop’s own policy cannot be read by this program: the standard one is used until it is put right.",
                stored.number,
                counted,
            )),
        }
    }
}

/// Takes a changed policy.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    let now = bench.in_force().await?;
    if now.locked {
        let hint = "Change the file that was given, and start the program again.";
        let message = "The policy was given on the command line.";
        return Err(Failure::new(StatusCode::CONFLICT, "Not changed here", message, hint));
    }
    let fields = sent.fields();
    match pages::policy_of_form(&fields, &now.text) {
        Ok(text) => {
            let stored = bench.inner.store.put_policy(&text, Some(&member.id), store::now_ms()).await;
            stored.map_err(|error| trouble(&error))?;
            bench.policy_changed().await;
            Ok(Redirect::to(&Route::Policy.to_string()).into_response())
        }
        Err(refusal) => {
            let ground = Ground::of(&bench, &Route::Policy, Some(&member), &headers).await?;
            again(is_script(&headers), Route::Policy, fields, refusal, ground).await
        }
    }
}
