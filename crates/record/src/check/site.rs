//! The facts that hold, sorted by what they are about, for the checks to ask.

use super::{Finding, Spot};
use crate::decode::Doubt;
use crate::fact::{Body, BreakerDescribed, Fact, JobOpened, LoadStateHeld, PanelDescribed};
use crate::fold::{Live, installation};
use crate::text::{list, nearest};
use model::installation::Installation;
use model::panel::Panel;
use model::{FactId, PanelId, Slot, Space};
use std::collections::{BTreeMap, BTreeSet};

/// A fact beside its body.
pub(crate) type Of<'a, T> = (&'a Fact, &'a T);

pub(crate) struct Site<'a> {
    pub(crate) live: &'a Live<'a>,
    pub(crate) doubt: &'a Doubt,
    pub(crate) installation: Installation,
    pub(crate) jobs: Vec<Of<'a, JobOpened>>,
    /// The description of each panel that counts, the latest.
    pub(crate) panels: BTreeMap<PanelId, Of<'a, PanelDescribed>>,
    pub(crate) breakers: Vec<Of<'a, BreakerDescribed>>,
    pub(crate) states: BTreeMap<&'a str, Of<'a, LoadStateHeld>>,
    /// Ids of the photos that count.
    pub(crate) photos: BTreeSet<&'a FactId>,
    /// Hashes of the photos that count.
    pub(crate) pictures: BTreeSet<&'a str>,
    by_slot: BTreeMap<(PanelId, Space), Of<'a, BreakerDescribed>>,
}

impl<'a> Site<'a> {
    pub(super) fn new(live: &'a Live<'a>, doubt: &'a Doubt) -> Self {
        let mut site = Site {
            live,
            doubt,
            installation: installation(live),
            jobs: Vec::new(),
            panels: BTreeMap::new(),
            breakers: Vec::new(),
            states: BTreeMap::new(),
            photos: BTreeSet::new(),
            pictures: BTreeSet::new(),
            by_slot: BTreeMap::new(),
        };
        for &fact in &live.facts {
            match &fact.body {
                Body::Job(body) => site.jobs.push((fact, body)),
                Body::Panel(body) => {
                    site.panels.insert(body.panel.0.clone(), (fact, &**body));
                }
                Body::Breaker(body) => {
                    site.breakers.push((fact, &**body));
                    for space in &body.spaces {
                        site.by_slot.entry((body.panel.0.clone(), space.0)).or_insert((fact, &**body));
                    }
                }
                Body::Photo(body) => {
                    site.pictures.insert(&body.sha256);
                    site.photos.insert(fact.id());
                }
                Body::State(body) => {
                    site.states.entry(&body.name).or_insert((fact, body));
                }
                _ => {}
            }
        }
        site
    }

    /// Has the entry of this id been read?
    pub(super) fn is_read(&self, id: &FactId) -> bool {
        self.live.facts.iter().any(|fact| fact.id() == id)
    }

    pub(super) fn panel(&self, id: &PanelId) -> Option<&Panel> {
        self.installation.panel(id)
    }

