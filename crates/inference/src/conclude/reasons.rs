//! Why a joint is thought burnt or not: the weight of each piece of evidence, in decibans (Good 1950).

use super::Posterior;
use super::predict::Influence;
use crate::problem::{CLASSES, Law, Laws, Obs};
use crate::sampler::Draw;
use model::assessment::{Class, Reason};
use model::evidence::{ClampPlace, CurrentReading, Observed};
use model::place::Place;

/// Draws that a weight or a slope is averaged over.
const N_DRAWS: usize = 24;
/// Reasons kept.
const N_REASONS: usize = 6;
/// A weight below this is no reason.
const LEAST_DB: f64 = 0.4;

impl Posterior<'_> {
    pub(crate) fn reasons(&self, res: usize, influences: &[Influence]) -> Vec<Reason> {
        let strong = influences.iter().filter(|influence| 0.25 < influence.strength).take(8);
        let mut all: Vec<Reason> = match &self.p.res[res].law {
            Law::Conditioned { laws, odds, mild } => {
                let points = points(laws);
                strong.map(|&influence| self.measured_reason(res, influence, &points, *odds, *mild)).collect()
            }
            Law::Pole(_) | Law::Known => Vec::new(),
        };
        all.extend(self.sign_reasons(res));
        all.extend(self.description_reasons(res));
        all.extend(self.own_contacts_reason(res));
        all.retain(|reason| LEAST_DB <= reason.weight_db.abs());
        all.sort_by(|a, b| b.weight_db.abs().total_cmp(&a.weight_db.abs()));
        all.truncate(N_REASONS);
        if all.is_empty() {
            all.push(Reason {
                text: "nothing that was recorded bears on this joint; the figure is the prior".to_owned(),
                class: Class::Unknown,
                weight_db: 0.0,
                fact: None,
            });
        }
        all
    }

    /// Some of the draws that were looked at with the full networks.
    pub(crate) fn few(&self) -> impl Iterator<Item = &Draw> {
        let step = (self.exact.picked.len() / N_DRAWS).max(1);
        self.exact.picked.iter().step_by(step).map(|&at| self.draws[at])
    }

    fn measured_reason(
        &self,
        res: usize,
        influence: Influence,
        points: &[Vec<(f64, f64)>; CLASSES],
        odds: [f64; 2],
        mild: f64,
    ) -> Reason {
        let obs = &self.p.obs[influence.obs];
        let middle_ohm = points[0][N_POINTS / 2].1;
        let (mut ratio, mut sound, mut n) = (0.0, 0.0, 0.0);
        for draw in self.few() {
            let slope = self.slope(influence.obs, res, draw);
            let elsewhere = draw.predicted[influence.obs] - slope * draw.ohm[res];
            let class = |class: usize| -> f64 {
                let at = |&(weight, ohm): &(f64, f64)| weight * self.density(obs, elsewhere + slope * ohm);
                points[class].iter().map(at).sum()
            };
            let average = |condition: usize| {
                if condition == 2 { mild * class(2) + (1.0 - mild) * class(3) } else { class(condition) }
            };
            let not_burnt = (average(0) + odds[0] * average(1)) / (1.0 + odds[0]);
            ratio += libm::log10((average(2) + 1e-12) / (not_burnt + 1e-12));
            sound += elsewhere + slope * middle_ohm;
            n += 1.0;
        }
        let text = self.measured_words(obs, sound / n, res);
        Reason { text, class: Class::Measured, weight_db: 10.0 * ratio / n, fact: Some(obs.fact.clone()) }
    }

    fn density(&self, obs: &Obs, predicted: f64) -> f64 {
        obs.density(predicted, &self.p.errors)
    }

    fn measured_words(&self, obs: &Obs, if_sound: f64, res: usize) -> String {
        let state = &self.p.states[obs.state].name;
        match &self.p.observation(obs.source).what {
            Observed::Temperature(reading) => {
                let joint = self.p.joints.get(res).and_then(|joint| joint.id.slot());
                let own = reading.place.slot() == joint || reading.place.slot().is_none();
                let place = place_words(&reading.place);
                let beside = if own { "" } else { " beside it" };
                let at = self.current_words(obs, &reading.place);
                let more = obs.value - if_sound;
                let verdict = if more.abs() < 1.5 {
                    "as a sound joint would make it".to_owned()
                } else {
                    let word = if more > 0.0 { "warmer" } else { "cooler" };
                    format!("{:.0} K {word} than with a sound joint", more.abs())
                };
                format!("{place}{beside} at {:.1} °C{at}: {verdict} (\"{state}\")", obs.value)
            }
            Observed::Touch(reading) => {
                let feel = format!("{:?}", reading.feel).to_lowercase();
                format!(
                    "face {} felt {feel}; about {if_sound:.0} °C is expected with a sound joint (\"{state}\")",
                    reading.slot.space
                )
            }
            Observed::Drop(reading) => {
                let more = (obs.value - if_sound) * 1e3;
                let (from, to) = (place_words(&reading.from), place_words(&reading.to));
                let verdict = if more.abs() < 0.1 * obs.value * 1e3 {
                    "as with a sound joint".to_owned()
                } else {
                    format!(
                        "{:.0} mV {} than with a sound joint",
                        more.abs(),
                        if more > 0.0 { "more" } else { "less" }
                    )
                };
                format!("{:.0} mV from {from} to {to}: {verdict} (\"{state}\")", obs.value * 1e3)
            }
            Observed::Voltage(reading) => {
                let more = obs.value - if_sound;
                let (from, to) = (place_words(&reading.from), place_words(&reading.to));
                let verdict = if more.abs() < 0.4 {
                    "as with a sound joint".to_owned()
                } else {
                    format!(
                        "{:.1} V {} than with a sound joint",
                        more.abs(),
                        if more > 0.0 { "more" } else { "less" }
                    )
                };
                format!("{:.1} V from {from} to {to}: {verdict} (\"{state}\")", obs.value)
            }
            Observed::Trip(event) => {
                let amps = event.current.map_or(String::new(), |current| format!(" at {:.0} A", current.a()));
                format!(
                    "breaker {} opened{amps}: it must have been warm inside, or weak (\"{state}\")",
                    event.slot.space
                )
            }
            Observed::Current(_) | Observed::Sign(_) => String::new(),
        }
    }

    fn current_words(&self, obs: &Obs, place: &Place) -> String {
        let Some(slot) = place.slot() else { return String::new() };
        let Some(res) = self.p.find(&crate::problem::ResKind::Pole(slot.clone())) else {
            return String::new();
        };
        let state = &self.p.states[obs.state].name;
        let n = self.exact.picked.len().max(1) as f64;
        let mean: f64 = self
            .exact
            .picked
            .iter()
            .map(|&at| self.p.current(obs.state, res, &self.draws[at].loads).abs())
            .sum::<f64>()
            / n;
        let loads = &self.p.carry[obs.state][res];
        let measured = loads
            .iter()
            .all(|&(load, _)| !matches!(self.p.loads[load].law, crate::problem::LoadLaw::Unknown { .. }));
        if measured {
            return format!(" with {mean:.1} A");
        }
        let is_of_it = |reading: &CurrentReading| {
            reading.state == *state && matches!(&reading.place, ClampPlace::Pole(at) if at == slot)
        };
        let clamped = self.p.job.observations.iter().any(|observation| match &observation.what {
            Observed::Current(reading) => is_of_it(reading),
            _ => false,
        });
        let how = if clamped { "clamped, not believed" } else { "not clamped" };
        format!(" with about {mean:.0} A ({how})")
    }

    fn sign_reasons(&self, res: usize) -> Vec<Reason> {
        let mut reasons = Vec::new();
        let Law::Conditioned { mild, .. } = self.p.res[res].law else { return reasons };
        for term in &self.p.terms {
            let Some(&(_, shows)) = term.joints.iter().find(|&&(at, _)| at == res) else { continue };
            let (mut ratio, mut n) = (0.0, 0.0);
            for draw in self.few() {
                let others: f64 = term
                    .joints
                    .iter()
                    .filter(|&&(at, _)| at != res)
                    .map(|&(at, shows)| 1.0 - shows[usize::from(draw.condition[at])])
                    .product();
                let likelihood = |condition: usize| {
                    let none = (1.0 - term.elsewhere) * others * (1.0 - shows[condition]);
                    term.chance(none)
                };
                let burnt = mild * likelihood(2) + (1.0 - mild) * likelihood(3);
                ratio += libm::log10(burnt / (0.9 * likelihood(0) + 0.1 * likelihood(1)));
                n += 1.0;
            }
            reasons.push(Reason {
                text: term.words.clone(),
                class: Class::Seen,
                weight_db: 10.0 * ratio / n,
                fact: Some(term.fact.clone()),
            });
        }
        reasons
    }

    /// What the description of panel and breaker adds, and what a damaged finger adds.
    fn description_reasons(&self, res: usize) -> Vec<Reason> {
        let mut reasons: Vec<Reason> = self
            .p
            .modifiers_for(res)
            .into_iter()
            .map(|(words, factor)| Reason {
                text: words,
                class: Class::Seen,
                weight_db: 10.0 * libm::log10(factor),
                fact: None,
            })
            .collect();
        if let Some(finger) = self.p.finger_of[res] {
            let share = self.few().filter(|draw| draw.finger[finger]).count() as f64
                / self.few().count().max(1) as f64;
            let cluster = &self.p.priors.cluster;
            let factor = |share: f64| 1.0 + share * (cluster.finger_burnt - 1.0);
            let weight_db = 10.0 * libm::log10(factor(share) / factor(cluster.finger_probability));
            let partner =
                self.p.finger_of.iter().enumerate().find(|&(at, of)| at != res && *of == Some(finger));
            // A finger thought damaged by this stab's own evidence is no reason for it: only a partner that is likely worse than sound is.
            let is_damaged = |at: usize| 0.5 < self.probabilities[at][1] + self.probabilities[at][2];
            if let Some((at, _)) = partner.filter(|&(at, _)| 1.0 < weight_db && is_damaged(at)) {
                reasons.push(Reason {
                    text: format!(
                        "shares its stab finger with {}, where damage is likely",
                        self.p.joints[at].id
                    ),
                    class: Class::Inferred,
                    weight_db,
                    fact: None,
                });
            }
        }
        reasons
    }
}

