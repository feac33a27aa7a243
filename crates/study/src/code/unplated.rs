//! Circuits on record that a load calculation counts by nameplate, while no appliance with a nameplate was recorded for them.
//! Each is put in without its figure, so that it is asked for by name and nothing is computed meanwhile.

use model::breaker::{Breaker, LoadClass};
use model::dwelling::{Item, Status, Use, UseKind, Wires};
use model::job::Job;

/// Words that say where something is, not what it is.
const PLACES: [&str; 14] = [
    "attic", "basement", "bath", "bathroom", "bedroom", "cellar", "floor", "garage", "hall", "kitchen",
    "laundry", "office", "outside", "room",
];

/// One item a circuit that has none, in the order of the panels. Appliances that are to be added have no circuit yet.
pub(super) fn unplated(job: &Job) -> Vec<Item> {
    let there = job.premises.appliances.iter().map(|appliance| &appliance.item);
    let mut left: Vec<&Item> = there.filter(|item| item.status != Status::Added).collect();
    let mut bare: Vec<(&Breaker, LoadClass)> = Vec::new();
    let circuits = job.installation.breakers().filter_map(|(_, breaker)| {
        let class = breaker.circuit.as_ref()?.class?;
        put_in(class).map(|_| (breaker, class))
    });
    // Who shares a word with an appliance has the first claim on it.
    for (breaker, class) in circuits {
        let own = left.iter().position(|item| belongs(item, class) && share_a_word(item, breaker));
        match own {
            Some(idx) => take(&mut left, idx),
            None => bare.push((breaker, class)),
        }
    }
    let mut missing = Vec::new();
    for (breaker, class) in bare {
        match left.iter().position(|item| belongs(item, class) && tells_by_kind(item)) {
            Some(idx) => take(&mut left, idx),
            None => missing.extend(put_in(class).map(|kind| without_figure(breaker, kind))),
        }
    }
    missing
}

/// An appliance stands for one circuit; a heat pump for those of its compressor and of its heat.
fn take(left: &mut Vec<&Item>, idx: usize) {
    if left[idx].kind.kind() != UseKind::HeatPump {
        left.remove(idx);
    }
}

/// As what a circuit enters the calculation; `None` where it enters by area or number, or not at all.
fn put_in(class: LoadClass) -> Option<Use> {
    match class {
        LoadClass::Dryer => Some(Use::Dryer),
        LoadClass::Cooking => Some(Use::Range),
        LoadClass::WaterHeater => Some(Use::Appliance),
        LoadClass::Cooling => Some(Use::Cooling),
        LoadClass::SpaceHeat => Some(Use::Heat { controls: None }),
        LoadClass::Vehicle => Some(Use::Ev),
        LoadClass::Motor => Some(Use::Motor),
        LoadClass::General
        | LoadClass::SmallAppliance
        | LoadClass::Feeder
        | LoadClass::Source
        | LoadClass::Spare => None,
    }
}

/// Can this be what a circuit of the class feeds?
fn belongs(item: &Item, class: LoadClass) -> bool {
    let kind = item.kind.kind();
    match class {
        LoadClass::Dryer => kind == UseKind::Dryer,
        LoadClass::Cooking => matches!(kind, UseKind::Range | UseKind::WallOven | UseKind::Cooktop),
        LoadClass::WaterHeater => kind == UseKind::Appliance,
        LoadClass::Cooling => matches!(kind, UseKind::Cooling | UseKind::HeatPump),
        LoadClass::SpaceHeat => matches!(kind, UseKind::Heat | UseKind::StorageHeat | UseKind::HeatPump),
        LoadClass::Vehicle => kind == UseKind::Ev,
        LoadClass::Motor => matches!(kind, UseKind::Motor | UseKind::AirHandler | UseKind::Appliance),
        _ => false,
    }
}

