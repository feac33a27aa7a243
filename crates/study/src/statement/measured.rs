//! What was measured, one sentence a load state and kind of reading.

use super::seen::during;
use super::statement;
use model::assessment::{Class, SetAgainst, Statement};
use model::evidence::{ClampPlace, Observed};
use model::id::{FactId, Slot};
use model::job::Job;
use model::load::LoadState;
use model::place::Place;
use remedy::words::{breaker_label, listed, place_label};

/// Faces named one by one; the others are given as a range.
const N_FACES_NAMED: usize = 4;

pub(super) fn statements(job: &Job) -> Vec<Statement> {
    let mut all = Vec::new();
    let mut states: Vec<&str> = job.load_states.iter().map(|state| state.name.as_str()).collect();
    for observation in &job.observations {
        if let Some(state) = observation.what.state().filter(|state| !states.contains(state)) {
            states.push(state);
        }
    }
    for state in states {
        let described = job.load_states.iter().find(|described| described.name == state);
        for (text, facts) in [
            faces(job, state, described),
            temperatures(job, state),
            currents(job, state),
            voltages(job, state),
            drops(job, state),
        ]
        .into_iter()
        .flatten()
        {
            all.push(statement(Class::Measured, text, facts));
        }
    }
    for observation in &job.observations {
        if let Observed::Trip(trip) = &observation.what {
            let label = breaker_label(&job.installation, &trip.slot);
            let rating = job.installation.breaker_at(&trip.slot).map(|breaker| breaker.rating.a());
            let at = match (trip.current, rating) {
                (Some(current), Some(rating)) => format!(" at {:.1} A (rated {rating:.0} A)", current.a()),
                (Some(current), None) => format!(" at {:.1} A", current.a()),
                (None, _) => ", current not known".to_owned(),
            };
            let after = trip.after_min.map(|minutes| format!(" after {minutes:.0} min")).unwrap_or_default();
            let text = format!("{} opened by itself{at}{after}.", remedy::words::capital(&label));
            all.push(statement(Class::Measured, text, vec![observation.fact.clone()]));
        }
    }
    all
}

type Found = Option<(String, Vec<FactId>)>;

/// The current that stands beside a face: the last one that was read, none where readings contradict one another.
fn current_of(job: &Job, told: &SetAgainst, slot: &Slot, state: &str) -> Option<f64> {
    job.observations.iter().filter(|observation| told.stands(&observation.fact)).find_map(|observation| {
        match &observation.what {
            Observed::Current(reading) if reading.state == state => match &reading.place {
                ClampPlace::Pole(pole) if pole == slot => Some(reading.value.a()),
                _ => None,
            },
            _ => None,
        }
    })
}

fn faces(job: &Job, state: &str, described: Option<&LoadState>) -> Found {
    let mut readings: Vec<(&Slot, f64, &FactId)> = Vec::new();
    for observation in &job.observations {
        if let Observed::Temperature(reading) = &observation.what
            && let Place::Face(slot) = &reading.place
            && reading.state == state
        {
            readings.push((slot, reading.value.c(), &observation.fact));
        }
    }
    if readings.is_empty() {
        return None;
    }
    readings.sort_by(|(_, one, _), (_, other, _)| other.total_cmp(one));
    let facts = readings.iter().map(|(_, _, fact)| (*fact).clone()).collect();
    let told = remedy::set_against(job);
    let (hottest, others) = readings.split_at(readings.len().min(N_FACES_NAMED));
    let named = hottest.iter().map(|(slot, celsius, _)| {
        let current = current_of(job, &told, slot, state).map(|amps| format!(" with {amps:.1} A"));
        format!("{} {celsius:.1} °C{}", breaker_label(&job.installation, slot), current.unwrap_or_default())
    });
    let named: Vec<String> = named.collect();
    let rest = match (others.first(), others.last()) {
        (Some((_, high, _)), Some((_, low, _))) if 1 < others.len() => {
            format!("; {} others between {low:.1} and {high:.1} °C", others.len())
        }
        (Some((_, one, _)), _) => format!("; one other {one:.1} °C"),
        _ => String::new(),
    };
    let room = described.and_then(|state| state.room).map(|room| format!(", room {:.1} °C", room.c()));
    let held = described.and_then(|state| state.held_min).map(|minutes| format!(", after {minutes:.0} min"));
    let conditions = format!("{}{}{}", during(state), room.unwrap_or_default(), held.unwrap_or_default());
    Some((format!("Breaker faces {conditions}: {}{rest}.", listed(&named)), facts))
}

