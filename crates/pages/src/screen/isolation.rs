//! Isolation step by step: what to switch off, what it cuts and leaves live, other sources, the utility, the proofs.

use crate::context::{Context, JobView};
use crate::entry::words::{enter, with_query};
use crate::fields::Fields;
use crate::route::{EntryKind, Route};
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, PreEscaped, html};
use model::id::Slot;
use model::installation::Installation;
use model::isolation::{
    Disconnect, Gate, IsolationGoal, IsolationPlan, MovedTo, Movement, Part, PartState, SourceQuestion,
};
use model::job::Job;
use record::text::Textual;
use std::collections::BTreeSet;
use study::StepState;
use study::words::{capital, part as part_words, point_pair};

pub(crate) fn page(job: &str, query: &Fields, cx: &Context<'_>) -> Page {
    let route = Route::Isolation(job.to_owned());
    let found = cx.job.zip(cx.settled_job()).filter(|(_, job)| !job.installation.panels.is_empty());
    let Some((view, job)) = found else {
        return failure_page(
            "No panel yet",
            "Describe the panel first: then it can be said what cuts it off.",
            "",
        );
    };
    let wanted = query.text("part").and_then(|text| Part::read(text, job.default_panel.as_ref()).ok());
    let goal = wanted.map_or(IsolationGoal::Everything, IsolationGoal::Part);
    let plan = match study::isolation(job, &goal) {
        Ok(plan) => plan,
        Err(error) => return failure_page("No such part", &capital(&error.to_string()), ""),
    };
    let gate = study::gate(job, Some(cx.now));
    let seen = Seen { view, job, plan: &plan, gate: &gate, back: here(&route, &goal) };
    let body = html! {
        p.lede { "By the record of how this panel is fed. What the record does not hold is live. A handle is a claim; only a proof counts." }
        @if let Some(stop) = &gate.stop {
            div.error-list role="alert" { h2 { "Stop" } p { strong { (stop) } } }
        }
        (goals(&route, &goal, &gate, &job.installation))
        @if let Some(utility) = plan.utility.as_ref().filter(|_| !plan.by_hand) { div.caution { p { strong { (utility) } } } }
        (seen.movements())
        (seen.supply())
        (seen.sources())
        (seen.proofs())
        (seen.now())
        section.sheet { h2 { "Mind" } ul { @for caution in &plan.cautions { li { (caution) } } }
            @for note in &plan.notes { p.quiet { (note.text) } } }
    };
    shell(cx, "Isolation", &route, body)
}

fn here(route: &Route, goal: &IsolationGoal) -> String {
    match goal {
        IsolationGoal::Everything => route.to_string(),
        IsolationGoal::Part(part) => with_query(route, &[("part", &part.write())]),
    }
}

/// What is to be dead: everything, the lugs, a bus.
fn goals(route: &Route, goal: &IsolationGoal, gate: &Gate, installation: &Installation) -> Markup {
    let parts = gate.parts.iter().map(|entry| &entry.part).filter(|part| !matches!(part, Part::Branch(_)));
    let current = |is: bool| is.then_some("page");
    html! {
        nav.chips aria-label="What is to be dead" {
            a.chip href=(route) aria-current=[current(*goal == IsolationGoal::Everything)] { "All circuits" }
            @for part in parts {
                a.chip href=(with_query(route, &[("part", &part.write())]))
                    aria-current=[current(*goal == IsolationGoal::Part(part.clone()))] { (capital(&part_words(installation, part))) }
            }
        }
    }
}

/// What the page is made from.
struct Seen<'a> {
    view: &'a JobView,
    job: &'a Job,
    plan: &'a IsolationPlan,
    gate: &'a Gate,
    back: String,
}

