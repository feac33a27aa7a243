//! What the code book asks, on forms: what a form shows reads back, and a correction replaces what it corrects.

use crate::shop::{CASE, Shop};
use pages::{EntryKind, Route};
use record::Body;

const MORE: &str = r#"
[adoption]
place = "Quenmarsh"
permit = 2026-03-10

[[adoption.edition]]
edition = 2017
from = 2018-07-01
document = "Ordinance 4 of 2018"

[[adoption.edition]]
edition = 2020
from = 2022-01-01
document = "Ordinance 7 of 2021"

[[adoption.amendment]]
rule = "service.least"
edition = 2020
from = 2022-01-01
number = 125
document = "Ordinance 7 of 2021"
section = "5"

[[adoption.amendment]]
rule = "disconnect.outdoor"
edition = 2020
from = 2022-01-01
absent = true
document = "Ordinance 7 of 2021"
section = "3(b)"
note = "to be looked at again"

[dwelling]
unit = "upper"
floor_ft2 = 1640.5
adaptable_ft2 = 0
adaptable_garage_ft2 = 220
small_appliance_circuits = 2
laundry_circuits = 1

[[dwelling.managed]]
name = "garage"
limit_a = 40
listed = true

[[dwelling.managed]]
name = "cellar"

[[appliance]]
name = "heat pump"
unit = "upper"
what = "heat-pump"
rating = "19 A at 240 V"
wires = "leg-to-leg"
motor = "4000 VA"
supplement = "5 kW"
together = false
status = "added"
managed = "garage"

[[appliance]]
name = "baseboards"
what = "heat"
controls = 5

[demand]
least_kw = 5.18
most_kw = 20.72
interval_min = 60
days = 31
own_generation = false
occupied = true
season_included = true
power_factor = 0.95
words = "meter data"

[site]
work = "none"
outdoor = "emergency"
dwellings = 2
disconnects = 1
neutrals_at_terminal = 1
rods = 2
service_a = 200
extension_ft = 4.5
highest_handle_in = 66
space_depth_in = 40
space_width_in = 34
space_height_in = 90
fault_a = 9800
interrupting_a = 10000
rod_spacing_ft = 8
in_one_enclosure = true
surge = false
adds_outlets = false
in_bathroom = false
in_closet = false
over_stairs = false
directory = true
openings = false
interior_evaluated = true
water_pipe = true
other_electrode = false
intersystem = true

[[site.new_circuit]]
name = "bedrooms"
amps = 20
area = "living"

[[site.new_circuit]]
name = "well pump"
amps = 30
is_120_v = false
receptacles = false

[[site.three_wire]]
name = "range"
neutral = "insulated"
metal = "copper"

[[site.three_wire]]
name = "dryer"
"#;

fn shop() -> Shop {
    let reading = record::read_job("case", &format!("{CASE}{MORE}"), jiff::civil::date(2026, 1, 1));
    assert!(!reading.facts.is_empty(), "{:?}", reading.problems);
    Shop::of(reading.facts)
}

const KINDS: [(EntryKind, &str); 5] = [
    (EntryKind::Adoption, "adoption"),
    (EntryKind::Dwelling, "dwelling"),
    (EntryKind::Appliance, "appliance"),
    (EntryKind::Demand, "demand"),
    (EntryKind::Site, "site"),
];

#[test]
fn what_a_form_shows_reads_back_whole() {
    for (kind, word) in KINDS {
        let n = shop().used(word).len();
        for idx in 0..n {
            let mut shop = shop();
            let before: Vec<Body> = shop.used(word).into_iter().cloned().collect();
            let facts = shop.view.facts.iter().filter(|fact| fact.body.kind() == word);
            let id = facts.map(|fact| fact.id().to_string()).nth(idx).expect("a fact");
            let route = Route::Enter(shop.view.name.clone(), kind);
            let form = shop.form(&route, &format!("supersedes={id}"), &route.to_string());
            let sent = shop.send(&form);
            assert_eq!(sent.facts.len(), 1, "{word}");
            assert_eq!(sent.facts[0].body, before[idx], "{word}");
            // What is corrected is replaced, and nothing else.
            assert_eq!(shop.used(word).len(), n, "{word}");
        }
    }
}

#[test]
fn mistakes_are_told_at_their_field() {
    let mut shop = shop();
    let name = shop.view.name.clone();
    let route = |kind| Route::Enter(name.clone(), kind);
    for (kind, fields, wrong) in [
        (EntryKind::Appliance, vec![("what", "appliance"), ("rating", "4500")], "rating"),
        (EntryKind::Appliance, vec![("what", "range"), ("controls", "3")], "controls"),
        (EntryKind::Dwelling, vec![("managed", "garage; 40")], "managed"),
        (EntryKind::Demand, vec![("least_kw", "9"), ("most_kw", "5"), ("interval_min", "60")], "most_kw"),
        (EntryKind::Adoption, vec![("place", "x"), ("from", "2020-01-01"), ("document", "y")], "edition"),
        (
            EntryKind::Adoption,
            vec![
                ("place", "x"),
                ("edition", "2020"),
                ("from", "2020-01-01"),
                ("document", "y"),
                ("amendments", "2019; service.least = 125; 2020-01-01; y; 5"),
            ],
            "amendments",
        ),
        (EntryKind::Site, vec![("new_circuits", "bedrooms; 20; attic; 120; receptacles")], "new_circuits"),
        (EntryKind::Site, vec![("service_a", "5000")], "service_a"),
    ] {
        let at = route(kind);
        let form = shop.form(&at, "", &at.to_string()).with(&fields);
        let refusal = shop.try_send(&form).expect_err(wrong);
        assert!(refusal.errors.iter().any(|error| error.field == wrong), "{wrong}: {refusal:?}");
    }
}

#[test]
fn a_second_appliance_of_one_name_replaces_the_first() {
    let mut shop = shop();
    let route = Route::Enter(shop.view.name.clone(), EntryKind::Appliance);
    let n = shop.used("appliance").len();
    let form = shop.form(&route, "", &route.to_string());
    shop.send(&form.with(&[("what", "heat"), ("name", "baseboards"), ("rating", "6 kW"), ("controls", "4")]));
    assert_eq!(shop.used("appliance").len(), n);
    let page = shop.page(&Route::Code(shop.view.name.clone()), "");
    assert!(page.contains("6 kW"), "{page}");
}
