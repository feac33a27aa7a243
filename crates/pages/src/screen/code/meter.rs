//! Interval-meter data: the upload, and what was in the file. The file itself is not kept.

use super::{cautions, job_of, note, places};
use crate::context::Context;
use crate::entry::words::with_query;
use crate::fields::Fields;
use crate::form::Sheet;
use crate::route::{EntryKind, Route};
use crate::shell::{Page, shell};
use maud::{Markup, PreEscaped, html};
use study::code::{MeterChannel, MeterData, Readings};
use study::words::capital;

pub(crate) fn page(job: &str, query: &Fields, cx: &Context<'_>) -> Page {
    let route = Route::Meter(job.to_owned());
    let view = match job_of(cx) {
        Ok((view, _)) => view,
        Err(page) => return page,
    };
    let body = html! {
        p.lede { "Interval data of the utility, for the demand that was measured. The owner downloads it from the utility’s site." }
        (places(view, &route))
        (upload(cx, &route, query))
        (cautions())
    };
    shell(cx, "Meter data", &route, body)
}

/// The page of a file that was read, or why it was not.
pub fn read_page(job: &str, read: &Result<MeterData, String>, cx: &Context<'_>) -> Page {
    let route = Route::Meter(job.to_owned());
    let view = match job_of(cx) {
        Ok((view, _)) => view,
        Err(page) => return page,
    };
    let body = html! {
        (places(view, &route))
        @match read {
            Err(why) => div.error-list role="alert" { h2 { "Not read" } p { (capital(why)) "." } },
            Ok(data) => {
                p.quiet { (format!("{:.1}", data.bytes as f64 / 1e6)) " MB read. The file is not kept, nor any name or address in it." }
                @if 1 < data.channels.len() {
                    div.caution { p { (data.channels.len()) " channels are in the file. They are never added: take the one that is this service." } }
                }
                @for one in &data.notes { (note(one)) }
                @if data.channels.is_empty() { section.sheet { p { "The file has no interval readings." } } }
                @for channel in &data.channels { (self::channel(&view.name, channel, data)) }
            }
        }
        (upload(cx, &route, &Fields::default()))
        (cautions())
    };
    shell(cx, "Meter data", &route, body)
}

fn upload(cx: &Context<'_>, route: &Route, query: &Fields) -> Markup {
    let sheet = Sheet::new(query, None);
    html! {
        section.sheet {
            h2 { "Read a file" }
            p { "ESPI XML (“Green Button”) or a table as CSV, up to 150 MB. It needs the bench: nothing of it waits for a network." }
            form method="post" action=(route) enctype="multipart/form-data" {
                input type="hidden" name="csrf" value=(cx.csrf);
                details.more {
                    summary { "Time zone, columns of a table" }
                    (sheet.text("offset", "Hours from UTC to local time", "−5 for Eastern standard time. Left empty: as the file says.", ""))
                    (sheet.text("column", "Column with the value", "Of a table with several.", ""))
                    (sheet.pick("unit", "Its unit", "", &[("", "As the header says", ""), ("kwh", "kWh", ""), ("wh", "Wh", ""), ("kw", "kW", ""), ("w", "W", "")], ""))
                    (sheet.whole("interval", "Interval, minutes", "Of a table; left empty: as its times tell.", None))
                }
                div.field {
                    label for="f-file" { "The file" }
                    input #f-file type="file" name="file" accept=".xml,.csv,.txt,text/xml,application/xml,text/csv" required;
                }
                div.actions { button.big { "Read the file" } }
            }
        }
    }
}

fn channel(job: &str, channel: &MeterChannel, data: &MeterData) -> Markup {
    html! {
        section.sheet {
            h2 { (capital(&channel.label)) }
            @match &channel.readings {
                Err(why) => p.caution { "Refused: " (why) "." },
                Ok(readings) => (self::readings(job, readings, data)),
            }
        }
    }
}

fn readings(job: &str, readings: &Readings, data: &MeterData) -> Markup {
    let length = match readings.interval_s {
        seconds if seconds <= 7200 => format!("{} min", seconds / 60),
        seconds => format!("{} h", seconds / 3600),
    };
    html! {
        dl {
            dt { "Readings" } dd { (readings.n) " of " (length) ", " (readings.days.len()) " days" }
            dt { "Energy" } dd { (format!("{:.0}", readings.kwh)) " kWh" }
            dt { "Greatest mean of a reading" } dd { (format!("{:.2}", readings.peak_kw)) " kW" }
        }
        @if !data.offset_told { p.quiet { "The file tells no time zone: days are counted by its own labels, or in UTC." } }
        @match &readings.demand {
            Err(why) => p.caution { "No demand: " (why) "." },
            Ok(demand) => {
                @let (least, most) = (demand.measured.least_kw, demand.measured.most_kw);
                @if least < most {
                    p { "The demand of fifteen minutes lies between " strong { (format!("{least:.2}")) " kW" } " and " strong { (format!("{most:.2}")) " kW" }
                        ". Readings of " (demand.interval_min) " min tell their mean only: at least the mean, at most the whole energy of one reading within a quarter of an hour; "
                        (format!("{:.2}", demand.straddling_kw)) " kW where the quarter lies across two." }
                } @else { p { "The greatest demand of fifteen minutes was " strong { (format!("{most:.2}")) " kW" } "." } }
                @let days = demand.days.map(|days| days.to_string()).unwrap_or_default();
                @let words = format!("meter data, {} readings of {length}", readings.n);
                a.big.full href=(with_query(&Route::Enter(job.to_owned(), EntryKind::Demand), &[
                    ("least_kw", &least.to_string()), ("most_kw", &most.to_string()), ("interval_min", &demand.interval_min.to_string()),
                    ("days", &days), ("words", &words), ("go", &Route::Code(job.to_owned()).to_string()),
                ])) { "Take this demand" }
            }
        }
        div.drawing { (PreEscaped(study::code::meter_chart(readings))) }
        details.more {
            summary { "Peak days" }
            table {
                thead { tr { th scope="col" { "Day" } th.n scope="col" { "Peak" } th.n scope="col" { "Energy" } } }
                tbody { @for day in &readings.peak_days { tr { th scope="row" { (day.day) } td.n { (format!("{:.2}", day.kw)) " kW" } td.n { (format!("{:.1}", day.kwh)) " kWh" } } } }
            }
        }
        @for one in &readings.notes { (note(one)) }
    }
}
