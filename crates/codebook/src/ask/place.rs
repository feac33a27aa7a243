//! Place of the panel and working space before it.

use super::finding::{Answer, Finding, Subject, asked, or_refused};
use super::situation::{Situation, Work};
use crate::law::Law;
use crate::rule::{self, RuleId};
use crate::ruling::Refused;

pub(super) fn findings(law: &Law<'_>, at: &Situation) -> Vec<Finding> {
    vec![
        or_refused(
            Subject::Place,
            "in a bathroom",
            place(law, at, rule::PLACE_BATHROOM, at.in_bathroom, "in a bathroom"),
        ),
        or_refused(
            Subject::Place,
            "in a clothes closet",
            place(law, at, rule::PLACE_CLOSET, at.in_closet, "in a clothes closet"),
        ),
        or_refused(
            Subject::Place,
            "over steps",
            place(law, at, rule::PLACE_STAIRS, at.over_stairs, "over steps"),
        ),
        or_refused(Subject::HandleHeight, "height of the handles", handles(law, at)),
        or_refused(Subject::WorkingSpace, "working space", space(law, at)),
    ]
}

fn place(
    law: &Law<'_>,
    at: &Situation,
    id: RuleId,
    is_there: Option<bool>,
    title: &str,
) -> Result<Finding, Refused> {
    let ruling = law.word(id)?;
    let found = |answer, text: &str| Ok(Finding::new(Subject::Place, title, answer, text, &ruling));
    match (is_there, at.work) {
        (None, _) => found(asked(format!("Is the panel {title}?")), "No overcurrent device may be there."),
        (Some(false), _) => found(Answer::NotRequired, "It is not."),
        (Some(true), Work::None | Work::MeterOrEntrance) => found(
            Answer::InspectorsCall,
            "A new panel could not be there; whether the old one may stay depends on the code of its day.",
        ),
        (Some(true), Work::Relocate) => {
            found(Answer::Required { met: Some(false) }, "The new place must not be there.")
        }
        (Some(true), Work::ReplaceInPlace | Work::Interior) => found(
            Answer::InspectorsCall,
            "A new panel may not be there: expect to move it. Some inspectors let a replacement stay; ask before pricing.",
        ),
    }
}

fn handles(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let limit = law.number(rule::PLACE_HEIGHT)?;
    let found = |answer, text: String| {
        Ok(Finding::new(Subject::HandleHeight, "height of the handles", answer, text, &limit))
    };
    match at.highest_handle_in {
        None => found(
            asked("How high is the centre of the highest handle, in inches?"),
            format!("At most {} in.", limit.value),
        ),
        Some(height) if limit.value < height => found(
            Answer::Required { met: Some(false) },
            format!("{height} in is above {} in: lower the panel.", limit.value),
        ),
        Some(height) => found(Answer::NotRequired, format!("{height} in is within {} in.", limit.value)),
    }
}

fn space(law: &Law<'_>, at: &Situation) -> Result<Finding, Refused> {
    let depth = law.number(rule::SPACE_DEPTH)?;
    let width = law.number(rule::SPACE_WIDTH)?;
    let height = law.number(rule::SPACE_HEIGHT)?;
    let existing = law.number(rule::SPACE_EXISTING)?;
    let title = "working space";
    let found = |answer, text: String| Ok(Finding::new(Subject::WorkingSpace, title, answer, text, &depth));
    let equipment = at.equipment_width_in.unwrap_or(0.0);
    let need_width = if width.value < equipment { equipment } else { width.value };
    let need = format!(
        "{} in deep, {need_width} in wide, {} in high, and the door opens 90°",
        depth.value, height.value
    );
    let (Some(d), Some(w), Some(h)) = (at.space_depth_in, at.space_width_in, at.space_height_in) else {
        return found(
            asked("How deep, wide and high is the clear space before the panel, in inches?"),
            format!("Needed: {need}."),
        );
    };
    if d < depth.value || w < need_width {
        return found(
            Answer::Required { met: Some(false) },
            format!("{d} × {w} in is too small. Needed: {need}."),
        );
    }
    if h < height.value {
        let small = at.rating_a.is_some_and(|rating| rating <= existing.value);
        let cite = existing.cite();
        let answer = if small { Answer::InspectorsCall } else { Answer::Required { met: Some(false) } };
        let text = if small {
            format!(
                "{h} in of height is too low for a new one; at an existing dwelling with not more than {} A it may be less ({cite}). Whether that covers a new panel is contested.",
                existing.value
            )
        } else {
            format!("{h} in of height is too low. Needed: {need}.")
        };
        return found(answer, text);
    }
    found(Answer::NotRequired, format!("Enough: {need}."))
}
