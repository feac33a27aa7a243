//! Values that cannot be: slips of unit, sign or decimal point.

mod rating;
mod value;

use super::{Finding, Site, Spot};
use crate::fact::{Body, ClampTaken, ConductorDescribed, Fact, LengthAs, PanelDescribed, ServiceDescribed};
use crate::limits::{self, Plausible};
use model::evidence::ClampPlace;
use model::place::Place;
pub use rating::nearest_rating;
pub(super) use value::number;
use value::temperature;

/// A temperature of a fact, by the name of its field and the keys of its two units.
pub(super) fn degrees(
    value: crate::fact::TemperatureAs,
    range_c: Plausible,
    keys: (&str, &str),
    fact: &Fact,
    field: &'static str,
    findings: &mut Vec<Finding>,
) {
    temperature(value, range_c, keys, "a reading", Spot::field(fact.id(), (field, 0)), findings);
}

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
        let spot = |field| Spot::field(fact.id(), (field, 0));
        match &fact.body {
            Body::Service(body) => service(fact, body, findings),
            Body::Panel(body) => panel(fact, body, findings),
            Body::Breaker(body) => {
                rating::breaker(body.rating_a, "a breaker", spot("rating_a"), findings);
                if let Some(circuit) = &body.circuit {
                    conductor(fact, &circuit.conductor, "conductor", 0, findings);
                }
            }
            Body::Circuit(body) => {
                if let Some(rating) = body.rating_a {
                    rating::breaker(rating, "a circuit", spot("rating_a"), findings);
                }
                conductor(fact, &body.conductor, "conductor", 0, findings);
            }
            Body::Arrangement(body) => {
                if let Some(rating) = body.bus_rating_a {
                    rating::bus(rating, "a bus", spot("bus_rating"), findings);
                }
                if let Some(rating) = body.main_a {
                    rating::main(rating, spot("main_a"), findings);
                }
            }
            Body::State(body) => {
                minutes(body.held_min, "held_min", spot("held_min"), findings);
                if let Some(room) = body.room {
                    temperature(
                        room,
                        limits::ROOM_C,
                        ("room_c", "room_f"),
                        "room air",
                        spot("room"),
                        findings,
                    );
                }
            }
            Body::Temperature(body) => {
                let what = format!("a reading at {}", body.place.0);
                temperature(body.value, limits::SURFACE_C, ("c", "f"), &what, spot("value"), findings);
                if let Some(emissivity) = body.emissivity {
                    emissivity_of(emissivity, spot("emissivity"), findings);
                }
                if let Some(reflected) = body.reflected {
                    let keys = ("reflected_c", "reflected_f");
                    temperature(
                        reflected,
                        limits::REFLECTED_C,
                        keys,
                        "the reflected temperature",
                        spot("reflected"),
                        findings,
                    );
                }
            }
            Body::Clamp(body) => clamp(site, fact, body, findings),
            Body::Voltage(body) => volts(body.volts, spot("value"), findings),
            Body::Proof(body) => {
                for (idx, reading) in body.readings.iter().enumerate() {
                    volts(reading.volts, Spot::field(fact.id(), ("volts", idx)), findings);
                }
                for (value, field) in [(body.live_before, "live_before"), (body.live_after, "live_after")] {
                    if let Some(value) = value {
                        volts(value, spot(field), findings);
                    }
                }
            }
            Body::Drop(body) => {
                drop_mv(body.mv, spot("value"), findings);
                if let Some(amps) = body.amps {
                    path_amps(site, amps, &body.from.0, &body.to.0, spot("amps"), findings);
                }
            }
            Body::Trip(body) => {
                if let Some(amps) = body.amps {
                    // A fault current may be far above any rating.
                    number(
                        amps,
                        limits::TRIP_AMPS,
                        "A",
                        "the current before a trip",
                        spot("amps"),
                        "write the amperes that flowed; leave it out where they are not known",
                        findings,
                    );
                }
                minutes(body.after_min, "after_min", spot("after_min"), findings);
            }
            Body::Pin(body) => {
                for (value, field, edge) in [(body.x, "x", "left"), (body.y, "y", "top")] {
                    let hint = format!("from 0 at the {edge} edge to 1 at the other, of the upright picture");
                    number(value, limits::FRACTION, "", "the place of a pin", spot(field), &hint, findings);
                }
            }
            _ => {}
        }
    }
}