/// Points of a mean over a lognormal.
const N_POINTS: usize = 7;

/// Points over the law of each class, from one and a half spreads below its middle to as much above: weight and resistance, Ω.
fn points(laws: &Laws) -> [Vec<(f64, f64)>; CLASSES] {
    let z = |nth: usize| 0.5 * nth as f64 - 1.5;
    let weight = |nth: usize| libm::exp(-0.5 * z(nth) * z(nth));
    let total: f64 = (0..N_POINTS).map(weight).sum();
    std::array::from_fn(|class| {
        let of = |(share, mean, sd): (f64, f64, f64)| {
            (0..N_POINTS).map(move |nth| (share * weight(nth) / total, libm::exp(mean + sd * z(nth))))
        };
        laws.parts(class).flat_map(of).collect()
    })
}

/// A place in words.
pub(crate) fn place_words(place: &Place) -> String {
    match place {
        Place::Face(slot) => format!("face {}", slot.space),
        Place::Load(slot) => format!("load terminal {}", slot.space),
        Place::Wire(slot) => format!("wire {}", slot.space),
        Place::Lug(_, leg) => format!("lug {leg}"),
        Place::Line(_, leg) => format!("service conductor {leg}"),
        Place::NeutralLug(_) => "neutral lug".to_owned(),
        Place::NeutralLine(_) => "service neutral".to_owned(),
        Place::NeutralBar(_) => "neutral bar".to_owned(),
        Place::NeutralWire(slot) => format!("neutral wire {}", slot.space),
        Place::Cover(_) => "cover".to_owned(),
        Place::Receptacle(slot) => format!("receptacle on {}", slot.space),
        Place::Earth(_) => "earth".to_owned(),
    }
}
