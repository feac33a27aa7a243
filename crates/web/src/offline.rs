//! What a phone keeps for the time without a network.

use crate::assets;
use crate::bench::Bench;
use crate::entry::json_of;
use crate::failure::Failure;
use crate::trouble::trouble;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use model::Space;
use pages::{EntryKind, Route};
use serde_json::json;

/// Jobs whose pages are kept: those that changed last.
const JOBS: i64 = 5;

/// The list of pages and files.
pub(crate) async fn list(State(bench): State<Bench>) -> Result<Response, Failure> {
    let mut pages =
        vec![Route::Jobs, Route::Board, Route::Policy, Route::Prices, Route::Cards, Route::New, Route::Guide];
    let jobs = bench.inner.store.newest_jobs(JOBS).await.map_err(|error| trouble(&error))?;
    for summary in jobs {
        // One that cannot be read must not keep the others from being kept.
        if let Ok(view) = bench.view(&summary.job).await {
            pages.extend(of_job(&view));
        }
    }
    let pages: Vec<String> = pages.iter().map(Route::to_string).collect();
    let assets: Vec<String> = assets::addresses().collect();
    let list = json!({ "version": assets::version(), "assets": assets, "pages": pages });
    Ok(json_of(StatusCode::OK, list.to_string()))
}

fn of_job(view: &pages::JobView) -> Vec<Route> {
    let own = || view.name.clone();
    let mut routes = vec![
        Route::Bench(own()),
        Route::Call(own()),
        Route::Log(own()),
        Route::Isolation(own()),
        Route::Plan(own()),
        Route::Survey(own()),
        Route::Surprises(own()),
        Route::Layout(own()),
        Route::Verdict(own()),
        Route::Photos(own()),
        Route::Papers(own()),
        Route::Price(own()),
        Route::Outage(own()),
        Route::Proving(own()),
        Route::Torque(own()),
        Route::Code(own()),
        Route::Load(own()),
        Route::Sizes(own()),
        Route::Asks(own()),
        Route::Editions(own()),
        Route::Panel(own(), String::new()),
    ];
    routes.extend(EntryKind::ALL.iter().map(|kind| Route::Enter(own(), *kind)));
    let panels = view.settled.job.iter().flat_map(|job| &job.installation.panels);
    for panel in panels {
        let id = panel.id.to_string();
        routes.push(Route::Panel(own(), id.clone()));
        routes.push(Route::Fill(own(), id.clone()));
        let whole = (1..=panel.n_spaces).map(Space::whole);
        let halves = panel.breakers.iter().flat_map(|breaker| breaker.spaces.iter().copied());
        let halves = halves.filter(|space| space.half.is_some());
        let of_space = |space: Space| Route::Space(own(), id.clone(), space.to_string());
        routes.extend(whole.chain(halves).map(of_space));
    }
    routes
}
