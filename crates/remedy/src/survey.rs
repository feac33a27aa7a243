//! What is known of each circuit for the replacement: the survey first, then the panel as drawn, else not known.

use model::breaker::{Breaker, LoadClass, Protection};
use model::conductor::Conductor;
use model::job::Job;
use model::panel::{Feed, Panel};
use model::replacement::SurveyedCircuit;
use model::{Current, PanelId, Slot, Space};

/// A circuit of the old panel with all that is known of it. What is not known is `None` or empty.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownCircuit {
    /// First pole of its breaker.
    pub slot: Slot,
    /// Spaces of its breaker, first pole first.
    pub spaces: Vec<Space>,
    /// Was it surveyed?
    pub surveyed: bool,
    /// Number or name on its tag.
    pub name: String,
    /// What it feeds; empty: not traced.
    pub feeds: String,
    /// In which room.
    pub room: String,
    /// Poles that it needs.
    pub poles: u8,
    /// Rating that it needs.
    pub rating: Current,
    /// Rough class of the load.
    pub class: Option<LoadClass>,
    /// Its conductor.
    pub conductor: Conductor,
    /// First pole of the circuit that shares its neutral. `Some(None)`: it has none, and somebody looked.
    pub partner: Option<Option<Space>>,
    /// Does it use the neutral?
    pub uses_neutral: Option<bool>,
    /// Does its cable bring an equipment ground?
    pub grounded: Option<bool>,
    /// Protection that it has now.
    pub protection: Protection,
    /// Protection that it gets with the new panel.
    pub protection_after: Option<Protection>,
    /// Does it run for three hours or more? `None`: not known; [`KnownCircuit::runs_long`] then goes by its class.
    pub continuous: Option<bool>,
    /// Is it a motor?
    pub motor: Option<bool>,
    /// Group to keep together.
    pub together: String,
}

impl KnownCircuit {
    /// Does it run for hours, by the survey or else by the class of its load?
    pub fn runs_long(&self) -> bool {
        self.continuous.unwrap_or(matches!(
            self.class,
            Some(LoadClass::WaterHeater | LoadClass::SpaceHeat | LoadClass::Vehicle)
        ))
    }

    /// The device that it gets: what was decided, else one like the old one.
    pub fn device_after(&self) -> Protection {
        self.protection_after.unwrap_or(self.protection)
    }

    /// Words for pages and papers.
    pub fn label(&self) -> &str {
        if self.feeds.is_empty() { "not traced" } else { &self.feeds }
    }
}

/// The circuits of a panel that move into a new one, by their spaces: feeders of sections and spares stay out.
pub fn circuits(job: &Job, panel: &PanelId) -> Vec<KnownCircuit> {
    let Some(panel) = job.installation.panel(panel) else { return Vec::new() };
    let mut all: Vec<KnownCircuit> = Vec::new();
    for breaker in &panel.breakers {
        let Some(&first) = breaker.spaces.first() else { continue };
        let slot = Slot::new(panel.id.clone(), first);
        if !feeds_a_section(panel, &slot) && all.iter().all(|other| other.slot != slot) {
            all.extend(known(breaker, job.replacement.circuit(&slot), slot));
        }
    }
    pair_up(&mut all);
    all
}

/// Does this breaker feed a section of its own panel? Then it goes with the old panel.
fn feeds_a_section(panel: &Panel, slot: &Slot) -> bool {
    panel.sections.iter().any(|section| matches!(&section.feed, Feed::Breaker { slot: of } if of == slot))
}

