//! Which resistances lie between the source and a place.

use super::{Problem, ResKind};
use model::joint::JointId;
use model::panel::Feed;
use model::place::Place;
use model::{Leg, PanelId, SectionId, Slot};

const DEEPEST: usize = 8;

/// A conductor path from the source to a place.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Path {
    /// Leg of a hot path; `None` on the neutral side.
    pub(crate) leg: Option<Leg>,
    /// Resistances passed, from the source on.
    pub(crate) through: Vec<usize>,
    /// Wiring outside of the panels lies on the path, a branch's or a feeder's: its drop is not known.
    pub(crate) beyond_panel: bool,
}

/// Where a panel hangs that a breaker of another one feeds.
pub(super) struct Fed {
    section: SectionId,
    /// First pole of that breaker.
    by: Slot,
}

impl Problem {
    /// Path from the source to a place; `None` where the network has none (earth, cover).
    pub(crate) fn path_to(&self, place: &Place) -> Option<Path> {
        let beyond_panel = matches!(place, Place::Receptacle(_)) || self.fed(place.panel()).is_some();
        let hot = |leg: Leg, through: Vec<usize>| Some(Path { leg: Some(leg), through, beyond_panel });
        let neutral = |through: Vec<usize>| Some(Path { leg: None, through, beyond_panel });
        match place {
            Place::Line(panel, leg) => hot(*leg, self.line(panel, *leg)?),
            Place::Lug(panel, leg) => hot(*leg, self.lug(panel, *leg)?),
            Place::Load(slot) => hot(self.leg_of(slot)?, self.load_terminal(slot, 0)?),
            Place::Wire(slot) | Place::Receptacle(slot) => {
                let mut through = self.load_terminal(slot, 0)?;
                through.extend(self.find(&ResKind::Joint(JointId::Terminal(slot.clone()))));
                hot(self.leg_of(slot)?, through)
            }
            Place::NeutralLine(panel) => neutral(self.neutral_line(panel, 0)),
            Place::NeutralLug(panel) | Place::NeutralBar(panel) => neutral(self.neutral_bar(panel, 0)),
            Place::NeutralWire(slot) => {
                let mut through = self.neutral_bar(&slot.panel, 0);
                through.extend(self.find(&ResKind::Joint(JointId::NeutralTerminal(slot.clone()))));
                neutral(through)
            }
            Place::Face(_) | Place::Cover(_) | Place::Earth(_) => None,
        }
    }

    pub(crate) fn leg_of(&self, slot: &Slot) -> Option<Leg> {
        Some(self.job.installation.panel(&slot.panel)?.leg_of(slot.space))
    }

    /// What feeds a panel, where that is a breaker of another one and not the service.
    pub(super) fn fed(&self, panel: &PanelId) -> Option<Fed> {
        let sections = &self.job.installation.panel(panel)?.sections;
        if !sections.iter().all(|section| matches!(section.feed, Feed::Breaker { .. })) {
            return None;
        }
        sections.iter().find_map(|section| match &section.feed {
            Feed::Breaker { slot } if slot.panel != *panel => {
                Some(Fed { section: section.id.clone(), by: slot.clone() })
            }
            _ => None,
        })
    }

    fn neutral_line(&self, panel: &PanelId, depth: usize) -> Vec<usize> {
        match self.fed(panel).filter(|_| depth < DEEPEST) {
            Some(fed) => self.neutral_bar(&fed.by.panel, depth + 1),
            None => self.find(&ResKind::SupplyNeutral).into_iter().collect(),
        }
    }

    fn neutral_bar(&self, panel: &PanelId, depth: usize) -> Vec<usize> {
        let mut through = self.neutral_line(panel, depth);
        through.extend(self.find(&ResKind::Joint(JointId::NeutralLug(panel.clone()))));
        through
    }

    /// Up to the lug: of a panel that is fed by a breaker of another one, to where the feeder comes in.
    fn line(&self, panel: &PanelId, leg: Leg) -> Option<Vec<usize>> {
        match self.fed(panel) {
            Some(fed) => self.feeding_terminal(&fed.by, leg, 0),
            None => Some(self.find(&ResKind::SupplyLeg(leg)).into_iter().collect()),
        }
    }

    /// Up to the lug and through its joint; the lugs of a fed panel are where its bus begins.
    fn lug(&self, panel: &PanelId, leg: Leg) -> Option<Vec<usize>> {
        match self.fed(panel) {
            Some(fed) => self.bus(panel, &fed.section, leg, 0),
            None => Some(self.service_lug(panel, leg)),
        }
    }

    fn service_lug(&self, panel: &PanelId, leg: Leg) -> Vec<usize> {
        let lug = self.find(&ResKind::Joint(JointId::Lug(panel.clone(), leg)));
        self.find(&ResKind::SupplyLeg(leg)).into_iter().chain(lug).collect()
    }

    /// Up to the load terminal of a feeding breaker's pole on a leg.
    fn feeding_terminal(&self, by: &Slot, leg: Leg, depth: usize) -> Option<Vec<usize>> {
        let from = self.job.installation.panel(&by.panel)?;
        let breaker = from.breaker_at(by.space)?;
        let pole = breaker.spaces.iter().find(|&&space| from.leg_of(space) == leg)?;
        self.load_terminal(&Slot::new(from.id.clone(), *pole), depth)
    }

