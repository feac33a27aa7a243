//! The plan until the replacement as it was agreed, what is due in this job, and what was done without proof.

use crate::context::{Context, JobView};
use crate::entry::words::{enter, installation, space_words, with_query};
use crate::route::{EntryKind, Route};
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::Date;
use model::job::Job;
use model::plan::{Alarms, Answer, Due, Interim};
use record::text::Textual;
use study::PlanWords;

pub(crate) fn page(job: &str, cx: &Context<'_>) -> Page {
    let route = Route::Plan(job.to_owned());
    let Some((view, settled)) = cx.job.zip(cx.settled_job()) else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let due = study::board(settled, cx.policy);
    let not_proven = study::not_proven(settled);
    let body = html! {
        p.lede { "The days between finding and replacing are the dangerous ones. One plan for owner, office and crew." }
        @if !not_proven.is_empty() {
            div.caution {
                p { strong { "On record without proof, and not trusted:" } }
                @for one in &not_proven { p { (study::words::capital(&one.what)) ". " (one.missing.join(" ")) } }
            }
        }
        section.sheet #plan data-live {
            h2 { "The plan" }
            @match settled.interims.last() {
                Some(plan) => (agreed(view, plan)),
                None => p { "No plan is on record yet." },
            }
        }
        section.sheet #due data-live {
            h2 { "Due" }
            @if due.is_empty() { p { "Nothing is due." } }
            ul.rows {
                @for one in &due {
                    li.row {
                        (due_row(one, cx.now.date()))
                        a.plain.small href=(settle(&view.name, one)) { "Done" span.off-screen { ": " (one.words) } }
                    }
                }
            }
        }
        (stop_gaps(view, settled))
        div.links {
            a.plain href=(enter(view, EntryKind::Work, &[("kind", "stop-gap")])) { "Record a stop-gap" }
            a.plain href=(enter(view, EntryKind::Promise, &[])) { "Promise something" }
            a.plain href=(Route::Papers(view.name.clone())) { "Tag and sheets" }
            a.plain href=(Route::Proving(view.name.clone())) { "Switching on and torque" }
            a.plain href=(Route::Price(view.name.clone())) { "Price of each choice" }
            a.plain href=(Route::Outage(view.name.clone())) { "The day without power" }
            a.plain href=(Route::Board) { "Board of all jobs" }
        }
        div.actions {
            @match settled.interims.last() {
                Some(plan) => {
                    a.plain href=(enter(view, EntryKind::Interim, &[("supersedes", plan.fact.as_str())])) { "Correct the plan" }
                    a.big href=(enter(view, EntryKind::Interim, &[])) { "A new plan" }
                }
                None => a.big href=(enter(view, EntryKind::Interim, &[])) { "Make the plan" },
            }
        }
    };
    shell(cx, "Until the replacement", &route, body)
}

/// Where something due is said to be done.
pub(super) fn settle(job: &str, due: &Due) -> String {
    let route = Route::Enter(job.to_owned(), EntryKind::Kept);
    with_query(
        &route,
        &[
            ("what", &due.settles.write()),
            ("of", due.of.as_str()),
            ("go", &Route::Plan(job.to_owned()).to_string()),
        ],
    )
}

/// Day, kind and words of something due; what is late has a word of its own.
pub(super) fn due_row(due: &Due, today: Date) -> Markup {
    let late = due.day < today;
    html! {
        p.grow {
            strong { time datetime=(due.day) { (due.day) } " " (study::due_word(due.kind)) } " "
            @if late { span.tag { "■ late" } } @else if due.day == today { span.tag { "today" } }
            br; (due.words)
        }
    }
}

fn agreed(view: &JobView, plan: &Interim) -> Markup {
    let words = PlanWords::new();
    let said = |all: &[(String, String)], id: &String| {
        all.iter().find(|(one, _)| one == id).map_or_else(|| id.clone(), |(_, said)| said.clone())
    };
    let listed = |ids: &[String], all: &[(String, String)], more: &str| {
        let mut lines: Vec<String> = ids.iter().map(|id| said(all, id)).collect();
        lines.extend((!more.trim().is_empty()).then(|| more.trim().to_owned()));
        lines
    };
    let off: Vec<String> = plan.off.iter().map(|slot| space_words(installation(view), slot)).collect();
    let alarms = match plan.alarms {
        Alarms::Tested => "tested, they sound",
        Alarms::Failed => "one did not sound",
        Alarms::NoneThere => "there are none",
        Alarms::NotTested => "not tested",
    };
    let list = |title: &str, lines: &[String]| {
        html! { @if !lines.is_empty() { h3 { (title) } ul.facts { @for line in lines { li { (line) } } } } }
    };
    html! {
        p {
            strong { "Ends " (plan.expires) ". Recheck " (plan.recheck) ". " }
            @match plan.replacement { Some(day) => { "Replacement " (day) "." }, None => "No day for the replacement yet." }
        }
        (list("Off, and must stay off", &off))
        (list("What may be used", &listed(&plan.limits, &words.limits, &plan.limits_words)))
        @if !plan.done.trim().is_empty() { h3 { "Done" } p { (plan.done) } }
        (list("Watched for", &listed(&plan.watch, &words.watch, &plan.watch_words)))
        (list("If a day passes", &listed(&plan.slip, &words.slip, "")))
        h3 { "Alarms and needs" }
        ul.facts {
            li { "Smoke alarms: " (alarms) @if !plan.alarms_words.is_empty() { ", " (plan.alarms_words) } }
            li { "Medical devices: " (plan.medical) }
            li { "To keep cold: " (plan.food) }
            li { "Heat, cooling, pumps: " (plan.heat) }
        }
        h3 { "The customer" }
        p {
            strong { (if plan.answer == Answer::Accepted { "Accepted" } else { "Declined" }) }
            " by " (plan.answer_by) ": “" (plan.answer_words) "”"
        }
        @if !plan.reasons.trim().is_empty() { p { "Advised because: " (plan.reasons) } }
    }
}

fn stop_gaps(view: &JobView, job: &Job) -> Markup {
    let all: Vec<_> = job.work.iter().filter(|work| work.expires.is_some()).collect();
    html! {
        @if !all.is_empty() {
            section.sheet #stop-gaps data-live {
                h2 { "Stop-gaps" }
                ul.rows {
                    @for work in all {
                        li.row {
                            p.grow {
                                (work.words)
                                @for slot in &work.slots { br; span.quiet { (space_words(installation(view), slot)) } }
                                @if !work.moved_to.is_empty() {
                                    br; span.quiet { "moved to " @for slot in &work.moved_to { (slot.space) " " } }
                                }
                            }
                            p.quiet {
                                @if let Some(day) = work.expires { "ends " (day) }
                                br;
                                @match work.recheck { Some(day) => { "recheck " (day) }, None => "no recheck: set one" }
                            }
                        }
                    }
                }
            }
        }
    }
}