/// Does what it is say enough, without its name? A dishwasher must not stand for a water heater, nor a pump for a furnace.
fn tells_by_kind(item: &Item) -> bool {
    !matches!(item.kind.kind(), UseKind::Appliance | UseKind::Motor)
}

fn share_a_word(item: &Item, breaker: &Breaker) -> bool {
    let feeds = breaker.circuit.as_ref().map_or("", |circuit| circuit.feeds.as_str());
    let of_circuit = words(feeds);
    words(&item.name).iter().any(|word| of_circuit.contains(word))
}

fn words(text: &str) -> Vec<String> {
    let words = text.split(|mark: char| !mark.is_alphanumeric()).map(str::to_lowercase);
    words.filter(|word| 3 < word.chars().count() && !PLACES.contains(&word.as_str())).collect()
}

fn without_figure(breaker: &Breaker, kind: Use) -> Item {
    let feeds = breaker.circuit.as_ref().map_or("", |circuit| circuit.feeds.trim());
    let spaces = remedy::words::spaces_label(breaker);
    let name =
        if feeds.is_empty() { format!("breaker {spaces}") } else { format!("{feeds}, breaker {spaces}") };
    Item {
        name,
        kind,
        rating: None,
        wires: (breaker.n_poles() == 1).then_some(Wires::LineToNeutral),
        motor: None,
        status: Status::Existing,
        managed: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::job;
    use model::dwelling::{Appliance, Rating};

    /// The invented house with a dryer, a range and a furnace, and these appliances on record.
    fn asked(items: Vec<Item>) -> Vec<String> {
        let mut job = job(1);
        let (fact, at) = (model::FactId::new("a"), crate::sample::DAY.at(9, 0, 0, 0));
        job.premises.appliances = items
            .into_iter()
            .map(|item| Appliance { fact: fact.clone(), at, unit: String::new(), item })
            .collect();
        unplated(&job).into_iter().map(|item| item.name).collect()
    }

    fn plate(name: &str, kind: Use) -> Item {
        Item::new(name, kind, Rating::Va(1200.0))
    }

    #[test]
    fn a_circuit_without_a_nameplate_is_asked_for_by_name() {
        assert_eq!(asked(vec![plate("range", Use::Range)]), ["dryer, breaker 7/9", "furnace, breaker 8"]);
        assert!(
            asked(vec![
                plate("cooker", Use::Range),
                plate("clothes dryer", Use::Dryer),
                plate("blower", Use::AirHandler),
            ])
            .is_empty()
        );
    }

    #[test]
    fn another_appliance_does_not_stand_for_it() {
        let others = vec![
            plate("range", Use::Range),
            plate("dryer", Use::Dryer),
            plate("dishwasher", Use::Appliance),
            plate("well pump", Use::Motor),
        ];
        assert_eq!(asked(others.clone()), ["furnace, breaker 8"]);
        let mut gone = others.clone();
        gone.push(Item { status: Status::Removed, ..plate("old furnace", Use::Motor) });
        assert!(asked(gone).is_empty());
        let mut planned = others;
        planned.push(plate("furnace", Use::Motor).added());
        assert_eq!(asked(planned), ["furnace, breaker 8"]);
    }

    /// No method gives a load while the dryer's figure is missing, and each asks for it.
    #[test]
    fn no_load_is_given_without_it() {
        let mut job = job(1);
        let book = codebook::Book::built_in();
        let law = book.edition(codebook::Edition::Y2020);
        let sheets = |job: &Job| -> Vec<_> {
            crate::code::loads(&law, job).rows().map(|(_, row)| row.sheet.clone()).collect()
        };
        assert!(sheets(&job).iter().all(Result::is_ok));
        job.premises.appliances.retain(|appliance| appliance.item.kind != Use::Dryer);
        for sheet in sheets(&job) {
            let Err(codebook::load::Blocked::Ask(asked)) = sheet else { unreachable!("{sheet:?}") };
            assert!(asked.iter().any(|one| one.subject == "dryer, breaker 7/9"), "{asked:?}");
        }
    }
}
