//! Checks that make a load: where a circuit was never read while it carried anything, what its face would show with the circuit
//! running, by the full networks.

use super::Posterior;
use super::checks::{Candidate, entropy_bits};
use crate::problem::{ExactNetworks, Mode, ResKind};
use crate::run::{Run, in_stretches};
use crate::running::{Running, SwitchedOn};
use model::Slot;
use model::advice::CheckAdvice;
use model::assessment::JointFinding;
use model::breaker::{Breaker, Handle};
use model::evidence::{Observed, Sign, SignScope};
use model::isolation::{Disconnect, MovedTo};
use model::job::{ComplaintKind, Condition, Exposure};
use model::joint::JointId;
use model::place::Place;

/// The kind of these checks.
pub(super) const LOAD_AND_READ: &str = "load-and-read";

/// From this probability that a path of the supply is failing nothing heavy is switched on to be read. Judgement.
const FAILING: f64 = 0.2;

/// A circuit that could be run and read.
struct Idle<'p> {
    panel: usize,
    breaker: &'p Breaker,
    slots: Vec<Slot>,
    /// Poles, as resistances.
    poles: Vec<usize>,
    on: SwitchedOn,
    /// How little is known of its joints, bits.
    unsure: f64,
}

impl Posterior<'_> {
    /// One candidate a pole; those of one breaker have the same words.
    pub(super) fn load_checks(&self, joints: &[JointFinding], run: &impl Run) -> Vec<Candidate> {
        let Some(state) = self.p.states.len().checked_sub(1) else { return Vec::new() };
        if self.p.job.exposure == Exposure::ProvenDead || !self.may_be_loaded() {
            return Vec::new();
        }
        let running = &self.p.priors.running;
        let mut idle = self.idle(state, joints, running);
        idle.sort_by(|a, b| b.unsure.total_cmp(&a.unsure));
        idle.truncate(running.check.most);
        let asked: Vec<(&Idle, usize)> =
            idle.iter().flat_map(|one| (0..self.exact.picked.len()).map(move |nth| (one, nth))).collect();
        let part = running.settled_part();
        let read: Vec<Vec<f64>> = in_stretches(run, &asked, |some| {
            let mut networks = ExactNetworks::new(self.p);
            some.iter().map(|&(one, nth)| self.run_c(&mut networks, state, one, nth, part)).collect()
        });
        let n = self.exact.picked.len().max(1);
        let by_breaker = idle.iter().zip(read.chunks(n));
        by_breaker.flat_map(|(one, read)| self.load_candidates(one, read, running)).collect()
    }

    /// May heavy loads be switched on at all? Not while an open neutral is possible, or a path of the supply is thought failing.
    pub(super) fn may_be_loaded(&self) -> bool {
        let supply = self.p.joints.len()..self.p.n_conditioned;
        !self.legs_unread() && supply.into_iter().all(|res| self.probabilities[res][2] < FAILING)
    }

    /// Is a neutral or a leg of the service complained of, and were not all legs read to neutral since?
    pub(super) fn legs_unread(&self) -> bool {
        let job = &self.p.job;
        let asked = job
            .complaints
            .iter()
            .any(|complaint| matches!(complaint.kind, ComplaintKind::HalfHouse | ComplaintKind::DimBright));
        let is_read = |leg| {
            job.observations.iter().any(|observation| match &observation.what {
                Observed::Voltage(reading) => {
                    [&reading.from, &reading.to].into_iter().any(|place| match place {
                        Place::Lug(_, on) | Place::Line(_, on) => *on == leg,
                        Place::Load(slot) | Place::Wire(slot) | Place::Receptacle(slot) => {
                            self.p.leg_of(slot) == Some(leg)
                        }
                        _ => false,
                    })
                }
                _ => false,
            })
        };
        let legs = job.installation.panels.first().map_or(&[][..], |panel| panel.system.legs());
        asked && !legs.iter().all(|&leg| is_read(leg))
    }

    /// Circuits that were never read while they carried anything worth the name, and may be run.
    fn idle<'p>(&'p self, state: usize, joints: &[JointFinding], running: &Running) -> Vec<Idle<'p>> {
        let panels = self.p.job.installation.panels.iter().enumerate();
        let of_panel = |(panel, known): (usize, &'p model::panel::Panel)| {
            known.breakers.iter().filter_map(move |breaker| {
                let slots: Vec<Slot> =
                    breaker.spaces.iter().map(|&space| Slot::new(known.id.clone(), space)).collect();
                let on = running.of(breaker)?;
                let poles: Vec<usize> =
                    slots.iter().filter_map(|slot| self.p.find(&ResKind::Pole(slot.clone()))).collect();
                let own: Vec<usize> = slots.iter().flat_map(|slot| self.own_joints(slot)).collect();
                let likely = own.iter().any(|&res| running.check.not_loaded <= joints[res].probability.burnt);
                let little_a = running.check.little_share * breaker.rating.a();
                let is_kept = self.is_off(breaker, &slots) || self.is_kept_off(&slots) || likely;
                if is_kept || self.is_feeding(&slots) || self.was_read_loaded(state, &slots, &poles, little_a)
                {
                    return None;
                }
                let unsure = own.iter().map(|&res| entropy_bits(joints[res].probability.burnt)).sum();
                Some(Idle { panel, breaker, slots, poles, on, unsure })
            })
        };
        panels.flat_map(of_panel).collect()
    }

    fn own_joints(&self, slot: &Slot) -> impl Iterator<Item = usize> {
        let of = [JointId::Stab(slot.clone()), JointId::Terminal(slot.clone())];
        of.map(|id| self.p.find(&ResKind::Joint(id))).into_iter().flatten()
    }

    fn is_feeding(&self, slots: &[Slot]) -> bool {
        slots.iter().any(|slot| self.p.job.installation.sections_fed_by(slot).next().is_some())
    }

    /// Does the handle stand off by the last that is known of it?
    fn is_off(&self, breaker: &Breaker, slots: &[Slot]) -> bool {
        let moved = self.p.job.handles.iter().rev().find_map(|moved| match &moved.what {
            Disconnect::Breaker(slot) if slots.contains(slot) => Some(moved.to == MovedTo::Off),
            _ => None,
        });
        moved.unwrap_or(breaker.handle != Handle::On)
    }

    /// Is it to stay off, or does it show what makes one switch it off?
    pub(super) fn is_kept_off(&self, slots: &[Slot]) -> bool {
        let job = &self.p.job;
        let is_own = |slot: &Slot| slots.contains(slot);
        let planned = job.interims.last().is_some_and(|plan| plan.off.iter().any(is_own));
        let shows = job.observations.iter().any(|observation| match &observation.what {
            Observed::Sign(reading) => match &reading.scope {
                SignScope::Slot(slot) => is_own(slot) && reading.present && keeps_off(reading.sign),
                _ => false,
            },
            _ => false,
        });
        let opened = job
            .openings
            .iter()
            .any(|opening| opening.found == Condition::Burnt && opening.joint.slot().is_some_and(is_own));
        planned || shows || opened
    }

    /// Does it carry something in the last state, or was it read in another one in which it did?
    fn was_read_loaded(&self, last: usize, slots: &[Slot], poles: &[usize], little_a: f64) -> bool {
        let carries = |state: usize| {
            poles.iter().any(|&pole| {
                let picked = self.exact.picked.iter().zip(&self.exact.weight);
                let mean: f64 = picked
                    .map(|(&at, weight)| weight * self.p.current(state, pole, &self.draws[at].loads).abs())
                    .sum();
                little_a <= mean
            })
        };
        let is_read = |state: usize| {
            self.p.obs.iter().enumerate().any(|(idx, obs)| {
                obs.state == state
                    && obs.mode == Mode::Thermal
                    && obs.censored.is_none()
                    && self
                        .p
                        .place_of_obs(idx)
                        .is_some_and(|at| at.slot().is_some_and(|at| slots.contains(at)))
            })
        };
        (0..self.p.states.len()).any(|state| carries(state) && (state == last || is_read(state)))
    }

    /// Temperatures of its faces at a looked-at draw when it has run for as long as is asked, °C.
    fn run_c(
        &self,
        networks: &mut ExactNetworks,
        state: usize,
        one: &Idle,
        nth: usize,
        part: f64,
    ) -> Vec<f64> {
        let none = || vec![f64::NAN; one.slots.len()];
        let Some(view) = self.p.views.iter().position(|view| view.panel == one.panel && view.state == state)
        else {
            return none();
        };
        let mut draw = self.draws[self.exact.picked[nth]].clone();
        // In all of the history: what of it shows by then is told by the settled part.
        for carry in &self.p.carry {
            for &(load, _) in one.poles.iter().flat_map(|&pole| &carry[pole]) {
                draw.loads[load] = one.on.amps;
            }
        }
        let Some(running) = self.p.exact(networks, view, &draw) else { return none() };
        let network = &self.p.thermals[one.panel].networks[0];
        let face_c = |slot: &Slot| {
            let node = network.node_of(&Place::Face(slot.clone()))?;
            let idle_k = *self.exact.temperature_k[nth][view].get(node)?;
            Some(idle_k + part * (running.temperature_k[node] - idle_k) - 273.15)
        };
        one.slots.iter().map(|slot| face_c(slot).unwrap_or(f64::NAN)).collect()
    }

    fn load_candidates(&self, one: &Idle, read: &[Vec<f64>], running: &Running) -> Vec<Candidate> {
        let spaces: Vec<String> = one.breaker.spaces.iter().map(ToString::to_string).collect();
        let (spaces, amps) = (spaces.join("/"), one.on.amps);
        let faces = if one.slots.len() == 1 { "its face" } else { "its faces" };
        let what = if one.on.plugged {
            format!(
                "Plug {} into the circuit of space {spaces} and run it for half an hour (about {amps:.0} A), then read {faces} by \
                 infrared from straight ahead.",
                one.on.run
            )
        } else {
            format!(
                "Run {} (space {spaces}) for half an hour (about {amps:.0} A), then read {faces} by infrared from straight ahead.",
                one.on.run
            )
        };
        let cautions = vec![
            "Stay with it. Stop at smoke, crackle, a smell, or a face too hot to keep a finger on, and switch the circuit off."
                .to_owned(),
            "The dead front can stay on for this: leave it on, or put it back. Enter a load state of its own for what runs."
                .to_owned(),
        ];
        let advice = CheckAdvice {
            what,
            kind: LOAD_AND_READ.into(),
            places: one.slots.iter().cloned().map(Place::Face).collect(),
            joints: Vec::new(),
            exposure: Exposure::CoverOn,
            who: "anyone trained to use the instrument".into(),
            minutes: running.check.minutes,
            gain_bits: 0.0,
            expects: Vec::new(),
            cautions,
        };
        let of_pole = |(pole, slot): (usize, &Slot)| {
            let reads: Vec<f64> = read.iter().map(|faces| faces[pole]).collect();
            let sigma = super::checks::face_error_k(&reads, self.p.priors.instrument.infrared_noise_k);
            Candidate { advice: advice.clone(), reads, sigma, unit: "°C", about: self.about(slot) }
        };
        one.slots.iter().enumerate().map(of_pole).collect()
    }
}

/// Does a sign make one switch the circuit off rather than load it?
const fn keeps_off(sign: Sign) -> bool {
    match sign {
        Sign::Discoloration
        | Sign::MeltedCase
        | Sign::Smell
        | Sign::Buzz
        | Sign::TripsWithoutLoad
        | Sign::WillNotReset
        | Sign::PittedStab
        | Sign::BakedInsulation => true,
        Sign::RoughHandle | Sign::Flicker | Sign::Moisture | Sign::CoverDiscoloured => false,
    }
}
