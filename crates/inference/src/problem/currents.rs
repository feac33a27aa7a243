//! What a pole carried in a state: by its clamp, else by the current that was read beside a drop over it, else by that at which it
//! tripped.
//!
//! Where two of these cannot both be right none of them is the current: it is open, as where nobody clamped, and each is weighed as a
//! reading that may be wrong altogether. A clamp that shows more than the breaker could have held is not the current either.
//!
//! A tap of a drop carries nothing while it is one: what was read beside another drop is of another moment.

use super::contradictions::{FAR, WRONG};
use super::{Problem, ResKind};
use model::breaker::Protection;
use model::evidence::{ClampPlace, DropReading, Observation, Observed};
use model::joint::JointId;
use model::place::Place;
use model::{FactId, Slot};

/// A breaker opens within ten minutes at twice its rating (UL 489, 200 % calibration test, to 225 A; value from memory).
const HOLDS: f64 = 2.0;
const HELD_MIN: f64 = 10.0;

/// What was read of a pole's current in a state.
struct Read {
    a: f64,
    fact: FactId,
    by_clamp: bool,
}

impl Problem {
    /// The current of a pole in a state, A, and the fact that tells it; `None` where nothing does, or what does is contested.
    pub(super) fn pole_current(&self, state: &str, slot: &Slot) -> Option<(f64, FactId)> {
        let mut read = self.read_of(state, slot);
        if read.is_empty() {
            read = self.tripped_at(state, slot);
        }
        // The last clamp reading is the one used; observations are in order of time.
        let used = read.iter().rfind(|read| read.by_clamp).or(read.last())?;
        (!self.do_not_agree(&read)).then(|| (used.a, used.fact.clone()))
    }

    /// Is what was read of the current beside a drop denied by a clamp of the same pole and state?
    pub(super) fn is_contested(&self, state: &str, slot: &Slot) -> bool {
        self.do_not_agree(&self.read_of(state, slot))
    }

    /// Says which clamps showed more than the breaker could have held for so long, and weighs each as one that may be wrong.
    pub(super) fn doubt_what_cannot_be_held(&mut self) {
        for source in 0..self.job.observations.len() {
            let Some(rating_a) = self.breaker_that_denies(self.observation(source)) else { continue };
            let Some((subject, shown)) = self.words_of_reading(source) else { continue };
            let text = format!(
                "{shown} (fact {}) on a breaker of {rating_a:.0} A that did not open: at twice its rating it opens within ten minutes \
                 (UL 489; value from memory), so the reading is weighed as one that may be wrong. Clamp it again; if it is right, the \
                 breaker does not protect its circuit.",
                self.observation(source).fact
            );
            self.note(subject, text);
            for obs in self.obs.iter_mut().filter(|obs| obs.source == source) {
                obs.wrong.chance = WRONG;
            }
        }
    }

    /// The rating of the breaker, A, where it could not have held what was clamped at its pole.
    pub(super) fn breaker_that_denies(&self, observation: &Observation) -> Option<f64> {
        let Observed::Current(reading) = &observation.what else { return None };
        let ClampPlace::Pole(slot) = &reading.place else { return None };
        let breaker = self.job.installation.breaker_at(slot)?;
        let state = self.job.load_states.iter().find(|state| state.name == reading.state)?;
        let is_long = HELD_MIN <= state.held_min.unwrap_or(HELD_MIN);
        let opens = breaker.protection != Protection::SwitchOnly
            && HOLDS * breaker.rating.a() < reading.value.a().abs();
        (is_long && opens).then(|| breaker.rating.a())
    }

    /// The resistances of a pole, each with its current at the moment of a drop, A.
    pub(super) fn own_current(&self, slot: &Slot, a: f64) -> Vec<(usize, f64)> {
        let kinds = [
            ResKind::Joint(JointId::Stab(slot.clone())),
            ResKind::Joint(JointId::Terminal(slot.clone())),
            ResKind::Pole(slot.clone()),
        ];
        kinds.iter().filter_map(|kind| Some((self.find(kind)?, a))).collect()
    }

    /// The resistances of a drop's tap, without current; none of them where a clamp of the state says that it is loaded, which a
    /// note tells.
    pub(super) fn at_the_tap(&mut self, reading: &DropReading) -> Vec<(usize, f64)> {
        let (Place::Load(tap) | Place::Wire(tap)) = &reading.from else { return Vec::new() };
        if reading.to.slot() == Some(tap) {
            return Vec::new();
        }
        let clamped = self.clamped_at(&reading.state, tap);
        let Some(a) = clamped.iter().copied().reduce(f64::max) else { return self.own_current(tap, 0.0) };
        if 2.0 * self.priors.instrument.clamp_error_a(a) < a {
            self.note(
                format!("drop {} to {} in \"{}\"", reading.from, reading.to, reading.state),
                format!(
                    "the tap was loaded, {a:.1} A by its clamp: what its own stab and pole take is reckoned off, and is known no better \
                     than they are. An unloaded breaker of the same leg is the better tap."
                ),
            );
        }
        Vec::new()
    }

