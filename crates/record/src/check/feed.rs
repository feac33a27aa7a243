//! What feeds sections and sub-panels: the breaker is there, has poles enough, and nothing feeds itself.

use super::site::written;
use super::{Finding, Site, Spot};
use crate::fact::{Fact, FeedDescribed, PanelDescribed, SectionDescribed};
use crate::text::Textual;
use model::{PanelId, SectionId, Slot, System};
use std::collections::{BTreeMap, BTreeSet};

/// A section by its panel and id.
type Node = (PanelId, SectionId);

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    // Which section feeds which, for the search of circles.
    let mut fed_by: BTreeMap<Node, (Node, Spot)> = BTreeMap::new();
    let mut users: BTreeMap<&Slot, Spot> = BTreeMap::new();
    for (id, &(fact, body)) in &site.panels {
        for (idx, section) in body.sections.iter().enumerate() {
            let FeedDescribed::Breaker(slot) = &section.feed else { continue };
            let slot = &slot.0;
            let spot = Spot::field(fact.id(), ("feed", idx));
            let node = (id.clone(), section.id.0.clone());
            if let Some(upstream) = feeding_section(site, slot) {
                fed_by.insert(node, (upstream, spot.clone()));
            }
            one(site, (fact, body, section), slot, &spot, findings);
            if let Some(first) = users.get(slot) {
                findings.push(
                    Finding::warning(
                        "feeds-twice",
                        spot.clone(),
                        format!("the breaker at {slot} is said to feed two sections"),
                        "check which of them it really feeds",
                    )
                    .with(first.clone(), "the other"),
                );
            }
            users.entry(slot).or_insert(spot);
        }
    }
    circles(&fed_by, findings);
}

/// The section in which a feeding breaker sits.
fn feeding_section(site: &Site<'_>, slot: &Slot) -> Option<Node> {
    let panel = site.panel(&slot.panel)?;
    site.breaker(slot)?;
    let section = panel.has_space(slot.space).then(|| panel.section_of(slot.space)).flatten()?;
    Some((slot.panel.clone(), section.id.clone()))
}

fn one(
    site: &Site<'_>,
    (fact, body, section): (&Fact, &PanelDescribed, &SectionDescribed),
    slot: &Slot,
    spot: &Spot,
    findings: &mut Vec<Finding>,
) {
    let what = if body.sections.len() == 1 {
        format!("panel {}", body.panel.0)
    } else {
        format!("section {}", section.id.0)
    };
    let Some(upstream) = site.known_space(slot, spot, findings) else { return };
    let Some((breaker_fact, breaker)) = site.breaker(slot) else {
        if !site.doubt.breakers.contains(&slot.panel) {
            let two_pole: Vec<String> = upstream
                .breakers
                .iter()
                .filter(|breaker| breaker.n_poles() >= body.system.0.legs().len())
                .map(|breaker| breaker.spaces[0].to_string())
                .collect();
            let hint = if two_pole.is_empty() {
                format!(
                    "describe that breaker: `space = {}`, `poles = {}`",
                    written(slot.space),
                    body.system.0.legs().len()
                )
            } else {
                format!("breakers with poles enough begin at {}", two_pole.join(", "))
            };
            findings.push(Finding::error(
                "feed-unknown",
                spot.clone(),
                format!(
                    "{what} is fed from space {} of panel {}, which holds no breaker",
                    slot.space, slot.panel
                ),
                hint,
            ));
        }
        return;
    };
    let first = breaker.spaces[0].0;
    if first != slot.space {
        findings.push(Finding::error(
            "feed-not-first-pole",
            spot.clone(),
            format!("space {} is not the first pole of the breaker that feeds {what}", slot.space),
            format!("name its first pole: {}", written(first)),
        ));
    }
    let legs = body.system.0.legs().len();
    if breaker.spaces.len() < legs {
        findings.push(
            Finding::error(
                "feed-too-few-poles",
                spot.clone(),
                format!(
                    "{what} has {legs} legs, but the breaker at {slot} that feeds it has {} pole{}",
                    breaker.spaces.len(),
                    if breaker.spaces.len() == 1 { "" } else { "s" }
                ),
                format!(
                    "a breaker that feeds it has {legs} poles: add `poles = {legs}` to it, or name another"
                ),
            )
            .with(Spot::field(breaker_fact.id(), ("spaces", 0)), "the breaker"),
        );
    }
    let own = body.system.0;
    if !fits(own, upstream.system) {
        findings.push(Finding::error(
            "feed-system",
            Spot::field(fact.id(), ("system", 0)),
            format!(
                "panel {} is a {} V panel, fed from panel {}, which is {} V",
                body.panel.0,
                own.write(),
                upstream.id,
                upstream.system.write()
            ),
            format!("without a transformer between them: `system = \"{}\"`", upstream.system.write()),
        ));
    }
}

/// Can a panel of this system be fed from one of that, without a transformer?
pub(crate) fn fits(own: System, upstream: System) -> bool {
    own == upstream || (own == System::TwoLegsOfWye && upstream == System::ThreePhaseWye)
}

/// Sections that feed themselves, straight or by others.
fn circles(fed_by: &BTreeMap<Node, (Node, Spot)>, findings: &mut Vec<Finding>) {
    let mut done: BTreeSet<&Node> = BTreeSet::new();
    for start in fed_by.keys() {
        let mut path: Vec<&Node> = Vec::new();
        let mut node = start;
        while let Some((upstream, _)) = fed_by.get(node) {
            if done.contains(node) {
                break;
            }
            if let Some(from) = path.iter().position(|seen| *seen == node) {
                tell_circle(&path[from..], fed_by, findings);
                break;
            }
            path.push(node);
            node = upstream;
        }
        done.extend(path);
    }
}

fn tell_circle(circle: &[&Node], fed_by: &BTreeMap<Node, (Node, Spot)>, findings: &mut Vec<Finding>) {
    let Some(first) = circle.first() else { return };
    let Some((_, spot)) = fed_by.get(*first) else { return };
    let name = |node: &Node| format!("{}:{}", node.0, node.1);
    if circle.len() == 1 {
        findings.push(Finding::error(
            "fed-by-itself",
            spot.clone(),
            format!("section {} is fed by a breaker that sits in it", name(first)),
            "the breaker that feeds a section sits in another one: check its space and the rows of the sections",
        ));
        return;
    }
    let names: Vec<String> = circle.iter().map(|node| name(node)).collect();
    let mut finding = Finding::error(
        "feed-circle",
        spot.clone(),
        format!("these sections feed each other in a circle: {}", names.join(", ")),
        "one of them is fed by the service: `fed_by = \"lugs\"`",
    );
    for node in &circle[1..] {
        if let Some((_, spot)) = fed_by.get(*node) {
            finding.related.push((spot.clone(), format!("feed of {}", name(node))));
        }
    }
    findings.push(finding);
}
