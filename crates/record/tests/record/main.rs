//! Job files read as a user writes them, and facts as a device sends them.

mod cases;
mod fold;
mod forget;
mod guide;
mod invented;
mod reading;
mod round_trip;
mod settle;

/// The day on which all tests are read.
const TODAY: model::Date = model::Date::constant(2026, 11, 25);

/// Every problem of a text, as printed.
fn told(text: &str) -> String {
    let reading = record::read_job("job.toml", text, TODAY);
    reading.problems.iter().map(|problem| record::render(problem, text)).collect()
}
