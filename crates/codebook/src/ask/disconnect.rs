//! Service disconnects: how many, how grouped, and one outdoors.

use super::finding::{Answer, Finding, Subject, asked, or_refused};
use super::situation::{Outdoor, Situation, Work};
use crate::law::Law;
use crate::rule;
use crate::ruling::Refused;

pub(super) fn findings(law: &Law<'_>, at: &Situation) -> Vec<Finding> {
    vec![
        or_refused(Subject::DisconnectCount, "service disconnects", count(law, at)),
        or_refused(Subject::OutdoorDisconnect, "disconnect outdoors", outdoor(law, at)),
    ]
}

fn count(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let how = law.word(rule::DISCONNECT_COUNT)?;
    let most = law.number(rule::DISCONNECT_MOST)?.value;
    let title = "service disconnects";
    let found = |answer, text: String| Ok(Finding::new(Subject::DisconnectCount, title, answer, text, &how));
    if at.is_service == Some(false) && !at.work.replaces_panel() {
        return found(
            Answer::NotRequired,
            "The panel is not the service: the count is asked at the service.".to_owned(),
        );
    }
    let Some(n) = at.n_disconnects else {
        return found(
            asked("How many movements of the hand open the whole service?"),
            format!("At most {most} are allowed, grouped and marked."),
        );
    };
    if most < f64::from(n) {
        let text = format!(
            "{n} movements are needed; at most {most} are allowed in every edition of this book. Breakers were added to the main section, or the service was changed."
        );
        return found(Answer::Required { met: Some(false) }, text);
    }
    if how.value == "six-in-one-enclosure" || n <= 1 {
        return found(
            Answer::NotRequired,
            format!("{n} of at most {most}: no change asked for; they must be grouped and marked."),
        );
    }
    match (at.in_one_enclosure, at.work.replaces_panel()) {
        (Some(true), true) => found(
            Answer::Required { met: Some(false) },
            "Each enclosure may hold one service disconnect: the replacement needs one main, or separate enclosures. A main-lug panel with several mains fails.".to_owned(),
        ),
        (Some(true), false) => found(
            Answer::NotRequired,
            "A new one would not be allowed so, but existing equipment that complied stays.".to_owned(),
        ),
        (Some(false), _) => found(Answer::NotRequired, "Separate enclosures with one main each are among the allowed arrangements.".to_owned()),
        (None, _) => found(asked("Are the service disconnects in one enclosure?"), "Each enclosure may hold one.".to_owned()),
    }
}

fn outdoor(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let title = "disconnect outdoors";
    let ruling = law.ask(rule::DISCONNECT_OUTDOOR)?;
    let found =
        |answer, text: &str| Ok(Finding::new(Subject::OutdoorDisconnect, title, answer, text, &ruling));
    let Some(how) = law.maybe_word(rule::DISCONNECT_OUTDOOR)? else {
        return found(Answer::NotRequired, "This code has no rule on a disconnect outdoors.");
    };
    match at.n_dwellings {
        Some(1 | 2) => {}
        Some(_) => return found(Answer::NotRequired, "The rule is for one- and two-family dwellings."),
        None => {
            return found(
                asked("How many dwellings are in the building?"),
                "The rule is for one- and two-family dwellings.",
            );
        }
    }
    if at.work == Work::MeterOrEntrance {
        return if how.value == "emergency" {
            found(Answer::InspectorsCall, "This edition has no clause on replacement.")
        } else if how.value == "emergency-also-on-replacement" {
            found(
                Answer::NotRequired,
                "Replacing only the meter socket, service-entrance conductors or their raceway does not trigger it.",
            )
        } else {
            found(
                Answer::InspectorsCall,
                "The clause on replacement moved; whether the old exception stands was not read.",
            )
        };
    }
    if at.work == Work::None {
        return found(Answer::NotRequired, "Nothing is replaced; existing services stay as they are.");
    }
    match at.replaces_service() {
        Some(false) => {
            return found(Answer::NotRequired, "The panel that is replaced is not the service equipment.");
        }
        None => {
            return found(
                asked("Is the panel the service equipment?"),
                "Replacing service equipment is what counts.",
            );
        }
        Some(true) => {}
    }
    match (how.value.as_str(), at.outdoor) {
        ("emergency", _) => found(
            Answer::InspectorsCall,
            "The edition asks for it at services, but has no clause on replacement: places differ on panel changes.",
        ),
        (_, None) => found(
            Answer::Required { met: None },
            "It must be outdoors, readily accessible, on or within sight of the dwelling, and marked.",
        ),
        ("service-disconnect", Some(Outdoor::ServiceDisconnect)) => found(
            Answer::Required { met: None },
            "Met if it is readily accessible and marked. The panel indoors becomes a sub-panel: neutral apart, four-wire feeder.",
        ),
        ("service-disconnect", Some(_)) => found(
            Answer::Required { met: Some(false) },
            "Not met: the service disconnect itself must be outdoors; a meter disconnect alone may no longer do.",
        ),
        (_, Some(Outdoor::Nothing)) => found(
            Answer::Required { met: Some(false) },
            "Not met: there is none. Three kinds are allowed, each with its own label.",
        ),
        (_, Some(Outdoor::Emergency | Outdoor::ServiceDisconnect)) => found(
            Answer::Required { met: None },
            "Met if it is readily accessible, within sight, with enough short-circuit rating, and marked.",
        ),
    }
}
