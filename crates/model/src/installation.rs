//! The whole of what is wired at one address: the service and its panels.

use crate::breaker::Breaker;
use crate::id::{PanelId, Slot};
use crate::panel::{Feed, Panel, Section};
use crate::service::Service;

/// Service and panels of one address.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Installation {
    /// What comes before the panels.
    pub service: Service,
    /// Panels, the one fed by the service first.
    pub panels: Vec<Panel>,
}

impl Installation {
    /// The panel with this name.
    pub fn panel(&self, id: &PanelId) -> Option<&Panel> {
        self.panels.iter().find(|panel| panel.id == *id)
    }

    /// The breaker with a pole in this slot.
    pub fn breaker_at(&self, slot: &Slot) -> Option<&Breaker> {
        self.panel(&slot.panel)?.breaker_at(slot.space)
    }

    /// Sections fed by the breaker that has a pole in this slot.
    pub fn sections_fed_by<'a>(
        &'a self,
        slot: &'a Slot,
    ) -> impl Iterator<Item = (&'a Panel, &'a Section)> + 'a {
        let breaker = self.breaker_at(slot);
        self.panels
            .iter()
            .flat_map(|panel| panel.sections.iter().map(move |section| (panel, section)))
            .filter(move |(_, section)| match (&section.feed, breaker) {
                (Feed::Breaker { slot: feed }, Some(breaker)) => {
                    feed.panel == slot.panel && breaker.spaces.contains(&feed.space)
                }
                _ => false,
            })
    }

    /// Every breaker with its panel, panels in order, breakers in the order of the record.
    pub fn breakers(&self) -> impl Iterator<Item = (&Panel, &Breaker)> {
        self.panels.iter().flat_map(|panel| panel.breakers.iter().map(move |breaker| (panel, breaker)))
    }
}
