//! Joining, and the devices that have joined.

use crate::bench::Bench;
use crate::clock;
use crate::entry::{again, json_of};
use crate::failure::{Failure, is_script};
use crate::members::Member;
use crate::page::{Ground, made};
use crate::people::sign::let_in;
use crate::qr;
use crate::sent::Sent;
use crate::trouble::{sentence, trouble};
use axum::Extension;
use axum::extract::{ConnectInfo, Request, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Redirect, Response};
use pages::{FieldError, Invitation, Refusal, Role, Route};
use serde_json::json;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::time::{Duration, Instant};
use store::{Act, Actor};

/// How long an invitation may be used.
pub const INVITATION_LASTS: Duration = Duration::from_secs(10 * 60);

/// How long a device stays in without joining again.
pub(crate) const DEVICE_STAYS: Duration = Duration::from_secs(30 * 24 * 60 * 60);

impl Bench {
    /// Makes an invitation for one device.
    ///
    /// # Errors
    /// The store fails.
    pub async fn invite(&self) -> Result<Invitation, store::Error> {
        self.invite_as(Role::Electrician).await
    }

    /// Makes an invitation for one device with a role.
    ///
    /// # Errors
    /// The store fails.
    pub async fn invite_as(&self, role: Role) -> Result<Invitation, store::Error> {
        self.invite_by(role, Actor::default()).await
    }

    async fn invite_by(&self, role: Role, by: Actor<'_>) -> Result<Invitation, store::Error> {
        let now = store::now_ms();
        let until = now + milliseconds(INVITATION_LASTS);
        let made = self.inner.store.invite_by(role.word(), by, now, until).await?;
        let address = format!("{}/join?code={}", self.inner.setup.address, made.code);
        let qr_svg = qr::for_page(&address).unwrap_or_default();
        Ok(Invitation { code: made.code, address, qr_svg, expires: clock::civil(made.expires) })
    }
}

/// Lets a device in by its code.
pub(crate) async fn join(State(bench): State<Bench>, request: Request) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let from = from(&request);
    let sent = Sent::of(request).await?;
    bench.inner.tries.take(from, Instant::now()).map_err(Failure::too_many_tries)?;
    let code = sent.first("code").map(str::trim).unwrap_or_default();
    let name = sent.first("name").map(str::trim).unwrap_or_default();
    let now = store::now_ms();
    let joined = bench.inner.store.join(code, name, now, now + milliseconds(DEVICE_STAYS)).await;
    let joined = match joined {
        Ok(joined) => joined,
        Err(error) => {
            let field = match &error {
                store::Error::DeviceName { .. } => "name",
                store::Error::NoInvitation
                | store::Error::InvitationExpired
                | store::Error::InvitationUsed => "code",
                _ => return Err(trouble(&error)),
            };
            let message = if name.is_empty() && field == "name" {
                "Give this device a name, such as `phone of JD`: it stands beside what it records.".to_owned()
            } else {
                format!("{} {}", sentence(&error.to_string()), sentence(error.hint()))
            };
            let refusal = Refusal { errors: vec![FieldError { field: field.to_owned(), message }] };
            let ground = Ground::of(&bench, &Route::Join, None, &headers).await?;
            return again(is_script(&headers), Route::Join, sent.fields(), refusal, ground).await;
        }
    };
    bench.inner.tries.give_back(from);
    let_in(&bench, &headers, &joined.token)
}

/// Invites a device or shuts one out.
pub(crate) async fn devices(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    match sent.first("act") {
        Some("invite") => {
            let role = sent.first("role").map_or(Role::Electrician, Role::of_word);
            // Nobody makes an invitation for more than is theirs: the office makes no electricians.
            if role == Role::Electrician && member.role != Role::Electrician {
                return Err(Failure::not_for(member.role, pages::Need::Qualified));
            }
            let invitation = bench.invite_by(role, member.actor()).await.map_err(|error| trouble(&error))?;
            let mut ground = Ground::of(&bench, &Route::Devices, Some(&member), &headers).await?;
            ground.invitation = Some(invitation);
            let fields = pages::Fields::default();
            let page = made(move || pages::show(&Route::Devices, &fields, &ground.context())).await?;
            Ok(([("cache-control", "no-store")], Html(page.html)).into_response())
        }
        Some("revoke") => {
            let device = sent.first("device").unwrap_or_default();
            let by = member.actor();
            let gone = bench.inner.store.revoke_by(device, Act::RevokedDevice, by, store::now_ms()).await;
            gone.map_err(|error| trouble(&error))?;
            bench.inner.members.forget(device);
            let go = if device == member.id { "/join" } else { "/devices" };
            Ok(Redirect::to(go).into_response())
        }
        _ => Err(Failure::new(
            StatusCode::UNPROCESSABLE_ENTITY,
            "Not possible",
            "Choose to invite a device or to shut one out.",
            "Open the page Devices again.",
        )),
    }
}

/// The token that the forms of this browser carry.
pub(crate) async fn token(Extension(member): Extension<Member>) -> Response {
    let answer = json!({ "csrf": member.csrf, "name": member.name });
    ([("cache-control", "no-store")], json_of(StatusCode::OK, answer.to_string())).into_response()
}

pub(crate) fn from(request: &Request) -> IpAddr {
    let known = request.extensions().get::<ConnectInfo<SocketAddr>>();
    known.map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |ConnectInfo(address)| address.ip())
}

pub(crate) fn milliseconds(duration: Duration) -> i64 {
    i64::try_from(duration.as_millis()).unwrap_or(i64::MAX)
}