impl Seen<'_> {
    fn enter(&self, kind: EntryKind, pairs: &[(&str, &str)]) -> String {
        let mut all = pairs.to_vec();
        all.push(("go", &self.back));
        enter(self.view, kind, &all)
    }

    fn names(&self, parts: &[Part]) -> Vec<String> {
        parts.iter().map(|part| part_words(&self.job.installation, part)).collect()
    }

    /// Where a handle was last moved to, by any pole.
    fn is_off(&self, what: &Disconnect) -> bool {
        let first = |one: &Disconnect| match one {
            Disconnect::Breaker(slot) => {
                let breaker = self.job.installation.breaker_at(slot);
                let space = breaker.map_or(slot.space, |breaker| breaker.spaces[0]);
                Disconnect::Breaker(Slot::new(slot.panel.clone(), space))
            }
            main => main.clone(),
        };
        let last = self.job.handles.iter().rev().find(|one| first(&one.what) == *what);
        last.is_some_and(|one| one.to == MovedTo::Off)
    }

    fn movements(&self) -> Markup {
        let next = self.plan.movements.iter().position(|movement| !self.is_off(&movement.opens));
        html! {
            section.sheet #movements data-live {
                h2 { "1 Switch off" }
                @if self.plan.movements.is_empty() { p { "No handle of this record cuts it off." } }
                ol {
                    @for (idx, movement) in self.plan.movements.iter().enumerate() {
                        li { (self.movement(movement, self.is_off(&movement.opens), next == Some(idx))) }
                    }
                }
            }
        }
    }

    fn movement(&self, movement: &Movement, is_off: bool, is_next: bool) -> Markup {
        let cuts = self.names(&movement.cuts);
        let live: BTreeSet<&Part> = movement.still_live.iter().collect();
        html! {
            p { strong { (capital(&movement.label)) } " "
                @if is_off { span.tag { "✓ recorded as off" } } @else if !is_next { span.tag { "waits for the step before" } } }
            @for mind in &movement.mind { p.caution { (mind) } }
            @if cuts.is_empty() { p { "By itself it cuts off nothing." } }
            @else { p { "Should cut off: " (cuts.join("; ")) "." } }
            (self.drawing(|part| if live.contains(part) { StepState::Live } else { StepState::CutOff }))
            details.more {
                summary { "What is live after this step, as a list" }
                (self.rows(|part| if live.contains(part) { "■ live" } else { "□ cut off, not proven" }))
            }
            @if is_next {
                a.big href=(self.enter(EntryKind::Handle, &[("what", &movement.opens.write()), ("to", "off")])) { "It is off: record it" }
            }
        }
    }

    /// Every panel as it should be after a step: hatched where it is live, each part with its word.
    fn drawing(&self, state: impl Fn(&Part) -> StepState) -> Markup {
        let parts: Vec<(Part, StepState)> =
            self.gate.parts.iter().map(|entry| (entry.part.clone(), state(&entry.part))).collect();
        html! {
            @for panel in &self.job.installation.panels {
                div.drawing { (PreEscaped(study::step_svg(self.job, panel, &parts))) }
            }
        }
    }

    /// The rows of every panel, each part marked by shape and word.
    fn rows<'w>(&self, mark: impl Fn(&Part) -> &'w str) -> Markup {
        let all = |panel: &model::PanelId| {
            self.gate
                .parts
                .iter()
                .map(|entry| &entry.part)
                .filter(|part| match part {
                    Part::LineLugs(id) | Part::Bus(id, _) => id == panel,
                    Part::Branch(slot) => slot.panel == *panel,
                })
                .collect::<Vec<_>>()
        };
        html! {
            @for panel in &self.job.installation.panels {
                table {
                    caption { "Panel " (panel.id) }
                    @for part in all(&panel.id) {
                        tr { th scope="row" { (capital(&part_words(&self.job.installation, part))) } td { (mark(part)) } }
                    }
                }
            }
        }
    }

    fn supply(&self) -> Markup {
        let is_cut = self.job.cuts.last().is_some_and(|cut| cut.is_cut);
        html! {
            section.sheet #supply data-live {
                h2 { "2 The utility" }
                @if let Some(utility) = &self.plan.utility { p { (utility) } } @else { p { "By the record it is not needed for this." } }
                @if is_cut {
                    p { span.tag { "✓ cut, by the record" } }
                    a.plain href=(self.enter(EntryKind::Cut, &[("supply", "back")])) { "It was given back: record it at once" }
                } @else {
                    a.plain href=(self.enter(EntryKind::Cut, &[("supply", "cut")])) { "The utility has cut: record it" }
                }
            }
        }
    }

    /// What is on record of a source: a mark with words, and whether it no longer stands in the way.
    fn source(&self, question: &SourceQuestion) -> (&'static str, bool) {
        let same = |source: &str| source.trim().eq_ignore_ascii_case(question.source.trim());
        match self.job.sources.iter().rev().find(|one| same(&one.source)) {
            None => match self.said(question) {
                Some(true) => ("■ the caller named it, not looked for: live", false),
                Some(false) => ("□ the caller knows of none, not looked for: counts as live", false),
                None => ("□ not looked for: counts as live", false),
            },
            Some(one) if one.found && one.is_cut => ("✓ found, and cut", true),
            Some(one) if one.found => ("■ found, not cut: live", false),
            Some(_) if question.recorded.is_some() => ("■ ruled out, and yet on record: live", false),
            Some(_) => ("✓ looked for, not there", true),
        }
    }

    /// What the last caller who was asked said of a source of the house's own. It rules nothing out.
    fn said(&self, question: &SourceQuestion) -> Option<bool> {
        let own = ["solar", "battery", "generator"].into_iter().find(|id| question.source.ends_with(id))?;
        let asked = self.job.calls.iter().rev().find_map(|call| {
            let given: Vec<&str> = call
                .answers
                .iter()
                .filter(|one| one.question == "sources")
                .map(|one| one.answer.as_str())
                .collect();
            (!given.is_empty()).then_some(given)
        })?;
        if asked.contains(&own) { Some(true) } else { asked.contains(&"none").then_some(false) }
    }

    fn sources(&self) -> Markup {
        html! {
            section.sheet #sources data-live {
                h2 { "3 Every other source" }
                ul.rows {
                    @for question in &self.plan.sources {
                        @let (mark, _) = self.source(question);
                        li.row {
                            p.grow { strong { (capital(&question.source)) } br; (question.look)
                                @if let Some(recorded) = &question.recorded { br; "On record: " (recorded) "." } }
                            span.tag { (mark) }
                            a.plain href=(self.enter(EntryKind::Source, &[("what", &question.source)])) { "Record" span.off-screen { " " (question.source) } }
                        }
                    }
                }
            }
        }
    }

    fn proofs(&self) -> Markup {
        let sources_done = self.plan.sources.iter().all(|question| self.source(question).1);
        html! {
            section.sheet #proofs data-live {
                h2 { "4 Prove it dead" }
                @for duty in &self.plan.proofs {
                    @let entry = self.gate.part(&duty.part);
                    @let is_cut = entry.is_some_and(|entry| entry.claimed_cut);
                    h3 { (capital(&part_words(&self.job.installation, &duty.part))) }
                    p { "Test " (duty.at) ": " (duty.pairs.iter().map(|&pair| point_pair(pair)).collect::<Vec<_>>().join(", ")) "." }
                    @match entry.map(|entry| &entry.state) {
                        Some(PartState::ProvenDead { .. }) => p { span.tag { "✓ proven dead" } },
                        Some(PartState::NotProven { missing }) => {
                            p { span.tag { "■ counts as live" } " Still missing:" }
                            ul { @for one in missing { li { (one) } } }
                        }
                        Some(PartState::Contradicted { sentence, .. }) => p.caution { strong { (sentence) } },
                        None => p { "The record does not hold it." },
                    }
                    @if is_cut && sources_done {
                        a.big href=(self.enter(EntryKind::Proof, &[("part", &duty.part.write())])) { "Test, and type what it shows" }
                    } @else {
                        p.quiet { "Closed until the steps above are recorded." }
                    }
                }
                p { a href=(self.enter(EntryKind::Proof, &[])) { "Voltage found somewhere else? Record it" } }
            }
        }
    }

    fn now(&self) -> Markup {
        let mark = |part: &Part| match self.gate.part(part) {
            Some(entry) if matches!(entry.state, PartState::ProvenDead { .. }) => "✓ proven dead",
            Some(entry) if matches!(entry.state, PartState::Contradicted { .. }) => {
                "■ LIVE, against the record"
            }
            Some(entry) if entry.claimed_cut => "□ cut off, not proven: live",
            _ => "■ live",
        };
        html! { section.sheet #parts data-live {
            h2 { "What counts as dead now" }
            (self.drawing(|part| match self.gate.part(part) {
                Some(entry) if matches!(entry.state, PartState::ProvenDead { .. }) => StepState::ProvenDead,
                Some(entry) if entry.claimed_cut && !matches!(entry.state, PartState::Contradicted { .. }) => StepState::CutOff,
                _ => StepState::Live,
            }))
            (self.rows(mark))
        } }
    }
}
