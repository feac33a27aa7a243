//! Who looks: own devices, another password, signing out.

use super::password::doubt;
use super::{no_act, refused, unkept, wrong};
use crate::bench::Bench;
use crate::failure::Failure;
use crate::members::{COOKIE_NAME, Member};
use crate::page::{Ground, made};
use crate::sent::Sent;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::HeaderMap;
use axum::http::header::{HeaderValue, SET_COOKIE};
use axum::response::{IntoResponse, Redirect, Response};
use pages::{Fields, MeGround, Page, Refusal, Route};
use std::time::Instant;
use store::Act;

/// The page.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    bench.me_page(&member, request.headers(), None).await.map(unkept)
}

/// Signs out here or elsewhere, or changes the password.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    let store = &bench.inner.store;
    let now = store::now_ms();
    match sent.first("act") {
        Some("leave") => {
            let gone = store.revoke_by(&member.id, Act::SignedOut, member.actor(), now).await;
            gone.map_err(|error| trouble(&error))?;
            bench.inner.members.forget(&member.id);
            let mut response = Redirect::to(&Route::Join.to_string()).into_response();
            let cookie = format!("{COOKIE_NAME}=; Path=/; Max-Age=0; HttpOnly; SameSite=Lax");
            if let Ok(cookie) = HeaderValue::from_str(&cookie) {
                response.headers_mut().insert(SET_COOKIE, cookie);
            }
            Ok(response)
        }
        Some("shut") => {
            let on = sent.first("on").unwrap_or_default();
            let own = bench.own_devices(&member).await?;
            // Only one's own: the list of all devices is for those who manage them.
            if !own.iter().any(|device| device.id == on) {
                return Err(trouble(&store::Error::NoDevice { device: on.to_owned() }));
            }
            let gone = store.revoke_by(on, Act::SignedOut, member.actor(), now).await;
            gone.map_err(|error| trouble(&error))?;
            bench.inner.members.forget(on);
            Ok(Redirect::to(&Route::Me.to_string()).into_response())
        }
        Some("password") if !member.person.is_empty() => {
            bench.change_password(&member, &headers, &sent).await
        }
        _ => Err(no_act()),
    }
}

impl Bench {
    async fn change_password(
        &self,
        member: &Member,
        headers: &HeaderMap,
        sent: &Sent,
    ) -> Result<Response, Failure> {
        let passwords = &self.inner.passwords;
        let text = |field| sent.first(field).unwrap_or_default();
        passwords.tries.take(&member.name, Instant::now()).map_err(Failure::too_many_tries)?;
        let person = self.inner.store.person(&member.person).await.map_err(|error| trouble(&error))?;
        let person = person.ok_or_else(Failure::not_joined)?;
        let refusal = if !passwords.is_right(text("old"), &person.password).await? {
            self.note(Act::SignInRefused, member.actor(), &person.id).await;
            Some(wrong("old", "This is not the password that holds now."))
        } else {
            passwords.tries.forgive(&member.name);
            let found = doubt(text("password"), text("repeated"), &person.name);
            found.map(|(field, message)| wrong(field, message))
        };
        if let Some(refusal) = refusal {
            let page = self.me_page(member, headers, Some(refusal.clone())).await?;
            return Ok(refused(headers, &refusal, page));
        }
        let hash = passwords.hash(text("password")).await?;
        let changed = self.inner.store.change_password(&person, &hash, member.actor(), store::now_ms()).await;
        changed.map_err(|error| trouble(&error))?;
        self.inner.members.forget_all();
        Ok(Redirect::to(&Route::Me.to_string()).into_response())
    }

    async fn own_devices(&self, member: &Member) -> Result<Vec<pages::Device>, Failure> {
        let now = store::now_ms();
        let devices = self.inner.store.devices().await.map_err(|error| trouble(&error))?;
        let own = devices.into_iter().filter(|device| {
            let mine = !member.person.is_empty() && device.person == member.person;
            device.is_welcome(now) && (mine || device.id == member.id)
        });
        Ok(own.map(|device| crate::page::device_line(device, member)).collect())
    }

    async fn me_page(
        &self,
        member: &Member,
        headers: &HeaderMap,
        refusal: Option<Refusal>,
    ) -> Result<Page, Failure> {
        let ground = Ground::of(self, &Route::Me, Some(member), headers).await?;
        let me = MeGround {
            name: member.name.clone(),
            role: member.role,
            is_person: !member.person.is_empty(),
            devices: self.own_devices(member).await?,
        };
        made(move || pages::me_page(&me, &Fields::default(), refusal.as_ref(), &ground.context())).await
    }
}
