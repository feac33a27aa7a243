//! What the code book asks as tables, and as facts.

use super::Context;
use super::entry::Entry;
use crate::fact::{
    AmendedAs, AmendmentMade, ApplianceDescribed, Body, CircuitPlanned, CodeAdopted, DemandMeasured,
    DwellingDescribed, EditionTaken, Fact, ManagedDescribed, SiteSeen, ThreeWireFound,
};
use crate::text::AsText;
use model::adoption::{Adoption, AmendedTo};
use model::dwelling::{Appliance, Basis, DemandRecord, DwellingRecord, Status, Use};
use model::site::Site;

/// A fact that the code book asks for as an entry; nothing for other facts.
pub(super) fn entry(cx: &Context<'_>, fact: &Fact) -> String {
    let start = |key| cx.entry(&cx.versions_heading(key), fact, cx.start, "id");
    let (entry, inner) = match &fact.body {
        Body::Adoption(body) => adoption(start("adoption"), body),
        Body::Dwelling(body) => dwelling(start("dwelling"), body),
        Body::Appliance(body) => {
            (appliance(cx.entry("[[appliance]]", fact, cx.start, "id"), body), Vec::new())
        }
        Body::Demand(body) => (demand(start("demand"), body), Vec::new()),
        Body::Site(body) => site(start("site"), body),
        _ => return String::new(),
    };
    let mut out = entry.finish();
    for part in inner {
        out.push_str(&part.finish());
    }
    out
}

fn whole(entry: &mut Entry, key: &str, value: Option<u32>) {
    if let Some(value) = value {
        entry.raw(key, &value.to_string());
    }
}

fn adoption(mut entry: Entry, body: &CodeAdopted) -> (Entry, Vec<Entry>) {
    entry.text("place", &body.place);
    if let Some(permit) = body.permit {
        entry.raw("permit", &permit.to_string());
    }
    let mut inner = Vec::new();
    for one in &body.editions {
        let mut part = Entry::new("[[adoption.edition]]");
        part.raw("edition", &one.edition.to_string());
        part.raw("from", &one.from.to_string());
        part.text("document", &one.document);
        inner.push(part);
    }
    for one in &body.amendments {
        let mut part = Entry::new("[[adoption.amendment]]");
        part.text("rule", &one.rule);
        part.raw("edition", &one.edition.to_string());
        part.raw("from", &one.from.to_string());
        match &one.to {
            AmendedAs::Number(number) => part.number("number", *number),
            AmendedAs::Word(word) => part.text("word", word),
            AmendedAs::Absent => part.maybe_flag("absent", Some(true)),
        }
        part.text("document", &one.document);
        part.text("section", &one.section);
        part.words("note", &one.note);
        inner.push(part);
    }
    (entry, inner)
}

fn dwelling(mut entry: Entry, body: &DwellingDescribed) -> (Entry, Vec<Entry>) {
    entry.words("unit", &body.unit);
    entry.maybe_number("floor_ft2", body.floor_ft2);
    entry.maybe_number("adaptable_ft2", body.adaptable_ft2);
    entry.maybe_number("adaptable_garage_ft2", body.adaptable_garage_ft2);
    whole(&mut entry, "small_appliance_circuits", body.small_appliance_circuits);
    whole(&mut entry, "laundry_circuits", body.laundry_circuits);
    let inner = body.managed.iter().map(|one| {
        let mut part = Entry::new("[[dwelling.managed]]");
        part.text("name", &one.name);
        part.maybe_number("limit_a", one.limit_a);
        part.maybe_flag("listed", one.listed);
        part
    });
    (entry, inner.collect())
}

fn appliance(mut entry: Entry, body: &ApplianceDescribed) -> Entry {
    entry.text("name", &body.name);
    entry.thing("what", &body.what.0);
    entry.words("unit", &body.unit);
    entry.maybe_thing("rating", body.rating.as_ref().map(|rating| &rating.0));
    entry.maybe_thing("wires", body.wires.as_ref().map(|wires| &wires.0));
    entry.maybe_thing("motor", body.motor.as_ref().map(|motor| &motor.0));
    whole(&mut entry, "controls", body.controls);
    entry.maybe_thing("supplement", body.supplement.as_ref().map(|supplement| &supplement.0));
    entry.maybe_flag("together", body.together);
    entry.unless("status", &body.status.0, &Status::Existing);
    entry.maybe_text("managed", body.managed.as_deref());
    entry
}

