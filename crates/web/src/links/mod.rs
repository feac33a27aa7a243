//! Links for somebody outside the shop: making and taking back, and what they open.

mod given;
mod see;

pub(crate) use given::GivenOut;
pub(crate) use see::{page as see, paper};

use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use crate::members::Member;
use crate::page::{Ground, made};
use crate::people::{no_act, unkept};
use crate::qr;
use crate::sent::Sent;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Path, Request, State};
use axum::http::HeaderMap;
use axum::response::{IntoResponse, Redirect, Response};
use pages::{Fields, LinkLine, LinksGround, MadeLink, Need, Route};

/// Milliseconds of a day.
const DAY_MS: i64 = 24 * 60 * 60 * 1000;

/// For how many days a link may open.
const DAYS: [u16; 3] = [14, 30, 90];

/// What a link may open: its word in the store, and its name.
const PAPERS: [(&str, &str); 4] = [
    ("", "All of these"),
    ("letter", "Letter to the owner"),
    ("record", "Technical record"),
    ("drawings", "Drawings of the panels"),
];

/// For whom a link may be.
const AUDIENCES: [(&str, &str); 3] = [("owner", "Owner"), ("inspector", "Inspector"), ("insurer", "Insurer")];

/// The page.
pub(crate) async fn give(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    Path(job): Path<String>,
    request: Request,
) -> Result<Response, Failure> {
    bench.links_page(&job, &member, request.headers(), None).await
}

/// Makes a link or takes one back.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    Path(job): Path<String>,
    request: Request,
) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    let now = store::now_ms();
    let of = |field: &str| sent.first(field).unwrap_or_default();
    match of("act") {
        "make" => {
            let listed = |list: &[(&'static str, &str)], word: &str| {
                list.iter().map(|(known, _)| *known).find(|known| *known == word)
            };
            let asked = (listed(&PAPERS, of("paper")), listed(&AUDIENCES, of("audience")));
            let days = DAYS.into_iter().find(|days| days.to_string() == of("days"));
            let ((Some(paper), Some(audience)), Some(days)) = (asked, days) else { return Err(no_act()) };
            let expires = now + i64::from(days) * DAY_MS;
            let link = bench.inner.store.make_link(&job, paper, audience, member.actor(), now, expires).await;
            let (link, token) = link.map_err(|error| trouble(&error))?;
            let address = format!("{}/see/{token}", bench.inner.setup.address);
            let qr_svg = qr::for_page(&address).unwrap_or_default();
            let made = MadeLink { address, qr_svg, expires: clock::civil(link.expires) };
            bench.links_page(&job, &member, &headers, Some(made)).await
        }
        "revoke" => {
            let back = bench.inner.store.revoke_link(&job, of("on"), member.actor(), now).await;
            back.map_err(|error| trouble(&error))?;
            Ok(Redirect::to(&Route::Links(job).to_string()).into_response())
        }
        _ => Err(no_act()),
    }
}

impl Bench {
    /// How many links are open, for the page of a job and somebody who may take them back; 0 for all others.
    pub(crate) async fn open_links(&self, route: &Route, member: Option<&Member>) -> Result<usize, Failure> {
        let (Route::Bench(job), Some(member)) = (route, member) else { return Ok(0) };
        if !member.role.may(Need::Manage) {
            return Ok(0);
        }
        let links = self.inner.store.links(job).await.map_err(|error| trouble(&error))?;
        let now = store::now_ms();
        Ok(links.iter().filter(|link| link.is_open(now)).count())
    }

    async fn links_page(
        &self,
        job: &str,
        member: &Member,
        headers: &HeaderMap,
        made_link: Option<MadeLink>,
    ) -> Result<Response, Failure> {
        let ground = Ground::of(self, &Route::Links(job.to_owned()), Some(member), headers).await?;
        let now = store::now_ms();
        let name = |list: &[(&str, &str)], word: &str| {
            let found = list.iter().find(|(known, _)| *known == word);
            found.map_or_else(|| word.to_owned(), |(_, name)| (*name).to_owned())
        };
        let links = self.inner.store.links(job).await.map_err(|error| trouble(&error))?;
        let line = |link: store::Link| LinkLine {
            what: if link.paper.is_empty() {
                "All papers given out".to_owned()
            } else {
                name(&PAPERS, &link.paper)
            },
            audience: name(&AUDIENCES, &link.audience),
            made: clock::civil(link.made),
            expires: clock::civil(link.expires),
            revoked: link.revoked.is_some(),
            is_open: link.is_open(now),
            id: link.id,
        };
        let links = LinksGround {
            links: links.into_iter().map(line).collect(),
            made: made_link,
            papers: PAPERS.to_vec(),
            audiences: AUDIENCES.to_vec(),
            days: DAYS.to_vec(),
        };
        let job = job.to_owned();
        let page = move || pages::links_page(&job, &links, &Fields::default(), None, &ground.context());
        made(page).await.map(unkept)
    }
}
