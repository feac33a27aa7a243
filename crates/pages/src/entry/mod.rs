//! Forms for single facts, one file a kind: the form, and how it is read.

mod adoption;
mod appliance;
mod ask;
mod booked;
mod breaker;
mod card;
mod clamp;
mod complaint;
mod cut;
mod decision;
mod demand;
mod drop;
mod dwelling;
mod energised;
mod exposure;
mod handle;
mod install_words;
mod installed;
mod interim;
mod kept;
mod last;
mod offer;
mod opening;
mod option;
mod permit;
mod pin;
mod premises;
mod promise;
mod proof;
mod quote;
mod replacement;
pub(crate) mod sentence;
mod service;
mod shared_neutral;
mod sign;
mod site;
mod source;
pub(crate) mod standing;
mod state;
mod take_back;
mod taking;
mod temperature;
#[cfg(test)]
mod tests;
mod tick;
mod torqued;
mod touch;
mod tried;
mod trip;
mod used;
mod verified;
mod voltage;
mod volts;
mod wire;
pub(crate) mod words;
mod work;

use crate::context::{Context, JobView};
use crate::fields::{FieldError, Fields, Refusal};
use crate::form::{Sheet, form_with_time};
use crate::route::{EntryKind, Route};
use crate::screen::Entry;
use crate::shell::{Page, failure_page, shell};
use ask::Ask;
use maud::{Markup, html};
use record::{Body, Fact};
use standing::{Series, Standing};
pub(crate) use taking::Taking;
use words::{enter, installation, space_route, space_words};

pub(crate) use last::question;
pub(crate) use pin::{alt, fields as pin_fields, is_hash, picture};
pub(crate) use sign::signs_at;
pub(crate) use touch::feel_tiles;

/// Pairs of a form's fields.
pub(crate) type Pairs = Vec<(String, String)>;

