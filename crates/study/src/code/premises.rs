//! From what a job records to what the code book takes: the code that holds, the dwellings, the service.

use codebook::load::Dwelling;
use codebook::{Adopted, Amendment, BadData, Book, Edition, Law, NotYetAdopted, Profile, Value};
use model::adoption::{Adoption, AmendedTo};
use model::job::Job;
use model::panel::Feed;
use model::{Date, System};

/// Why no edition holds.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoCode {
    /// Nobody wrote down which edition is adopted.
    #[error(
        "no adopted edition is on record, and none is assumed: record which edition the place has adopted and from which day, or name an edition"
    )]
    NotOnRecord,
    /// No edition holds on the day.
    #[error(transparent)]
    NotYet(#[from] NotYetAdopted),
    /// The adoption has mistakes that only the code book sees.
    #[error("the adoption on record cannot be used: {}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Bad(Vec<BadData>),
}

/// The code that was chosen for a job.
#[derive(Debug, Clone)]
pub enum Chosen {
    /// An edition as published.
    Edition(Edition),
    /// What a place adopted, on a day.
    Adopted(Box<Profile>, Date),
}

impl Chosen {
    /// The edition that was named, else the adoption on record, by the day of the permit or else `day`.
    ///
    /// # Errors
    /// No edition is named and none is on record, or the record cannot be used.
    pub fn of(job: &Job, book: &Book, named: Option<Edition>, day: Date) -> Result<Chosen, NoCode> {
        if let Some(edition) = named {
            return Ok(Chosen::Edition(edition));
        }
        let adoption = job.premises.adoption.as_ref().ok_or(NoCode::NotOnRecord)?;
        let profile = profile(adoption, book, job.invented).map_err(NoCode::Bad)?;
        Ok(Chosen::Adopted(Box::new(profile), adoption.permit.unwrap_or(day)))
    }

    /// The adoption of a shop's own file, on a day.
    pub fn of_profile(profile: Profile, day: Date) -> Chosen {
        Chosen::Adopted(Box::new(profile), day)
    }

    /// The code.
    ///
    /// # Errors
    /// No edition holds on the day.
    pub fn law<'b>(&'b self, book: &'b Book) -> Result<Law<'b>, NoCode> {
        match self {
            Chosen::Edition(edition) => Ok(book.edition(*edition)),
            Chosen::Adopted(profile, day) => Ok(profile.on(book, *day)?),
        }
    }
}

/// The profile of an adoption on record, with every mistake that only the code book sees.
fn profile(adoption: &Adoption, book: &Book, invented: bool) -> Result<Profile, Vec<BadData>> {
    let mut bad = Vec::new();
    let mut edition = |year: u16| match Edition::try_from(year) {
        Ok(edition) => Some(edition),
        Err(_) => {
            bad.push(BadData::AdoptionOrder { edition: year });
            None
        }
    };
    let mut adopted = Vec::new();
    for one in &adoption.editions {
        if let Some(edition) = edition(one.edition) {
            adopted.push(Adopted { edition, from: one.from, document: one.document.clone() });
        }
    }
    let mut amendments = Vec::new();
    for one in &adoption.amendments {
        let Some(amends) = edition(one.edition) else { continue };
        let value = match &one.to {
            AmendedTo::Number(number) => Some(Value::Number(*number)),
            AmendedTo::Word(word) => Some(Value::Word(word.clone())),
            AmendedTo::Absent => None,
        };
        amendments.push(Amendment {
            rule: one.rule.clone(),
            amends,
            from: one.from,
            value,
            document: one.document.clone(),
            section: one.section.clone(),
            note: Some(one.note.clone()).filter(|note| !note.is_empty()),
        });
    }
    if !bad.is_empty() {
        return Err(bad);
    }
    Profile::of(book, adoption.place.clone(), invented, adopted, amendments)
}

/// The supply of the service: that of the panel that it feeds. `None` where no panel is described.
pub fn system(job: &Job) -> Option<System> {
    let panels = &job.installation.panels;
    let of_service = panels
        .iter()
        .find(|panel| panel.sections.iter().any(|section| !matches!(section.feed, Feed::Breaker { .. })));
    of_service.or(panels.first()).map(|panel| panel.system)
}

/// Rating of the service that loads are held against: the planned one, else the present one.
pub fn service_a(job: &Job) -> Option<f64> {
    job.premises.site().service_a.or_else(|| job.installation.service.rating.map(|rating| rating.a()))
}

/// A dwelling as the load methods take it.
pub(super) fn dwelling(job: &Job, unit: &str) -> Dwelling {
    let mut put = Dwelling::unknown(system(job).unwrap_or(System::SplitPhase));
    if let Some(record) = job.premises.dwellings.iter().find(|record| record.unit == unit) {
        put.floor_ft2 = record.floor_ft2;
        put.adaptable_ft2 = record.adaptable_ft2;
        put.adaptable_garage_ft2 = record.adaptable_garage_ft2;
        put.small_appliance_circuits = record.small_appliance_circuits;
        put.laundry_circuits = record.laundry_circuits;
        put.managed = record.managed.clone();
    }
    let items = job.premises.appliances.iter().filter(|appliance| appliance.unit == unit);
    put.items = items.map(|appliance| appliance.item.clone()).collect();
    // Which dwelling a circuit belongs to is not recorded: of several, the first one asks.
    if job.premises.units().first() == Some(&unit) {
        put.items.extend(super::unplated::unplated(job));
    }
    put
}
