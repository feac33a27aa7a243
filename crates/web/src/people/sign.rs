//! Signing in with name and password, and setting a password by an invitation.
//!
//! Whoever signs in gets a secret that nobody knew before, whatever the browser sent: a secret that was planted in it is
//! shut out.

use super::password::doubt;
use super::{refused, wrong};
use crate::bench::Bench;
use crate::entry::json_of;
use crate::failure::{Failure, is_script};
use crate::join::{DEVICE_STAYS, from, milliseconds};
use crate::members::{COOKIE_NAME, Member};
use crate::page::{Ground, made};
use crate::sent::Sent;
use crate::trouble::{sentence, trouble};
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::header::{HeaderValue, SET_COOKIE};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use pages::{Fields, Refusal, Route};
use serde_json::json;
use std::time::Instant;
use store::{Act, Actor, Error};

/// What is said of any name and password that do not go together: whether there is such a person is nobody's business.
const NOT_RIGHT: &str = "Name and password do not go together. Capitals in the password count.";

/// Signs a person in.
pub(crate) async fn sign_in(
    State(bench): State<Bench>,
    member: Option<Extension<Member>>,
    request: Request,
) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let from = from(&request);
    let sent = Sent::of(request).await?;
    let (name, password) =
        (sent.first("name").unwrap_or_default(), sent.first("password").unwrap_or_default());
    let device = sent.first("device").unwrap_or_default().trim();
    bench.inner.tries.take(from, Instant::now()).map_err(too_many)?;
    bench.inner.passwords.tries.take(name, Instant::now()).map_err(too_many)?;
    if device.is_empty() {
        bench.inner.tries.give_back(from);
        return again(&bench, &Route::SignIn, &headers, &sent, wrong("device", NAME_IT)).await;
    }
    let found = bench.inner.store.person_named(name).await.map_err(|error| trouble(&error))?;
    let known = found.as_ref().filter(|person| person.revoked.is_none());
    let hash = known.map(|person| person.password.as_str()).unwrap_or_default();
    let right = bench.inner.passwords.is_right(password, hash).await?;
    let now = store::now_ms();
    if let (true, Some(person)) = (right, known) {
        let instead = member.as_ref().map(|Extension(member)| member.id.as_str());
        let signed =
            bench.inner.store.sign_in(person, device, instead, now, now + milliseconds(DEVICE_STAYS)).await;
        match signed {
            Ok(joined) => {
                bench.inner.tries.give_back(from);
                bench.inner.passwords.tries.forgive(name);
                if let Some(instead) = instead {
                    bench.inner.members.forget(instead);
                }
                return let_in(&bench, &headers, &joined.token);
            }
            Err(error @ Error::DeviceName { .. }) => {
                return again(&bench, &Route::SignIn, &headers, &sent, wrong("device", words_of(&error)))
                    .await;
            }
            // Shut out, or another password, since it was looked up.
            Err(Error::NoPerson { .. }) => {}
            Err(error) => return Err(trouble(&error)),
        }
    }
    let who = found.map(|person| person.id).unwrap_or_default();
    bench.note(Act::SignInRefused, Actor::default(), &who).await;
    again(&bench, &Route::SignIn, &headers, &sent, wrong("password", NOT_RIGHT)).await
}

/// Sets a password by a code, once, and lets the person in.
pub(crate) async fn welcome(
    State(bench): State<Bench>,
    member: Option<Extension<Member>>,
    request: Request,
) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let from = from(&request);
    let sent = Sent::of(request).await?;
    bench.inner.tries.take(from, Instant::now()).map_err(too_many)?;
    let text = |field| sent.first(field).unwrap_or_default();
    let (code, password, device) = (text("code").trim(), text("password"), text("device").trim());
    let route = Route::Welcome;
    if code.is_empty() {
        bench.inner.tries.give_back(from);
    }
    let now = store::now_ms();
    let person = match bench.inner.store.person_invited(code, now).await {
        Ok(person) => person,
        Err(error) => return refuse_code(&bench, &headers, &sent, &error).await,
    };
    // The code was right: what is wrong from here on is no guess.
    bench.inner.tries.give_back(from);
    if let Some((field, message)) = doubt(password, text("repeated"), &person.name) {
        return again(&bench, &route, &headers, &sent, wrong(field, message)).await;
    }
    if device.is_empty() {
        return again(&bench, &route, &headers, &sent, wrong("device", NAME_IT)).await;
    }
    let hash = bench.inner.passwords.hash(password).await?;
    let set =
        bench.inner.store.set_password(code, &hash, device, now, now + milliseconds(DEVICE_STAYS)).await;
    match set {
        Ok(joined) => {
            if let Some(Extension(member)) = member {
                // What this browser was before, it is no longer.
                let gone = bench.inner.store.revoke_by(&member.id, Act::SignedOut, member.actor(), now).await;
                gone.map_err(|error| trouble(&error))?;
            }
            bench.inner.members.forget_all();
            let_in(&bench, &headers, &joined.token)
        }
        Err(error) => refuse_code(&bench, &headers, &sent, &error).await,
    }
}

const NAME_IT: &str = "Give this device a name, such as `phone`.";

async fn refuse_code(
    bench: &Bench,
    headers: &HeaderMap,
    sent: &Sent,
    error: &Error,
) -> Result<Response, Failure> {
    let field = match error {
        Error::DeviceName { .. } => "device",
        Error::NoInvitation | Error::InvitationExpired | Error::InvitationUsed => "code",
        _ => return Err(trouble(error)),
    };
    again(bench, &Route::Welcome, headers, sent, wrong(field, words_of(error))).await
}

fn words_of(error: &Error) -> String {
    format!("{} {}", sentence(&error.to_string()), sentence(error.hint()))
}

fn too_many(wait: std::time::Duration) -> Failure {
    Failure::too_many_tries(wait)
}

/// The page again, with what was typed but the passwords.
async fn again(
    bench: &Bench,
    route: &Route,
    headers: &HeaderMap,
    sent: &Sent,
    refusal: Refusal,
) -> Result<Response, Failure> {
    let ground = Ground::of(bench, route, None, headers).await?;
    let secret = |name: &str| matches!(name, "password" | "repeated" | "old");
    let fields = Fields::from_pairs(sent.pairs.iter().filter(|(name, _)| !secret(name)).cloned());
    let (route, told) = (route.clone(), refusal.clone());
    let page = made(move || pages::show_refused(&route, &fields, &told, &ground.context())).await?;
    Ok(refused(headers, &refusal, page))
}

/// The answer to who was let in: the cookie, and the list of jobs.
pub(crate) fn let_in(bench: &Bench, headers: &HeaderMap, token: &str) -> Result<Response, Failure> {
    // Lax: the address of a QR code or a message opens with the cookie. What changes anything needs the token too.
    let secure = if bench.inner.setup.https { "; Secure" } else { "" };
    let age = DEVICE_STAYS.as_secs();
    let cookie = format!("{COOKIE_NAME}={token}; Path=/; Max-Age={age}; HttpOnly; SameSite=Lax{secure}");
    let cookie =
        HeaderValue::from_str(&cookie).map_err(|_| Failure::internal("The cookie could not be made."))?;
    let mut response = if is_script(headers) {
        json_of(StatusCode::OK, json!({ "go": "/" }).to_string())
    } else {
        Redirect::to("/").into_response()
    };
    response.headers_mut().insert(SET_COOKIE, cookie);
    Ok(response)
}
