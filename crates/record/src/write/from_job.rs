//! A job of the model to facts that fold into it again.

use super::number::{large_length, millivolts, small_length, temperature};
use crate::fact::{
    Body, BreakerDescribed, BusDescribed, CabinetDescribed, CallTaken, CircuitDescribed, ClampTaken,
    ComplaintMade, ConductorDescribed, DecisionMade, DropTaken, ExposureReached, Fact, FeedDescribed,
    HalfWidthDescribed, HandleMoved, JobOpened, JointOpened, LoadStateHeld, PanelDescribed, PhotoPinned,
    PhotoTaken, SectionDescribed, ServiceDescribed, SignLookedFor, SourceLooked, TemperatureTaken,
    TouchTaken, TripSeen, UtilityCutMade, VoltageTaken, WorkDone, WorkKind,
};
use crate::text::AsText;
use jiff::civil::{DateTime, Time};
use model::breaker::{Breaker, Circuit, LoadClass};
use model::conductor::Conductor;
use model::evidence::Observed;
use model::installation::Installation;
use model::job::{Exposure, Job};
use model::panel::{Cabinet, Feed, HalfWidth, Mounting, Panel};
use model::service::Service;
use model::{FactId, Slot};

pub(super) fn facts_of(job: &Job) -> Vec<Fact> {
    let start = job.opened.to_datetime(Time::midnight());
    let mut facts = Vec::new();
    let mut add = |id: Option<&FactId>, at: DateTime, by: Option<&String>, body: Body| {
        let mut fact = Fact::new(at, by.cloned(), Vec::new(), body);
        if let Some(id) = id {
            fact.id = AsText(id.clone());
        }
        facts.push(fact);
    };
    let opened = JobOpened {
        job: job.id.clone(),
        invented: job.invented,
        place: job.place.clone(),
        town: job.town.clone(),
        owner: job.owner.clone(),
        opened: job.opened,
    };
    add(None, start, None, opened.into());
    if job.exposure != Exposure::CoverOn {
        add(None, start, None, ExposureReached { reached: AsText(job.exposure) }.into());
    }
    if job.installation.service != Service::default() {
        add(None, start, None, Box::new(service(&job.installation.service)).into());
    }
    for one in &job.installation.panels {
        add(None, start, None, Box::new(panel(one)).into());
        for held in &one.breakers {
            add(None, start, None, Box::new(breaker(&job.installation, one, held)).into());
        }
    }
    let known = &job.premises;
    if let Some(one) = &known.adoption {
        add(Some(&one.fact), one.at, None, super::premises::of_adoption(one).into());
    }
    for one in &known.dwellings {
        add(Some(&one.fact), one.at, None, super::premises::of_dwelling(one).into());
    }
    for one in &known.appliances {
        add(Some(&one.fact), one.at, None, super::premises::of_appliance(one).into());
    }
    if let Some(one) = &known.demand {
        add(Some(&one.fact), one.at, None, super::premises::of_demand(one).into());
    }
    if let Some(one) = &known.site {
        add(Some(&one.fact), one.at, None, Box::new(super::premises::of_site(&one.site)).into());
    }
    for state in &job.load_states {
        let body = LoadStateHeld {
            name: state.name.clone(),
            words: state.words.clone(),
            held_min: state.held_min,
            room: state.room.map(temperature),
            unloaded: state.unloaded.iter().cloned().map(AsText).collect(),
        };
        add(Some(&state.fact), state.at, None, body.into());
    }
    for seen in &job.observations {
        add(Some(&seen.fact), seen.at, seen.by.as_ref(), observed(&seen.what));
    }
    for one in &job.calls {
        let body = CallTaken {
            answers: one.answers.iter().cloned().map(AsText).collect(),
            words: one.words.clone(),
        };
        add(Some(&one.fact), one.at, None, body.into());
    }
    for one in &job.complaints {
        let slot = one.slot.clone().map(AsText);
        let body = ComplaintMade { of: AsText(one.kind), slot, words: one.words.clone() };
        add(Some(&one.fact), one.at, None, body.into());
    }
    for one in &job.photos {
        let slot = one.slot.clone().map(AsText);
        let body = PhotoTaken { sha256: one.sha256.clone(), words: one.words.clone(), slot };
        add(Some(&one.fact), one.at, None, body.into());
        for pin in &one.pins {
            let body = PhotoPinned {
                photo: one.sha256.clone(),
                x: pin.x,
                y: pin.y,
                slot: pin.slot.clone().map(AsText),
                words: pin.words.clone(),
            };
            add(Some(&pin.fact), pin.at, None, body.into());
        }
    }
    for one in &job.decisions {
        let body = DecisionMade { words: one.words.clone(), declined: one.declined };
        add(Some(&one.fact), one.at, one.by.as_ref(), body.into());
    }
    for one in &job.work {
        let body = WorkDone {
            kind_of_work: if one.expires.is_some() { WorkKind::StopGap } else { WorkKind::Lasting },
            words: one.words.clone(),
            slots: one.slots.iter().cloned().map(AsText).collect(),
            moved_to: one.moved_to.iter().cloned().map(AsText).collect(),
            expires: one.expires,
            recheck: one.recheck,
        };
        add(Some(&one.fact), one.at, None, body.into());
    }
    for one in &job.openings {
        let body = JointOpened {
            joint: AsText(one.joint.clone()),
            found: AsText(one.found),
            words: one.words.clone(),
        };
        add(Some(&one.fact), one.at, None, body.into());
    }
    for one in &job.handles {
        let body = HandleMoved { what: AsText(one.what.clone()), to: AsText(one.to) };
        add(Some(&one.fact), one.at, None, body.into());
    }
    for one in &job.cuts {
        let body = UtilityCutMade { restored: !one.is_cut, words: one.words.clone() };
        add(Some(&one.fact), one.at, None, body.into());
    }
    for one in &job.sources {
        let (source, looked) = (one.source.clone(), one.looked.clone());
        let body = SourceLooked { source, found: one.found, cut: one.is_cut, looked };
        add(Some(&one.fact), one.at, None, body.into());
    }
    for one in &job.proofs {
        add(Some(&one.fact), one.at, one.by.as_ref(), super::isolation::proof(one).into());
    }
    for one in &job.interims {
        add(Some(&one.fact), one.at, one.by.as_ref(), Box::new(super::plan::interim(one)).into());
    }
    for one in &job.promises {
        add(Some(&one.fact), one.at, one.by.as_ref(), super::plan::promise(one).into());
    }
    for one in &job.kept {
        add(Some(&one.fact), one.at, None, super::plan::kept(one).into());
    }
    for one in &job.replacement.circuits {
        add(Some(&one.fact), one.at, one.by.as_ref(), Box::new(super::replacement::of_circuit(one)).into());
    }
    for one in &job.replacement.quotes {
        add(Some(&one.fact), one.at, None, super::offer::of_quote(one).into());
    }
    for one in &job.replacement.outages {
        add(Some(&one.fact), one.at, None, Box::new(super::offer::of_outage(one)).into());
    }
    for one in &job.replacement.ticks {
        add(Some(&one.fact), one.at, None, super::offer::of_tick(one).into());
    }
    for one in &job.replacement.used {
        add(Some(&one.fact), one.at, None, super::offer::of_used(one).into());
    }
    for one in &job.replacement.surprises {
        add(Some(&one.fact), one.at, one.by.as_ref(), super::replacement::of_surprise(one).into());
    }
    for one in &job.replacement.arrangements {
        add(
            Some(&one.fact),
            one.at,
            one.by.as_ref(),
            Box::new(super::replacement::of_arrangement(one)).into(),
        );
    }
    super::install::facts_of(&job.install, &mut add);
    name_author(&mut facts);
    facts
}

