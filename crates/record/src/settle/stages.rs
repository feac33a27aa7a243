//! Taking facts up in the order in which they lean on each other; what cannot stand is set aside on the way.

use super::SetAside;
use super::pointers::when;
use super::weight::{Weight, by_id, weigh};
use crate::check::{Finding, check, fits, thing};
use crate::decode::Doubt;
use crate::fact::{Body, Fact, FeedDescribed, PanelDescribed};
use crate::fold::Live;
use crate::limits;
use crate::text::Textual;
use model::{FactId, PanelId, Slot, Space};
use std::collections::{BTreeMap, BTreeSet};

/// The facts taken up so far, and those set aside.
pub(super) struct Stages<'a> {
    waiting: Vec<&'a Fact>,
    /// Facts that are used, by time and id.
    pub(super) used: Vec<&'a Fact>,
    /// Facts that are not, and why.
    pub(super) aside: BTreeMap<FactId, SetAside>,
}

impl<'a> Stages<'a> {
    pub(super) fn new(standing: &[&'a Fact]) -> Self {
        Stages { waiting: standing.to_vec(), used: Vec::new(), aside: BTreeMap::new() }
    }

    pub(super) fn run(&mut self) {
        let jobs = self.of_kind(|body| matches!(body, Body::Job(_)));
        self.of_one_thing(jobs, |_| Some(("the job".to_owned(), String::new())));
        self.panels();
        self.breakers();
        let services = self.of_kind(|body| matches!(body, Body::Service(_)));
        let services = self.sound(services, &["described-twice"]);
        self.of_one_thing(services, |_| Some(("the service".to_owned(), String::new())));
        let states = self.of_kind(|body| matches!(body, Body::State(_)));
        let states = self.sound(states, &["described-twice"]);
        self.of_one_thing(states, |body| match body {
            Body::State(body) => Some((format!("load state \"{}\"", body.name), body.name.clone())),
            _ => None,
        });
        let described = self.of_kind(|body| thing(body).is_some());
        let described = self.sound(described, &["described-twice"]);
        self.of_one_thing(described, thing);
        let photos = self.of_kind(|body| matches!(body, Body::Photo(_)));
        let photos = self.sound(photos, &[]);
        self.take(photos);
        let rest = self.of_kind(|_| true);
        let room = limits::FACTS_MAX.saturating_sub(self.used.len());
        let rest = self.at_most(rest, room, "facts");
        let rest = self.sound(rest, &[]);
        self.take(rest);
    }

    fn of_kind(&mut self, is_one: impl Fn(&Body) -> bool) -> Vec<&'a Fact> {
        self.waiting.extract_if(.., |fact| is_one(&fact.body)).collect()
    }

    fn take(&mut self, facts: impl IntoIterator<Item = &'a Fact>) {
        self.used.extend(facts);
        self.used.sort_by(|a, b| when(a).cmp(&when(b)));
    }