    fn bus(&self, panel: &PanelId, section: &SectionId, leg: Leg, depth: usize) -> Option<Vec<usize>> {
        if depth == DEEPEST {
            return None;
        }
        let installation = &self.job.installation;
        let feed = &installation.panel(panel)?.section(section)?.feed;
        let feeder = self.find(&ResKind::Joint(JointId::Feeder(panel.clone(), section.clone(), leg)));
        let mut through = match feed {
            Feed::ServiceLugs => self.service_lug(panel, leg),
            Feed::MainBreaker { .. } => {
                let mut through = self.service_lug(panel, leg);
                through.extend(self.find(&ResKind::Main(panel.clone(), leg)));
                through
            }
            Feed::Breaker { slot } => self.feeding_terminal(slot, leg, depth + 1)?,
        };
        through.extend(feeder);
        Some(through)
    }

    fn load_terminal(&self, slot: &Slot, depth: usize) -> Option<Vec<usize>> {
        let panel = self.job.installation.panel(&slot.panel)?;
        panel.breaker_at(slot.space)?;
        let section = panel.section_of(slot.space)?;
        let mut through = self.bus(&slot.panel, &section.id, panel.leg_of(slot.space), depth)?;
        through.extend(self.find(&ResKind::Joint(JointId::Stab(slot.clone()))));
        through.extend(self.find(&ResKind::Pole(slot.clone())));
        Some(through)
    }
}

#[cfg(test)]
mod tests {
    use crate::problem::{Mode, Problem, ResKind};
    use crate::testjob::{self, drop_between, leg_voltage, observe, slot};
    use crate::{JudgeOptions, Priors};
    use model::evidence::Observed;
    use model::job::Job;
    use model::joint::JointId;
    use model::panel::Feed;
    use model::place::Place;
    use model::{Leg, PanelId, SectionId, Slot, Space};

    /// Eight spaces, and as many in a sub-panel that the breaker in space 1 feeds; leg B comes to no pole of it.
    fn with_sub() -> Job {
        let mut job = testjob::eight_spaces();
        let mut sub = job.installation.panels[0].clone();
        sub.id = PanelId::new("sub");
        sub.sections[0].feed = Feed::Breaker { slot: slot(1) };
        job.installation.panels.push(sub);
        job
    }

    fn problem(job: &Job) -> Problem {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        Problem::new(job, Priors::built_in().expect("built-in files"), options)
    }

    fn sub(number: u16) -> Slot {
        Slot::new(PanelId::new("sub"), Space::whole(number))
    }

    /// What the last reading of a job tells of, in the order of the resistances; nothing where it is not used.
    fn told_of(job: &Job) -> Vec<ResKind> {
        let problem = problem(job);
        let last = problem.obs.iter().find(|obs| obs.source + 1 == job.observations.len());
        let last = last.filter(|obs| obs.mode == Mode::Electrical);
        last.map_or(Vec::new(), |obs| {
            obs.weights.iter().map(|&(res, _)| problem.res[res].kind.clone()).collect()
        })
    }

    #[test]
    fn a_drop_from_the_lug_of_a_sub_panel_is_of_that_panel_alone() {
        let mut job = with_sub();
        let lug = || Place::Lug(PanelId::new("sub"), Leg::A);
        observe(&mut job, drop_between(lug(), Place::Load(sub(2)), 40.0, "evening"));
        let [stab, pole] = [ResKind::Joint(JointId::Stab(sub(2))), ResKind::Pole(sub(2))];
        let told = told_of(&job);
        assert!(told.len() == 2 && told.contains(&stab) && told.contains(&pole), "{told:?}");
        // The feeder's own wire lies between these.
        for from in [Place::Lug(PanelId::new("main"), Leg::A), Place::Load(slot(1))] {
            let mut job = with_sub();
            observe(&mut job, drop_between(from, Place::Load(sub(2)), 40.0, "evening"));
            assert_eq!(told_of(&job), Vec::new());
            assert!(problem(&job).notes.iter().any(|note| note.text.contains("wiring outside of the panel")));
        }
        let mut job = with_sub();
        observe(&mut job, drop_between(Place::Load(slot(5)), Place::Receptacle(slot(5)), 900.0, "evening"));
        assert_eq!(told_of(&job), Vec::new(), "a branch's wire lies between");
    }

    #[test]
    fn a_voltage_in_a_sub_panel_passes_what_feeds_it() {
        let mut job = with_sub();
        observe(&mut job, leg_voltage(Leg::A, 118.0, "evening"));
        let at_main = told_of(&job);
        let Some(Observed::Voltage(reading)) = job.observations.last_mut().map(|last| &mut last.what) else {
            unreachable!("a voltage was entered last")
        };
        let panel = PanelId::new("sub");
        (reading.from, reading.to) = (Place::Lug(panel.clone(), Leg::A), Place::NeutralBar(panel.clone()));
        let told = told_of(&job);
        let feeder = JointId::Feeder(panel.clone(), SectionId::new("bus"), Leg::A);
        for kind in at_main.into_iter().chain([
            ResKind::Joint(JointId::Stab(slot(1))),
            ResKind::Pole(slot(1)),
            ResKind::Joint(feeder),
            ResKind::Joint(JointId::NeutralLug(panel)),
        ]) {
            assert!(told.contains(&kind), "{kind:?} is not among {told:?}");
        }
    }
}
