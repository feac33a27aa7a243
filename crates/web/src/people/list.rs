//! The people of the shop, for those who may invite.

use super::{no_act, refused, unkept, wrong};
use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use crate::join::milliseconds;
use crate::members::Member;
use crate::page::{Ground, made};
use crate::qr;
use crate::sent::Sent;
use crate::trouble::{sentence, trouble};
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use pages::{Fields, Invitation, Need, PeopleGround, PersonLine, Refusal, Role, Route};
use std::collections::BTreeMap;
use std::time::Duration;
use store::{Error, Person};

/// How long the invitation of a person may be used.
const PERSON_INVITED: Duration = Duration::from_secs(3 * 24 * 60 * 60);

/// The page.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let ground = bench.people(&member).await?;
    bench.people_page(&member, request.headers(), ground, Fields::default(), None).await.map(unkept)
}

/// Invites, gives a role, shuts out, lets in again.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    let store = &bench.inner.store;
    let (by, now) = (member.actor(), store::now_ms());
    let until = now + milliseconds(PERSON_INVITED);
    let on = sent.first("on").unwrap_or_default();
    let act = sent.first("act").unwrap_or_default();
    if act == "invite" {
        let role = sent.first("role").map_or(Role::Apprentice, Role::of_word);
        may_give(&member, role)?;
        let name = sent.first("name").unwrap_or_default();
        return match store.add_person(name, role.word(), by, now, until).await {
            Ok((person, code)) => bench.show_invited(&member, &headers, person, code).await,
            Err(error @ (Error::PersonName { .. } | Error::PersonThere { .. })) => {
                let refusal =
                    wrong("name", format!("{} {}", sentence(&error.to_string()), sentence(error.hint())));
                let ground = bench.people(&member).await?;
                let page = bench
                    .people_page(&member, &headers, ground, sent.fields(), Some(refusal.clone()))
                    .await?;
                Ok(refused(&headers, &refusal, page))
            }
            Err(error) => Err(trouble(&error)),
        };
    }
    let person = store.person(on).await.map_err(|error| trouble(&error))?;
    let person = person.ok_or_else(|| trouble(&Error::NoPerson { person: on.to_owned() }))?;
    // The office gives no electrician a password or a role, and shuts none out.
    may_give(&member, Role::of_word(&person.role))?;
    let done = match act {
        "again" => {
            let code = store.invite_person(on, by, now, until).await.map_err(|error| trouble(&error))?;
            return bench.show_invited(&member, &headers, person, code).await;
        }
        "role" => {
            let role = Role::of_word(sent.first("role").unwrap_or_default());
            may_give(&member, role)?;
            store.change_role(on, role.word(), by, now).await
        }
        "revoke" => store.revoke_person(on, by, now).await,
        "restore" => store.restore_person(on, by, now).await,
        _ => return Err(no_act()),
    };
    done.map_err(|error| trouble(&error))?;
    bench.inner.members.forget_all();
    let go = if act == "revoke" && on == member.person { Route::Join } else { Route::People };
    Ok(Redirect::to(&go.to_string()).into_response())
}

/// Nobody gives more than is theirs.
fn may_give(member: &Member, role: Role) -> Result<(), Failure> {
    let refused = role == Role::Electrician && member.role != Role::Electrician;
    if refused { Err(Failure::not_for(member.role, Need::Qualified)) } else { Ok(()) }
}

impl Bench {
    async fn people(&self, member: &Member) -> Result<PeopleGround, Failure> {
        let persons = self.inner.store.persons().await.map_err(|error| trouble(&error))?;
        let devices = self.inner.store.devices().await.map_err(|error| trouble(&error))?;
        let now = store::now_ms();
        let mut n_devices: BTreeMap<String, usize> = BTreeMap::new();
        for device in devices.into_iter().filter(|device| device.is_welcome(now)) {
            *n_devices.entry(device.person).or_default() += 1;
        }
        let line = |person: Person| PersonLine {
            n_devices: n_devices.get(&person.id).copied().unwrap_or_default(),
            this: person.id == member.person,
            role: Role::of_word(&person.role),
            has_password: !person.password.is_empty(),
            revoked: person.revoked.is_some(),
            id: person.id,
            name: person.name,
        };
        let roles = Role::ALL.into_iter().filter(|role| may_give(member, *role).is_ok()).collect();
        Ok(PeopleGround { persons: persons.into_iter().map(line).collect(), invitation: None, roles })
    }

    async fn people_page(
        &self,
        member: &Member,
        headers: &HeaderMap,
        people: PeopleGround,
        fields: Fields,
        refusal: Option<Refusal>,
    ) -> Result<pages::Page, Failure> {
        let ground = Ground::of(self, &Route::People, Some(member), headers).await?;
        made(move || pages::people_page(&people, &fields, refusal.as_ref(), &ground.context())).await
    }

    async fn show_invited(
        &self,
        member: &Member,
        headers: &HeaderMap,
        person: Person,
        code: store::Invitation,
    ) -> Result<Response, Failure> {
        let address = format!("{}{}?code={}", self.inner.setup.address, Route::Welcome, code.code);
        let qr_svg = qr::for_page(&address).unwrap_or_default();
        let invitation = Invitation { code: code.code, address, qr_svg, expires: clock::civil(code.expires) };
        let mut people = self.people(member).await?;
        people.invitation = Some((person.name, invitation));
        self.people_page(member, headers, people, Fields::default(), None).await.map(unkept)
    }
}