    fn live_with(&self, facts: &[&'a Fact]) -> Live<'a> {
        let mut all = self.used.clone();
        all.extend_from_slice(facts);
        all.sort_by(|a, b| when(a).cmp(&when(b)));
        Live { facts: all }
    }

    fn exclude(&mut self, fact: &Fact, in_favour_of: Option<&Fact>, code: &'static str, why: String) {
        let in_favour_of = in_favour_of.map(|other| other.id().clone());
        let aside = SetAside { fact: fact.id().clone(), in_favour_of, code, why };
        self.aside.insert(fact.id().clone(), aside);
    }

    /// Of these facts those that can stand beside what is used. Problems with the given codes are for later.
    fn sound(&mut self, mut facts: Vec<&'a Fact>, later: &[&str]) -> Vec<&'a Fact> {
        loop {
            let mine: BTreeSet<&FactId> = facts.iter().map(|fact| fact.id()).collect();
            let live = self.live_with(&facts);
            let mut findings = check(&live, &Doubt::default(), None);
            findings.retain(|finding| {
                !later.contains(&finding.code) && finding.at.fact.as_ref().is_some_and(|id| mine.contains(id))
            });
            let mut all = live.facts;
            if !exclude_wrong(&mut all, &findings, &mut self.aside) {
                return facts;
            }
            facts.retain(|fact| !self.aside.contains_key(fact.id()));
        }
    }

    /// The latest of these facts, as many as fit; the others are set aside.
    fn at_most(&mut self, mut facts: Vec<&'a Fact>, most: usize, what: &str) -> Vec<&'a Fact> {
        for fact in facts.drain(..facts.len().saturating_sub(most)) {
            self.exclude(
                fact,
                None,
                "too-many",
                format!("the job has more than {most} {what}; the latest are used"),
            );
        }
        facts
    }

    /// Takes up facts of which each describes one thing: of two that describe the same thing differently the later.
    /// `thing` gives its name for people, and its key.
    fn of_one_thing(&mut self, facts: Vec<&'a Fact>, thing: impl Fn(&Body) -> Option<(String, String)>) {
        let mut latest: BTreeMap<String, &Fact> = BTreeMap::new();
        let mut used = Vec::new();
        for fact in facts.into_iter().rev() {
            let Some((name, key)) = thing(&fact.body) else { continue };
            let by = *latest.entry(key).or_insert(fact);
            if by.body == fact.body {
                used.push(fact);
            } else {
                let why = format!("{name} is described differently by a later entry, which is used");
                self.exclude(fact, Some(by), "described-twice", why);
            }
        }
        self.take(used);
    }

    fn panels(&mut self) {
        let mut panels = Vec::new();
        for panel in self.of_kind(|body| matches!(body, Body::Panel(_))) {
            // Each by itself: beside a later description of the same panel an earlier one would not be looked at.
            panels.extend(self.sound(vec![panel], &[]));
        }
        while let Some((panel, upstream)) = unfit(&panels) {
            let why =
                "it is of another system than the panel that feeds it, and no transformer is between them";
            self.exclude(panel, Some(upstream), "feed-system", why.to_owned());
            panels.retain(|other| other.id() != panel.id());
        }
        let kept = latest_panels(&panels);
        if limits::PANELS_MAX < kept.len() {
            let mut latest: Vec<&Fact> = kept.into_values().map(|(fact, _)| fact).collect();
            latest.sort_by(|a, b| when(a).cmp(&when(b)));
            let first = latest[latest.len() - limits::PANELS_MAX];
            let surplus = panels.extract_if(.., |panel| when(panel) < when(first)).collect();
            self.at_most(surplus, 0, "panels");
        }
        self.of_one_thing(panels, |body| match body {
            Body::Panel(body) => Some((format!("panel {}", body.panel.0), body.panel.0.to_string())),
            _ => None,
        });
    }

    fn breakers(&mut self) {
        let breakers = self.of_kind(|body| matches!(body, Body::Breaker(_)));
        let breakers = self.at_most(breakers, limits::BREAKERS_MAX, "breakers");
        let mut breakers = self.sound(breakers, &["space-taken"]);
        loop {
            let (placed, displaced) = placed(&breakers);
            let blamed = self.blamed(&placed);
            if blamed.is_empty() {
                for (fact, by, space) in displaced {
                    let why = format!(
                        "a later entry puts another breaker into space {space}, or describes it anew"
                    );
                    self.exclude(fact, Some(by), "space-taken", why);
                }
                self.take(placed);
                return;
            }
            for (fact, panel, finding) in blamed {
                self.exclude(fact, Some(panel), finding.code, finding.message);
            }
            breakers.retain(|fact| !self.aside.contains_key(fact.id()));
        }
    }

    /// Breakers that cannot feed what a panel says they feed, with that panel.
    fn blamed(&self, placed: &[&'a Fact]) -> Vec<(&'a Fact, &'a Fact, Finding)> {
        let live = self.live_with(placed);
        let by_id = by_id(&live.facts);
        let mut blamed = Vec::new();
        for finding in check(&live, &Doubt::default(), None) {
            if finding.at.field.0 != "feed" || weigh(&finding, &by_id) != Weight::Counts {
                continue;
            }
            let Some(&panel) = finding.at.fact.as_ref().and_then(|id| by_id.get(id)) else { continue };
            let Body::Panel(body) = &panel.body else { continue };
            let section = body.sections.get(finding.at.field.1);
            let Some(FeedDescribed::Breaker(slot)) = section.map(|section| &section.feed) else { continue };
            let feeder = placed.iter().find(|fact| holds(&fact.body, &slot.0));
            blamed.extend(feeder.map(|feeder| (*feeder, panel, finding)));
        }
        blamed
    }
}

/// Sets aside the facts of which a finding says that they cannot stand. Says whether there were any.
pub(super) fn exclude_wrong(
    facts: &mut Vec<&Fact>,
    findings: &[Finding],
    aside: &mut BTreeMap<FactId, SetAside>,
) -> bool {
    let known = by_id(facts);
    let before = aside.len();
    for finding in findings {
        let Some(&fact) = finding.at.fact.as_ref().and_then(|id| known.get(id)) else { continue };
        if weigh(finding, &known) != Weight::Counts {
            continue;
        }
        // What speaks against it, where that is another entry and not an older one.
        let other = finding.related.first().and_then(|(spot, _)| known.get(spot.fact.as_ref()?)).copied();
        let other = other.filter(|other| when(fact) < when(other));
        aside.entry(fact.id().clone()).or_insert_with(|| SetAside {
            fact: fact.id().clone(),
            in_favour_of: other.map(|other| other.id().clone()),
            code: finding.code,
            why: finding.message.clone(),
        });
    }
    facts.retain(|fact| !aside.contains_key(fact.id()));
    before < aside.len()
}

fn holds(body: &Body, slot: &Slot) -> bool {
    matches!(body, Body::Breaker(body)
        if body.panel.0 == slot.panel && body.spaces.iter().any(|space| space.0 == slot.space))
}

/// The latest description of each panel.
fn latest_panels<'a>(panels: &[&'a Fact]) -> BTreeMap<&'a PanelId, (&'a Fact, &'a PanelDescribed)> {
    let described = panels.iter().filter_map(|fact| match &fact.body {
        Body::Panel(body) => Some((&body.panel.0, (*fact, &**body))),
        _ => None,
    });
    described.collect()
}

/// A panel that cannot be fed from the one that is said to feed it, and that one.
fn unfit<'a>(panels: &[&'a Fact]) -> Option<(&'a Fact, &'a Fact)> {
    let latest = latest_panels(panels);
    latest.values().find_map(|(fact, body)| {
        body.sections.iter().find_map(|section| {
            let FeedDescribed::Breaker(slot) = &section.feed else { return None };
            let (upstream_fact, upstream) = latest.get(&slot.0.panel)?;
            (!fits(body.system.0, upstream.system.0)).then_some((*fact, *upstream_fact))
        })
    })
}