fn minutes(value: Option<f64>, key: &str, spot: Spot, findings: &mut Vec<Finding>) {
    let Some(value) = value else { return };
    let hint = if value < 0.0 {
        format!("minutes from 0 up: `{key} = {}`", -value)
    } else {
        format!("minutes; leave `{key}` out where it is not known")
    };
    number(value, limits::MINUTES, "min", &format!("`{key}`"), spot, &hint, findings);
}

fn emissivity_of(value: f64, spot: Spot, findings: &mut Vec<Finding>) {
    let (low, high) = limits::EMISSIVITY;
    let hint = if (10.0..=100.0).contains(&value) {
        format!("from {low} to {high}: `emissivity = {}`", value / 100.0)
    } else {
        format!("from {low} to {high}, as set on the instrument; plastic and paint are near 0.95")
    };
    number(value, limits::EMISSIVITY, "", "the emissivity", spot, &hint, findings);
}

fn volts(value: f64, spot: Spot, findings: &mut Vec<Finding>) {
    let (low, high) = limits::VOLTS;
    let hint = if value < 0.0 {
        format!("an rms value, from {low} to {high} V")
    } else if value / 10.0 <= high && 90.0 <= value / 10.0 {
        format!(
            "from {low} to {high} V on these systems; is a decimal point missing? `volts = {}`",
            value / 10.0
        )
    } else if value / 1000.0 <= high && 1000.0 < value {
        format!("from {low} to {high} V on these systems; {value} mV are {} V", value / 1000.0)
    } else {
        format!("from {low} to {high} V on these systems")
    };
    number(value, limits::VOLTS, "V", "a voltage", spot, &hint, findings);
}

fn drop_mv(value: f64, spot: Spot, findings: &mut Vec<Finding>) {
    let (low, high) = limits::DROP_MV;
    let before = findings.len();
    let hint = format!(
        "`mv` is in millivolts, from {low} to {high}; more along one conductor means a break, and goes under `[[voltage]]`"
    );
    number(value, limits::DROP_MV, "mV", "a drop", spot.clone(), &hint, findings);
    if findings.len() > before {
        return;
    }
    if value != 0.0 && value.abs() < limits::DROP_SMALLEST_MV {
        findings.push(Finding::warning(
            "unit-slip",
            spot,
            format!("a drop of {value} mV is less than a meter shows"),
            format!("`mv` is in millivolts: if the meter showed {value} V, write `mv = {}`", value * 1000.0),
        ));
    } else if value < 0.0 {
        findings.push(Finding::warning(
            "negative-drop",
            spot,
            format!("a drop of {value} mV is negative"),
            "that can remain after subtraction of the reading with the load off; if not, `from` and `to` may be swapped",
        ));
    }
}

fn amps(value: f64, what: &str, spot: Spot, findings: &mut Vec<Finding>) {
    let (low, high) = limits::AMPS;
    let hint = if value < 0.0 {
        "an rms value, from 0 up; for current flowing back say so in words".to_owned()
    } else {
        format!("from {low} to {high} A; {value} mA are {} A", value / 1000.0)
    };
    number(value, limits::AMPS, "A", what, spot, &hint, findings);
}

fn clamp(site: &Site<'_>, fact: &Fact, body: &ClampTaken, findings: &mut Vec<Finding>) {
    let spot = Spot::field(fact.id(), ("value", 0));
    match &body.place.0 {
        ClampPlace::Pole(slot) => {
            let breaker = site.breaker(slot);
            beyond_rating(body.amps, breaker.map(|(_, body)| body.rating_a), &spot, findings);
        }
        ClampPlace::Line(..) | ClampPlace::Neutral(_) | ClampPlace::Electrode(_) => {}
    }
    amps(body.amps, "a clamp reading", spot, findings);
}

fn path_amps(site: &Site<'_>, value: f64, from: &Place, to: &Place, spot: Spot, findings: &mut Vec<Finding>) {
    let rating = [to, from]
        .into_iter()
        .filter_map(|place| match place {
            Place::Load(slot) | Place::Wire(slot) => site.breaker(slot),
            _ => None,
        })
        .map(|(_, breaker)| breaker.rating_a)
        .fold(None, |most: Option<f64>, rating| Some(most.map_or(rating, |most| most.max(rating))));
    beyond_rating(value, rating, &spot, findings);
    amps(value, "the current of a drop", spot, findings);
}

