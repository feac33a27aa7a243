//! What the code book asks, as recorded: the adopted code, dwellings, appliances, a measured demand, the site.

use super::Record;
use super::facts::moment;
use crate::clean::clean;
use crate::number::plain;
use crate::page::Table;
use model::adoption::{Adoption, AmendedTo};
use model::dwelling::{Appliance, Basis, DemandRecord, DwellingRecord, Status, Use};
use model::site::Site;

impl Record<'_> {
    pub(super) fn premises(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.what, 1.8), (&w.name, 1.8), (&w.value, 4.6)]);
        let known = &self.job.premises;
        if let Some(one) = &known.adoption {
            table.row([
                self.fact(&one.fact),
                moment(one.at),
                w.adopted_code.clone(),
                clean(&one.place),
                clean(&adoption(one)),
            ]);
        }
        for one in &known.dwellings {
            table.row([
                self.fact(&one.fact),
                moment(one.at),
                w.dwelling.clone(),
                clean(&one.unit),
                clean(&dwelling(one)),
            ]);
        }
        for one in &known.appliances {
            table.row([
                self.fact(&one.fact),
                moment(one.at),
                w.appliance.clone(),
                clean(&one.item.name),
                clean(&appliance(one)),
            ]);
        }
        if let Some(one) = &known.demand {
            table.row([
                self.fact(&one.fact),
                moment(one.at),
                w.measured_demand.clone(),
                String::new(),
                clean(&demand(one)),
            ]);
        }
        if let Some(one) = &known.site {
            table.row([self.fact(&one.fact), moment(one.at), w.site.clone(), String::new(), site(&one.site)]);
        }
        table
    }
}

fn adoption(one: &Adoption) -> String {
    let mut parts: Vec<String> = one
        .editions
        .iter()
        .map(|edition| format!("{} from {}, {}", edition.edition, edition.from, edition.document))
        .collect();
    parts.extend(one.amendments.iter().map(|amendment| {
        let to = match &amendment.to {
            AmendedTo::Number(number) => number.to_string(),
            AmendedTo::Word(word) => word.clone(),
            AmendedTo::Absent => "absent".to_owned(),
        };
        let (rule, from) = (&amendment.rule, amendment.from);
        format!(
            "{} {rule} = {to} from {from}, {}, {}",
            amendment.edition, amendment.document, amendment.section
        )
    }));
    parts.extend(one.permit.map(|permit| format!("permit {permit}")));
    parts.join("; ")
}

fn dwelling(one: &DwellingRecord) -> String {
    let area = |name: &str, value: Option<f64>| value.map(|value| format!("{name} {} ft²", plain(value, 1)));
    let count = |name: &str, value: Option<u32>| value.map(|value| format!("{name} {value}"));
    let parts = [
        area("floor", one.floor_ft2),
        area("adaptable", one.adaptable_ft2),
        area("adaptable garage", one.adaptable_garage_ft2),
        count("small-appliance circuits", one.small_appliance_circuits),
        count("laundry circuits", one.laundry_circuits),
    ];
    let managed = one.managed.iter().map(|group| {
        let limit =
            group.limit_a.map_or("limit not known".to_owned(), |limit| format!("{} A", plain(limit, 1)));
        format!("group {}: {limit}", group.name)
    });
    parts.into_iter().flatten().chain(managed).collect::<Vec<_>>().join("; ")
}

fn appliance(one: &Appliance) -> String {
    let item = &one.item;
    let mut parts = vec![match &item.kind {
        Use::Range => "range".to_owned(),
        Use::WallOven => "wall oven".to_owned(),
        Use::Cooktop => "cooktop".to_owned(),
        Use::Dryer => "dryer".to_owned(),
        Use::Appliance => "fixed appliance".to_owned(),
        Use::Motor => "motor".to_owned(),
        Use::Cooling => "cooling".to_owned(),
        Use::HeatPump { supplement, .. } => match supplement {
            Some(supplement) => format!("heat pump, supplement {}", supplement.label()),
            None => "heat pump".to_owned(),
        },
        Use::Heat { controls } => match controls {
            Some(controls) => format!("electric heat, {controls} controls"),
            None => "electric heat".to_owned(),
        },
        Use::StorageHeat => "storage heat".to_owned(),
        Use::AirHandler => "blower".to_owned(),
        Use::Ev => "vehicle supply".to_owned(),
    }];
    parts.extend(item.rating.as_ref().map(|rating| rating.label()));
    parts.extend(item.motor.as_ref().map(|motor| format!("motor {}", motor.label())));
    parts.push(
        match item.status {
            Status::Existing => "there",
            Status::Added => "to be added",
            Status::Removed => "to be taken out",
        }
        .to_owned(),
    );
    if !one.unit.is_empty() {
        parts.push(one.unit.clone());
    }
    parts.join(", ")
}

fn demand(one: &DemandRecord) -> String {
    let demand = &one.demand;
    let basis = match demand.basis {
        Basis::Year { interval_min } => format!("a year of {interval_min} min"),
        Basis::Recording { days, interval_min } => format!("{days} days of {interval_min} min"),
    };
    let words = if one.words.is_empty() { String::new() } else { format!(", {}", one.words) };
    format!("{} to {} kW, {basis}{words}", plain(demand.least_kw, 3), plain(demand.most_kw, 3))
}

/// What was written down of the site, by the names of its figures.
fn site(site: &Site) -> String {
    let number = |name: &str, value: Option<f64>, unit: &str| {
        value.map(|value| format!("{name} {} {unit}", plain(value, 1)))
    };
    let count = |name: &str, value: Option<u32>| value.map(|value| format!("{name} {value}"));
    let flag = |name: &str, value: Option<bool>| {
        value.map(|value| format!("{name}: {}", if value { "yes" } else { "no" }))
    };
    let parts = [
        site.work.map(|work| format!("planned: {work:?}")),
        number("service after the work", site.service_a, "A"),
        count("dwellings", site.n_dwellings),
        count("disconnects", site.n_disconnects),
        flag("in one enclosure", site.in_one_enclosure),
        site.outdoor.map(|outdoor| format!("outdoors: {outdoor:?}")),
        flag("surge device", site.surge),
        number("longest extension", site.extension_ft, "ft"),
        flag("outlets added", site.adds_outlets),
        flag("in a bathroom", site.in_bathroom),
        flag("in a closet", site.in_closet),
        flag("over steps", site.over_stairs),
        number("highest handle", site.highest_handle_in, "in"),
        number("space deep", site.space_depth_in, "in"),
        number("space wide", site.space_width_in, "in"),
        number("space high", site.space_height_in, "in"),
        flag("directory whole", site.directory),
        flag("unused openings", site.openings),
        count("neutrals at a terminal", site.neutrals_at_terminal),
        number("fault current by the utility", site.fault_a, "A"),
        number("interrupting rating", site.interrupting_a, "A"),
        flag("interior evaluated", site.interior_evaluated),
        flag("water pipe in earth", site.water_pipe),
        flag("another electrode", site.other_electrode),
        count("rods", site.n_rods),
        number("distance of rods", site.rod_spacing_ft, "ft"),
        flag("intersystem termination", site.intersystem),
    ];
    let circuits = site.new_circuits.iter().map(|one| format!("new circuit {}, {} A", one.name, one.amps));
    let three = site.three_wire.iter().map(|one| format!("three-wire {}", one.name));
    clean(&parts.into_iter().flatten().chain(circuits).chain(three).collect::<Vec<_>>().join("; "))
}
