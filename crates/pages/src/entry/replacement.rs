//! Facts that prepare the replacement, each in one sentence.

use record::fact::{Body, CircuitSurveyed, LayoutChosen};
use record::text::Textual;

/// The sentence of a fact of the replacement; empty for other facts.
pub(super) fn sentence(body: &Body) -> String {
    match body {
        Body::Circuit(body) => circuit(body),
        Body::Surprise(body) => {
            let about = body.slot.as_ref().map(|slot| format!(" at {}", slot.0.space)).unwrap_or_default();
            let words =
                if body.words.is_empty() { String::new() } else { format!(": {}", body.words.trim()) };
            let hours = body.hours.map(|hours| format!(", took {hours} h")).unwrap_or_default();
            let usd = body.cost_usd.map(|usd| format!(", cost {usd} US dollars")).unwrap_or_default();
            let bill = match body.charged {
                Some(true) => ", on the bill",
                Some(false) => ", not on the bill",
                None => "",
            };
            format!(
                "question “{}”{about} answered {}{hours}{usd}{bill}{words}",
                body.question,
                body.answer.0.write()
            )
        }
        Body::Arrangement(body) => arrangement(body),
        _ => String::new(),
    }
}

fn circuit(body: &CircuitSurveyed) -> String {
    let mut known: Vec<String> = Vec::new();
    known.extend((!body.feeds.is_empty()).then(|| body.feeds.trim().to_owned()));
    known.extend((!body.room.is_empty()).then(|| body.room.trim().to_owned()));
    known.extend(body.conductor.size.as_ref().map(|size| size.0.to_string()));
    known.extend(body.conductor.entry.as_ref().map(|side| format!("in at the {}", side.0.write())));
    known.extend(
        body.conductor.free_length.map(|length| format!("{:.0} in free", length.quantity().inches())),
    );
    known.extend(body.partner.as_ref().map(|partner| format!("shares its neutral with {}", partner.0)));
    let known = if known.is_empty() { "nothing known yet".to_owned() } else { known.join(", ") };
    format!("circuit in {} surveyed: {known}", body.slot.0.space)
}

fn arrangement(body: &LayoutChosen) -> String {
    let locked = body.seats.iter().filter(|seat| seat.locked).count();
    let locked = if locked == 0 { String::new() } else { format!(", {locked} of them locked") };
    format!(
        "layout chosen for panel {}: {} circuits into {} spaces{locked}",
        body.panel.0,
        body.seats.len(),
        body.spaces
    )
}