/// A steady current far beyond the rating would have opened the breaker at once.
fn beyond_rating(value: f64, rating: Option<f64>, spot: &Spot, findings: &mut Vec<Finding>) {
    let Some(rating) = rating.filter(|rating| limits::RATING_A.0 <= *rating) else { return };
    if value <= limits::AMPS_PER_RATING_MAX * rating || limits::AMPS.1 < value {
        return;
    }
    let slip = if value / 1000.0 <= rating && 1000.0 <= value {
        format!("; {value} mA are {} A", value / 1000.0)
    } else if value / 10.0 <= 1.5 * rating {
        format!("; is a decimal point missing? {}", value / 10.0)
    } else {
        String::new()
    };
    findings.push(Finding::error(
        "amps-beyond-rating",
        spot.clone(),
        format!("{value} A is more than {} times the {rating} A of the breaker", limits::AMPS_PER_RATING_MAX),
        format!("a clamp fact is a steady current; an inrush goes into the words{slip}"),
    ));
}

fn length(value: Option<LengthAs>, range_m: Plausible, what: &str, spot: Spot, findings: &mut Vec<Finding>) {
    let Some(value) = value else { return };
    let metres = value.quantity().m();
    let (unit, per_metre) = match value {
        LengthAs::In(_) => ("in", 1.0 / 0.0254),
        LengthAs::Ft(_) => ("ft", 1.0 / 0.3048),
        LengthAs::Mm(_) => ("mm", 1000.0),
        LengthAs::M(_) => ("m", 1.0),
    };
    if metres.is_finite() && range_m.0 <= metres && metres <= range_m.1 {
        return;
    }
    let hint = format!(
        "from {:.0} to {:.0} {unit}; the unit is in the key",
        range_m.0 * per_metre,
        range_m.1 * per_metre
    );
    findings.push(Finding::error(
        "implausible",
        spot,
        format!("{what} of {} {unit} cannot be right", value.number()),
        hint,
    ));
}

fn conductor(
    fact: &Fact,
    body: &ConductorDescribed,
    field: &'static str,
    idx: usize,
    findings: &mut Vec<Finding>,
) {
    let spot = Spot::field(fact.id(), (field, idx));
    length(body.free_length, limits::FREE_LENGTH_M, "a free length", spot, findings);
}

fn panel(fact: &Fact, body: &PanelDescribed, findings: &mut Vec<Finding>) {
    use crate::fact::FeedDescribed;
    if let Some(rating) = body.bus.rating_a {
        rating::bus(rating, "a bus", Spot::field(fact.id(), ("bus_rating", 0)), findings);
    }
    for side in [body.cabinet.width, body.cabinet.height, body.cabinet.depth] {
        length(
            side,
            limits::CABINET_M,
            "a side of the cabinet",
            Spot::field(fact.id(), ("cabinet", 0)),
            findings,
        );
    }
    for (idx, section) in body.sections.iter().enumerate() {
        if let FeedDescribed::MainBreaker { rating_a } = section.feed {
            rating::main(rating_a, Spot::field(fact.id(), ("main_a", idx)), findings);
        }
        conductor(fact, &section.feeder, "feeder", idx, findings);
    }
}

fn service(fact: &Fact, body: &ServiceDescribed, findings: &mut Vec<Finding>) {
    let spot = |field| Spot::field(fact.id(), (field, 0));
    if let Some(rating) = body.rating_a {
        rating::bus(rating, "a service", spot("rating_a"), findings);
    }
    for (value, range, unit, what, field) in [
        (body.transformer_kva, limits::TRANSFORMER_KVA, "kVA", "a transformer", "transformer_kva"),
        (
            body.transformer_impedance_pct,
            limits::IMPEDANCE_PCT,
            "%",
            "the impedance of a transformer",
            "transformer_impedance_pct",
        ),
        (body.electrode_ohm, limits::ELECTRODE_OHM, "Ω", "the resistance of an electrode", "electrode_ohm"),
    ] {
        if let Some(value) = value {
            let hint = format!("from {} to {} {unit}; leave it out where it is not known", range.0, range.1);
            number(value, range, unit, what, spot(field), &hint, findings);
        }
    }
    length(body.drop_length, limits::SERVICE_LENGTH_M, "a drop length", spot("drop_length"), findings);
    length(
        body.entrance_length,
        limits::SERVICE_LENGTH_M,
        "an entrance length",
        spot("entrance_length"),
        findings,
    );
    conductor(fact, &body.drop, "drop", 0, findings);
    conductor(fact, &body.entrance, "entrance", 0, findings);
}
