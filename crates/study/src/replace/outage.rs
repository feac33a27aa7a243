//! The day without power: steps, windows, the chance to be back, what the household needs, who is told when.

use super::course::{booked, booking_of};
use super::design::{NotDesigned, contests};
use super::place::{PlaceRule, place};
use super::price::make;
use super::shop::Shop;
use crate::code::Law;
use model::advice::ChoiceKind;
use model::job::Job;
use model::{Date, DateTime};
use remedy::address::Cards;
use remedy::experience::{ChanceCount, Past, StepCount};
use remedy::outage::{
    Arrival, Booking, BookingHour, Day, Outlook, best_hour, booking_hours, clock, day, needs, outlook, tells,
};
use remedy::work::{Contested, option_of_word, option_words, steps};

/// Runs for a page: a chance then has a standard error of one percent at most.
const PAGE_RUNS: usize = 2_500;
/// An hour is told from this share of days on.
const SOME: f64 = 0.005;
/// An hour is tried with so many times fewer runs than the day.
const HOUR_PART: usize = 10;

/// What is asked for.
#[derive(Debug, Clone)]
pub struct OutageAsk<'a> {
    /// The option.
    pub option: ChoiceKind,
    /// The panel, as for a price.
    pub panel: Option<&'a str>,
    /// The day, where it is booked.
    pub date: Option<Date>,
    /// What is booked.
    pub booking: Booking,
    /// Does the day hold what is contested?
    pub with_contested: bool,
    /// The code of the job, where it has one.
    pub law: Option<&'a Law<'a>>,
    /// What the shop's own jobs took and met.
    pub past: &'a Past,
    /// What utilities and permit offices told the shop.
    pub cards: &'a Cards,
    /// The day on which it is asked.
    pub today: Date,
    /// Seed.
    pub seed: u64,
    /// Runs.
    pub n_runs: usize,
}

impl<'a> OutageAsk<'a> {
    /// The day as it is booked, else that of a new panel, with the chance of a page.
    pub fn booked(job: &Job, shop: &'a Shop, law: Option<&'a Law<'a>>, today: Date) -> OutageAsk<'a> {
        let booked = booked(job);
        OutageAsk {
            option: booked.and_then(|day| option_of_word(&day.option)).unwrap_or(ChoiceKind::ReplacePanel),
            panel: None,
            date: booked.map(|day| day.date),
            booking: booked.map_or_else(Booking::default, booking_of),
            with_contested: false,
            law,
            past: &shop.past,
            cards: &shop.cards,
            today,
            seed: 1,
            n_runs: PAGE_RUNS,
        }
    }
}

/// A need of the household.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NeedLine {
    /// Name.
    pub id: String,
    /// What is asked.
    pub ask: String,
    /// What the record says; `None`: nobody asked.
    pub said: Option<String>,
    /// What follows.
    pub advice: String,
    /// Where it comes from.
    pub source: String,
}

/// Who is told what, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ToldLine {
    /// When: a time of the usual day, `the day before`, or `as soon as it is clear`.
    pub when: String,
    /// The step at which, by its name.
    pub at: String,
    /// Who.
    pub who: String,
    /// What.
    pub say: String,
}

/// A step with what the shop's own jobs took for it.
#[derive(Debug, Clone, PartialEq)]
pub struct LearnedStep {
    /// The step, by its name.
    pub id: String,
    /// What is done.
    pub words: String,
    /// The counts.
    pub count: StepCount,
}

/// A surprise with how often the shop's own jobs met it.
#[derive(Debug, Clone, PartialEq)]
pub struct LearnedSurprise {
    /// The question, by its name.
    pub id: String,
    /// What it is.
    pub words: String,
    /// The counts.
    pub count: ChanceCount,
}

