//! Reads what the strip below a space sent.

use super::usual::{Usual, usual_loads, usual_of};
use super::walk::{above, next_empty, spaces_from};
use crate::context::{Context, JobView};
use crate::fields::{FieldError, Fields, Reader, Refusal};
use crate::route::Route;
use crate::screen::Entry;
use jiff::civil::DateTime;
use model::breaker::{Attachment, Handle, LoadClass, Protection};
use model::panel::Panel;
use model::{FactId, PanelId, Space};
use record::fact::{BreakerDescribed, CircuitDescribed, Retraction};
use record::limits;
use record::text::{AsText, Textual};
use record::{Body, Fact};

/// Begins the name of a button that saves a usual load.
pub(super) const LOAD: &str = "load:";

/// Reads the strip.
///
/// # Errors
/// What is wrong, field by field.
pub(crate) fn read(job: &str, panel_id: &str, fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    let mut reader = Reader::new(fields);
    let at = reader.moment(cx.now);
    let panel_name = PanelId::new(panel_id);
    let panel = cx.settled_job().and_then(|job| job.installation.panel(&panel_name));
    let (Some(view), Some(panel)) = (cx.job, panel) else {
        return Err(whole("This panel is not described yet: begin with its rows and its main."));
    };
    let act = fields.text("act").unwrap_or("save");
    if act == "undo" {
        return undo(job, panel, view, &mut reader, at, cx);
    }
    let Some(space) = reader.need::<Space>("space", None, "Choose the space.") else {
        return Err(reader.refusal());
    };
    if !panel.has_space(space) {
        reader.wrong("space", format!("There is no space {space}: this panel has 1 to {}.", panel.n_spaces));
        return Err(reader.refusal());
    }
    let old = fact_at(view, &panel.id, space).filter(|(fact, _)| view.is_known_to(fields, fact.id()));
    if act == "remove" {
        let Some((old, body)) = old else {
            return Err(whole("There is no breaker in this space; it may have been taken back already."));
        };
        let words = format!("no breaker in space {space}");
        let first = body.spaces.first().map_or(space, |first| first.0);
        let fact = cx.fact(at, vec![old.id().clone()], Retraction { words });
        return Ok(Entry { job: job.to_owned(), facts: vec![fact], go: address(job, panel, Some(first)) });
    }
    let body = if act == "above" {
        copied(panel, view, space, &mut reader)
    } else {
        typed(panel, space, old, act, &mut reader)
    };
    let Some(body) = body else { return Err(reader.refusal()) };
    let old_id = old.map(|(fact, _)| fact.id().clone());
    collisions(panel, view, &body, old_id.as_ref(), &mut reader);
    let filled: Vec<Space> = body.spaces.iter().map(|space| space.0).collect();
    reader.finish()?;
    let first = filled.first().copied().unwrap_or(space);
    let go = match filled.first().and_then(|first| other_half(panel, *first)) {
        Some(half) => address(job, panel, Some(half)),
        None => address(job, panel, next_empty(panel, Some(first), &filled)),
    };
    let fact = cx.fact(at, old_id.into_iter().collect(), Body::Breaker(Box::new(body)));
    Ok(Entry { job: job.to_owned(), facts: vec![fact], go })
}

fn whole(message: &str) -> Refusal {
    Refusal { errors: vec![FieldError { field: String::new(), message: message.to_owned() }] }
}

/// The page at a space, or at the end of the walk.
fn address(job: &str, panel: &Panel, space: Option<Space>) -> String {
    let fill = Route::Fill(job.to_owned(), panel.id.to_string());
    match space {
        Some(space) => format!("{fill}?space={space}"),
        None => format!("{fill}?done=yes"),
    }
}

/// The lower half, where an upper half was just filled and the lower one is free.
fn other_half(panel: &Panel, space: Space) -> Option<Space> {
    let lower = Space { half: Some(model::Half::Lower), ..space };
    (space.half == Some(model::Half::Upper) && panel.breaker_at(lower).is_none()).then_some(lower)
}

