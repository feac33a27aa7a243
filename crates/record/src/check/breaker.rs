//! Breakers in their spaces: that the space is there and free, that poles sit on different legs, partners.

use super::site::{Of, written};
use super::{Finding, Site, Spot};
use crate::fact::{BreakerDescribed, Fact};
use crate::limits;
use model::panel::{HalfWidth, Panel};
use model::{PanelId, Slot, Space};
use std::collections::{BTreeMap, BTreeSet};

/// The place of a pole's space in the entry.
fn pole_spot(fact: &Fact, pole_idx: usize) -> Spot {
    Spot::field(fact.id(), ("spaces", pole_idx + 1))
}

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    if site.breakers.len() > limits::BREAKERS_MAX {
        let message = format!("the job has {} breakers", site.breakers.len());
        let hint = format!("at most {}", limits::BREAKERS_MAX);
        findings.push(Finding::error("too-many", Spot::nowhere(), message, hint));
        return;
    }
    for &(fact, body) in &site.breakers {
        if super::is_full(findings) {
            return;
        }
        let Some(panel) = site.known_panel(&body.panel.0, &Spot::whole(fact.id()), findings) else {
            continue;
        };
        let spaces: Vec<Space> = body.spaces.iter().map(|space| space.0).collect();
        if spaces.is_empty() || 3 < spaces.len() {
            findings.push(Finding::error(
                "pole-count",
                Spot::field(fact.id(), ("spaces", 0)),
                format!("a breaker with {} poles", spaces.len()),
                "a breaker has one, two or three poles, each in a space",
            ));
            continue;
        }
        if exist(fact, panel, &spaces, site, findings) {
            half_width(fact, panel, &spaces, findings);
            poles(fact, panel, &spaces, findings);
        }
        partner(site, (fact, body), panel, findings);
    }
    taken(site, findings);
}

/// Are all its spaces on the panel?
fn exist(fact: &Fact, panel: &Panel, spaces: &[Space], site: &Site<'_>, findings: &mut Vec<Finding>) -> bool {
    let off: Vec<usize> = (0..spaces.len()).filter(|&idx| !panel.has_space(spaces[idx])).collect();
    let Some(&first_off) = off.first() else { return true };
    if 0 < first_off {
        findings.push(
            Finding::error(
                "runs-off",
                pole_spot(fact, first_off),
                format!(
                    "the {}-pole breaker at space {} runs off panel {}: its pole {} would be in space {}",
                    spaces.len(),
                    spaces[0],
                    panel.id,
                    first_off + 1,
                    spaces[first_off]
                ),
                format!(
                    "the panel has spaces 1 to {}; begin higher, or give the number of poles",
                    panel.n_spaces
                ),
            )
            .with(site.panel_spot(&panel.id, ("spaces", 0)), "the number of spaces is given here"),
        );
    } else {
        site.known_space(&Slot::new(panel.id.clone(), spaces[0]), &pole_spot(fact, 0), findings);
    }
    false
}

fn half_width(fact: &Fact, panel: &Panel, spaces: &[Space], findings: &mut Vec<Finding>) {
    let Some(idx) =
        spaces.iter().position(|space| space.half.is_some() && !panel.half_width.allows(space.number))
    else {
        return;
    };
    let space = spaces[idx];
    let hint = match &panel.half_width {
        HalfWidth::In(allowed) => {
            let allowed: Vec<String> = allowed.iter().map(ToString::to_string).collect();
            format!(
                "the record allows it in {}; if the label does in {} too, add it to `half_width`",
                allowed.join(", "),
                space.number
            )
        }
        _ => format!(
            "if the label allows it, say so at the panel: `half_width = [{}]` or `\"everywhere\"`",
            space.number
        ),
    };
    findings.push(Finding::error(
        "half-width-not-allowed",
        pole_spot(fact, idx),
        format!(
            "space {space} is half of a space, and panel {} allows no half-width breaker there",
            panel.id
        ),
        hint,
    ));
}

/// Poles follow each other down one column of one section, each on a leg of its own.
fn poles(fact: &Fact, panel: &Panel, spaces: &[Space], findings: &mut Vec<Finding>) {
    if spaces.len() < 2 {
        return;
    }
    for (idx, &space) in spaces.iter().enumerate() {
        if let Some(other) = (0..idx).find(|&other| panel.leg_of(spaces[other]) == panel.leg_of(space)) {
            let below = panel.number_at(panel.row_of(spaces[0]) + 1, panel.column_of(spaces[0]));
            let hint = if spaces.len() > panel.system.legs().len() {
                format!(
                    "this panel has {} legs, so a breaker has {0} poles at most",
                    panel.system.legs().len()
                )
            } else {
                format!(
                    "a two-pole breaker takes two spaces below each other, on different legs: {} and {below}",
                    spaces[0].number
                )
            };
            let mut finding = Finding::error(
                "same-leg",
                pole_spot(fact, idx),
                format!(
                    "poles {} and {} of the breaker, in spaces {} and {space}, both sit on leg {}",
                    other + 1,
                    idx + 1,
                    spaces[other],
                    panel.leg_of(space)
                ),
                hint,
            );
            finding.related.push((pole_spot(fact, other), format!("leg {} too", panel.leg_of(space))));
            findings.push(finding);
            return;
        }
    }
    let follow = spaces.windows(2).all(|pair| {
        panel.column_of(pair[0]) == panel.column_of(pair[1])
            && panel.row_of(pair[0]) + 1 == panel.row_of(pair[1])
    });
    if !follow {
        let right: Vec<String> = below_each_other(panel, spaces).iter().map(ToString::to_string).collect();
        let names: Vec<String> = spaces.iter().map(ToString::to_string).collect();
        findings.push(Finding::error(
            "poles-not-adjacent",
            Spot::field(fact.id(), ("spaces", 0)),
            format!("spaces {} do not follow each other down one column", names.join(", ")),
            format!("list them from the top: `spaces = [{}]`; or are these two breakers?", right.join(", ")),
        ));
        return;
    }
    let sections: BTreeSet<&str> = spaces
        .iter()
        .filter_map(|&space| panel.section_of(space))
        .map(|section| section.id.as_str())
        .collect();
    if sections.len() > 1 {
        let names: Vec<&str> = sections.into_iter().collect();
        findings.push(Finding::error(
            "crosses-sections",
            Spot::field(fact.id(), ("spaces", 0)),
            format!("the breaker at space {} has poles on sections {}", spaces[0], names.join(" and ")),
            "a breaker sits on one section: correct its space, or the rows of the sections",
        ));
    }
}

