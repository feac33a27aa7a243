//! The new panel: which space each circuit gets, drawn; tap or drag one to another space and it is laid out again.

mod ask;
mod drawing;
mod reasons;

use crate::context::Context;
use crate::entry::Taking;
use crate::fields::{FieldError, Fields, Refusal};
use crate::form::{Sheet, form};
use crate::route::Route;
use crate::screen::Entry;
use crate::shell::{Page, failure_page, shell, wide_shell};
use ask::Asked;
use maud::{Markup, html};
use model::job::Job;
use study::code::Chosen;
use study::{CannotLayOut, LaidOut};

pub(crate) fn page(job: &str, query: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let route = Route::Layout(job.to_owned());
    let Some(settled) = cx.settled_job() else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let Some(asked) = Asked::of(job, settled, query) else {
        let body = html! {
            section.sheet {
                p { "The panel is not described yet. Its rows and breakers come first." }
                p { a.big href=(Route::Panel(job.to_owned(), String::new())) { "Describe the panel" } }
            }
        };
        return shell(cx, "New panel", &route, body);
    };
    let laid_out = study::lay_out_panel(settled, &asked.ask);
    let sheet = Sheet::new(query, again);
    let body = html! {
        p.lede { "A proposal from the survey, by points. It decides nothing: the label of the new panel, the code and the inspector come first." }
        (sheet.error_list())
        (asked.form(&sheet))
        @match &laid_out {
            Ok(laid_out) => (found(settled, &asked, laid_out, cx)),
            Err(error) => (refused(&asked, error)),
        }
        div.links {
            a.plain.small href=(Route::Survey(job.to_owned())) { "Survey of the circuits" }
            a.plain.small href=(Route::Surprises(job.to_owned())) { "Questions before the day" }
        }
    };
    wide_shell(cx, "New panel", &route, body)
}

fn refused(asked: &Asked, error: &CannotLayOut) -> Markup {
    html! {
        div.caution { p { strong { "Not laid out: " } (error) } }
        @if asked.has_locks() { p { a.big href=(asked.without_locks()) { "Let every circuit move again" } } }
    }
}

fn found(settled: &Job, asked: &Asked, laid_out: &LaidOut, cx: &Context<'_>) -> Markup {
    let at = asked.plan.min(laid_out.plans.len().saturating_sub(1));
    let (aim, layout) = &laid_out.plans[at];
    let forecasts = study::forecasts(settled, laid_out, at);
    html! {
        div.chips {
            @for (k, (aim, layout)) in laid_out.plans.iter().enumerate() {
                a.chip href=(asked.with_plan(k)) aria-current=[(k == at).then_some("true")] {
                    (aim.name) ", " (layout.bill.n_splices) " splices"
                }
            }
        }
        div.two {
            section.sheet #new-panel {
                h2 { (study::words::capital(&aim.name)) }
                p.quiet { (aim.words) }
                (asked.picked(laid_out))
                (drawing::drawing(asked, laid_out, layout, at))
                @if asked.has_locks() {
                    p { "Decided by hand: " (asked.locks_in_words()) ". "
                        a.plain.small href=(asked.without_locks()) { "Let them move again" } }
                }
            }
            div {
                section.sheet {
                    h2 { "What it comes to" }
                    (reasons::figures(laid_out, layout))
                    (fill(settled, laid_out, at, cx))
                    p { (reasons::proof(layout)) @if !asked.long { " " a.plain.small href=(asked.searched_longer()) { "Search longer" } } }
                }
                section.sheet {
                    h2 { "Currents and temperatures" }
                    (reasons::forecasts(&forecasts))
                }
                section.sheet {
                    h2 { "Not known, or assumed" }
                    ul { @for note in &laid_out.notes { li { (note) } } }
                }
            }
        }
        section.sheet {
            h2 { "Why each one sits there" }
            ul { @for it in 0..layout.seats.len() { li { (reasons::why(laid_out, layout, it)) } } }
        }
        (choose(settled, asked, laid_out, at, cx))
    }
}

/// How full the cabinet becomes.
fn fill(settled: &Job, laid_out: &LaidOut, at: usize, cx: &Context<'_>) -> Markup {
    let chosen = Chosen::of(settled, cx.book, None, cx.now.date()).ok();
    let law = chosen.as_ref().and_then(|chosen| chosen.law(cx.book).ok());
    html! {
        details.more { summary { "Fill of the cabinet" }
            ul { @for words in study::fill_words(laid_out, at, law.as_ref()) { li { (words) } } } }
    }
}

/// The form that makes this layout the one to build.
fn choose(settled: &Job, asked: &Asked, laid_out: &LaidOut, at: usize, cx: &Context<'_>) -> Markup {
    let chosen = settled.replacement.arrangement(&laid_out.panel);
    let empty = Fields::default();
    let sheet = Sheet::new(&empty, None);
    html! {
        section.sheet {
            h2 { "Choose" }
            @if let Some(chosen) = chosen {
                p { "Chosen so far: " (chosen.new.n_spaces) " spaces, aim “" (chosen.aim) "”, " (chosen.at.date())
                    @if let Some(by) = &chosen.by { " by " (by) } "." }
            }
            (form(cx, &Route::Layout(asked.job.clone()), html! {
                @for (name, value) in asked.pairs(at) { input type="hidden" name=(name) value=(value); }
                (sheet.text("words", "Why this one", "", ""))
                div.actions { button.big { "Choose this layout" } }
            }))
        }
    }
}

/// Reads a choice.
///
/// # Errors
/// The job is not here, or there is no such layout any more.
pub(crate) fn read(job: &str, fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    let refuse =
        |message: String| Err(Refusal { errors: vec![FieldError { field: String::new(), message }] });
    let Some((view, settled)) = cx.job.zip(cx.settled_job()) else {
        return refuse("This form belongs to a job that is not here.".to_owned());
    };
    let Some(asked) = Asked::of(job, settled, fields) else {
        return refuse("The panel is not described.".to_owned());
    };
    let laid_out = match study::lay_out_panel(settled, &asked.ask) {
        Ok(laid_out) => laid_out,
        Err(error) => return refuse(format!("Not laid out: {}.", error)),
    };
    let mut taking = Taking::new(fields, view, cx);
    let words = taking.words("words");
    let Some(chosen) = study::chosen(&laid_out, asked.plan, &words) else {
        return refuse("There is no such layout any more: choose again.".to_owned());
    };
    taking.finish(vec![Box::new(chosen).into()], Route::Layout(job.to_owned()).to_string())
}