    /// The described breaker with a pole in a slot.
    pub(super) fn breaker(&self, slot: &Slot) -> Option<Of<'a, BreakerDescribed>> {
        self.by_slot.get(&(slot.panel.clone(), slot.space)).copied()
    }

    /// The panel of a text, or the reason why there is none. `None` also where there may be one that could
    /// not be read.
    pub(super) fn known_panel(&self, id: &PanelId, at: &Spot, findings: &mut Vec<Finding>) -> Option<&Panel> {
        let panel = self.panel(id);
        if panel.is_none() && !self.doubt.panels && !self.doubt.blurred.contains(id) {
            let names = || self.panels.keys().map(PanelId::as_str);
            let hint = match nearest(id.as_str(), names()) {
                Some(name) => format!("did you mean `{name}`?"),
                None => format!("the job has {}", list(names())),
            };
            findings.push(Finding::error(
                "unknown-panel",
                at.clone(),
                format!("the job has no panel `{id}`"),
                hint,
            ));
        }
        panel
    }

    /// Checks that a slot exists; gives its panel.
    pub(super) fn known_space(&self, slot: &Slot, at: &Spot, findings: &mut Vec<Finding>) -> Option<&Panel> {
        let panel = self.known_panel(&slot.panel, at, findings)?;
        if panel.has_space(slot.space) {
            return Some(panel);
        }
        findings.push(
            Finding::error(
                "unknown-space",
                at.clone(),
                format!("panel {} has no space {}", panel.id, slot.space),
                format!("it has spaces 1 to {}", panel.n_spaces),
            )
            .with(self.panel_spot(&panel.id, ("spaces", 0)), "the number of spaces is given here"),
        );
        None
    }

    /// Checks that a slot holds a pole of a breaker; gives the breaker.
    pub(super) fn known_pole(
        &self,
        slot: &Slot,
        at: &Spot,
        findings: &mut Vec<Finding>,
    ) -> Option<Of<'a, BreakerDescribed>> {
        let panel = self.known_space(slot, at, findings)?;
        if let Some(breaker) = self.breaker(slot) {
            return Some(breaker);
        }
        if self.doubt.breakers.contains(&panel.id) {
            return None;
        }
        let halves: Vec<String> = panel
            .breakers
            .iter()
            .flat_map(|breaker| &breaker.spaces)
            .filter(|space| space.number == slot.space.number)
            .map(ToString::to_string)
            .collect();
        let hint = if halves.is_empty() {
            format!(
                "describe the breaker: `[[panel.breaker]]` with `space = {}`; or is it another space?",
                written(slot.space)
            )
        } else {
            format!("a breaker is in {}", list(halves.iter().map(String::as_str)))
        };
        findings.push(Finding::error(
            "no-breaker",
            at.clone(),
            format!("space {} of panel {} holds no breaker", slot.space, panel.id),
            hint,
        ));
        None
    }

    pub(super) fn panel_spot(&self, id: &PanelId, field: (&'static str, usize)) -> Spot {
        self.panels.get(id).map_or_else(Spot::nowhere, |(fact, _)| Spot::field(fact.id(), field))
    }
}

/// A space as TOML writes it.
pub(super) fn written(space: Space) -> String {
    if space.half.is_some() { format!("\"{space}\"") } else { space.to_string() }
}

/// One job, one description of each thing.
pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    match site.jobs.as_slice() {
        [] if !site.doubt.job => findings.push(Finding::error(
            "no-job",
            Spot::nowhere(),
            "no entry opens the job",
            "add `[job]` with `id` and `opened`",
        )),
        [first, others @ ..] => {
            for (fact, body) in others {
                if *body != first.1 {
                    findings.push(twice(fact, first.0, "the job", "one of"));
                }
            }
        }
        [] => {}
    }
    let mut services: Vec<&Fact> = Vec::new();
    let mut panels: BTreeMap<&PanelId, &Fact> = BTreeMap::new();
    let mut states: BTreeMap<&str, &Fact> = BTreeMap::new();
    for &fact in &site.live.facts {
        match &fact.body {
            Body::Service(_) => {
                if let Some(first) = services.first().filter(|first| first.body != fact.body) {
                    findings.push(twice(fact, first, "the service", "one of"));
                }
                services.push(fact);
            }
            Body::Panel(body) => {
                let first = *panels.entry(&body.panel.0).or_insert(fact);
                if first.body != fact.body {
                    let what = format!("panel {}", body.panel.0);
                    findings.push(twice(fact, first, &what, "give the panels different ids, or let one of"));
                }
            }
            Body::State(body) => {
                let first = *states.entry(&body.name).or_insert(fact);
                if first.body != fact.body {
                    let what = format!("load state \"{}\"", body.name);
                    findings.push(twice(
                        fact,
                        first,
                        &what,
                        "give the states different names, or let one of",
                    ));
                }
            }
            _ => {}
        }
    }
    if site.panels.is_empty() && !site.doubt.panels && site.doubt.blurred.is_empty() && !site.jobs.is_empty()
    {
        findings.push(Finding::error(
            "no-panel",
            Spot::nowhere(),
            "the record describes no panel",
            "describe one: its spaces, what feeds it, its breakers",
        ));
    }
}

pub(super) fn twice(fact: &Fact, first: &Fact, what: &str, advice: &str) -> Finding {
    let advice = if advice == "one of" { "let one of" } else { advice };
    Finding::error(
        "described-twice",
        Spot::field(fact.id(), ("name", 0)),
        format!("{what} is described twice, and differently"),
        format!("{advice} the entries supersede the other: `supersedes = [\"{}\"]`", first.id()),
    )
    .with(Spot::field(first.id(), ("name", 0)), "described here too")
}
