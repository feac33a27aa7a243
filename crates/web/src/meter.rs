//! Interval-meter files: read as they arrive, in pieces, and not kept.

use crate::bench::Bench;
use crate::failure::Failure;
use crate::guard::same;
use crate::members::Member;
use crate::page::{Ground, made, route_of};
use axum::Extension;
use axum::extract::{FromRequest, Multipart, Request, State};
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use pages::Route;
use study::code::{CsvForm, MeterData, MeterReader, ValueUnit, service_a, system};

/// Largest file: a year of five-minute readings of several channels is far below.
pub(crate) const METER_MAX_BYTES: usize = 150 * 1024 * 1024;

/// Largest text field beside the file.
const TEXT_MAX_BYTES: usize = 1024;

/// Takes a meter file and shows what was in it. Nothing is stored.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let route = route_of(&request)?;
    let headers = request.headers().clone();
    let ground = Ground::of(&bench, &route, Some(&member), &headers).await?;
    // Each upload holds its readings in memory.
    let _turn = bench.inner.uploads.try_acquire().map_err(|_| Failure::busy())?;
    let parts = Multipart::from_request(request, &()).await;
    let mut parts = parts.map_err(|refused| torn(refused.status()))?;
    let job = ground.job.as_ref().and_then(|view| view.settled.job.as_ref());
    let (service_a, volts) =
        (job.and_then(service_a), job.and_then(system).map_or(240.0, model::System::leg_to_leg_v));
    let mut form = Form::default();
    let mut read: Option<Result<MeterData, String>> = None;
    while let Some(mut part) = parts.next_field().await.map_err(|error| torn(error.status()))? {
        if part.file_name().is_none() {
            let name = part.name().unwrap_or_default().to_owned();
            let mut bytes = Vec::new();
            while let Some(chunk) = part.chunk().await.map_err(|error| torn(error.status()))? {
                if TEXT_MAX_BYTES < bytes.len() + chunk.len() {
                    return Err(torn(StatusCode::PAYLOAD_TOO_LARGE));
                }
                bytes.extend_from_slice(&chunk);
            }
            form.take(&name, String::from_utf8_lossy(&bytes).trim());
            continue;
        }
        // The token stands before the file, so that a stranger's file is not even read.
        if !same(&form.csrf, &member.csrf) {
            return Err(Failure::stale_token());
        }
        let mut reader = MeterReader::new(form.csv());
        let mut wrong = None;
        while let Some(chunk) = part.chunk().await.map_err(|error| torn(error.status()))? {
            if METER_MAX_BYTES < usize::try_from(reader.bytes()).unwrap_or(usize::MAX) + chunk.len() {
                return Err(torn(StatusCode::PAYLOAD_TOO_LARGE));
            }
            if let Err(error) = reader.feed(&chunk) {
                wrong = Some(error.to_string());
                break;
            }
        }
        let offset_h = form.offset_h;
        read = Some(match wrong {
            Some(wrong) => Err(wrong),
            None => {
                // Sorting a hundred megabytes of readings is no work for the threads that serve pages.
                let done =
                    tokio::task::spawn_blocking(move || reader.finish(service_a, volts, offset_h)).await;
                done.map_err(|_| Failure::internal("The file could not be read."))?
                    .map_err(|error| error.to_string())
            }
        });
        break;
    }
    if !same(&form.csrf, &member.csrf) {
        return Err(Failure::stale_token());
    }
    let read = read.unwrap_or_else(|| Err("no file was sent".to_owned()));
    let status = if read.is_ok() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let Route::Meter(job) = route else { return Err(Failure::not_found()) };
    let page = made(move || pages::meter_page(&job, &read, &ground.context())).await?;
    Ok(crate::entry::said(status, Html(page.html)).into_response())
}

/// What stands beside the file.
#[derive(Debug, Default)]
struct Form {
    csrf: String,
    offset_h: Option<f64>,
    column: Option<String>,
    unit: Option<ValueUnit>,
    interval_s: Option<u32>,
}

impl Form {
    fn take(&mut self, name: &str, text: &str) {
        let hours = |text: &str| text.replace('\u{2212}', "-").parse::<f64>().ok();
        match name {
            "csrf" => self.csrf = text.to_owned(),
            "offset" => self.offset_h = hours(text).filter(|hours| (-14.0..=14.0).contains(hours)),
            "column" => self.column = (!text.is_empty()).then(|| text.to_owned()),
            "unit" => {
                self.unit = match text {
                    "wh" => Some(ValueUnit::Wh),
                    "kwh" => Some(ValueUnit::Kwh),
                    "w" => Some(ValueUnit::W),
                    "kw" => Some(ValueUnit::Kw),
                    _ => None,
                }
            }
            "interval" => {
                let minutes = text.parse::<u32>().ok().filter(|minutes| (1..=1440).contains(minutes));
                self.interval_s = minutes.map(|minutes| minutes * 60);
            }
            _ => {}
        }
    }

    fn csv(&self) -> CsvForm {
        CsvForm { value: self.column.clone(), unit: self.unit, interval_s: self.interval_s }
    }
}

fn torn(status: StatusCode) -> Failure {
    match status {
        StatusCode::PAYLOAD_TOO_LARGE => Failure::new(
            status,
            "Too large",
            format!("The file is larger than {} MB; it was not read.", METER_MAX_BYTES / 1024 / 1024),
            "Ask the utility for one year of one meter, or read it with `panelwright meter` on the laptop.",
        ),
        _ => Failure::new(
            StatusCode::BAD_REQUEST,
            "Not a form",
            "The file did not arrive whole.",
            "Send it again from the page.",
        ),
    }
}
