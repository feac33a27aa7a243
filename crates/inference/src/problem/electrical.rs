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
    /// Branch wiring beyond the panel lies on the path: its drop is not known.
    pub(crate) beyond_panel: bool,
}

impl Problem {
    /// Path from the source to a place; `None` where the network has none (earth, cover).
    pub(crate) fn path_to(&self, place: &Place) -> Option<Path> {
        let hot = |leg: Leg, through: Vec<usize>| Some(Path { leg: Some(leg), through, beyond_panel: false });
        let neutral = |through: Vec<usize>| Some(Path { leg: None, through, beyond_panel: false });
        match place {
            Place::Line(panel, leg) => hot(*leg, self.line(panel, *leg)),
            Place::Lug(panel, leg) => hot(*leg, self.lug(panel, *leg)),
            Place::Load(slot) => hot(self.leg_of(slot)?, self.load_terminal(slot, 0)?),
            Place::Wire(slot) | Place::Receptacle(slot) => {
                let mut through = self.load_terminal(slot, 0)?;
                through.extend(self.find(&ResKind::Joint(JointId::Terminal(slot.clone()))));
                let beyond_panel = matches!(place, Place::Receptacle(_));
                Some(Path { leg: Some(self.leg_of(slot)?), through, beyond_panel })
            }
            Place::NeutralLine(_) => neutral(self.find(&ResKind::SupplyNeutral).into_iter().collect()),
            Place::NeutralLug(panel) | Place::NeutralBar(panel) => neutral(self.neutral_bar(panel)),
            Place::NeutralWire(slot) => {
                let mut through = self.neutral_bar(&slot.panel);
                through.extend(self.find(&ResKind::Joint(JointId::NeutralTerminal(slot.clone()))));
                neutral(through)
            }
            Place::Face(_) | Place::Cover(_) | Place::Earth(_) => None,
        }
    }

    pub(crate) fn leg_of(&self, slot: &Slot) -> Option<Leg> {
        Some(self.job.installation.panel(&slot.panel)?.leg_of(slot.space))
    }

    fn neutral_bar(&self, panel: &PanelId) -> Vec<usize> {
        let lug = self.find(&ResKind::Joint(JointId::NeutralLug(panel.clone())));
        self.find(&ResKind::SupplyNeutral).into_iter().chain(lug).collect()
    }

    fn line(&self, _panel: &PanelId, leg: Leg) -> Vec<usize> {
        self.find(&ResKind::SupplyLeg(leg)).into_iter().collect()
    }

    fn lug(&self, panel: &PanelId, leg: Leg) -> Vec<usize> {
        let mut through = self.line(panel, leg);
        through.extend(self.find(&ResKind::Joint(JointId::Lug(panel.clone(), leg))));
        through
    }

    fn bus(&self, panel: &PanelId, section: &SectionId, leg: Leg, depth: usize) -> Option<Vec<usize>> {
        if depth == DEEPEST {
            return None;
        }
        let installation = &self.job.installation;
        let feed = &installation.panel(panel)?.section(section)?.feed;
        let feeder = self.find(&ResKind::Joint(JointId::Feeder(panel.clone(), section.clone(), leg)));
        let mut through = match feed {
            Feed::ServiceLugs => self.lug(panel, leg),
            Feed::MainBreaker { .. } => {
                let mut through = self.lug(panel, leg);
                through.extend(self.find(&ResKind::Main(panel.clone(), leg)));
                through
            }
            Feed::Breaker { slot } => {
                let from = installation.panel(&slot.panel)?;
                let breaker = from.breaker_at(slot.space)?;
                let pole = breaker.spaces.iter().find(|&&space| from.leg_of(space) == leg)?;
                self.load_terminal(&Slot::new(from.id.clone(), *pole), depth + 1)?
            }
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