/// The run of spaces that the listed ones come nearest to.
fn below_each_other(panel: &Panel, spaces: &[Space]) -> Vec<u16> {
    let Some(&top) = spaces.iter().min() else { return Vec::new() };
    let n_poles = spaces.len() as u16;
    let lowest_start = panel.n_rows().saturating_sub(n_poles);
    let first_row = panel.row_of(top).min(lowest_start);
    (0..n_poles).map(|pole| panel.number_at(first_row + pole, panel.column_of(top))).collect()
}

/// Two breakers in one space.
fn taken(site: &Site<'_>, findings: &mut Vec<Finding>) {
    type Poles<'a> = Vec<(Of<'a, BreakerDescribed>, usize)>;
    let mut by_number: BTreeMap<(&PanelId, u16), Poles<'_>> = BTreeMap::new();
    for &(fact, body) in &site.breakers {
        for (idx, space) in body.spaces.iter().enumerate() {
            by_number.entry((&body.panel.0, space.0.number)).or_default().push(((fact, body), idx));
        }
    }
    let mut told: BTreeSet<(&str, &str)> = BTreeSet::new();
    for ((panel, _), poles) in by_number {
        for (later, &((fact, body), idx)) in poles.iter().enumerate() {
            let clash = poles[..later].iter().find(|((_, other), other_idx)| {
                // One description by two devices is one breaker.
                other.spaces[*other_idx].0.overlaps(body.spaces[idx].0) && *other != body
            });
            let Some(((first, other), first_idx)) = clash else { continue };
            if !told.insert((first.id().as_str(), fact.id().as_str())) {
                continue;
            }
            let (space, first_space) = (body.spaces[idx].0, other.spaces[*first_idx].0);
            let hint = if first.id() == fact.id() {
                "give each pole a space of its own".to_owned()
            } else {
                format!(
                    "correct one of the two; two half-width breakers in it are `\"{0}a\"` and `\"{0}b\"`",
                    space.number
                )
            };
            findings.push(
                Finding::error(
                    "space-taken",
                    pole_spot(fact, idx),
                    format!("space {space} of panel {panel} already holds a breaker"),
                    hint,
                )
                .with(pole_spot(first, *first_idx), format!("this breaker is in space {first_space}")),
            );
        }
    }
}

/// The other half of a multiwire circuit: it exists, names this one back, and is on another leg.
fn partner(
    site: &Site<'_>,
    (fact, body): Of<'_, BreakerDescribed>,
    panel: &Panel,
    findings: &mut Vec<Finding>,
) {
    let Some(partner) = body.circuit.as_ref().and_then(|circuit| circuit.partner.as_ref()) else { return };
    let partner = partner.0;
    let spot = Spot::field(fact.id(), ("partner", 0));
    if body.spaces.iter().any(|space| space.0 == partner) {
        findings.push(Finding::error(
            "partner-is-itself",
            spot,
            format!("the breaker at space {partner} is named as its own partner"),
            "name the space of the other pole that shares the neutral, or leave `partner` out",
        ));
        return;
    }
    let Some(first) = body.spaces.first().map(|space| space.0) else { return };
    let slot = Slot::new(panel.id.clone(), partner);
    let Some((other_fact, other)) = site.known_pole(&slot, &spot, findings) else { return };
    let back = other.circuit.as_ref().and_then(|circuit| circuit.partner.as_ref()).map(|space| space.0);
    if back.is_none_or(|back| body.spaces.iter().all(|space| space.0 != back)) {
        let says = match back {
            None => "names no partner".to_owned(),
            Some(back) => format!("names space {back} as its partner"),
        };
        findings.push(
            Finding::warning(
                "partner-not-mutual",
                spot.clone(),
                format!("space {first} names space {partner} as its partner, but that one {says}"),
                format!(
                    "add `partner = {}` to the breaker at space {partner}, or correct this one",
                    written(first)
                ),
            )
            .with(pole_spot(other_fact, 0), "the other breaker"),
        );
    }
    // Where each names the other, one telling is enough.
    let told_by_other = back == Some(first) && partner < first;
    let same_leg = !told_by_other
        && body.spaces.iter().any(|space| {
            panel.has_space(space.0)
                && panel.has_space(partner)
                && panel.leg_of(space.0) == panel.leg_of(partner)
        });
    if same_leg && body.spaces.len() == 1 {
        findings.push(
            Finding::warning(
                "partner-same-leg",
                spot,
                format!(
                    "spaces {first} and {partner} share a neutral and both sit on leg {}: the neutral carries the \
                     sum of both currents",
                    panel.leg_of(partner)
                ),
                "if it is wired so, it is a finding, and the record keeps it; if not, correct the space",
            )
            .with(pole_spot(other_fact, 0), "the other breaker"),
        );
    }
}