    /// What clamps read in a state at the poles of a breaker, and at those of the panels that it feeds, A.
    fn clamped_at(&self, state: &str, slot: &Slot) -> Vec<f64> {
        let installation = &self.job.installation;
        let is_own = |at: &Slot| {
            let breaker = installation.breaker_at(slot);
            at.panel == slot.panel && breaker.is_some_and(|breaker| breaker.spaces.contains(&at.space))
        };
        let fed: Vec<_> = installation.sections_fed_by(slot).map(|(panel, _)| &panel.id).collect();
        let clamps = self.job.observations.iter().filter_map(|observation| match &observation.what {
            Observed::Current(reading) if reading.state == state => {
                let bears = match &reading.place {
                    ClampPlace::Pole(at) => {
                        is_own(at) || (fed.contains(&&at.panel) && at.panel != slot.panel)
                    }
                    ClampPlace::Line(panel, _) => fed.contains(&panel) && *panel != slot.panel,
                    ClampPlace::Neutral(_) | ClampPlace::Electrode(_) => false,
                };
                bears.then(|| reading.value.a().abs())
            }
            _ => None,
        });
        clamps.collect()
    }

    fn read_of(&self, state: &str, slot: &Slot) -> Vec<Read> {
        let readings = self.job.observations.iter().filter_map(|observation| {
            let (a, by_clamp) = match &observation.what {
                Observed::Current(reading) if reading.state == state => match &reading.place {
                    ClampPlace::Pole(at) if at == slot && self.breaker_that_denies(observation).is_none() => {
                        (reading.value.a(), true)
                    }
                    _ => return None,
                },
                Observed::Drop(reading) if reading.state == state && reading.to.slot() == Some(slot) => {
                    (reading.current?.a(), false)
                }
                _ => return None,
            };
            Some(Read { a: a.abs(), fact: observation.fact.clone(), by_clamp })
        });
        readings.collect()
    }

    /// The currents at which a pole's breaker opened in a state. What it could not have held for long is a start or a fault, and
    /// not what ran in that state.
    fn tripped_at(&self, state: &str, slot: &Slot) -> Vec<Read> {
        let installation = &self.job.installation;
        let Some(breaker) = installation.breaker_at(slot) else { return Vec::new() };
        let trips = self.job.observations.iter().filter_map(|observation| match &observation.what {
            Observed::Trip(event) if event.state.as_deref() == Some(state) => {
                let is_own = event.slot.panel == slot.panel && breaker.spaces.contains(&event.slot.space);
                let a = event.current?.a().abs();
                let ran = is_own && a <= HOLDS * breaker.rating.a();
                ran.then(|| Read { a, fact: observation.fact.clone(), by_clamp: false })
            }
            _ => None,
        });
        trips.collect()
    }

    fn do_not_agree(&self, read: &[Read]) -> bool {
        let error = |a: f64| self.priors.instrument.clamp_error_a(a);
        let currents = || read.iter().map(|read| read.a);
        let (low, high) = (currents().fold(f64::INFINITY, f64::min), currents().fold(0.0, f64::max));
        FAR * libm::hypot(error(low), error(high)) < high - low
    }
}

#[cfg(test)]
mod tests {
    use crate::problem::{LoadLaw, Problem, ResKind};
    use crate::testjob::{add_state, bare, clamp, drop, eight_spaces, observe, slot};
    use crate::{JudgeOptions, Priors};
    use model::Current;
    use model::evidence::{Observed, TripEvent};
    use model::job::Job;
    use model::joint::JointId;

    fn job() -> Job {
        let mut job = bare(8, eight_spaces().installation.panels[0].breakers.clone());
        add_state(&mut job, "evening", 22.0);
        job
    }

    fn drop_with(amps: f64) -> Observed {
        let mut what = drop(1, 5, 60.0, "evening");
        if let Observed::Drop(reading) = &mut what {
            reading.current = Some(Current::from_a(amps));
        }
        what
    }

    fn tripped(amps: f64) -> Observed {
        Observed::Trip(TripEvent {
            slot: slot(5),
            current: Some(Current::from_a(amps)),
            after_min: Some(60.0),
            state: Some("evening".into()),
        })
    }

    #[test]
    fn the_current_of_a_trip_stands_where_nothing_else_was_read() {
        let mut job = job();
        observe(&mut job, tripped(23.2));
        let (law, _, notes) = stands(&job);
        assert!(matches!(law, LoadLaw::Measured { a: 23.2, .. }) && notes.is_empty(), "{law:?} {notes:?}");
        observe(&mut job, clamp(5, 7.0, "evening"));
        assert!(matches!(stands(&job).0, LoadLaw::Measured { a: 7.0, .. }), "the clamp is of the state");
        job.observations.truncate(1);
        // A fault is not what ran.
        job.observations[0].what = tripped(140.0);
        assert!(matches!(stands(&job).0, LoadLaw::Unknown { .. }));
    }