/// The model keeps no author of panels, states, complaints and the like. An id made from the content tells
/// whether the one author of all observations is theirs, too; where no id speaks against it, everything is.
fn name_author(facts: &mut [Fact]) {
    let Some(author) = facts.iter().find_map(|fact| fact.by.clone()) else { return };
    let with_author = |fact: &Fact| Fact { by: Some(author.clone()), ..fact.clone() };
    let fits = |fact: &Fact| match &fact.by {
        Some(by) => *by == author,
        None => !has_own_id(fact) || with_author(fact).has_derived_id(),
    };
    if facts.iter().all(fits) {
        for fact in facts.iter_mut().filter(|fact| fact.by.is_none()) {
            let named = has_own_id(fact);
            *fact = with_author(fact);
            if !named {
                *fact = Fact::new(fact.at, fact.by.clone(), Vec::new(), fact.body.clone());
            }
        }
    }
}

/// Does the model keep the id of this fact?
fn has_own_id(fact: &Fact) -> bool {
    !matches!(
        fact.body,
        Body::Job(_) | Body::Exposure(_) | Body::Service(_) | Body::Panel(_) | Body::Breaker(_)
    )
}

pub(super) fn conductor(from: &Conductor) -> ConductorDescribed {
    ConductorDescribed {
        size: from.size.map(AsText),
        metal: from.metal.map(AsText),
        insulation: from.insulation.clone(),
        free_length: from.free_length.map(small_length),
        entry: from.entry.map(AsText),
        entry_down: from.entry_down.map(small_length),
        colour: from.colour.clone(),
    }
}

fn service(from: &Service) -> ServiceDescribed {
    ServiceDescribed {
        rating_a: from.rating.map(|rating| rating.a()),
        transformer_kva: from.transformer_kva,
        transformer_impedance_pct: from.transformer_impedance_pct,
        path: from.path.map(AsText),
        drop: conductor(&from.drop),
        drop_length: from.drop_length.map(large_length),
        entrance: conductor(&from.entrance),
        entrance_length: from.entrance_length.map(large_length),
        electrode_ohm: from.electrode.map(|electrode| electrode.ohm()),
        meter: from.meter.clone(),
        other_sources: from.other_sources.clone(),
    }
}