/// The day of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct OutagePlan {
    /// The option.
    pub option: ChoiceKind,
    /// In words.
    pub title: &'static str,
    /// The day, where it is booked.
    pub date: Option<Date>,
    /// Its tasks.
    pub day: Day,
    /// What it looks like.
    pub outlook: Outlook,
    /// Hours for which inspector and utility could be booked ahead, with the chance of each.
    pub hours: Vec<BookingHour>,
    /// What would help: in words, and the share of days with the power back that day then.
    pub helps: Vec<(String, f64)>,
    /// What the household needs.
    pub needs: Vec<NeedLine>,
    /// Who is told when.
    pub told: Vec<ToldLine>,
    /// What utility and permit office told the shop.
    pub rules: Vec<PlaceRule>,
    /// Steps that the shop's own jobs timed.
    pub steps: Vec<LearnedStep>,
    /// Surprises that the shop's own jobs looked for.
    pub surprises: Vec<LearnedSurprise>,
    /// What is to be known of it.
    pub notes: Vec<String>,
}

/// Plans the day.
///
/// # Errors
/// See [`NotDesigned`].
pub fn plan_outage(job: &Job, ask: &OutageAsk<'_>) -> Result<OutagePlan, NotDesigned> {
    let past = ask.past.for_job(job.id.as_str(), job.invented);
    let steps = past.steps(steps());
    let mut notes = Vec::new();
    let made = make(job, ask.panel, None, ask.option, &contests(job, ask.law), &past, &mut notes)?;
    let with: Vec<Contested> = if ask.with_contested {
        made.in_scope.iter().chain(&made.open).cloned().collect()
    } else {
        made.in_scope.clone()
    };
    let placed = place(job, ask);
    let booking = &placed.booking;
    notes.extend(placed.notes.iter().cloned());
    let of = |booking: &Booking| day(&made.design, &steps, &made.risks, &with, booking);
    let planned = of(booking);
    let outlook = outlook(&planned, ask.seed, ask.n_runs);
    let tries = (ask.n_runs / HOUR_PART).max(1);
    let mut hours = booking_hours(of, booking, &steps, ask.seed, tries);
    let mut all_helps = helps(booking, &planned);
    // Hours at which the crew is never ready are no choice.
    hours.retain(|hour| SOME <= hour.that_day);
    if let Some(best) = best_hour(&hours) {
        all_helps.insert(0, (ahead_words(best), best.of(booking)));
        if let Some((words, together)) = all_helps.last().cloned() {
            let then = booking_hours(of, &together, &steps, ask.seed, tries);
            all_helps.extend(
                best_hour(&then)
                    .map(|best| (format!("{words}, and {}", ahead_words(best)), best.of(&together))),
            );
        }
    }
    let helps = all_helps
        .into_iter()
        .map(|(words, booking)| {
            let other = remedy::outage::outlook(&of(&booking), ask.seed, ask.n_runs / 4);
            (words, 1.0 - other.not_that_day())
        })
        .collect();
    let assumed: Vec<&str> = [
        ("the cut", booking.cut.is_none()),
        ("the inspector", booking.inspector.is_none() && booking.inspector_latest.is_none()),
        ("the supply back", booking.reconnect.is_none() && booking.reconnect_latest.is_none()),
    ]
    .into_iter()
    .filter_map(|(what, open)| open.then_some(what))
    .collect();
    if !assumed.is_empty() && planned.tasks.iter().any(|task| task.visit.is_some()) {
        notes.push(format!(
            "Not booked, and assumed as common practice has it: {}. Write down what the utility and the inspector said.",
            assumed.join(", ")
        ));
    }
    if planned.tasks.iter().any(|task| task.dark) && outlook.back[1].is_none() {
        notes.push(
            "On most days like this the power is not back that day. Start earlier, do more before the day, take another \
             person, or plan for a night without power."
                .to_owned(),
        );
    }
    let later = made.risks.iter().filter(|risk| risk.before_power < 1.0 && 0 < risk.n_yes + risk.n_unknown);
    for risk in later {
        notes.push(format!(
            "{}: the power waits for {:.0} % of it; the rest comes after, or on another day, and is in the price.",
            risk.words,
            risk.before_power * 100.0
        ));
    }
    let (learned, surprises) = (learned_steps(&past, &planned), learned_surprises(&past));
    let n_used = learned.iter().filter(|one| one.count.used).count();
    let whose = match n_used {
        0 => "Durations are common practice without a source, until the shop has its own.".to_owned(),
        n => format!(
            "{n} of {} durations follow the shop's own jobs; the others are common practice without a source.",
            planned.tasks.len()
        ),
    };
    notes.push(format!("{whose} A step that takes less gives time; it gives no leave to hurry a proof."));
    Ok(OutagePlan {
        option: ask.option,
        title: option_words(ask.option),
        date: ask.date,
        hours,
        helps,
        needs: need_lines(job, &outlook),
        told: told_lines(ask, &planned, &outlook),
        rules: placed.rules,
        steps: learned,
        surprises,
        day: planned,
        outlook,
        notes,
    })
}