fn temperatures(job: &Job, state: &str) -> Found {
    let mut named = Vec::new();
    let mut facts = Vec::new();
    for observation in &job.observations {
        if let Observed::Temperature(reading) = &observation.what
            && !matches!(reading.place, Place::Face(_))
            && reading.state == state
        {
            named.push(format!(
                "{} {:.1} °C",
                place_label(&job.installation, &reading.place),
                reading.value.c()
            ));
            facts.push(observation.fact.clone());
        }
    }
    (!named.is_empty()).then(|| (format!("Temperatures {}: {}.", during(state), listed(&named)), facts))
}

fn currents(job: &Job, state: &str) -> Found {
    let mut named = Vec::new();
    let mut facts = Vec::new();
    for observation in &job.observations {
        if let Observed::Current(reading) = &observation.what
            && reading.state == state
        {
            let amps = reading.value.a();
            named.push(match &reading.place {
                ClampPlace::Pole(slot) => format!("space {} {amps:.1} A", slot.space),
                ClampPlace::Line(_, leg) => format!("service leg {leg} {amps:.1} A"),
                ClampPlace::Neutral(_) => format!("service neutral {amps:.1} A"),
                ClampPlace::Electrode(_) => format!("electrode conductor {amps:.1} A"),
            });
            facts.push(observation.fact.clone());
        }
    }
    (!named.is_empty()).then(|| (format!("Currents {}: {}.", during(state), listed(&named)), facts))
}

fn voltages(job: &Job, state: &str) -> Found {
    let mut named = Vec::new();
    let mut facts = Vec::new();
    for observation in &job.observations {
        if let Observed::Voltage(reading) = &observation.what
            && reading.state == state
        {
            let (from, to) = (&reading.from, &reading.to);
            let what = match (from, to) {
                (Place::Lug(_, leg), Place::NeutralBar(_)) => format!("leg {leg}"),
                (Place::Lug(_, one), Place::Lug(_, other)) => format!("leg {one} to leg {other}"),
                _ => format!(
                    "{} to {}",
                    place_label(&job.installation, from),
                    place_label(&job.installation, to)
                ),
            };
            named.push(format!("{what} {:.1} V", reading.value.v()));
            facts.push(observation.fact.clone());
        }
    }
    (!named.is_empty()).then(|| (format!("Voltages {}: {}.", during(state), listed(&named)), facts))
}

fn drops(job: &Job, state: &str) -> Found {
    let mut named = Vec::new();
    let mut facts = Vec::new();
    for observation in &job.observations {
        if let Observed::Drop(reading) = &observation.what
            && reading.state == state
        {
            let (from, to) =
                (place_label(&job.installation, &reading.from), place_label(&job.installation, &reading.to));
            let at = reading.current.map(|current| format!(" at {:.1} A", current.a())).unwrap_or_default();
            let millivolts = reading.value.mv();
            let decimals = if millivolts < 10.0 { 1 } else { 0 };
            named.push(format!("{millivolts:.decimals$} mV from {from} to {to}{at}"));
            facts.push(observation.fact.clone());
        }
    }
    (!named.is_empty()).then(|| (format!("Voltage drops {}: {}.", during(state), listed(&named)), facts))
}
