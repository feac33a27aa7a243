//! A first reading held against one of the new panel at equal load, or the reasons why not.

use super::limits::{Limits, because};
use super::torque::terminal_words;
use model::cite::{Cite, Standing};
use model::evidence::{ClampPlace, Observed, Surface, TemperatureMethod, TemperatureReading};
use model::id::Slot;
use model::install::{Terminal, Verified};
use model::job::Job;
use model::place::Place;
use model::proving::{HeldAgainst, Outcome, rise_k};
use model::working::{Input, Working};
use model::{Current, Leg, PanelId, Temperature};

/// A first reading with what it needs.
#[derive(Debug, Clone, Copy)]
struct First<'a> {
    reading: &'a TemperatureReading,
    room: Option<Temperature>,
    current: Option<Current>,
    held_min: Option<f64>,
}

/// Holds every reading of the new panel against the first ones.
pub fn hold_against(job: &Job, limits: &Limits) -> Vec<HeldAgainst> {
    job.install.verified.iter().map(|one| hold(job, one, limits)).collect()
}

fn hold(job: &Job, now: &Verified, limits: &Limits) -> HeldAgainst {
    let old = old_of(job, now.terminal);
    let first = old.as_ref().and_then(|old| first_of(job, old));
    let mut why = Vec::new();
    if now.method == TemperatureMethod::Infrared && now.surface == Surface::BareMetal {
        why.push(
            "The new reading is infrared on bare metal, which shows the room, not the metal.".to_owned(),
        );
    }
    match (&old, &first) {
        (None, _) => why.push("No old circuit is on record for this place.".to_owned()),
        (Some(old), None) => why.push(format!("No first temperature was taken at {}.", old.words())),
        (Some(_), Some(_)) => {}
    }
    let load = |current: Option<Current>, what: &str, why: &mut Vec<String>| {
        if current.is_none() {
            why.push(format!("No current is known for the {what} reading."));
        }
        current
    };
    let room = |room: Option<Temperature>, what: &str, why: &mut Vec<String>| {
        if room.is_none() {
            why.push(format!("No room temperature is known for the {what} reading."));
        }
        room
    };
    let ours = (load(now.current, "new", &mut why), room(now.room, "new", &mut why));
    let theirs = match first {
        Some(first) => (load(first.current, "first", &mut why), room(first.room, "first", &mut why)),
        None => (None, None),
    };
    let outcome = match (first, ours, theirs) {
        (Some(first), (Some(new_a), Some(new_room)), (Some(old_a), Some(old_room))) => {
            let pair = Pair {
                old_a: old_a.a(),
                new_a: new_a.a(),
                old_rise: rise_k(first.reading.value, old_room),
                new_rise: rise_k(now.value, new_room),
                rating_a: rating(job, now),
                old_held: first.held_min,
                new_held: now.held_min,
            };
            why.extend(pair.against(limits));
            if why.is_empty() { pair.compared(limits) } else { Outcome::NotComparable(why) }
        }
        _ => Outcome::NotComparable(why),
    };
    HeldAgainst {
        fact: now.fact.clone(),
        terminal: now.terminal,
        words: terminal_words(job, now.terminal),
        now: at_load(now.value, now.current),
        first: first.map(|first| {
            format!(
                "{}, load state \u{201c}{}\u{201d}",
                at_load(first.reading.value, first.current),
                first.reading.state
            )
        }),
        outcome,
    }
}

/// Where the first reading was taken.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Old {
    Pole(Slot),
    Lug(PanelId, Leg),
}

impl Old {
    fn is_at(&self, place: &Place) -> bool {
        match (self, place) {
            (Old::Pole(slot), Place::Face(of) | Place::Load(of)) => of == slot,
            (Old::Lug(panel, leg), Place::Lug(of, on)) => of == panel && on == leg,
            _ => false,
        }
    }

    fn clamp(&self) -> ClampPlace {
        match self {
            Old::Pole(slot) => ClampPlace::Pole(slot.clone()),
            Old::Lug(panel, leg) => ClampPlace::Line(panel.clone(), *leg),
        }
    }

    fn words(&self) -> String {
        match self {
            Old::Pole(slot) => format!("the old space {}", slot.space),
            Old::Lug(_, leg) => format!("the old lug of leg {leg}"),
        }
    }
}

/// The old place of a termination: the pole that the circuit comes from, or the lug of the first panel.
fn old_of(job: &Job, terminal: Terminal) -> Option<Old> {
    match terminal {
        Terminal::Pole(space) => {
            let breaker = job.install.breaker_at(space)?;
            let pole = breaker.spaces.iter().position(|mine| *mine == space)?;
            breaker.from.get(pole).cloned().map(Old::Pole)
        }
        Terminal::Lug(leg) => job.installation.panels.first().map(|panel| Old::Lug(panel.id.clone(), leg)),
        _ => None,
    }
}

fn at_load(value: Temperature, current: Option<Current>) -> String {
    match current {
        Some(current) => format!("{:.1} °C with {:.1} A", value.c(), current.a()),
        None => format!("{:.1} °C, current not known", value.c()),
    }
}

fn rating(job: &Job, now: &Verified) -> Option<f64> {
    match now.terminal {
        Terminal::Pole(space) => job.install.breaker_at(space).map(|breaker| breaker.rating.a()),
        _ => None,
    }
}

