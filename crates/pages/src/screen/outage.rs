//! The day without power: when the power is back, and the steps, which tick themselves into hours.

use crate::context::{Context, JobView};
use crate::entry::words::enter;
use crate::form::form;
use crate::route::{EntryKind, Route};
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::job::Job;
use study::code::Chosen;
use study::outage::{Outlook, clock};
use study::{LearnedStep, NotDesigned, OutageAsk, OutagePlan, StepCourse, StepHours, WORK_CAUTIONS};

pub(crate) fn page(job: &str, cx: &Context<'_>) -> Page {
    let route = Route::Outage(job.to_owned());
    let Some((view, settled)) = cx.job.zip(cx.settled_job()) else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let plan = match plan(settled, cx) {
        Ok(plan) => plan,
        Err(error) => return failure_page("No plan yet", &study::words::capital(&error.to_string()), ""),
    };
    let went = study::step_hours(settled, plan.option);
    let total: f64 = went.iter().filter_map(|step| step.hours).sum();
    let body = html! {
        p.lede { (plan.title) ". The proof comes before the clock." }
        section.sheet {
            h2 { "Power back" }
            p { @match plan.date { Some(date) => { strong { (date) } }, None => "No day booked" } ", start " (clock(plan.day.start)) ", " (plan.day.crew) " people." }
            (back(&plan.outlook))
            @if !plan.helps.is_empty() {
                h3 { "Back that day" }
                ul.facts {
                    li { "As planned: " (percent(1.0 - plan.outlook.not_that_day())) }
                    @for (words, share) in &plan.helps { li { (study::words::capital(words)) ": " (percent(*share)) } }
                }
            }
        }
        @if !plan.hours.is_empty() {
            section.sheet #ahead {
                h2 { "Booked ahead" }
                p { "Who is called when all is ready comes after a wait in the dark. Who is booked ahead comes at his hour, and is missed by a crew that is not ready. Chance of the power back that day:" }
                ul.facts { @for hour in &plan.hours { li { strong { (percent(hour.that_day)) } " " (study::ahead_words(hour)) } } }
            }
        }
        section.sheet #steps data-live {
            h2 { "Steps" }
            p { "★ decides the end. Times are those of a usual day." }
            ol { @for (idx, task) in plan.day.tasks.iter().enumerate() { li { (step(cx, view, &plan, &went, idx, &task.id)) } } }
            @if 0.0 < total { p { strong { (format!("{total:.1}")) " person-hours ticked." } } }
        }
        (own_days(&plan))
        section.sheet {
            h2 { "What the house needs" }
            @for need in &plan.needs { h3 { (need.ask) } p { "On record: " (need.said.as_deref().unwrap_or("not asked yet")) ". " (need.advice) } }
        }
        (rules(&plan))
        section.sheet { h2 { "Who is told when" } ul.facts { @for line in &plan.told { li { strong { (line.when) ", " (line.who) ": " } (line.say) } } } }
        section.sheet { h2 { "Mind" } ul { @for note in &plan.notes { li { (note) } } @for caution in WORK_CAUTIONS { li { (caution) } } } }
        div.actions {
            @match study::booked(settled) {
                Some(day) => a.plain href=(enter(view, EntryKind::Booked, &[("supersedes", day.fact.as_str()), ("go", &route.to_string())])) { "Change the day" },
                None => a.big href=(enter(view, EntryKind::Booked, &[("go", &route.to_string())])) { "Book the day" },
            }
        }
        div.links {
            a.plain href={ (Route::Bench(view.name.clone())) "/offer/" (study::DAY_NAME) ".pdf" } { "The sheet of the day" }
            a.plain href=(Route::Isolation(view.name.clone())) { "Isolation" }
            a.plain href=(Route::Price(view.name.clone())) { "Price" }
        }
    };
    shell(cx, "The day without power", &route, body)
}

fn plan(job: &Job, cx: &Context<'_>) -> Result<OutagePlan, NotDesigned> {
    let chosen = Chosen::of(job, cx.book, None, cx.now.date()).ok();
    let law = chosen.as_ref().and_then(|chosen| chosen.law(cx.book).ok());
    study::plan_outage(job, &OutageAsk::booked(job, cx.shop, law.as_ref(), cx.now.date()))
}

/// What utility and permit office told us of this place.
fn rules(plan: &OutagePlan) -> Markup {
    html! {
        section.sheet #rules {
            h2 { "Rules of the place" }
            @if plan.rules.is_empty() { p { "No address card holds for this town: what is not booked is assumed." } }
            ul.facts { @for rule in &plan.rules {
                li { (rule.says) " " @if rule.used { span.tag { "in the plan" } " " } @if rule.old { span.tag { "old" } }
                    br; span.quiet { (rule.origin()) } }
            } }
            a.plain.small href=(Route::Cards) { "Address cards" }
        }
    }
}

