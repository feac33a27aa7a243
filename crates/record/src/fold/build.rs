//! Facts that hold to the job of the model. It decides nothing: whether the facts fit together is for
//! `check`.

use super::equipment::{breaker, order_panels, panel, service, settle_circuits};
use super::live::Live;
use crate::fact::{Body, DeadProven, Fact, PairRead};
use model::evidence::{
    CurrentReading, DropReading, Observation, Observed, SignReading, TemperatureReading, TouchReading,
    TripEvent, VoltageReading,
};
use model::installation::Installation;
use model::isolation::{HandleMove, PairReading, Proof, SourceLook, UtilityCut};
use model::job::{Call, Complaint, Decision, Exposure, Job, Opening, Photo, Pin, Work};
use model::load::LoadState;
use model::panel::Panel;
use model::premises::Premises;
use model::{Current, PanelId, Voltage};
use std::collections::BTreeMap;

/// What is wired, by the facts that hold. Of two descriptions of one panel the later is taken; of two
/// breakers in one space both are.
pub(crate) fn installation(live: &Live<'_>) -> Installation {
    let mut installation = Installation::default();
    let mut panels: BTreeMap<PanelId, Panel> = BTreeMap::new();
    for fact in &live.facts {
        match &fact.body {
            Body::Service(body) => installation.service = service(body),
            Body::Panel(body) => {
                panels.insert(body.panel.0.clone(), panel(body));
            }
            _ => {}
        }
    }
    for fact in &live.facts {
        let Body::Breaker(body) = &fact.body else { continue };
        let Some(panel) = panels.get_mut(&body.panel.0) else { continue };
        let breaker = breaker(body);
        if !breaker.spaces.is_empty() && !panel.breakers.contains(&breaker) {
            panel.breakers.push(breaker);
        }
    }
    for fact in &live.facts {
        if let Body::Circuit(body) = &fact.body
            && let Some(panel) = panels.get_mut(&body.slot.0.panel)
        {
            super::replacement::share_neutral(panel, body);
        }
    }
    for panel in panels.values_mut() {
        panel.breakers.sort_by_key(|breaker| breaker.spaces[0]);
    }
    installation.panels = order_panels(panels);
    settle_circuits(&mut installation);
    installation
}

/// The job. `None` where no fact opens it.
pub(crate) fn build(live: &Live<'_>) -> Option<Job> {
    let opened = live.facts.iter().find_map(|fact| match &fact.body {
        Body::Job(body) => Some(body),
        _ => None,
    })?;
    let installation = installation(live);
    let default_panel = match installation.panels.as_slice() {
        [only] => Some(only.id.clone()),
        _ => None,
    };
    let mut job = Job {
        id: opened.job.clone(),
        invented: opened.invented,
        place: opened.place.clone(),
        town: opened.town.clone(),
        owner: opened.owner.clone(),
        opened: opened.opened,
        exposure: Exposure::CoverOn,
        default_panel,
        calls: Vec::new(),
        complaints: Vec::new(),
        installation,
        load_states: Vec::new(),
        observations: Vec::new(),
        photos: Vec::new(),
        decisions: Vec::new(),
        work: Vec::new(),
        openings: Vec::new(),
        handles: Vec::new(),
        cuts: Vec::new(),
        sources: Vec::new(),
        proofs: Vec::new(),
        premises: Premises::default(),
        interims: Vec::new(),
        promises: Vec::new(),
        kept: Vec::new(),
        replacement: model::replacement::Replacement::default(),
        install: model::install::Install::default(),
        doubts: Vec::new(),
    };
    for fact in &live.facts {
        add(&mut job, fact);
    }
    for fact in &live.facts {
        pin(&mut job, fact);
    }
    Some(job)
}

/// Puts a pin on its photo; of two that are the same picture on the first.
fn pin(job: &mut Job, fact: &Fact) {
    let Body::Pin(body) = &fact.body else { return };
    let Some(photo) = job.photos.iter_mut().find(|photo| photo.sha256 == body.photo) else { return };
    photo.pins.push(Pin {
        fact: fact.id().clone(),
        at: fact.at,
        slot: body.slot.as_ref().map(|slot| slot.0.clone()),
        x: body.x,
        y: body.y,
        words: body.words.clone(),
    });
}

