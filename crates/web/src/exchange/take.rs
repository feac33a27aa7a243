//! Facts that another bench holds: what its role may record is stored, the rest is refused one by one.

use super::wire::{OfJob, Taken};
use crate::bench::Bench;
use crate::failure::Failure;
use crate::guard::same;
use crate::members::Member;
use crate::trouble::trouble;
use axum::extract::{Query, State};
use axum::http::HeaderMap;
use axum::{Extension, Json};
use record::Fact;

/// Takes facts, one a line.
pub(crate) async fn facts(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    Query(of): Query<OfJob>,
    headers: HeaderMap,
    lines: String,
) -> Result<Json<Taken>, Failure> {
    check_token(&headers, &member)?;
    let mut taken = Taken::default();
    let mut facts = Vec::new();
    for (at, line) in lines.lines().enumerate() {
        match Fact::from_json(line) {
            Err(error) => taken.refused.push((format!("line {}", at + 1), error.to_string())),
            Ok(fact) => match member.role.may(pages::need_of_fact(&fact.body)) {
                true => facts.push(fact),
                false => {
                    let why = format!("not for the role {}", member.role.word());
                    taken.refused.push((fact.id().as_str().to_owned(), why));
                }
            },
        }
    }
    if !facts.is_empty() {
        let stored = bench.inner.store.take_in(&of.job, Some(&member.id), facts).await;
        (taken.stored, taken.differ) = stored.map_err(|error| trouble(&error))?;
        bench.inner.exchanges.took_facts(&member, taken.stored);
    }
    Ok(Json(taken))
}

/// Does the request carry the token of this device, as every form does?
///
/// # Errors
/// It does not.
pub(super) fn check_token(headers: &HeaderMap, member: &Member) -> Result<(), Failure> {
    let token = headers.get("x-csrf").and_then(|token| token.to_str().ok());
    if token.is_some_and(|token| same(token, &member.csrf)) { Ok(()) } else { Err(Failure::stale_token()) }
}
