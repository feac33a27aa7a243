//! Drops whose two ends were written the other way round: a meter shows the same millivolts, and the path is the same.

use crate::conclude::place_words;
use model::Note;
use model::evidence::Observed;
use model::job::Job;
use std::borrow::Cow;

/// The job with the end nearer the load last in every drop, and what a reader has to know of that.
pub(crate) fn from_the_source(job: &Job) -> (Cow<'_, Job>, Vec<Note>) {
    let mut turned = Cow::Borrowed(job);
    let mut notes = Vec::new();
    for (at, observation) in job.observations.iter().enumerate() {
        let Observed::Drop(reading) = &observation.what else { continue };
        let far = job.far_end(reading);
        if *far == reading.to {
            continue;
        }
        notes.push(Note::new(
            format!("drop {} to {} in \"{}\"", reading.from, reading.to, reading.state),
            format!("weighed the other way round: of the two ends, {} is nearer the load", place_words(far)),
        ));
        if let Observed::Drop(reading) = &mut turned.to_mut().observations[at].what {
            core::mem::swap(&mut reading.from, &mut reading.to);
        }
    }
    (turned, notes)
}

#[cfg(test)]
mod tests {
    use crate::testjob::{bare, clamp, drop_between, eight_spaces, observe, slot};
    use model::breaker::Handle;
    use model::evidence::Observed;
    use model::job::Job;
    use model::place::Place;
    use model::{Current, Leg, PanelId};

    /// Ends in the order in which they are weighed.
    fn far(job: &Job, from: &Place, to: &Place) -> Place {
        let mut job = job.clone();
        observe(&mut job, drop_between(from.clone(), to.clone(), 50.0, "evening"));
        let (turned, notes) = super::from_the_source(&job);
        let Some(Observed::Drop(reading)) = turned.observations.last().map(|last| &last.what) else {
            unreachable!("the drop was entered last")
        };
        assert_eq!(notes.len(), usize::from(reading.to != *to), "told where it is turned");
        reading.to.clone()
    }

    #[test]
    fn the_end_nearer_the_load_is_found_whichever_way_round_it_was_written() {
        let load = |of: u16| Place::Load(slot(of));
        let wire = |of: u16| Place::Wire(slot(of));
        let main = || PanelId::new("main");
        let (line, lug) = (Place::Line(main(), Leg::A), Place::Lug(main(), Leg::A));
        let (neutral_line, bar) = (Place::NeutralLine(main()), Place::NeutralBar(main()));
        // Space 8 is on record as unloaded; 4 was switched off, 6 carries what was clamped although it is off now.
        let mut job = eight_spaces();
        job.load_states[0].unloaded = vec![slot(8)];
        for off in [4, 6] {
            job.installation.panels[0].breakers[off - 1].handle = Handle::Off;
        }
        observe(&mut job, clamp(6, 5.0, "evening"));
        let ordered = [
            (load(8), load(7)),
            (load(8), wire(7)),
            (load(4), load(7)),
            (load(7), wire(7)),
            (load(8), wire(8)),
            (lug.clone(), load(7)),
            (lug.clone(), load(8)),
            (line, lug.clone()),
            (neutral_line, bar.clone()),
            (bar, Place::NeutralWire(slot(7))),
        ];
        for (from, to) in &ordered {
            assert_eq!((&far(&job, from, to), &far(&job, to, from)), (to, to), "{from} {to}");
        }
        // Two loaded poles, two taps, or places of two panels: as written.
        let sub = Place::Lug(PanelId::new("sub"), Leg::A);
        for (from, to) in [(load(7), load(3)), (load(7), load(6)), (load(8), load(4)), (load(7), sub)] {
            assert_eq!((&far(&job, &from, &to), &far(&job, &to, &from)), (&to, &from), "{from} {to}");
        }
        // Clamps tell, too: 7 shows hardly anything, 3 and 1 stand at 19 and 11 A.
        observe(&mut job, clamp(7, 0.1, "evening"));
        assert_eq!((&far(&job, &load(3), &load(7)), &far(&job, &load(7), &load(3))), (&load(3), &load(3)));
        for (amps, loaded) in [(19.2, 3), (11.1, 1)] {
            for (from, to) in [(1, 3), (3, 1)] {
                let mut job = job.clone();
                let mut told = drop_between(load(from), load(to), 50.0, "evening");
                if let Observed::Drop(reading) = &mut told {
                    reading.current = Some(Current::from_a(amps));
                    assert_eq!(job.far_end(reading), &load(loaded), "{from} {to} {amps} A");
                }
                observe(&mut job, told);
                assert_eq!(super::from_the_source(&job).1.len(), usize::from(from == loaded));
            }
        }
        let none = bare(8, Vec::new());
        assert_eq!(far(&none, &load(1), &load(2)), load(2), "spaces without a breaker");
    }
}
