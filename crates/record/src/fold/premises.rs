//! What the code book asks to the nouns of the model.

use crate::fact::{
    AmendedAs, ApplianceDescribed, Body, CodeAdopted, DemandMeasured, DwellingDescribed, Fact, SiteSeen,
};
use model::adoption::{Adoption, AmendedTo, EditionAdopted, LocalAmendment};
use model::dwelling::{
    Appliance, Basis, DemandRecord, DwellingRecord, Item, Managed, MeasuredDemand, Use, UseKind,
};
use model::premises::Premises;
use model::site::{NewCircuit, Site, SiteRecord, ThreeWireCircuit};

/// Adds what a fact says, if it is of these. Of two that say the same the first stands for both.
pub(super) fn add(premises: &mut Premises, fact: &Fact) {
    match &fact.body {
        Body::Adoption(body) => {
            premises.adoption = premises.adoption.take().or_else(|| Some(adoption(fact, body)))
        }
        Body::Dwelling(body) if premises.dwellings.iter().all(|known| known.unit != body.unit) => {
            premises.dwellings.push(dwelling(fact, body));
        }
        Body::Appliance(body) => {
            let same = |known: &Appliance| known.unit == body.unit && known.item.name == body.name;
            if !premises.appliances.iter().any(same) {
                premises.appliances.push(appliance(fact, body));
            }
        }
        Body::Demand(body) => premises.demand = premises.demand.take().or_else(|| Some(demand(fact, body))),
        Body::Site(body) => {
            let record = || SiteRecord { fact: fact.id().clone(), at: fact.at, site: site(body) };
            premises.site = premises.site.take().or_else(|| Some(record()));
        }
        _ => {}
    }
}

fn adoption(fact: &Fact, body: &CodeAdopted) -> Adoption {
    let editions = body.editions.iter().map(|one| EditionAdopted {
        edition: one.edition,
        from: one.from,
        document: one.document.clone(),
    });
    let amendments = body.amendments.iter().map(|one| LocalAmendment {
        rule: one.rule.clone(),
        edition: one.edition,
        from: one.from,
        to: match &one.to {
            AmendedAs::Number(number) => AmendedTo::Number(*number),
            AmendedAs::Word(word) => AmendedTo::Word(word.clone()),
            AmendedAs::Absent => AmendedTo::Absent,
        },
        document: one.document.clone(),
        section: one.section.clone(),
        note: one.note.clone(),
    });
    Adoption {
        fact: fact.id().clone(),
        at: fact.at,
        place: body.place.clone(),
        editions: editions.collect(),
        amendments: amendments.collect(),
        permit: body.permit,
    }
}

fn dwelling(fact: &Fact, body: &DwellingDescribed) -> DwellingRecord {
    let managed = body.managed.iter().map(|one| Managed {
        name: one.name.clone(),
        limit_a: one.limit_a,
        listed: one.listed,
    });
    DwellingRecord {
        fact: fact.id().clone(),
        at: fact.at,
        unit: body.unit.clone(),
        floor_ft2: body.floor_ft2,
        adaptable_ft2: body.adaptable_ft2,
        adaptable_garage_ft2: body.adaptable_garage_ft2,
        small_appliance_circuits: body.small_appliance_circuits,
        laundry_circuits: body.laundry_circuits,
        managed: managed.collect(),
    }
}

fn appliance(fact: &Fact, body: &ApplianceDescribed) -> Appliance {
    let kind = match body.what.0 {
        UseKind::Range => Use::Range,
        UseKind::WallOven => Use::WallOven,
        UseKind::Cooktop => Use::Cooktop,
        UseKind::Dryer => Use::Dryer,
        UseKind::Appliance => Use::Appliance,
        UseKind::Motor => Use::Motor,
        UseKind::Cooling => Use::Cooling,
        UseKind::HeatPump => Use::HeatPump {
            supplement: body.supplement.as_ref().map(|supplement| supplement.0.clone()),
            together: body.together,
        },
        UseKind::Heat => Use::Heat { controls: body.controls },
        UseKind::StorageHeat => Use::StorageHeat,
        UseKind::AirHandler => Use::AirHandler,
        UseKind::Ev => Use::Ev,
    };
    let item = Item {
        name: body.name.clone(),
        kind,
        rating: body.rating.as_ref().map(|rating| rating.0.clone()),
        wires: body.wires.map(|wires| wires.0),
        motor: body.motor.as_ref().map(|motor| motor.0.clone()),
        status: body.status.0,
        managed: body.managed.clone(),
    };
    Appliance { fact: fact.id().clone(), at: fact.at, unit: body.unit.clone(), item }
}

fn demand(fact: &Fact, body: &DemandMeasured) -> DemandRecord {
    let interval_min = body.interval_min;
    let demand = MeasuredDemand {
        least_kw: body.least_kw,
        most_kw: body.most_kw,
        basis: match body.days {
            None => Basis::Year { interval_min },
            Some(days) => Basis::Recording { days, interval_min },
        },
        own_generation: body.own_generation,
        occupied: body.occupied,
        season_included: body.season_included,
        power_factor: body.power_factor,
    };
    DemandRecord { fact: fact.id().clone(), at: fact.at, demand, words: body.words.clone() }
}

fn site(body: &SiteSeen) -> Site {
    let circuits = body.new_circuits.iter().map(|one| NewCircuit {
        name: one.name.clone(),
        area: one.area.map(|area| area.0),
        amps: one.amps,
        is_120_v: one.is_120_v,
        receptacles: one.receptacles,
    });
    let three_wire = body.three_wire.iter().map(|one| ThreeWireCircuit {
        name: one.name.clone(),
        neutral: one.neutral.map(|neutral| neutral.0),
        metal: one.metal.map(|metal| metal.0),
    });
    Site {
        work: body.work.map(|work| work.0),
        outdoor: body.outdoor.map(|outdoor| outdoor.0),
        n_dwellings: body.dwellings,
        n_disconnects: body.disconnects,
        neutrals_at_terminal: body.neutrals_at_terminal,
        n_rods: body.rods,
        service_a: body.service_a,
        extension_ft: body.extension_ft,
        highest_handle_in: body.highest_handle_in,
        space_depth_in: body.space_depth_in,
        space_width_in: body.space_width_in,
        space_height_in: body.space_height_in,
        fault_a: body.fault_a,
        interrupting_a: body.interrupting_a,
        rod_spacing_ft: body.rod_spacing_ft,
        in_one_enclosure: body.in_one_enclosure,
        surge: body.surge,
        adds_outlets: body.adds_outlets,
        in_bathroom: body.in_bathroom,
        in_closet: body.in_closet,
        over_stairs: body.over_stairs,
        directory: body.directory,
        openings: body.openings,
        interior_evaluated: body.interior_evaluated,
        water_pipe: body.water_pipe,
        other_electrode: body.other_electrode,
        intersystem: body.intersystem,
        new_circuits: circuits.collect(),
        three_wire: three_wire.collect(),
    }
}
