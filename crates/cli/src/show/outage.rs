//! The day without power as text.

use super::code::wrapped;
use super::offer::cautions;
use crate::command::code::head;
use model::job::Job;
use std::fmt::Write as _;
use study::OutagePlan;
use study::outage::clock;

/// The sheet of the day.
pub(crate) fn text(job: &Job, plan: &OutagePlan) -> String {
    let mut out = head("OUTAGE", job);
    let date = plan.date.map_or_else(|| "no day booked".to_owned(), |date| date.to_string());
    let _ =
        writeln!(out, "  {}, {date}, start {}, {} people", plan.title, clock(plan.day.start), plan.day.crew);
    out.push_str(&back(plan));
    out.push_str("\nSTEPS  on a usual day; * critical; % how often it is, of the days with the power back\n");
    for (idx, task) in plan.day.tasks.iter().enumerate() {
        let slot = plan.outlook.usual.get(idx).copied().flatten();
        let times = slot.map_or_else(
            || "  --:--".to_owned(),
            |slot| format!("{}-{}", clock(slot.start), clock(slot.end)),
        );
        let mark = if plan.outlook.path.contains(&idx) { "*" } else { " " };
        let share = plan.outlook.critical.get(idx).copied().unwrap_or_default() * 100.0;
        let lead = format!("  {mark} {times:<12}{share:>4.0} %  {} ", task.people);
        out.push_str(&led(&lead, &format!("{} [{}]", task.words, task.id)));
    }
    if !plan.told.is_empty() {
        out.push_str("\nNEEDS OF THE HOUSEHOLD\n");
        for need in &plan.needs {
            let said = need.said.as_deref().unwrap_or("not asked yet");
            out.push_str(&wrapped(&format!("{} On record: {said}. {}", need.ask, need.advice), "  "));
        }
        out.push_str("\nWHO IS TOLD WHEN\n");
        for line in &plan.told {
            out.push_str(&wrapped(&format!("{}, {}: {}", line.when, line.who, line.say), "  "));
        }
    }
    if !plan.rules.is_empty() {
        out.push_str("\nRULES OF THE PLACE\n");
        for rule in &plan.rules {
            out.push_str(&wrapped(&format!("{} [{}]", rule.says, rule.origin()), "  "));
        }
    }
    out.push_str(&own_jobs(plan));
    out.push_str("\nTO BE KNOWN\n");
    plan.notes.iter().for_each(|note| out.push_str(&wrapped(note, "  ")));
    out.push_str(&cautions());
    out
}

/// What the shop's own jobs took and met.
fn own_jobs(plan: &OutagePlan) -> String {
    if plan.steps.is_empty() && plan.surprises.is_empty() {
        return String::new();
    }
    let mut out =
        "\nWHAT OUR OWN JOBS SAY  jobs; time taken by that of the list: median, least to most\n".to_owned();
    for one in &plan.steps {
        let (count, used) = (&one.count, if one.count.used { "used" } else { "too few" });
        let _ = writeln!(
            out,
            "  {:<40.40} {:>3}  {:>4.1}  {:.1} to {:.1}  {used}",
            one.words, count.n, count.median, count.least, count.most
        );
    }
    for one in &plan.surprises {
        let count = &one.count;
        let _ = writeln!(
            out,
            "  {:<40.40} {} of {}; chance {:.0} %, by the list {:.0} %",
            one.words,
            count.n_yes,
            count.n,
            count.chance * 100.0,
            count.listed * 100.0
        );
    }
    out
}

fn led(lead: &str, text: &str) -> String {
    let indent = " ".repeat(lead.chars().count());
    let options = textwrap::Options::new(78).initial_indent(lead).subsequent_indent(&indent);
    let mut out = textwrap::fill(text, options);
    out.push('\n');
    out
}

fn back(plan: &OutagePlan) -> String {
    let outlook = &plan.outlook;
    if !plan.day.tasks.iter().any(|task| task.dark) {
        return "\nThe power stays on in the rest of the house.\n".to_owned();
    }
    let mut out = "\nPOWER BACK\n".to_owned();
    let at = |at: Option<f64>| at.map_or_else(|| "not that day".to_owned(), clock);
    let [early, half, late] = outlook.back;
    if early.is_none() {
        out.push_str("  on nine of ten such days the power is not back that day\n");
    } else {
        let (early, half, late) = (at(early), at(half), at(late));
        let _ = writeln!(out, "  one day in ten by {early}, half by {half}, nine in ten by {late}");
    }
    let [short, usual, long] = outlook.dark_h;
    if 0.0 < long {
        let line = format!(
            "in the dark {short:.1} to {long:.1} h, usually {usual:.1} h, where it comes back that day"
        );
        out.push_str(&wrapped(&line, "  "));
    }
    for (minute, share) in outlook.back_by.iter().filter(|(minute, _)| minute % 60.0 == 0.0) {
        let bar = "#".repeat((share * 40.0).round() as usize);
        if early.is_some() {
            let _ = writeln!(out, "  by {}  {:>4.0} %  {bar}", clock(*minute), share * 100.0);
        }
    }
    for (visit, share) in outlook.missed.iter().filter(|(_, share)| 0.0 < *share) {
        let _ = writeln!(out, "  not that day, {visit} missed: {:.0} %", share * 100.0);
    }
    let that_day = 1.0 - outlook.not_that_day();
    let _ = writeln!(out, "  that day {:>3.0} %  as planned", that_day * 100.0);
    for (words, share) in &plan.helps {
        out.push_str(&led(&format!("  that day {:>3.0} %  ", share * 100.0), words));
    }
    if !plan.hours.is_empty() {
        out.push_str(
            "\nBOOKED AHEAD  instead of called when all is ready; chance of the power back that day\n",
        );
        for hour in &plan.hours {
            out.push_str(&led(&format!("  {:>3.0} %  ", hour.that_day * 100.0), &study::ahead_words(hour)));
        }
    }
    let _ = writeln!(out, "  {} runs, seed {}", outlook.n_runs, outlook.seed);
    out
}