fn learned_steps(past: &Past, planned: &Day) -> Vec<LearnedStep> {
    let of = |task: &remedy::outage::Task| {
        let (id, words) = (task.id.clone(), task.words.clone());
        Some(LearnedStep { count: past.step(&task.id)?, id, words })
    };
    planned.tasks.iter().filter_map(of).collect()
}

fn learned_surprises(past: &Past) -> Vec<LearnedSurprise> {
    let list = remedy::surprise::surprises().unwrap_or_default();
    let of = |one: &remedy::surprise::Surprise| {
        let (id, words) = (one.id.clone(), one.what.clone());
        Some(LearnedSurprise { count: past.surprise(one)?, id, words })
    };
    list.iter().filter_map(of).collect()
}

/// An hour that is booked ahead, in words.
pub fn ahead_words(hour: &BookingHour) -> String {
    let window = |(from, to): (f64, f64)| format!("{} to {}", clock(from), clock(to));
    match (hour.inspector, hour.reconnect) {
        (Some(inspector), Some(supply)) => {
            format!("inspector booked for {}, supply back for {}", window(inspector), window(supply))
        }
        (Some(inspector), None) => {
            format!("inspector booked for {}, utility called when he is done", window(inspector))
        }
        (None, Some(supply)) => format!("supply back booked for {}", window(supply)),
        (None, None) => "nobody booked ahead".to_owned(),
    }
}

/// The same day with one thing changed.
fn helps(booking: &Booking, planned: &Day) -> Vec<(String, Booking)> {
    if !planned.tasks.iter().any(|task| task.dark) {
        return Vec::new();
    }
    let earlier = Booking { start: (booking.start - 60.0).max(0.0), ..booking.clone() };
    let more = Booking { crew: booking.crew + 1, ..booking.clone() };
    let mut all = vec![("an hour earlier".to_owned(), earlier), ("a person more".to_owned(), more)];
    let first = planned.tasks.iter().find_map(|task| match task.visit.as_ref()?.arrival {
        Arrival::Booked { from, .. } => Some(from),
        Arrival::Called { .. } => None,
    });
    if let Some(from) = first {
        let cut = Booking { cut: Some((from, from)), ..booking.clone() };
        all.push(("the cut at the start of its window".to_owned(), cut));
    }
    for (id, words) in
        [("trace", "circuits traced before the day"), ("ground", "electrodes made before the day")]
    {
        if planned.tasks.iter().any(|task| task.id == id) {
            let mut other = booking.clone();
            other.done.push(id.to_owned());
            all.push((words.to_owned(), other));
        }
    }
    if planned.tasks.iter().any(|task| task.id == "inspect") {
        let mut later = booking.clone();
        later.done.push("inspect".to_owned());
        all.push((
            "supply back before the inspection, where utility and inspector allow it".to_owned(),
            later,
        ));
    }
    let mut together = booking.clone();
    together.crew += 1;
    together.done.extend(["trace", "ground"].map(str::to_owned));
    all.push(("a person more, circuits traced and electrodes made before".to_owned(), together.clone()));
    if let Some(from) = first {
        together.cut = Some((from, from));
        all.push(("all of that, and the cut at the start of its window".to_owned(), together));
    }
    all
}

