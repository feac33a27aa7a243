//! The day as it really went: steps ticked into hours, and what was built against what was quoted.

use model::advice::ChoiceKind;
use model::job::Job;
use model::offer::{Clock, Outage, Quote};
use model::{Cents, Date, DateTime};
use remedy::outage::{Booking, Minute};
use remedy::price::{NoPrice, PriceBook, built};
use remedy::work::{Step, option_of_word, steps};

/// How far a step is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepCourse {
    /// Not begun.
    Open,
    /// Begun at this time.
    Begun(DateTime),
    /// Done at this time; begun at the first, where it is known.
    Done(Option<DateTime>, DateTime),
}

/// A step with the hours that it really took.
#[derive(Debug, Clone, PartialEq)]
pub struct StepHours {
    /// The step.
    pub id: String,
    /// What is done.
    pub words: String,
    /// How far it is.
    pub course: StepCourse,
    /// People at it.
    pub people: u32,
    /// Person-hours, where begin and end are known.
    pub hours: Option<f64>,
    /// What held it up.
    pub held_up: String,
}

/// What was built against what was quoted.
#[derive(Debug, Clone, PartialEq)]
pub struct Built {
    /// The steps as they went.
    pub steps: Vec<StepHours>,
    /// Person-hours by ticks.
    pub hours: f64,
    /// Steps whose begin or end nobody ticked.
    pub untimed: Vec<String>,
    /// What hours and parts come to; `None`: no hours or no parts are on record.
    pub sum: Option<Result<Cents, NoPrice>>,
    /// The last quote for what was done.
    pub quote: Option<Quote>,
}

/// The day that is booked, where one is.
pub fn booked(job: &Job) -> Option<&Outage> {
    job.replacement.outages.last()
}

/// What is booked, as the plan takes it.
pub fn booking_of(outage: &Outage) -> Booking {
    let minute = |clock: Clock| Minute::from(clock.0);
    let window = |(from, to): (Option<Clock>, Option<Clock>)| {
        from.zip(to).map(|(from, to)| (minute(from), minute(to)))
    };
    let own = Booking::default();
    Booking {
        start: outage.start.map_or(own.start, minute),
        crew: outage.crew.map_or(own.crew, u32::from),
        cut: window(outage.cut),
        inspector: window(outage.inspector),
        inspector_latest: None,
        reconnect: window(outage.reconnect),
        reconnect_latest: outage.reconnect_by.map(minute),
        done: outage.done.clone(),
    }
}

/// The steps of an option as they went. A step that nobody began by a tick began when the one before it was done, on the
/// same day.
pub fn step_hours(job: &Job, option: ChoiceKind) -> Vec<StepHours> {
    let ticks = &job.replacement.ticks;
    let all = steps();
    let of = |step: &Step| {
        let own = || ticks.iter().filter(|tick| tick.step == step.id);
        let done = own().rfind(|tick| tick.done);
        let end = done.map(|tick| tick.at);
        let begun = own().rfind(|tick| !tick.done && end.is_none_or(|end| tick.at <= end));
        let begin = begun.map(|tick| tick.at);
        let before = end.and_then(|end| {
            let others = ticks.iter().filter(|tick| tick.done && tick.step != step.id && tick.at < end);
            others.map(|tick| tick.at).filter(|at| at.date() == end.date()).max()
        });
        let said = done.and_then(|tick| tick.people).or(begun.and_then(|tick| tick.people));
        let people = said.map_or(step.people, u32::from);
        let from = begin.or(before);
        let minutes = from.zip(end).map(|(from, end)| minutes_between(from, end));
        StepHours {
            id: step.id.clone(),
            words: step.words.clone(),
            course: match (from, end) {
                (from, Some(end)) => StepCourse::Done(from, end),
                (_, None) => begin.map_or(StepCourse::Open, StepCourse::Begun),
            },
            people,
            hours: minutes.map(|minutes| minutes * f64::from(people) / 60.0),
            held_up: own()
                .map(|tick| tick.words.as_str())
                .filter(|words| !words.is_empty())
                .collect::<Vec<_>>()
                .join("; "),
        }
    };
    all.of(option).map(of).collect()
}

/// Minutes between two times.
fn minutes_between(from: DateTime, to: DateTime) -> f64 {
    to.duration_since(from).as_secs() as f64 / 60.0
}

/// The steps that can be ticked, with their words: those of every option, each once.
pub fn day_steps() -> Vec<(String, String)> {
    steps().steps.into_iter().map(|step| (step.id, step.words)).collect()
}

/// Where a sum lies against a range, in words.
pub fn against(usd: f64, (low, _, high): (u32, u32, u32)) -> &'static str {
    if usd < f64::from(low) {
        "Below the range"
    } else if f64::from(high) < usd {
        "Above the range"
    } else {
        "Within the range"
    }
}

/// What was built of what is booked, at the prices of a day.
pub fn built_of(job: &Job, book: &PriceBook, day: Date) -> Built {
    let option =
        booked(job).and_then(|outage| option_of_word(&outage.option)).unwrap_or(ChoiceKind::ReplacePanel);
    let went = step_hours(job, option);
    // The sum of nothing is minus zero, and would be printed so.
    let hours = went.iter().filter_map(|step| step.hours).sum::<f64>() + 0.0;
    let untimed = went.iter().filter(|step| step.hours.is_none()).map(|step| step.words.clone()).collect();
    let parts: Vec<(String, u32)> =
        job.replacement.used.iter().map(|used| (used.part.clone(), used.count)).collect();
    let sum = (!parts.is_empty() && 0.0 < hours)
        .then(|| built(book, day, hours, &parts, option != ChoiceKind::MakeSafe));
    let quote = job.replacement.quotes.iter().rev().find(|quote| quote.option == option.word()).cloned();
    Built { steps: went, hours, untimed, sum, quote }
}
