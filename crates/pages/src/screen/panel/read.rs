//! Reads the description of a panel.

use super::{FIRST, SPACES, main_kind, panel_fact};
use crate::context::Context;
use crate::fields::{Fields, Reader, Refusal};
use crate::route::Route;
use crate::screen::Entry;
use crate::screen::fill::breaker_fact;
use model::breaker::{Attachment, Handle, LoadClass, Protection};
use model::{Leg, PanelId, SectionId, Slot, Space, System};
use record::fact::{
    BreakerDescribed, BusDescribed, CabinetDescribed, CircuitDescribed, FeedDescribed, HalfWidthDescribed,
    PanelDescribed, SectionDescribed,
};
use record::text::AsText;
use record::{Body, limits};

/// Section of a bus that is not split, and the two of a split one.
const ONE: &str = "bus";
const UPPER: &str = "upper";
const LOWER: &str = "lower";

const NO_MAIN: &str = "Choose what feeds the bus. Where no single handle switches everything off, it is a split bus or lugs only.";

/// What the form says of the bus.
struct Sections {
    all: Vec<SectionDescribed>,
    /// First space and rating of the breaker that feeds a lower section.
    feeder: Option<(Space, f64)>,
}

/// Reads the form.
///
/// # Errors
/// What is wrong, field by field.
pub(crate) fn read(job: &str, panel_id: &str, fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    let mut reader = Reader::new(fields);
    let at = reader.moment(cx.now);
    let is_first = cx.settled_job().is_none_or(|job| job.installation.panels.is_empty());
    let id = if panel_id.is_empty() && is_first && fields.text("panel").is_none() {
        Some(PanelId::new(FIRST))
    } else if panel_id.is_empty() {
        reader.need::<PanelId>("panel", None, "Give the panel a short name, as in: main, sub, garage.")
    } else {
        Some(PanelId::new(panel_id))
    };
    let old = cx.job.zip(id.as_ref()).and_then(|(view, id)| {
        panel_fact(view, id.as_str()).filter(|(fact, _)| view.is_known_to(fields, fact.id()))
    });
    let old_body = old.map(|(_, body)| body);
    if panel_id.is_empty() && old.is_some() {
        reader.wrong(
            "panel",
            "There is a panel of this name already: open it to change it, or give this one another name.",
        );
    }
    let spaces = spaces(&mut reader);
    let columns = reader.whole("columns", (1, 2)).unwrap_or(2) as u8;
    let system = reader.thing::<System>("system", None).unwrap_or(System::SplitPhase);
    let first_leg = reader.thing::<Leg>("first-leg", None).unwrap_or(Leg::A);
    if !system.legs().contains(&first_leg) {
        reader.wrong("first-leg", "Leg C is only in a 208Y/120 V panel: choose A or B, or another system.");
    }
    let place = reader.text("place", limits::NAME_MAX).unwrap_or_default();
    let bus = BusDescribed {
        metal: reader.thing("metal", None).map(AsText),
        plating: reader.thing("plating", None).map(AsText),
        rating_a: reader.number("bus-rating", "A", limits::BUS_RATING_A),
    };
    let cabinet = CabinetDescribed {
        mounting: reader.thing("mounting", None).map(AsText),
        ..old_body.map(|old| old.cabinet.clone()).unwrap_or_default()
    };
    let year = reader.whole("year", (limits::YEAR.0 as u16, limits::YEAR.1 as u16)).map(|year| year as i16);
    let moisture = reader.yes_no("moisture");
    let half_width = match reader.yes_no("half-width") {
        Some(true) => Some(HalfWidthDescribed::Everywhere),
        Some(false) => None,
        None => old_body
            .and_then(|old| old.half_width.clone())
            .filter(|half| matches!(half, HalfWidthDescribed::In(_))),
    };
    let sections = match (&id, spaces) {
        (Some(id), Some(spaces)) => sections(&mut reader, id, (spaces, columns), old_body, cx),
        _ => {
            if fields.text("main").is_none() {
                reader.wrong("main", NO_MAIN);
            }
            None
        }
    };
    let (Some(id), Some(spaces), Some(sections)) = (id, spaces, sections) else {
        return Err(reader.refusal());
    };
    reader.finish()?;
    let body = PanelDescribed {
        panel: AsText(id.clone()),
        place,
        system: AsText(system),
        spaces,
        columns,
        first_leg: AsText(first_leg),
        bus,
        cabinet,
        half_width,
        year,
        moisture,
        sections: sections.all,
    };
    let supersedes = old.map(|(fact, _)| fact.id().clone()).into_iter().collect();
    let mut facts = Vec::new();
    if old_body != Some(&body) {
        facts.push(cx.fact(at, supersedes, Body::Panel(Box::new(body))));
    }
    if let Some((first, rating_a)) = sections.feeder {
        facts.extend(
            feeder(cx, &id, first, rating_a, columns)
                .map(|(old, body)| cx.fact(at, old, Body::Breaker(Box::new(body)))),
        );
    }
    let go = Route::Fill(job.to_owned(), id.to_string()).to_string();
    Ok(Entry { job: job.to_owned(), facts, go })
}

fn spaces(reader: &mut Reader<'_>) -> Option<u16> {
    let fields = reader.fields();
    if fields.text("spaces-other").is_some() {
        return reader.whole("spaces-other", (1, limits::SPACES_MAX));
    }
    if fields.text("spaces").is_none() {
        let tiles = SPACES.join(", ");
        reader.wrong("spaces", format!("Choose how many spaces the panel has: {tiles}, or another number."));
    }
    reader.whole("spaces", (1, limits::SPACES_MAX))
}