/// The fact that describes the breaker with a pole in the space, and what it says.
pub(crate) fn fact_at<'a>(
    view: &'a JobView,
    panel: &PanelId,
    space: Space,
) -> Option<(&'a Fact, &'a BreakerDescribed)> {
    view.used().rev().find_map(|fact| match &fact.body {
        Body::Breaker(body)
            if body.panel.0 == *panel && body.spaces.iter().any(|mine| mine.0.overlaps(space)) =>
        {
            Some((fact, body.as_ref()))
        }
        _ => None,
    })
}

fn copied(panel: &Panel, view: &JobView, space: Space, reader: &mut Reader<'_>) -> Option<BreakerDescribed> {
    let source = above(panel, space).and_then(|breaker| fact_at(view, &panel.id, *breaker.spaces.first()?));
    let Some((_, source)) = source else {
        reader.wrong("", format!("There is no breaker above space {space} to copy."));
        return None;
    };
    let n_poles = source.spaces.len() as u8;
    let spaces = taken_spaces(panel, space, n_poles, reader)?;
    let circuit =
        source.circuit.as_ref().map(|circuit| CircuitDescribed { partner: None, ..circuit.clone() });
    Some(BreakerDescribed { spaces, circuit, ..source.clone() })
}

fn taken_spaces(
    panel: &Panel,
    first: Space,
    n_poles: u8,
    reader: &mut Reader<'_>,
) -> Option<Vec<AsText<Space>>> {
    let Some(spaces) = spaces_from(panel, first, n_poles) else {
        reader.wrong(
            "poles",
            format!("The panel ends too soon: {n_poles} poles from space {first} run past its last row. Begin higher, or choose fewer poles."),
        );
        return None;
    };
    if panel.system.legs().len() < usize::from(n_poles) {
        let legs = panel.system.legs().len();
        reader.wrong("poles", format!("This panel has {legs} legs: a breaker has {legs} poles at most."));
        return None;
    }
    let section = |space: &Space| panel.section_of(*space).map(|section| &section.id);
    if spaces.windows(2).any(|pair| section(&pair[0]) != section(&pair[1])) {
        reader.wrong(
            "poles",
            format!("The bus is split below space {first}: a breaker cannot reach across. Choose one pole, or look again where the lower section begins."),
        );
        return None;
    }
    Some(spaces.into_iter().map(AsText).collect())
}

/// What the tiles and fields say.
fn typed(
    panel: &Panel,
    space: Space,
    old: Option<(&Fact, &BreakerDescribed)>,
    act: &str,
    reader: &mut Reader<'_>,
) -> Option<BreakerDescribed> {
    let fields = reader.fields();
    let old = old.map(|(_, body)| body);
    let usual: Option<Usual> = match act.strip_prefix(LOAD) {
        Some(feeds) => usual_loads().into_iter().find(|usual| usual.feeds == feeds),
        None => None,
    };
    let feeds = match &usual {
        Some(usual) => Some(usual.feeds.to_owned()),
        None => reader.text("feeds", limits::WORDS_MAX),
    };
    let usual = usual.or_else(|| usual_of(feeds.as_deref()?));
    let poles = match fields.text("poles") {
        Some("usual") | None => old
            .filter(|_| !act.starts_with(LOAD))
            .map(|old| old.spaces.len() as u16)
            .or(usual.as_ref().map(|usual| u16::from(usual.n_poles)))
            .or(Some(1)),
        Some(_) => reader.whole("poles", (1, 3)),
    };
    let typed_rating = reader.rating("rating-other", "rating-sure");
    let rating_a = match fields.text("rating") {
        _ if fields.text("rating-other").is_some() => typed_rating,
        Some("usual") | None => usual.as_ref().map(|usual| usual.rating_a),
        Some(_) => reader.number("rating", "A", limits::RATING_A),
    };
    if rating_a.is_none()
        && matches!(fields.text("rating"), Some("usual") | None)
        && fields.text("rating-other").is_none()
    {
        reader.wrong("rating", "Choose the rating on the handle, in amperes.");
    }
    let class: Option<LoadClass> = match fields.text("class") {
        Some(_) if !act.starts_with(LOAD) => reader.thing("class", None),
        _ => usual.as_ref().map(|usual| usual.class),
    };
    let handle = reader.thing::<Handle>("handle", None).unwrap_or(Handle::On);
    let protection = reader
        .thing::<Protection>("protection", None)
        .or(old.map(|old| old.protection.0))
        .unwrap_or(Protection::ThermalMagnetic);
    let other_make = reader.yes_no("other-make");
    let later = reader.yes_no("later");
    let first = old.and_then(|old| old.spaces.first()).map_or(space, |first| first.0);
    let spaces = taken_spaces(panel, first, u8::try_from(poles?).ok()?, reader)?;
    let circuit = circuit(old, feeds.unwrap_or_default(), class);
    Some(BreakerDescribed {
        panel: AsText(panel.id.clone()),
        spaces,
        rating_a: rating_a?,
        protection: AsText(protection),
        attachment: old.map_or(AsText(Attachment::PlugOn), |old| old.attachment),
        other_make,
        later,
        handle: AsText(handle),
        circuit,
    })
}