/// The first temperature at the old place: of several the one with the largest current.
fn first_of<'a>(job: &'a Job, old: &Old) -> Option<First<'a>> {
    let all = job.observations.iter().filter_map(|seen| match &seen.what {
        Observed::Temperature(reading) if old.is_at(&reading.place) => Some(reading),
        _ => None,
    });
    let usable = all.filter(|reading| {
        reading.surface != Surface::BareMetal || reading.method == TemperatureMethod::Contact
    });
    let firsts = usable.map(|reading| {
        let state = job.load_states.iter().find(|state| state.name == reading.state);
        let is_off =
            matches!(old, Old::Pole(slot) if state.is_some_and(|state| state.unloaded.contains(slot)));
        let clamped = job.observations.iter().find_map(|seen| match &seen.what {
            Observed::Current(read) if read.state == reading.state && read.place == old.clamp() => {
                Some(read.value)
            }
            _ => None,
        });
        First {
            reading,
            room: state.and_then(|state| state.room),
            current: if is_off { Some(Current::from_a(0.0)) } else { clamped },
            held_min: state.and_then(|state| state.held_min),
        }
    });
    let amps = |one: &First<'_>| one.current.map_or(-1.0, |current| current.a());
    firsts.max_by(|a, b| amps(a).total_cmp(&amps(b)))
}

/// Two readings with their loads.
struct Pair {
    old_a: f64,
    new_a: f64,
    old_rise: f64,
    new_rise: f64,
    rating_a: Option<f64>,
    old_held: Option<f64>,
    new_held: Option<f64>,
}

impl Pair {
    /// What speaks against comparing them.
    fn against(&self, limits: &Limits) -> Vec<String> {
        let rule = &limits.comparable;
        let mut why = Vec::new();
        for (amps, what) in [(self.old_a, "first"), (self.new_a, "new")] {
            if let Some(rating) = self.rating_a
                && amps < rule.load_share * rating
            {
                why.push(format!(
                    "The {what} reading was taken at {amps:.1} A, less than {:.0} % of {rating} A.",
                    rule.load_share * 100.0
                ));
            } else if amps <= 0.0 {
                why.push(format!("The {what} reading was taken without load."));
            }
        }
        let ratio = self.new_a / self.old_a;
        if 0.0 < self.old_a && 0.0 < self.new_a && rule.ratio < ratio.max(1.0 / ratio) {
            why.push(format!(
                "The loads are too far apart: {:.1} A and {:.1} A. Load it alike and read again.",
                self.old_a, self.new_a
            ));
        }
        if self.old_rise < rule.rise_k {
            why.push(format!(
                "The first reading was only {:.1} K over the room: nothing to compare.",
                self.old_rise
            ));
        }
        for (held, what) in [(self.old_held, "first"), (self.new_held, "new")] {
            if let Some(held) = held
                && held < rule.held_min
            {
                why.push(format!(
                    "At the {what} reading the load had run {held} min; a breaker needs {} min to warm through.",
                    rule.held_min
                ));
            }
        }
        if self.new_held.is_none() {
            why.push("It is not said how long the new load had run.".to_owned());
        }
        why
    }

    /// The comparison.
    fn compared(&self, limits: &Limits) -> Outcome {
        let ratio = self.new_a / self.old_a;
        let powers =
            [libm::pow(ratio, limits.rise.exponent_low), libm::pow(ratio, limits.rise.exponent_high)];
        let error = limits.comparable.reading_k;
        let factor = [powers[0].min(powers[1]), powers[0].max(powers[1])];
        let first = [((self.old_rise - error) * factor[0]).max(0.0), (self.old_rise + error) * factor[1]];
        let now = [(self.new_rise - error).max(0.0), self.new_rise + error];
        let at = format!(
            "At {:.1} A the first one would be {:.0} to {:.0} K over the room",
            self.new_a, first[0], first[1]
        );
        let sentence = if now[1] < first[0] {
            format!("{at}; this one is {:.0} to {:.0} K. Cooler at equal load.", now[0], now[1])
        } else if first[1] < now[0] {
            format!("{at}; this one is {:.0} to {:.0} K. Warmer at equal load: find out why.", now[0], now[1])
        } else {
            format!(
                "{at}; this one is {:.0} to {:.0} K. No difference that these readings can show.",
                now[0], now[1]
            )
        };
        Outcome::Comparable {
            first_rise_k: first,
            rise_k: now,
            sentence,
            working: Box::new(self.working(first, limits)),
        }
    }

    fn working(&self, first: [f64; 2], limits: &Limits) -> Working {
        let input = |symbol: &str, meaning: &str, value: String, from: &str| Input {
            symbol: symbol.to_owned(),
            meaning: meaning.to_owned(),
            value,
            from: from.to_owned(),
        };
        Working {
            title: "first rise at the new load".to_owned(),
            subject: String::new(),
            formula: "ΔT' = (ΔT ± e) (I' / I)ⁿ".to_owned(),
            inputs: vec![
                input("ΔT", "first rise over the room", format!("{:.1} K", self.old_rise), "measured"),
                input("I", "current at the first reading", format!("{:.1} A", self.old_a), "clamped"),
                input("I'", "current now", format!("{:.1} A", self.new_a), "clamped"),
                input("e", "error of a reading", format!("{} K", limits.comparable.reading_k), "judgement"),
                input(
                    "n",
                    "exponent",
                    format!("{} to {}", limits.rise.exponent_low, limits.rise.exponent_high),
                    &limits.rise.source,
                ),
            ],
            result: format!("{:.1} to {:.1} K", first[0], first[1]),
            validity: because(
                "steady load on the same circuit, heat of the joint and breaker itself; heat of the neighbours is not \
                 taken out. Limits",
                &limits.comparable.source,
                limits.comparable.standing,
            ),
            cite: Cite::new("heat balance P = I²R = h(ΔT) ΔT", "derived", Standing::Derived),
        }
    }
}
