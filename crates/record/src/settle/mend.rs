//! Takes pointers at nothing out of a settled job, so that whoever uses it need not ask.

use model::Slot;
use model::evidence::Observed;
use model::installation::Installation;
use model::job::Job;
use std::collections::BTreeSet;

/// Leaves out what points at a space, breaker, photo or load state that the job does not have.
pub(super) fn mend(job: &mut Job) {
    let installation = &job.installation;
    let has_breaker = |slot: &Slot| installation.breaker_at(slot).is_some();
    let has_space =
        |slot: &Slot| installation.panel(&slot.panel).is_some_and(|panel| panel.has_space(slot.space));
    for state in &mut job.load_states {
        state.unloaded.retain(has_breaker);
    }
    for complaint in &mut job.complaints {
        complaint.slot.take_if(|slot| !has_breaker(slot));
    }
    for photo in &mut job.photos {
        photo.slot.take_if(|slot| !has_space(slot));
        for pin in &mut photo.pins {
            pin.slot.take_if(|slot| !has_space(slot));
        }
    }
    for work in &mut job.work {
        work.slots.retain(has_space);
        work.moved_to.retain(has_space);
    }
    for interim in &mut job.interims {
        interim.off.retain(has_breaker);
    }
    for installed in &mut job.install.installed {
        installed.from.retain(has_breaker);
    }
    let photos: BTreeSet<_> = job.photos.iter().map(|photo| &photo.fact).collect();
    let states: BTreeSet<&str> = job.load_states.iter().map(|state| state.name.as_str()).collect();
    for observation in &mut job.observations {
        match &mut observation.what {
            Observed::Sign(sign) => {
                sign.photo.take_if(|photo| !photos.contains(photo));
            }
            Observed::Trip(trip) => {
                trip.state.take_if(|state| !states.contains(state.as_str()));
            }
            _ => {}
        }
    }
    partners(&mut job.installation);
}

fn partners(installation: &mut Installation) {
    for panel in &mut installation.panels {
        let spaces: BTreeSet<_> =
            panel.breakers.iter().flat_map(|breaker| breaker.spaces.iter().copied()).collect();
        for circuit in panel.breakers.iter_mut().filter_map(|breaker| breaker.circuit.as_mut()) {
            circuit.partner.take_if(|partner| !spaces.contains(partner));
        }
    }
}