fn known(breaker: &Breaker, survey: Option<&SurveyedCircuit>, slot: Slot) -> Option<KnownCircuit> {
    let drawn = breaker.circuit.clone();
    let is_spare = drawn.as_ref().is_none_or(|circuit| circuit.class == Some(LoadClass::Spare));
    if is_spare && survey.is_none() {
        return None;
    }
    let drawn = drawn.unwrap_or_default();
    let said = |text: &str, other: &str| if text.is_empty() { other.to_owned() } else { text.to_owned() };
    let partner = match survey {
        Some(survey) if survey.multiwire == Some(false) => Some(None),
        Some(survey) => survey.partner.or(drawn.partner).map(Some),
        None => drawn.partner.map(Some),
    };
    let conductor = survey.map(|survey| merged(&survey.conductor, &drawn.conductor));
    Some(KnownCircuit {
        slot,
        spaces: breaker.spaces.clone(),
        surveyed: survey.is_some(),
        name: survey.map(|survey| survey.name.clone()).unwrap_or_default(),
        feeds: survey.map_or(drawn.feeds.clone(), |survey| said(&survey.feeds, &drawn.feeds)),
        room: survey.map(|survey| survey.room.clone()).unwrap_or_default(),
        poles: survey.and_then(|survey| survey.poles).unwrap_or(breaker.spaces.len().min(3) as u8),
        rating: survey.and_then(|survey| survey.rating).unwrap_or(breaker.rating),
        class: survey.and_then(|survey| survey.class).or(drawn.class),
        conductor: conductor.unwrap_or(drawn.conductor),
        partner,
        uses_neutral: survey.and_then(|survey| survey.uses_neutral).or(drawn.uses_neutral),
        grounded: survey.and_then(|survey| survey.grounded),
        protection: survey.and_then(|survey| survey.protection).unwrap_or(breaker.protection),
        protection_after: survey.and_then(|survey| survey.protection_after),
        continuous: survey.and_then(|survey| survey.continuous),
        motor: survey.and_then(|survey| survey.motor),
        together: survey.map(|survey| survey.together.clone()).unwrap_or_default(),
    })
}

/// What the survey says of a conductor, and what was drawn where it is silent.
fn merged(survey: &Conductor, drawn: &Conductor) -> Conductor {
    Conductor {
        size: survey.size.or(drawn.size),
        metal: survey.metal.or(drawn.metal),
        insulation: survey.insulation.clone().or(drawn.insulation.clone()),
        free_length: survey.free_length.or(drawn.free_length),
        entry: survey.entry.or(drawn.entry),
        entry_down: survey.entry_down.or(drawn.entry_down),
        colour: survey.colour.clone().or(drawn.colour.clone()),
    }
}

/// Partners name each other: where only one of the two says so, the other takes it over, unless it denies it.
fn pair_up(all: &mut [KnownCircuit]) {
    let named: Vec<(Space, Space)> = all
        .iter()
        .filter_map(|circuit| circuit.partner.flatten().map(|partner| (circuit.slot.space, partner)))
        .collect();
    for (mine, partner) in named {
        if let Some(other) = all.iter_mut().find(|other| other.slot.space == partner)
            && other.partner.is_none()
        {
            other.partner = Some(Some(mine));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::sound_panel;
    use model::FactId;
    use model::quantity::Length;
    use model::replacement::SurveyedCircuit;

    fn survey(number: u16) -> SurveyedCircuit {
        SurveyedCircuit {
            fact: FactId::new(format!("survey-{number}")),
            at: model::DateTime::constant(2025, 11, 20, 12, 0, 0, 0),
            by: None,
            slot: Slot::new(PanelId::new("main"), Space::whole(number)),
            name: String::new(),
            poles: None,
            rating: None,
            feeds: String::new(),
            room: String::new(),
            class: None,
            conductor: Conductor::default(),
            multiwire: None,
            partner: None,
            uses_neutral: None,
            grounded: None,
            protection: None,
            protection_after: None,
            continuous: None,
            motor: None,
            together: String::new(),
            words: String::new(),
        }
    }

    #[test]
    fn the_survey_comes_before_the_drawing_and_silence_leaves_what_was_drawn() {
        let mut sample = sound_panel();
        let conductor = Conductor { free_length: Some(Length::from_in(14.0)), ..Conductor::default() };
        sample.job.replacement.circuits.push(SurveyedCircuit {
            conductor,
            partner: Some(Space::whole(2)),
            rating: Some(Current::from_a(20.0)),
            ..survey(1)
        });
        let all = circuits(&sample.job, &PanelId::new("main"));
        assert_eq!(all.iter().map(|one| one.slot.space.number).collect::<Vec<_>>(), [1, 2, 3, 4]);
        assert_eq!((all[0].feeds.as_str(), all[0].rating.a(), all[0].poles), ("lights, upstairs", 20.0, 1));
        // The partner that was found at one of the two holds for both.
        assert_eq!(all[1].partner, Some(Some(Space::whole(1))));
        // What nobody looked at is not known: neither yes nor no.
        assert_eq!(
            (all[3].partner, all[3].grounded, all[3].continuous, all[3].surveyed),
            (None, None, None, false)
        );
        // A later entry of the same circuit counts.
        sample.job.replacement.circuits.push(SurveyedCircuit { multiwire: Some(false), ..survey(1) });
        assert_eq!(circuits(&sample.job, &PanelId::new("main"))[0].partner, Some(None));
    }
}