fn panel(from: &Panel) -> PanelDescribed {
    PanelDescribed {
        panel: AsText(from.id.clone()),
        place: from.place.clone(),
        system: AsText(from.system),
        spaces: from.n_spaces,
        columns: from.n_columns,
        first_leg: AsText(from.first_leg),
        bus: BusDescribed {
            metal: from.bus.metal.map(AsText),
            plating: from.bus.plating.map(AsText),
            rating_a: from.bus.rating.map(|rating| rating.a()),
        },
        cabinet: cabinet(&from.cabinet),
        half_width: half_width(&from.half_width),
        year: from.year,
        moisture: from.moisture,
        sections: from
            .sections
            .iter()
            .map(|section| SectionDescribed {
                id: AsText(section.id.clone()),
                rows: [section.first_row + 1, section.last_row + 1],
                feed: match &section.feed {
                    Feed::ServiceLugs => FeedDescribed::Lugs,
                    Feed::MainBreaker { rating } => FeedDescribed::MainBreaker { rating_a: rating.a() },
                    Feed::Breaker { slot } => FeedDescribed::Breaker(AsText(slot.clone())),
                },
                feeder: conductor(&section.feeder),
            })
            .collect(),
    }
}

pub(super) fn half_width(from: &HalfWidth) -> Option<HalfWidthDescribed> {
    match from {
        HalfWidth::Nowhere => None,
        HalfWidth::Everywhere => Some(HalfWidthDescribed::Everywhere),
        HalfWidth::In(numbers) => Some(HalfWidthDescribed::In(numbers.clone())),
    }
}

pub(super) fn cabinet(from: &Cabinet) -> CabinetDescribed {
    CabinetDescribed {
        width: from.width.map(small_length),
        height: from.height.map(small_length),
        depth: from.depth.map(small_length),
        mounting: (from.mounting != Mounting::default()).then_some(AsText(from.mounting)),
    }
}

fn breaker(installation: &Installation, panel: &Panel, from: &Breaker) -> BreakerDescribed {
    let first = from.spaces.first().map(|space| Slot::new(panel.id.clone(), *space));
    let feeds_section =
        first.as_ref().is_some_and(|slot| installation.sections_fed_by(slot).next().is_some());
    let spare = CircuitDescribed { class: Some(AsText(LoadClass::Spare)), ..CircuitDescribed::default() };
    BreakerDescribed {
        panel: AsText(panel.id.clone()),
        spaces: from.spaces.iter().copied().map(AsText).collect(),
        rating_a: from.rating.a(),
        protection: AsText(from.protection),
        attachment: AsText(from.attachment),
        other_make: from.other_make,
        later: from.later,
        handle: AsText(from.handle),
        circuit: match &from.circuit {
            None => (!feeds_section).then_some(spare),
            Some(circuit) if *circuit == Circuit::default() => None,
            Some(circuit) => Some(circuit_of(circuit)),
        },
    }
}

fn circuit_of(from: &Circuit) -> CircuitDescribed {
    CircuitDescribed {
        feeds: from.feeds.clone(),
        class: from.class.map(AsText),
        conductor: conductor(&from.conductor),
        partner: from.partner.map(AsText),
        uses_neutral: from.uses_neutral,
        doubled: from.doubled,
    }
}

fn observed(from: &Observed) -> Body {
    match from.clone() {
        Observed::Temperature(one) => TemperatureTaken {
            place: AsText(one.place),
            value: temperature(one.value),
            method: AsText(one.method),
            surface: AsText(one.surface),
            emissivity: one.emissivity,
            reflected: one.reflected.map(temperature),
            instrument: one.instrument,
            state: one.state,
        }
        .into(),
        Observed::Touch(one) => {
            TouchTaken { slot: AsText(one.slot), feel: AsText(one.feel), void: one.void, state: one.state }
                .into()
        }
        Observed::Current(one) => ClampTaken {
            place: AsText(one.place),
            amps: one.value.a(),
            instrument: one.instrument,
            state: one.state,
        }
        .into(),
        Observed::Voltage(one) => VoltageTaken {
            from: AsText(one.from),
            to: AsText(one.to),
            volts: one.value.v(),
            instrument: one.instrument,
            state: one.state,
        }
        .into(),
        Observed::Drop(one) => DropTaken {
            from: AsText(one.from),
            to: AsText(one.to),
            mv: millivolts(one.value),
            amps: one.current.map(|current| current.a()),
            instrument: one.instrument,
            state: one.state,
        }
        .into(),
        Observed::Trip(one) => TripSeen {
            slot: AsText(one.slot),
            amps: one.current.map(|current| current.a()),
            after_min: one.after_min,
            state: one.state,
        }
        .into(),
        Observed::Sign(one) => SignLookedFor {
            sign: AsText(one.sign),
            scope: AsText(one.scope),
            seen: one.present,
            words: one.words,
            photo: one.photo.map(AsText),
        }
        .into(),
    }
}
