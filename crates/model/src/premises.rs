//! What the code book needs to know of an address beside its wiring.

use crate::adoption::Adoption;
use crate::dwelling::{Appliance, DemandRecord, DwellingRecord};
use crate::site::{Site, SiteRecord};

/// The adopted code, the dwellings with their appliances, a measured demand, the place of the panel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Premises {
    /// The code that holds.
    pub adoption: Option<Adoption>,
    /// Dwellings.
    pub dwellings: Vec<DwellingRecord>,
    /// Appliances of all dwellings.
    pub appliances: Vec<Appliance>,
    /// Measured demand of the service.
    pub demand: Option<DemandRecord>,
    /// Place of the panel and planned work.
    pub site: Option<SiteRecord>,
}

impl Premises {
    /// Names of the dwellings, each once, those that were described first; one without a name where nothing is known.
    pub fn units(&self) -> Vec<&str> {
        let mut units: Vec<&str> = Vec::new();
        let named = self.dwellings.iter().map(|one| one.unit.as_str());
        for unit in named.chain(self.appliances.iter().map(|one| one.unit.as_str())) {
            if !units.contains(&unit) {
                units.push(unit);
            }
        }
        if units.is_empty() {
            units.push("");
        }
        units
    }

    /// The place of the panel and the planned work; nothing known where nobody wrote it down.
    pub fn site(&self) -> Site {
        self.site.as_ref().map(|record| record.site.clone()).unwrap_or_default()
    }
}
