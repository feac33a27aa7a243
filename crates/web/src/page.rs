//! Pages: what they are made from, and giving them.

use crate::bench::Bench;
use crate::clock;
use crate::failure::Failure;
use crate::guard::chance_hex;
use crate::members::{Member, cookie};
use crate::sent::query;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Request, State};
use axum::http::HeaderMap;
use axum::response::{Html, IntoResponse, Response};
use jiff::civil::DateTime;
use pages::{Context, Device, Fields, Invitation, JobLine, JobView, Light, Page, Route, Viewer};
use std::sync::Arc;

/// What a page is made from, owned.
pub(crate) struct Ground {
    pub(crate) now: DateTime,
    name: String,
    csrf: String,
    entry: String,
    light: Light,
    pub(crate) jobs: Vec<JobLine>,
    pub(crate) job: Option<Arc<JobView>>,
    pub(crate) devices: Vec<Device>,
    pub(crate) invitation: Option<Invitation>,
    policy: Arc<crate::policy::InForce>,
    pub(crate) board: Vec<study::BoardLine>,
    book: Arc<study::code::Book>,
    shop: Arc<study::Shop>,
}

impl Ground {
    /// The ground of a page of a route; `member` is who looks.
    ///
    /// # Errors
    /// The route's job is not there, or the store fails.
    pub(crate) async fn of(
        bench: &Bench,
        route: &Route,
        member: Option<&Member>,
        headers: &HeaderMap,
    ) -> Result<Ground, Failure> {
        let mut ground = Ground {
            now: clock::now(),
            name: member.map(|member| member.name.clone()).unwrap_or_default(),
            csrf: member.map(|member| member.csrf.clone()).unwrap_or_default(),
            entry: chance_hex()?,
            light: Light::of_word(cookie(headers, "light").unwrap_or_default()),
            jobs: Vec::new(),
            job: None,
            devices: Vec::new(),
            invitation: None,
            policy: bench.in_force().await?,
            board: Vec::new(),
            book: bench.book(),
            shop: bench.shop().await?,
        };
        if let Some(job) = route.job() {
            ground.job = Some(bench.view(job).await?);
        }
        if matches!(route, Route::Price(_) | Route::Outage(_)) {
            ground.shop = Arc::new(study::Shop { past: bench.past().await?, ..(*ground.shop).clone() });
        }
        if let (Route::Devices, Some(member)) = (route, member) {
            ground.devices = bench.device_lines(member).await?;
        }
        Ok(ground)
    }

    /// As the pages take it.
    pub(crate) fn context(&self) -> Context<'_> {
        Context {
            now: self.now,
            viewer: Viewer { name: &self.name },
            light: self.light,
            csrf: &self.csrf,
            entry: &self.entry,
            jobs: &self.jobs,
            job: self.job.as_deref(),
            devices: &self.devices,
            invitation: self.invitation.as_ref(),
            policy: &self.policy.policy,
            policy_text: pages::PolicyText {
                text: &self.policy.text,
                origin: &self.policy.origin,
                locked: self.policy.locked,
            },
            board: &self.board,
            book: &self.book,
            shop: &self.shop,
        }
    }
}

/// Gives the page of an address.
pub(crate) async fn give(
    State(bench): State<Bench>,
    member: Option<Extension<Member>>,
    request: Request,
) -> Result<Response, Failure> {
    let route = route_of(&request)?;
    let member = member.map(|Extension(member)| member);
    let ground = Ground::of(&bench, &route, member.as_ref(), request.headers()).await?;
    if let Some(view) = &ground.job {
        bench.judge_if_stale(view);
    }
    let fields = query(request.uri());
    let open_links = bench.open_links(&route, member.as_ref()).await?;
    let page = made(move || pages::show(&route, &fields, &ground.context())).await?;
    let page = if open_links == 0 { page } else { pages::with_open_links(page, open_links) };
    Ok(Html(page.html).into_response())
}

/// A page again, with what is wrong with its form.
pub(crate) async fn refused(
    route: Route,
    fields: Fields,
    refusal: pages::Refusal,
    ground: Ground,
) -> Result<Page, Failure> {
    made(move || pages::show_refused(&route, &fields, &refusal, &ground.context())).await
}

/// The route of a request.
pub(crate) fn route_of(request: &Request) -> Result<Route, Failure> {
    Route::of_path(request.uri().path()).ok_or_else(Failure::not_found)
}

/// Makes a page. A fault in one page must not take the connection with it.
pub(crate) async fn made<T: Send + 'static>(make: impl FnOnce() -> T + Send + 'static) -> Result<T, Failure> {
    let make = std::panic::AssertUnwindSafe(make);
    std::panic::catch_unwind(make)
        .map_err(|_| Failure::internal("The page could not be made: a fault of the program."))
}

impl Bench {
    async fn device_lines(&self, member: &Member) -> Result<Vec<Device>, Failure> {
        let devices = self.inner.store.devices().await.map_err(|error| trouble(&error))?;
        Ok(devices.into_iter().map(|device| device_line(device, member)).collect())
    }
}

/// A device as pages show it.
pub(crate) fn device_line(device: store::Device, member: &Member) -> Device {
    Device {
        this: device.id == member.id,
        id: device.id,
        name: device.name,
        person: device.person_name,
        joined: clock::civil(device.joined),
        seen: device.seen.map(clock::civil),
        expires: clock::civil(device.expires),
        role: pages::Role::of_word(&device.role),
        revoked: device.revoked.is_some(),
    }
}