/// A kind of form: its heading, how it is shown and read, and how a fact fills it again.
struct Form {
    title: &'static str,
    lede: &'static str,
    show: fn(&Ask<'_>) -> Markup,
    read: fn(&mut Taking<'_>) -> Vec<Body>,
    /// The fields that would say the same as a fact; nothing where the fact is of another kind.
    pairs: fn(&Body) -> Pairs,
    /// Readings that are usually taken pole after pole.
    series: Option<Series>,
}

fn form(kind: EntryKind) -> Form {
    match kind {
        EntryKind::State => state::FORM,
        EntryKind::Exposure => exposure::FORM,
        EntryKind::Touch => touch::FORM,
        EntryKind::Temperature => temperature::FORM,
        EntryKind::Clamp => clamp::FORM,
        EntryKind::Voltage => voltage::FORM,
        EntryKind::Drop => drop::FORM,
        EntryKind::Trip => trip::FORM,
        EntryKind::Sign => sign::FORM,
        EntryKind::Complaint => complaint::FORM,
        EntryKind::Service => service::FORM,
        EntryKind::Breaker => breaker::FORM,
        EntryKind::Opening => opening::FORM,
        EntryKind::Decision => decision::FORM,
        EntryKind::Work => work::FORM,
        EntryKind::Pin => pin::FORM,
        EntryKind::Handle => handle::FORM,
        EntryKind::Cut => cut::FORM,
        EntryKind::Source => source::FORM,
        EntryKind::Proof => proof::FORM,
        EntryKind::Interim => interim::FORM,
        EntryKind::Promise => promise::FORM,
        EntryKind::Kept => kept::FORM,
        EntryKind::Installed => installed::FORM,
        EntryKind::Torqued => torqued::FORM,
        EntryKind::Energised => energised::FORM,
        EntryKind::SharedNeutral => shared_neutral::FORM,
        EntryKind::Booked => booked::FORM,
        EntryKind::Tick => tick::FORM,
        EntryKind::Quote => quote::FORM,
        EntryKind::Used => used::FORM,
        EntryKind::Verified => verified::FORM,
        EntryKind::Tried => tried::FORM,
        EntryKind::Permit => permit::FORM,
        EntryKind::Card => card::FORM,
        EntryKind::Adoption => adoption::FORM,
        EntryKind::Dwelling => dwelling::FORM,
        EntryKind::Appliance => appliance::FORM,
        EntryKind::Demand => demand::FORM,
        EntryKind::Site => site::FORM,
        EntryKind::TakeBack => take_back::FORM,
    }
}

/// The form that can say what a fact says again, for correcting it.
pub(crate) fn form_of(body: &Body) -> Option<EntryKind> {
    EntryKind::ALL.iter().copied().find(|&kind| !(form(kind).pairs)(body).is_empty())
}

/// One form.
pub(crate) fn page(kind: EntryKind, fields: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let Some(view) = cx.job else {
        return failure_page("No such job", "This form belongs to a job that is not here.", "");
    };
    let route = Route::Enter(view.name.clone(), kind);
    let form = form(kind);
    let standing = Standing::of(view);
    let values = filled(&form, kind, fields, again, view);
    let sheet = Sheet::new(&values, again);
    let ask = Ask { sheet, values: &values, standing: &standing, view, cx };
    let corrects: Vec<&Fact> = values
        .all("supersedes")
        .filter_map(|id| view.facts.iter().find(|fact| fact.id().as_str() == id))
        .collect();
    let body = html! {
        p.lede { (form.lede) }
        (sheet.error_list())
        @if kind != EntryKind::TakeBack && !corrects.is_empty() {
            div.note {
                p { strong { "Corrects: " } @for fact in &corrects { (sentence::sentence(view, &fact.body)) " " } }
                p { "The old entry stays in the log, marked as replaced." }
            }
        }
        @if form.series.is_some() { div #(last::HERE) { @if corrects.is_empty() { (last::last(kind, view, cx)) } } }
        (form_with_time(cx, &route, html! {
            @if kind != EntryKind::TakeBack {
                @for id in values.all("supersedes") { input type="hidden" name="supersedes" value=(id); }
            }
            @if let Some(go) = values.text("go") { input type="hidden" name="go" value=(go); }
            ((form.show)(&ask))
        }))
    };
    shell(cx, form.title, &route, body)
}

/// Fields of a query, filled up by the fact that is to be corrected.
fn filled(form: &Form, kind: EntryKind, fields: &Fields, again: Option<&Refusal>, view: &JobView) -> Fields {
    let sent: Pairs = fields
        .names()
        .flat_map(|name| fields.all(name).map(|value| (name.to_owned(), value.to_owned())))
        .collect();
    if again.is_some() {
        return Fields::from_pairs(sent);
    }
    let mut usual: Pairs = Vec::new();
    let slot = fields.text("place").and_then(|text| words::read_slot(view, text));
    if let (EntryKind::Breaker, Some(slot), None) = (kind, slot, fields.text("supersedes")) {
        usual = breaker::at(&Standing::of(view), &slot);
    } else if kind != EntryKind::TakeBack {
        let corrected = fields.text("supersedes");
        let fact = view.facts.iter().find(|fact| Some(fact.id().as_str()) == corrected);
        if let Some(fact) = fact {
            usual = (form.pairs)(&fact.body);
            usual.push(("at".to_owned(), fact.at.strftime("%Y-%m-%dT%H:%M:%S").to_string()));
            usual.extend(fact.by.clone().map(|by| ("who".to_owned(), by)));
        }
    }
    usual.retain(|(name, _)| sent.iter().all(|(given, _)| given != name));
    Fields::from_pairs(sent.into_iter().chain(usual))
}

/// Reads what a form sent.
///
/// # Errors
/// Every field that cannot be taken, and what would be right.
pub(crate) fn read(kind: EntryKind, fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    let Some(view) = cx.job else {
        let message = "This form belongs to a job that is not here.".to_owned();
        return Err(Refusal { errors: vec![FieldError { field: String::new(), message }] });
    };
    let form = form(kind);
    let mut taking = Taking::new(fields, view, cx);
    let bodies = (form.read)(&mut taking);
    let go = onward(&form, &taking, kind);
    taking.finish(bodies, go)
}

/// The page after an entry: the next place of a series, the page that the form names, the space, or the bench.
fn onward(form: &Form, taking: &Taking<'_>, kind: EntryKind) -> String {
    let view = taking.view;
    let bench = Route::Bench(view.name.clone()).to_string();
    if let (Some(_), Some(series), Some(slot), Some(installation)) =
        (taking.text("then"), form.series, &taking.about, installation(view))
    {
        let state = taking.state.clone().unwrap_or_default();
        return match taking.standing.next_pole(installation, series, slot, &state) {
            Some(next) => {
                let unit = taking.text("unit").unwrap_or_default();
                let next =
                    enter(view, kind, &[("place", &next.to_string()), ("state", &state), ("unit", unit)]);
                format!("{next}#{}", last::HERE)
            }
            None => bench,
        };
    }
    if let Some(go) = taking.text("go") {
        let path = go.split(['?', '#']).next().unwrap_or(go);
        if Route::of_path(path).as_ref().and_then(Route::job) == Some(&view.name) {
            return go.to_owned();
        }
    }
    if !taking.supersedes.is_empty() {
        return Route::Log(view.name.clone()).to_string();
    }
    match &taking.about {
        Some(slot) => space_route(view, slot).to_string(),
        None => bench,
    }
}

/// The row of buttons below a reading that is usually taken pole after pole.
fn series_actions(word: &str) -> Markup {
    html! {
        div.actions {
            button.plain { (word) }
            button.big name="then" value="next" { (word) " and next" }
        }
    }
}

/// The row with one button.
fn actions(word: &str) -> Markup {
    html! { div.actions { button.big { (word) } } }
}

/// Another time than now.
fn moment(ask: &Ask<'_>) -> Markup {
    html! {
        details.more open[ask.values.text("at").is_some()] {
            summary { "Another time" }
            (ask.sheet.moment("When", "Left empty: now.", None))
        }
    }
}

fn pair(name: &str, value: impl ToString) -> (String, String) {
    (name.to_owned(), value.to_string())
}

/// Where a pole is, in the heading of a form.
fn about(ask: &Ask<'_>) -> Markup {
    html! {
        @if let Some(slot) = ask.query_slot() {
            p.lead { strong { (study::words::capital(&space_words(ask.installation(), &slot))) } }
        }
    }
}