/// The circuit with new words; what other forms said of it stays.
fn circuit(
    old: Option<&BreakerDescribed>,
    feeds: String,
    class: Option<LoadClass>,
) -> Option<CircuitDescribed> {
    let before = old.and_then(|old| old.circuit.clone());
    if feeds.is_empty() && class.is_none() && before.is_none() {
        return None;
    }
    Some(CircuitDescribed { feeds, class: class.map(AsText), ..before.unwrap_or_default() })
}

/// Spaces that another breaker holds.
fn collisions(
    panel: &Panel,
    view: &JobView,
    body: &BreakerDescribed,
    old: Option<&FactId>,
    reader: &mut Reader<'_>,
) {
    for space in &body.spaces {
        if let Some((fact, other)) = fact_at(view, &panel.id, space.0)
            && Some(fact.id()) != old
            && view.is_known_to(reader.fields(), fact.id())
        {
            let feeds = other.circuit.as_ref().map(|circuit| circuit.feeds.as_str()).unwrap_or_default();
            let mine = body.spaces.iter().map(|space| space.0.write()).collect::<Vec<_>>().join(" and ");
            reader.wrong(
                "poles",
                format!(
                    "This breaker would take {mine}, but space {} holds the {} A breaker{}{feeds}. Choose fewer poles, or clear that space first.",
                    space.0,
                    other.rating_a,
                    if feeds.is_empty() { "" } else { " of " },
                ),
            );
            return;
        }
    }
}

/// Takes the last breaker back; where it had replaced another one, that one stands again.
fn undo(
    job: &str,
    panel: &Panel,
    view: &JobView,
    reader: &mut Reader<'_>,
    at: DateTime,
    cx: &Context<'_>,
) -> Result<Entry, Refusal> {
    let Some(id) = reader.need::<FactId>("fact", None, "Say which entry is taken back.") else {
        return Err(reader.clone().refusal());
    };
    let fact = view.facts.iter().find(|fact| *fact.id() == id);
    let before = fact.and_then(|fact| {
        let old = fact.supersedes.first()?;
        view.facts.iter().find(|fact| *fact.id() == old.0)
    });
    let body = match before.map(|fact| &fact.body) {
        Some(Body::Breaker(body)) => Body::Breaker(body.clone()),
        _ => Retraction { words: "entered by mistake".to_owned() }.into(),
    };
    let space = match fact.map(|fact| &fact.body) {
        Some(Body::Breaker(body)) => body.spaces.first().map(|space| space.0),
        _ => None,
    };
    let facts = vec![cx.fact(at, vec![id], body)];
    Ok(Entry { job: job.to_owned(), facts, go: address(job, panel, space) })
}
