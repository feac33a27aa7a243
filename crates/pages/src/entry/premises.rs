//! What the code book asks, in sentences, and what of it a new entry replaces.

use super::taking::Taking;
use record::Body;
use record::limits;
use record::text::Textual;

/// A fact of these in one sentence.
pub(super) fn sentence(body: &Body) -> String {
    let unit = |unit: &str| if unit.is_empty() { String::new() } else { format!(" “{unit}”") };
    match body {
        Body::Adoption(body) => {
            let editions: Vec<String> =
                body.editions.iter().map(|one| format!("{} from {}", one.edition, one.from)).collect();
            let n = body.amendments.len();
            let amended = if n == 0 { String::new() } else { format!(", {n} local amendments") };
            format!("code adopted by {}: edition {}{amended}", body.place, editions.join(", "))
        }
        Body::Dwelling(body) => {
            let area = body.floor_ft2.map(|area| format!(", {area} ft²")).unwrap_or_default();
            format!("dwelling{} described{area}", unit(&body.unit))
        }
        Body::Appliance(body) => {
            let rating =
                body.rating.as_ref().map(|rating| format!(", {}", rating.0.write())).unwrap_or_default();
            format!(
                "appliance “{}”{}: {}{rating}, {}",
                body.name,
                unit(&body.unit),
                body.what.0.write(),
                body.status.0.write()
            )
        }
        Body::Demand(body) => format!(
            "greatest demand {} to {} kW, {}",
            body.least_kw,
            body.most_kw,
            body.days.map_or("a year of meter data".to_owned(), |days| format!("recorded for {days} days"))
        ),
        Body::Site(body) => {
            let work = body.work.map(|work| format!(", planned: {}", work.0.write().replace('-', " ")));
            format!("site and planned work described{}", work.unwrap_or_default())
        }
        _ => String::new(),
    }
}

/// What is described once replaces what was said of it before, as far as the page that sent the form knew it.
pub(super) fn replace_earlier(taking: &mut Taking<'_>, same: impl Fn(&Body) -> bool) {
    if !taking.supersedes.is_empty() {
        return;
    }
    let (view, fields) = (taking.view, taking.reader.fields());
    let earlier =
        taking.standing.live.iter().filter(|fact| same(&fact.body) && view.is_known_to(fields, fact.id()));
    taking.supersedes = earlier.map(|fact| fact.id().clone()).collect();
}

/// Yes, no, or a question mark.
pub(super) const fn yes_no_word(value: Option<bool>) -> &'static str {
    match value {
        Some(true) => "yes",
        Some(false) => "no",
        None => "?",
    }
}

/// A field of several lines, where there are any: one value, as a form shows it.
pub(super) fn line_pair(name: &str, lines: impl IntoIterator<Item = String>) -> Option<(String, String)> {
    let lines: Vec<String> = lines.into_iter().collect();
    (!lines.is_empty()).then(|| super::pair(name, lines.join("\n")))
}

/// Most lines of a field.
const LINES_MAX: usize = 40;

/// The lines of a field, each of so many parts between semicolons; what has more or fewer is told of and left out.
pub(super) fn lines(taking: &mut Taking<'_>, field: &str, n_parts: usize) -> Vec<Vec<String>> {
    lines_of(taking, field, n_parts, n_parts)
}

/// As [`lines`], of at least and at most so many parts.
pub(super) fn lines_of(taking: &mut Taking<'_>, field: &str, least: usize, most: usize) -> Vec<Vec<String>> {
    let all: Vec<Vec<String>> = taking
        .reader
        .fields()
        .all(field)
        .flat_map(str::lines)
        .map(str::trim)
        .filter(|line| !line.is_empty())
        .take(LINES_MAX)
        .map(|line| {
            line.split(';').map(|part| part.trim().chars().take(limits::NAME_MAX).collect()).collect()
        })
        .collect();
    let mut kept = Vec::new();
    for parts in all {
        let blank = parts.iter().take(least).any(String::is_empty);
        if parts.len() < least || most < parts.len() || blank {
            taking.wrong(
                field,
                format!(
                    "“{}” has not the {least} parts between semicolons that the hint shows.",
                    parts.join("; ")
                ),
            );
        } else {
            kept.push(parts);
        }
    }
    kept
}