fn demand(mut entry: Entry, body: &DemandMeasured) -> Entry {
    entry.number("least_kw", body.least_kw);
    entry.number("most_kw", body.most_kw);
    whole(&mut entry, "interval_min", Some(body.interval_min));
    whole(&mut entry, "days", body.days);
    entry.maybe_flag("own_generation", body.own_generation);
    entry.maybe_flag("occupied", body.occupied);
    entry.maybe_flag("season_included", body.season_included);
    entry.maybe_number("power_factor", body.power_factor);
    entry.words("words", &body.words);
    entry
}

fn site(mut entry: Entry, body: &SiteSeen) -> (Entry, Vec<Entry>) {
    entry.maybe_thing("work", body.work.as_ref().map(|work| &work.0));
    entry.maybe_thing("outdoor", body.outdoor.as_ref().map(|outdoor| &outdoor.0));
    whole(&mut entry, "dwellings", body.dwellings);
    whole(&mut entry, "disconnects", body.disconnects);
    whole(&mut entry, "neutrals_at_terminal", body.neutrals_at_terminal);
    whole(&mut entry, "rods", body.rods);
    entry.maybe_number("service_a", body.service_a);
    entry.maybe_number("extension_ft", body.extension_ft);
    entry.maybe_number("highest_handle_in", body.highest_handle_in);
    entry.maybe_number("space_depth_in", body.space_depth_in);
    entry.maybe_number("space_width_in", body.space_width_in);
    entry.maybe_number("space_height_in", body.space_height_in);
    entry.maybe_number("fault_a", body.fault_a);
    entry.maybe_number("interrupting_a", body.interrupting_a);
    entry.maybe_number("rod_spacing_ft", body.rod_spacing_ft);
    entry.maybe_flag("in_one_enclosure", body.in_one_enclosure);
    entry.maybe_flag("surge", body.surge);
    entry.maybe_flag("adds_outlets", body.adds_outlets);
    entry.maybe_flag("in_bathroom", body.in_bathroom);
    entry.maybe_flag("in_closet", body.in_closet);
    entry.maybe_flag("over_stairs", body.over_stairs);
    entry.maybe_flag("directory", body.directory);
    entry.maybe_flag("openings", body.openings);
    entry.maybe_flag("interior_evaluated", body.interior_evaluated);
    entry.maybe_flag("water_pipe", body.water_pipe);
    entry.maybe_flag("other_electrode", body.other_electrode);
    entry.maybe_flag("intersystem", body.intersystem);
    let mut inner = Vec::new();
    for one in &body.new_circuits {
        let mut part = Entry::new("[[site.new_circuit]]");
        part.text("name", &one.name);
        whole(&mut part, "amps", Some(one.amps));
        part.maybe_thing("area", one.area.as_ref().map(|area| &area.0));
        part.maybe_flag("is_120_v", (!one.is_120_v).then_some(false));
        part.maybe_flag("receptacles", (!one.receptacles).then_some(false));
        inner.push(part);
    }
    for one in &body.three_wire {
        let mut part = Entry::new("[[site.three_wire]]");
        part.text("name", &one.name);
        part.maybe_thing("neutral", one.neutral.as_ref().map(|neutral| &neutral.0));
        part.maybe_thing("metal", one.metal.as_ref().map(|metal| &metal.0));
        inner.push(part);
    }
    (entry, inner)
}

/// The fact of an adoption.
pub(super) fn of_adoption(from: &Adoption) -> CodeAdopted {
    let editions = from.editions.iter().map(|one| EditionTaken {
        edition: one.edition,
        from: one.from,
        document: one.document.clone(),
    });
    let amendments = from.amendments.iter().map(|one| AmendmentMade {
        rule: one.rule.clone(),
        edition: one.edition,
        from: one.from,
        to: match &one.to {
            AmendedTo::Number(number) => AmendedAs::Number(*number),
            AmendedTo::Word(word) => AmendedAs::Word(word.clone()),
            AmendedTo::Absent => AmendedAs::Absent,
        },
        document: one.document.clone(),
        section: one.section.clone(),
        note: one.note.clone(),
    });
    CodeAdopted {
        place: from.place.clone(),
        editions: editions.collect(),
        amendments: amendments.collect(),
        permit: from.permit,
    }
}

