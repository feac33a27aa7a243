//! Isolation: the handle and the part are there, every pair is read once, a source that is cut was found.

use super::{Finding, Site, Spot, said};
use crate::fact::{Body, DeadProven, Fact, SourceLooked};
use crate::text::{Textual, list};
use model::isolation::{Disconnect, Part, ProofPoint};
use model::panel::{Feed, Panel};
use model::{PanelId, SectionId};
use std::collections::BTreeSet;

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
        let spot = Spot::field(fact.id(), ("place", 0));
        match &fact.body {
            Body::Handle(body) => match &body.what.0 {
                Disconnect::Breaker(slot) => {
                    site.known_pole(slot, &spot, findings);
                }
                Disconnect::Main(panel, section) => main(site, panel, section, spot, findings),
            },
            Body::Cut(body) => said(fact, "words", &body.words, "by whom and how", findings),
            Body::Source(body) => source(fact, body, findings),
            Body::Proof(body) => proof(site, fact, body, spot, findings),
            _ => {}
        }
    }
}

fn source(fact: &Fact, body: &SourceLooked, findings: &mut Vec<Finding>) {
    said(fact, "source", &body.source, "what was looked for", findings);
    said(fact, "looked", &body.looked, "how it was looked for", findings);
    if body.cut && !body.found {
        findings.push(Finding::error(
            "key-does-not-fit",
            Spot::field(fact.id(), ("cut", 0)),
            "a source that is not there cannot be cut",
            "leave `cut` out, or write `found = true`",
        ));
    }
}

fn section<'s>(
    site: &'s Site<'_>,
    panel: &PanelId,
    section: &SectionId,
    spot: Spot,
    findings: &mut Vec<Finding>,
) -> Option<&'s Panel> {
    let panel = site.known_panel(panel, &spot, findings)?;
    if panel.sections.iter().all(|known| known.id != *section) {
        findings.push(Finding::error(
            "unknown-section",
            spot,
            format!("panel {} has no section `{section}`", panel.id),
            format!("its sections are {}", list(panel.sections.iter().map(|known| known.id.as_str()))),
        ));
        return None;
    }
    Some(panel)
}

fn main(site: &Site<'_>, panel: &PanelId, id: &SectionId, spot: Spot, findings: &mut Vec<Finding>) {
    let Some(panel) = section(site, panel, id, spot.clone(), findings) else { return };
    let has_main = |section: &model::panel::Section| {
        section.id == *id && matches!(section.feed, Feed::MainBreaker { .. })
    };
    if !panel.sections.iter().any(has_main) {
        findings.push(Finding::error(
            "unknown-section",
            spot,
            format!("section `{id}` of panel {} has no main breaker of its own", panel.id),
            "name the breaker that feeds it by its space, as in `9`",
        ));
    }
}

fn proof(site: &Site<'_>, fact: &Fact, body: &DeadProven, spot: Spot, findings: &mut Vec<Finding>) {
    let panel = match &body.part.0 {
        Part::LineLugs(panel) => site.known_panel(panel, &spot, findings),
        Part::Bus(panel, id) => section(site, panel, id, spot, findings),
        Part::Branch(slot) => {
            site.known_pole(slot, &spot, findings);
            site.panel(&slot.panel)
        }
    };
    said(fact, "tester", &body.tester, "which tester was used", findings);
    if body.readings.is_empty() {
        findings.push(Finding::error(
            "empty-text",
            Spot::whole(fact.id()),
            "the proof has no reading",
            "write what the tester showed, pair by pair: `volts = { \"A-B\" = 0.1 }`",
        ));
    }
    let mut seen = BTreeSet::new();
    for (idx, reading) in body.readings.iter().enumerate() {
        let spot = Spot::field(fact.id(), ("volts", idx));
        if !seen.insert(reading.pair.0) {
            findings.push(Finding::error(
                "pair-twice",
                spot.clone(),
                format!("the pair `{}` is read twice in one proof", reading.pair.0.write()),
                "`A-B` and `B-A` are one pair; a second round is a proof of its own",
            ));
        }
        let Some(panel) = panel else { continue };
        let legs = panel.system.legs();
        for point in [reading.pair.0.0, reading.pair.0.1] {
            if let ProofPoint::Leg(leg) = point
                && !legs.contains(&leg)
            {
                let names: Vec<String> = legs.iter().map(ToString::to_string).collect();
                findings.push(Finding::error(
                    "unknown-leg",
                    spot.clone(),
                    format!("panel {} has no leg {leg}", panel.id),
                    format!("its legs are {}", list(names.iter().map(String::as_str))),
                ));
            }
        }
    }
}