fn need_lines(job: &Job, outlook: &Outlook) -> Vec<NeedLine> {
    let plan = job.interims.last();
    let dark_h = outlook.dark_h[2];
    needs()
        .into_iter()
        .filter(|need| need.from_hours <= dark_h)
        .map(|need| {
            let said = plan.and_then(|plan| match need.id.as_str() {
                "medical" => Some(plan.medical.clone()),
                "food" => Some(plan.food.clone()),
                "heat" => Some(plan.heat.clone()),
                _ => None,
            });
            let none = said.as_deref().is_some_and(|said| said.trim().eq_ignore_ascii_case("none"));
            let advice = match (&said, none) {
                (None, _) => format!("{} {}", need.unknown, need.advice),
                (Some(_), true) => "None, as recorded. Ask again the day before.".to_owned(),
                (Some(_), false) => need.advice,
            };
            NeedLine { id: need.id, ask: need.ask, said, advice, source: need.source }
        })
        .collect()
}

fn told_lines(ask: &OutageAsk<'_>, day: &Day, outlook: &Outlook) -> Vec<ToldLine> {
    let places = [("{start}", clock(ask.booking.start)), ("{back}", back_words(outlook))];
    let mut lines = Vec::new();
    for tell in tells() {
        let idx = day.tasks.iter().position(|task| task.id == tell.at);
        let when = match (tell.at.as_str(), idx) {
            ("day-before", _) => "the day before".to_owned(),
            ("late", _) => "as soon as it is clear".to_owned(),
            (_, Some(idx)) => match outlook.usual.get(idx).copied().flatten() {
                Some(slot) => format!("about {}", clock(slot.start)),
                None => "when it comes to it".to_owned(),
            },
            (_, None) => continue,
        };
        let say = places.iter().fold(tell.say.clone(), |say, (place, text)| say.replace(place, text));
        lines.push(ToldLine { when, at: tell.at, who: tell.who, say });
    }
    // Where nothing is cut nobody is told of an outage.
    if day.tasks.iter().any(|task| task.dark) { lines } else { Vec::new() }
}

/// When the power comes back, as it looks: eight of ten days lie between the two.
fn back_words(outlook: &Outlook) -> String {
    match (outlook.back[0], outlook.back[2]) {
        (Some(low), Some(high)) => format!("between {} and {}", clock(low), clock(high)),
        (Some(low), None) => format!("at {} at the earliest, and maybe not that day", clock(low)),
        _ => "not before the next day".to_owned(),
    }
}

/// The day as a calendar file (RFC 5545): one entry for the whole day, with its windows in words. `None` where no day is
/// booked. `made` is the time of making, as UTC.
pub fn outage_calendar(job: &Job, plan: &OutagePlan, made: DateTime) -> Option<String> {
    let date = plan.date?;
    let told: Vec<String> =
        plan.told.iter().map(|line| format!("{}, {}: {}", line.when, line.who, line.say)).collect();
    let invented = if job.invented { " (invented)" } else { "" };
    let entry = papers::CalendarDay {
        uid: format!("{}-outage@panelwright", job.id),
        day: date,
        summary: format!("{}: power off at {}{invented}", plan.title, job.place),
        description: format!(
            "Start {}. The power comes back, as it looks now, {}.\n{}\nJob {}.",
            clock(plan.day.start),
            back_words(&plan.outlook),
            told.join("\n"),
            job.id
        ),
        category: "replacement".to_owned(),
        url: None,
    };
    Some(papers::calendar("Panelwright outage", &[entry], made))
}
