//! Lugs, main breakers, bus bars, feeders and neutral bars.

use super::super::circuit::NodeIdx;
use super::super::solution::Piece;
use super::{Build, NetworkError, missing};
use model::joint::JointId;
use model::panel::{Feed, Panel, Section};
use model::place::Place;
use model::{Leg, Slot};

impl Build<'_> {
    pub(super) fn panels(&mut self) -> Result<(), NetworkError> {
        let installation = self.installation;
        for panel in &installation.panels {
            let by_service = panel.sections.iter().any(fed_by_service);
            if by_service {
                self.entrance(panel)?;
            }
            self.neutral(panel, by_service)?;
            for section in &panel.sections {
                for &leg in panel.system.legs() {
                    self.section_leg(panel, section, leg, by_service)?;
                }
            }
        }
        Ok(())
    }

    /// Entrance conductors up to the lugs.
    fn entrance(&mut self, panel: &Panel) -> Result<(), NetworkError> {
        for (idx, &leg) in panel.system.legs().iter().enumerate() {
            let piece = Piece::EntranceLeg(panel.id.clone(), leg);
            let ohm = self.given.supply.entrance_legs.get(idx).copied().ok_or_else(|| missing(&piece))?;
            let from = *self.service_legs.get(&leg).ok_or_else(|| missing(&piece))?;
            let line = self.place(Place::Line(panel.id.clone(), leg));
            self.put(piece, from, line, ohm);
            let lug = self.place(Place::Lug(panel.id.clone(), leg));
            self.put_joint(JointId::Lug(panel.id.clone(), leg), line, lug)?;
        }
        Ok(())
    }

    fn neutral(&mut self, panel: &Panel, by_service: bool) -> Result<(), NetworkError> {
        let bar = self.place(Place::NeutralBar(panel.id.clone()));
        self.places.insert(Place::NeutralLug(panel.id.clone()), bar);
        let line = self.place(Place::NeutralLine(panel.id.clone()));
        self.put_joint(JointId::NeutralLug(panel.id.clone()), bar, line)?;
        if by_service {
            let ohm = self.given.supply.entrance_neutral;
            self.put(Piece::EntranceNeutral(panel.id.clone()), line, self.service_neutral, ohm);
            return Ok(());
        }
        let feed = panel.sections.iter().find_map(|section| match &section.feed {
            Feed::Breaker { slot } if slot.panel != panel.id => Some((section, slot)),
            _ => None,
        });
        if let Some((section, slot)) = feed {
            let parent = self.place(Place::NeutralBar(slot.panel.clone()));
            let piece = Piece::FeederNeutral(panel.id.clone());
            let key = (panel.id.clone(), section.id.clone());
            let ohm = self.given.feeders.get(&key).copied().ok_or_else(|| missing(&piece))?;
            self.put_ohm(piece, line, parent, ohm);
        }
        Ok(())
    }

    /// One leg of a section: what feeds it, then its bar, row by row from the first.
    fn section_leg(
        &mut self,
        panel: &Panel,
        section: &Section,
        leg: Leg,
        by_service: bool,
    ) -> Result<(), NetworkError> {
        let (id, part) = (&panel.id, &section.id);
        let lug = Place::Lug(id.clone(), leg);
        let feeder_joint = JointId::Feeder(id.clone(), part.clone(), leg);
        let head = match &section.feed {
            Feed::ServiceLugs => self.place(lug),
            Feed::MainBreaker { .. } => {
                let (line_side, load_side) = (self.place(lug), self.circuit.node());
                let piece = Piece::MainPole(id.clone(), part.clone(), leg);
                let key = (id.clone(), part.clone(), leg);
                let ohm = self.given.main_poles.get(&key).copied().ok_or_else(|| missing(&piece))?;
                self.put_ohm(piece, line_side, load_side, ohm);
                let head = self.circuit.node();
                self.put_joint(feeder_joint, load_side, head)?;
                head
            }
            Feed::Breaker { slot } => {
                let pole = self.feeding_pole(panel, section, slot, leg)?;
                let from = self.place(Place::Load(pole));
                let (line, head) = if by_service || self.places.contains_key(&lug) {
                    (self.circuit.node(), self.circuit.node())
                } else {
                    (self.place(Place::Line(id.clone(), leg)), self.place(lug))
                };
                let piece = Piece::FeederLeg(id.clone(), part.clone(), leg);
                let key = (id.clone(), part.clone());
                let ohm = self.given.feeders.get(&key).copied().ok_or_else(|| missing(&piece))?;
                self.put_ohm(piece, from, line, ohm);
                self.put_joint(feeder_joint, line, head)?;
                head
            }
        };
        self.bar(panel, section, leg, head)
    }

    fn bar(&mut self, panel: &Panel, section: &Section, leg: Leg, head: NodeIdx) -> Result<(), NetworkError> {
        let (mut last, mut last_row) = (head, None);
        for row in (section.first_row..=section.last_row).filter(|&row| panel.leg_of_row(row) == leg) {
            if let Some(before) = last_row {
                let piece = Piece::Bar(panel.id.clone(), leg, row);
                let per_row =
                    self.given.bus_per_row.get(&panel.id).copied().ok_or_else(|| missing(&piece))?;
                let next = self.circuit.node();
                self.put_ohm(piece, last, next, per_row * f64::from(row - before));
                last = next;
            }
            last_row = Some(row);
            self.rows.insert((panel.id.clone(), row), last);
        }
        Ok(())
    }

    /// The pole that feeds a leg of a section: the one on that leg, or by order where the legs have other names.
    fn feeding_pole(
        &self,
        panel: &Panel,
        section: &Section,
        feed: &Slot,
        leg: Leg,
    ) -> Result<Slot, NetworkError> {
        let none = || NetworkError::NoFeed {
            panel: panel.id.clone(),
            section: section.id.clone(),
            feed: feed.clone(),
            leg,
        };
        let parent = self.installation.panel(&feed.panel).ok_or_else(none)?;
        let breaker = parent.breaker_at(feed.space).ok_or_else(none)?;
        let legs = panel.system.legs();
        let named = |leg: Leg| breaker.spaces.iter().find(|&&space| parent.leg_of(space) == leg);
        let space = if legs.iter().all(|&leg| named(leg).is_some()) {
            named(leg)
        } else {
            legs.iter().position(|&mine| mine == leg).and_then(|at| breaker.spaces.get(at))
        };
        space.map(|&space| Slot::new(feed.panel.clone(), space)).ok_or_else(none)
    }
}

fn fed_by_service(section: &Section) -> bool {
    matches!(section.feed, Feed::ServiceLugs | Feed::MainBreaker { .. })
}