/// A breaker, the later one that takes its space, and where.
type Displaced<'a> = (&'a Fact, &'a Fact, String);

/// Breakers as they fit into their spaces, the later ones first served, and those for which no room is left.
fn placed<'a>(breakers: &[&'a Fact]) -> (Vec<&'a Fact>, Vec<Displaced<'a>>) {
    let mut poles: BTreeMap<(&PanelId, u16), Vec<(Space, &'a Fact)>> = BTreeMap::new();
    let (mut placed, mut displaced) = (Vec::new(), Vec::new());
    for &fact in breakers.iter().rev() {
        let Body::Breaker(body) = &fact.body else { continue };
        let taken = body.spaces.iter().find_map(|space| {
            let there = poles.get(&(&body.panel.0, space.0.number))?;
            // One description by two devices is one breaker.
            let by = there.iter().find(|(other, by)| other.overlaps(space.0) && by.body != fact.body)?;
            Some((by.1, Slot::new(body.panel.0.clone(), space.0).write()))
        });
        match taken {
            Some((by, slot)) => displaced.push((fact, by, slot)),
            None => {
                placed.push(fact);
                for space in &body.spaces {
                    poles.entry((&body.panel.0, space.0.number)).or_default().push((space.0, fact));
                }
            }
        }
    }
    (placed, displaced)
}