    /// What the resistances of space 1, the tap of a drop over space 5, carry at that moment where it is known, and the notes on it.
    fn of_tap(job: &Job) -> (Vec<f64>, Vec<String>) {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(job, Priors::built_in().expect("built-in files"), options);
        let tap =
            [ResKind::Pole(slot(1)), ResKind::Joint(JointId::Stab(slot(1)))].map(|kind| problem.find(&kind));
        let over = problem
            .obs
            .iter()
            .find(|obs| obs.weights.iter().any(|&(res, of)| Some(res) == tap[0] && of < 0.0));
        let own = over.expect("a drop from the tap").own_current.iter();
        let currents = own.filter(|(res, _)| tap.contains(&Some(*res))).map(|&(_, a)| a).collect();
        let notes = problem.notes.iter().filter(|note| note.text.contains("the tap was loaded"));
        (currents, notes.map(|note| note.text.clone()).collect())
    }

    /// A heater moved from circuit to circuit in one state: a pole that was tested by itself is without current as a tap.
    #[test]
    fn what_was_read_beside_another_drop_does_not_load_the_tap() {
        let mut job = job();
        observe(&mut job, drop_with(12.0));
        assert_eq!(of_tap(&job), (vec![0.0; 2], Vec::new()), "nothing was read of the tap");
        let mut of_one = drop(2, 1, 60.0, "evening");
        if let Observed::Drop(reading) = &mut of_one {
            reading.current = Some(Current::from_a(12.0));
        }
        observe(&mut job, of_one);
        assert_eq!(of_tap(&job), (vec![0.0; 2], Vec::new()));
        observe(&mut job, clamp(1, 11.8, "evening"));
        let (currents, notes) = of_tap(&job);
        assert!(currents.is_empty() && notes.len() == 1, "{currents:?} {notes:?}");
    }

    /// How the current of space 5 stands, how many readings of currents are held against it, and the notes on it.
    fn stands(job: &Job) -> (LoadLaw, usize, Vec<String>) {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(job, Priors::built_in().expect("built-in files"), options);
        let pole = problem.find(&ResKind::Pole(slot(5))).expect("a pole");
        let load = problem.carry[0][pole][0].0;
        let against = problem.obs.iter().filter(|obs| obs.load_weights == [(load, 1.0)]).count();
        let notes = problem.notes.iter().filter(|note| note.subject.starts_with("current of space main/5"));
        (problem.loads[load].law.clone(), against, notes.map(|note| note.text.clone()).collect())
    }

    #[test]
    fn the_current_beside_a_drop_stands_where_nobody_clamped() {
        let mut job = job();
        observe(&mut job, drop_with(12.0));
        let (law, against, notes) = stands(&job);
        assert!(
            matches!(law, LoadLaw::Measured { a: 12.0, .. }) && against == 0 && notes.is_empty(),
            "{law:?} {notes:?}"
        );
        observe(&mut job, clamp(5, 12.2, "evening"));
        let (law, against, notes) = stands(&job);
        assert!(
            matches!(law, LoadLaw::Measured { a: 12.2, .. }) && against == 0 && notes.is_empty(),
            "{law:?} {notes:?}"
        );
    }

    #[test]
    fn currents_that_deny_one_another_leave_it_open() {
        let mut job = job();
        observe(&mut job, drop_with(12.0));
        observe(&mut job, clamp(5, 1.2, "evening"));
        let (law, against, notes) = stands(&job);
        assert!(matches!(law, LoadLaw::Unknown { .. }) && against == 2, "{law:?}, {against} against it");
        assert!(notes.len() == 1 && notes[0].contains("cannot both be right"), "{notes:?}");
    }

    /// UL 489, 200 % calibration test: value from memory.
    #[test]
    fn what_the_breaker_could_not_have_held_is_doubted() {
        let mut job = job();
        observe(&mut job, clamp(5, 62.0, "evening"));
        let (law, against, notes) = stands(&job);
        assert!(matches!(law, LoadLaw::Unknown { .. }) && against == 1, "{law:?}, {against} against it");
        assert!(notes.len() == 1 && notes[0].contains("did not open"), "{notes:?}");
        observe(&mut job, drop_with(12.0));
        let (law, against, notes) = stands(&job);
        assert!(
            matches!(law, LoadLaw::Measured { a: 12.0, .. }) && against == 1,
            "{law:?}, {against} against it"
        );
        assert!(notes.len() == 1, "{notes:?}");
        // A motor's start is over before it opens.
        job.load_states[0].held_min = Some(0.5);
        job.observations.pop();
        assert!(matches!(stands(&job).0, LoadLaw::Measured { a: 62.0, .. }));
    }
}