/// What the shop's own jobs took for a step.
fn taken(one: &LearnedStep) -> String {
    let count = &one.count;
    let (jobs, used) = (
        if count.n == 1 { "job" } else { "jobs" },
        if count.used { "used here" } else { "too few to be used" },
    );
    format!(
        "{} {jobs} of the shop: {:.1} × the list’s time, {:.1} to {:.1}; {used}",
        count.n, count.median, count.least, count.most
    )
}

/// What the shop's own jobs took and met.
fn own_days(plan: &OutagePlan) -> Markup {
    html! {
        section.sheet #own {
            h2 { "What our own jobs say" }
            @if plan.steps.is_empty() && plan.surprises.is_empty() {
                p { "No other job on this bench has ticked steps or answered questions yet. Times and chances are those of the lists." }
            } @else {
                p { "The lists’ figures weigh as much as four jobs; a time is used from three jobs on." }
                @if !plan.steps.is_empty() {
                    details.more { summary { "Times of " (plan.steps.len()) " steps" }
                        ul.facts { @for one in &plan.steps { li { (one.words) br; span.quiet { (study::words::capital(&taken(one))) } } } } }
                }
                @if !plan.surprises.is_empty() {
                    details.more { summary { "How often " (plan.surprises.len()) " surprises came" }
                        ul.facts { @for one in &plan.surprises {
                            li { (one.words) ": " (one.count.n_yes) " of " (one.count.n) " jobs"
                                br; span.quiet { "Chance used " (percent(one.count.chance)) ", by the list " (percent(one.count.listed)) } }
                        } } }
                }
            }
        }
    }
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

fn back(outlook: &Outlook) -> Markup {
    let at = |at: Option<f64>| at.map_or_else(|| "not that day".to_owned(), clock);
    html! {
        @if outlook.back[0].is_none() {
            p { strong { "On nine of ten such days the power is not back that day." } }
        } @else {
            p { "One day in ten by " (at(outlook.back[0])) ", half by " strong { (at(outlook.back[1])) } ", nine in ten by " (at(outlook.back[2])) "." }
        }
        @if 0.0 < outlook.dark_h[2] {
            p { (format!("{:.1} to {:.1} h in the dark, where it comes back that day.", outlook.dark_h[0], outlook.dark_h[2])) }
        }
    }
}

fn step(
    cx: &Context<'_>,
    view: &JobView,
    plan: &OutagePlan,
    went: &[StepHours],
    idx: usize,
    id: &str,
) -> Markup {
    let task = &plan.day.tasks[idx];
    let slot = plan.outlook.usual.get(idx).copied().flatten();
    let own = went.iter().find(|step| step.id == id);
    let course = own.map_or(StepCourse::Open, |step| step.course);
    let done = |one: &StepHours| matches!(one.course, StepCourse::Done(..));
    let planned = |step: &&StepHours| plan.day.tasks.iter().any(|task| task.id == step.id);
    let is_next = went.iter().filter(planned).find(|step| !done(step)).is_some_and(|step| step.id == id);
    let back = Route::Outage(view.name.clone()).to_string();
    html! {
        p {
            @if plan.outlook.path.contains(&idx) { "★ " }
            strong { (task.words) } " "
            @match course {
                StepCourse::Open => span.quiet { @match slot { Some(slot) => { (clock(slot.start)) "–" (clock(slot.end)) }, None => "not that day" } },
                StepCourse::Begun(at) => span.tag { "begun " (at.strftime("%H:%M").to_string()) },
                StepCourse::Done(_, at) => span.tag { "✓ done " (at.strftime("%H:%M").to_string()) },
            }
            @if let Some(hours) = own.and_then(|step| step.hours) { " " span.quiet { (format!("{hours:.1} person-hours")) } }
            @if let Some(one) = plan.steps.iter().find(|one| one.id == id) { br; span.quiet { (taken(one)) } }
            @if let Some(visit) = &task.visit { br; span.quiet { "Waits for: " (visit.words) } }
        }
        @if is_next {
            (form(cx, &Route::Enter(view.name.clone(), EntryKind::Tick), html! {
                input type="hidden" name="go" value=(back);
                input type="hidden" name="step" value=(id);
                div.actions {
                    @if course == StepCourse::Open { button.plain name="done" value="no" { "Begun" } }
                    button.big name="done" value="yes" { "Done" }
                }
            }))
        } @else if !own.is_some_and(done) {
            a.plain.small href=(enter(view, EntryKind::Tick, &[("step", id), ("go", &back)])) { "Tick" span.off-screen { ": " (task.words) } }
        }
    }
}