/// The fact of a dwelling.
pub(super) fn of_dwelling(from: &DwellingRecord) -> DwellingDescribed {
    let managed = from.managed.iter().map(|one| ManagedDescribed {
        name: one.name.clone(),
        limit_a: one.limit_a,
        listed: one.listed,
    });
    DwellingDescribed {
        unit: from.unit.clone(),
        floor_ft2: from.floor_ft2,
        adaptable_ft2: from.adaptable_ft2,
        adaptable_garage_ft2: from.adaptable_garage_ft2,
        small_appliance_circuits: from.small_appliance_circuits,
        laundry_circuits: from.laundry_circuits,
        managed: managed.collect(),
    }
}

/// The fact of an appliance.
pub(super) fn of_appliance(from: &Appliance) -> ApplianceDescribed {
    let item = &from.item;
    let (controls, supplement, together) = match &item.kind {
        Use::Heat { controls } => (*controls, None, None),
        Use::HeatPump { supplement, together } => (None, supplement.clone(), *together),
        _ => (None, None, None),
    };
    ApplianceDescribed {
        name: item.name.clone(),
        unit: from.unit.clone(),
        what: AsText(item.kind.kind()),
        rating: item.rating.clone().map(AsText),
        wires: item.wires.map(AsText),
        motor: item.motor.clone().map(AsText),
        controls,
        supplement: supplement.map(AsText),
        together,
        status: AsText(item.status),
        managed: item.managed.clone(),
    }
}

/// The fact of a measured demand.
pub(super) fn of_demand(from: &DemandRecord) -> DemandMeasured {
    let demand = &from.demand;
    let (interval_min, days) = match demand.basis {
        Basis::Year { interval_min } => (interval_min, None),
        Basis::Recording { days, interval_min } => (interval_min, Some(days)),
    };
    DemandMeasured {
        least_kw: demand.least_kw,
        most_kw: demand.most_kw,
        interval_min,
        days,
        own_generation: demand.own_generation,
        occupied: demand.occupied,
        season_included: demand.season_included,
        power_factor: demand.power_factor,
        words: from.words.clone(),
    }
}

/// The fact of a site.
pub(super) fn of_site(from: &Site) -> SiteSeen {
    let circuits = from.new_circuits.iter().map(|one| CircuitPlanned {
        name: one.name.clone(),
        area: one.area.map(AsText),
        amps: one.amps,
        is_120_v: one.is_120_v,
        receptacles: one.receptacles,
    });
    let three_wire = from.three_wire.iter().map(|one| ThreeWireFound {
        name: one.name.clone(),
        neutral: one.neutral.map(AsText),
        metal: one.metal.map(AsText),
    });
    SiteSeen {
        work: from.work.map(AsText),
        outdoor: from.outdoor.map(AsText),
        dwellings: from.n_dwellings,
        disconnects: from.n_disconnects,
        neutrals_at_terminal: from.neutrals_at_terminal,
        rods: from.n_rods,
        service_a: from.service_a,
        extension_ft: from.extension_ft,
        highest_handle_in: from.highest_handle_in,
        space_depth_in: from.space_depth_in,
        space_width_in: from.space_width_in,
        space_height_in: from.space_height_in,
        fault_a: from.fault_a,
        interrupting_a: from.interrupting_a,
        rod_spacing_ft: from.rod_spacing_ft,
        in_one_enclosure: from.in_one_enclosure,
        surge: from.surge,
        adds_outlets: from.adds_outlets,
        in_bathroom: from.in_bathroom,
        in_closet: from.in_closet,
        over_stairs: from.over_stairs,
        directory: from.directory,
        openings: from.openings,
        interior_evaluated: from.interior_evaluated,
        water_pipe: from.water_pipe,
        other_electrode: from.other_electrode,
        intersystem: from.intersystem,
        new_circuits: circuits.collect(),
        three_wire: three_wire.collect(),
    }
}