fn add(job: &mut Job, fact: &Fact) {
    let (id, at) = (fact.id().clone(), fact.at);
    match &fact.body {
        Body::Job(_)
        | Body::Service(_)
        | Body::Panel(_)
        | Body::Breaker(_)
        | Body::Pin(_)
        | Body::Retraction(_)
        | Body::Forgotten(_) => {}
        Body::Adoption(_) | Body::Dwelling(_) | Body::Appliance(_) | Body::Demand(_) | Body::Site(_) => {
            super::premises::add(&mut job.premises, fact);
        }
        Body::Permit(_)
        | Body::Installed(_)
        | Body::Torqued(_)
        | Body::Energised(_)
        | Body::Verified(_)
        | Body::SharedNeutral(_)
        | Body::Tried(_)
        | Body::Card(_) => super::install::add(&mut job.install, fact),
        Body::Interim(_) | Body::Promise(_) | Body::Kept(_) => super::plan::add(job, fact),
        Body::Quote(_) | Body::Outage(_) | Body::Tick(_) | Body::Used(_) => {
            super::offer::add(&mut job.replacement, fact);
        }
        Body::Circuit(_) | Body::Surprise(_) | Body::Arrangement(_) => {
            super::replacement::add(&mut job.replacement, fact);
        }
        Body::State(body) => {
            // Two devices may have set up the same state: the first stands for both.
            if job.load_states.iter().all(|state| state.name != body.name) {
                job.load_states.push(LoadState {
                    fact: id,
                    name: body.name.clone(),
                    at,
                    words: body.words.clone(),
                    held_min: body.held_min,
                    room: body.room.map(|room| room.quantity()),
                    unloaded: body.unloaded.iter().map(|slot| slot.0.clone()).collect(),
                });
            }
        }
        Body::Exposure(body) => job.exposure = job.exposure.max(body.reached.0),
        Body::Call(body) => job.calls.push(Call {
            fact: id,
            at,
            answers: body.answers.iter().map(|answer| answer.0.clone()).collect(),
            words: body.words.clone(),
        }),
        Body::Complaint(body) => job.complaints.push(Complaint {
            fact: id,
            kind: body.of.0,
            slot: body.slot.as_ref().map(|slot| slot.0.clone()),
            at,
            words: body.words.clone(),
        }),
        Body::Photo(body) => job.photos.push(Photo {
            fact: id,
            at,
            sha256: body.sha256.clone(),
            words: body.words.clone(),
            slot: body.slot.as_ref().map(|slot| slot.0.clone()),
            pins: Vec::new(),
        }),
        Body::Decision(body) => job.decisions.push(Decision {
            fact: id,
            at,
            by: fact.by.clone(),
            words: body.words.clone(),
            declined: body.declined,
        }),
        Body::Work(body) => job.work.push(Work {
            fact: id,
            at,
            words: body.words.clone(),
            slots: body.slots.iter().map(|slot| slot.0.clone()).collect(),
            moved_to: body.moved_to.iter().map(|slot| slot.0.clone()).collect(),
            expires: body.expires,
            recheck: body.recheck,
        }),
        Body::Opening(body) => job.openings.push(Opening {
            fact: id,
            at,
            joint: body.joint.0.clone(),
            found: body.found.0,
            words: body.words.clone(),
        }),
        Body::Handle(body) => {
            job.handles.push(HandleMove { fact: id, at, what: body.what.0.clone(), to: body.to.0 });
        }
        Body::Cut(body) => {
            job.cuts.push(UtilityCut { fact: id, at, is_cut: !body.restored, words: body.words.clone() });
        }
        Body::Source(body) => job.sources.push(SourceLook {
            fact: id,
            at,
            source: body.source.clone(),
            found: body.found,
            is_cut: body.cut,
            looked: body.looked.clone(),
        }),
        Body::Proof(body) => job.proofs.push(proof(fact, body)),
        Body::Temperature(_)
        | Body::Touch(_)
        | Body::Clamp(_)
        | Body::Voltage(_)
        | Body::Drop(_)
        | Body::Trip(_)
        | Body::Sign(_) => {
            if let Some(what) = observed(&fact.body) {
                job.observations.push(Observation { fact: id, at, by: fact.by.clone(), what });
            }
        }
    }
}

fn proof(fact: &Fact, body: &DeadProven) -> Proof {
    let reading = |read: &PairRead| PairReading { pair: read.pair.0, value: Voltage::from_v(read.volts) };
    Proof {
        fact: fact.id().clone(),
        at: fact.at,
        by: fact.by.clone(),
        part: body.part.0.clone(),
        tester: body.tester.clone(),
        live_before: body.live_before.map(Voltage::from_v),
        live_after: body.live_after.map(Voltage::from_v),
        readings: body.readings.iter().map(reading).collect(),
    }
}

fn observed(body: &Body) -> Option<Observed> {
    Some(match body {
        Body::Temperature(body) => Observed::Temperature(TemperatureReading {
            place: body.place.0.clone(),
            value: body.value.quantity(),
            method: body.method.0,
            surface: body.surface.0,
            emissivity: body.emissivity,
            reflected: body.reflected.map(|reflected| reflected.quantity()),
            instrument: body.instrument.clone(),
            state: body.state.clone(),
        }),
        Body::Touch(body) => Observed::Touch(TouchReading {
            slot: body.slot.0.clone(),
            feel: body.feel.0,
            void: body.void,
            state: body.state.clone(),
        }),
        Body::Clamp(body) => Observed::Current(CurrentReading {
            place: body.place.0.clone(),
            value: Current::from_a(body.amps),
            instrument: body.instrument.clone(),
            state: body.state.clone(),
        }),
        Body::Voltage(body) => Observed::Voltage(VoltageReading {
            from: body.from.0.clone(),
            to: body.to.0.clone(),
            value: Voltage::from_v(body.volts),
            instrument: body.instrument.clone(),
            state: body.state.clone(),
        }),
        Body::Drop(body) => Observed::Drop(DropReading {
            from: body.from.0.clone(),
            to: body.to.0.clone(),
            value: Voltage::from_mv(body.mv),
            current: body.amps.map(Current::from_a),
            instrument: body.instrument.clone(),
            state: body.state.clone(),
        }),
        Body::Trip(body) => Observed::Trip(TripEvent {
            slot: body.slot.0.clone(),
            current: body.amps.map(Current::from_a),
            after_min: body.after_min,
            state: body.state.clone(),
        }),
        Body::Sign(body) => Observed::Sign(SignReading {
            sign: body.sign.0,
            scope: body.scope.0.clone(),
            present: body.seen,
            words: body.words.clone(),
            photo: body.photo.as_ref().map(|photo| photo.0.clone()),
        }),
        _ => return None,
    })
}