fn sections(
    reader: &mut Reader<'_>,
    id: &PanelId,
    (spaces, columns): (u16, u8),
    old: Option<&PanelDescribed>,
    cx: &Context<'_>,
) -> Option<Sections> {
    let n_rows = spaces.div_ceil(u16::from(columns));
    // The conductor of a section stays, where another form described it.
    let conductor = |id: &str| {
        let old = old.and_then(|old| old.sections.iter().find(|section| section.id.0.as_str() == id));
        old.map(|section| section.feeder.clone()).unwrap_or_default()
    };
    let one = |id: &str, rows: [u16; 2], feed: FeedDescribed| SectionDescribed {
        id: AsText(SectionId::new(id)),
        rows,
        feed,
        feeder: conductor(id),
    };
    let name = old.and_then(|old| match old.sections.as_slice() {
        [only] => Some(only.id.0.as_str().to_owned()),
        _ => None,
    });
    let name = name.unwrap_or_else(|| ONE.to_owned());
    let single = |feed| Some(Sections { all: vec![one(&name, [1, n_rows], feed)], feeder: None });
    match reader.fields().text("main") {
        Some(main_kind::BREAKER) => {
            let field = if reader.fields().text("main-rating-other").is_some() {
                "main-rating-other"
            } else {
                "main-rating"
            };
            if reader.fields().text(field).is_none() {
                reader.wrong(field, "Choose the rating on the handle of the main.");
            }
            let rating_a = reader.rating(field, "main-rating-sure")?;
            single(FeedDescribed::MainBreaker { rating_a })
        }
        Some(main_kind::LUGS) => single(FeedDescribed::Lugs),
        Some(main_kind::SUB) => {
            let home = cx.settled_job().and_then(|job| job.default_panel.clone());
            let slot =
                reader.need::<Slot>("fed-by", home.as_ref(), "Choose the breaker that feeds this panel.")?;
            if slot.panel == *id {
                reader.wrong("fed-by", "A sub-panel is fed by a breaker of another panel; where one of its own breakers feeds the lower rows, it is a split bus.");
                return None;
            }
            single(FeedDescribed::Breaker(AsText(slot)))
        }
        Some(main_kind::SPLIT) => split(reader, id, (spaces, columns), &one),
        Some(main_kind::KEEP) if old.is_some() => {
            old.map(|old| Sections { all: old.sections.clone(), feeder: None })
        }
        _ => {
            reader.wrong("main", NO_MAIN);
            None
        }
    }
}

fn split(
    reader: &mut Reader<'_>,
    id: &PanelId,
    (spaces, columns): (u16, u8),
    one: &dyn Fn(&str, [u16; 2], FeedDescribed) -> SectionDescribed,
) -> Option<Sections> {
    let n_rows = spaces.div_ceil(u16::from(columns));
    let row_of = |space: u16| space.saturating_sub(1) / u16::from(columns) + 1;
    for (field, missing) in [
        ("lower", "Give the number of the first space of the lower section."),
        ("feeder", "Give the number of the space of the breaker that feeds the lower section."),
        ("feeder-rating", "Choose the rating of the breaker that feeds the lower section."),
    ] {
        if reader.fields().text(field).is_none() {
            reader.wrong(field, missing);
        }
    }
    let lower = reader.whole("lower", (1, spaces));
    let feeder = reader.whole("feeder", (1, spaces));
    let rating_a = reader.number("feeder-rating", "A", limits::RATING_A);
    let (lower, feeder, rating_a) = (lower?, feeder?, rating_a?);
    let first_row = row_of(lower);
    if first_row < 2 {
        reader.wrong("lower", "The upper section needs a row, too: the lower one begins below the first.");
        return None;
    }
    if first_row < row_of(feeder) + 2 {
        reader.wrong(
            "feeder",
            format!("The breaker that feeds the lower section sits above it, with both poles: its upper space is below {}.", lower.saturating_sub(2 * u16::from(columns)) + 1),
        );
        return None;
    }
    let slot = Slot::new(id.clone(), Space::whole(feeder));
    let all = vec![
        one(UPPER, [1, first_row - 1], FeedDescribed::Lugs),
        one(LOWER, [first_row, n_rows], FeedDescribed::Breaker(AsText(slot))),
    ];
    Some(Sections { all, feeder: Some((Space::whole(feeder), rating_a)) })
}

/// The breaker that feeds the lower section, where it is not recorded just so; and what it takes the place of.
fn feeder(
    cx: &Context<'_>,
    panel: &PanelId,
    first: Space,
    rating_a: f64,
    columns: u8,
) -> Option<(Vec<model::FactId>, BreakerDescribed)> {
    let second = Space::whole(first.number + u16::from(columns));
    let old = cx.job.and_then(|view| breaker_fact(view, panel, first));
    let known =
        |body: &BreakerDescribed| body.rating_a == rating_a && body.spaces.first() == Some(&AsText(first));
    if old.is_some_and(|(_, body)| known(body) && body.spaces.len() == 2) {
        return None;
    }
    let body = BreakerDescribed {
        panel: AsText(panel.clone()),
        spaces: vec![AsText(first), AsText(second)],
        rating_a,
        protection: AsText(Protection::ThermalMagnetic),
        attachment: AsText(Attachment::PlugOn),
        other_make: old.and_then(|(_, body)| body.other_make),
        later: old.and_then(|(_, body)| body.later),
        handle: old.map_or(AsText(Handle::On), |(_, body)| body.handle),
        circuit: Some(CircuitDescribed {
            feeds: "lower section".to_owned(),
            class: Some(AsText(LoadClass::Feeder)),
            ..CircuitDescribed::default()
        }),
    };
    Some((old.map(|(fact, _)| fact.id().clone()).into_iter().collect(), body))
}
