//! Filling spaces: a tap a circuit.

use crate::html::Form;
use crate::shop::{Shop, pairs_of};
use pages::Route;
use record::Body;

const ACTION: &str = "/jobs/J-1/fill/main";

/// A panel of 24 spaces, split, nothing in it but the breaker that feeds the lower section.
fn split_panel() -> Shop {
    let mut shop = Shop::fresh();
    let form = shop.form(&Route::Panel("J-1".to_owned(), String::new()), "", "/jobs/J-1/panel");
    shop.send(&form.with(&[
        ("spaces", "24"),
        ("main", "split"),
        ("lower", "13"),
        ("feeder", "9"),
        ("feeder-rating", "60"),
    ]));
    shop
}

fn strip(shop: &Shop, query: &str) -> Form {
    shop.form(&Route::Fill("J-1".to_owned(), "main".to_owned()), query, ACTION)
}

/// Goes where the last entry led, makes the choices, taps the button; a tap each.
fn tap(shop: &mut Shop, go: &mut String, choices: &[(&str, &str)], act: &str) -> usize {
    let query = go.split_once('?').map(|(_, query)| query.to_owned()).unwrap_or_default();
    let form = strip(shop, &query).with(choices).by("act", act);
    *go = shop.send(&form).go;
    choices.len() + 1
}

#[test]
fn twenty_four_spaces_take_a_tap_or_two_a_circuit() {
    let mut shop = split_panel();
    let mut go = String::new();
    let mut n_taps = 0;
    // Left column from the top, then the right one; 9 and 11 hold the feeder already.
    for (choices, act) in [
        (vec![], "load:range"),
        (vec![], "load:water heater"),
        (vec![], "load:lights"),
        (vec![], "above"),
        (vec![], "load:kitchen receptacles"),
        (vec![], "above"),
        (vec![], "load:bath receptacles"),
        (vec![], "load:receptacles"),
        (vec![], "load:dryer"),
        (vec![("rating", "40")], "load:air conditioner"),
        (vec![], "load:space heat"),
        (vec![], "load:receptacles"),
        (vec![], "above"),
        (vec![("rating", "20")], "load:receptacles"),
        (vec![], "load:laundry"),
        (vec![], "load:furnace"),
        (vec![], "load:spare"),
    ] {
        n_taps += tap(&mut shop, &mut go, &choices, act);
    }
    assert_eq!(go, "/jobs/J-1/fill/main?done=yes");
    assert_eq!(
        shop.breakers(),
        [
            "1+3 50 range",
            "2+4 30 dryer",
            "5+7 30 water heater",
            "6+8 40 air conditioner",
            "9+11 60 lower section",
            "10+12 20 space heat",
            "13 15 lights",
            "14 15 receptacles",
            "15 15 lights",
            "16 15 receptacles",
            "17 20 kitchen receptacles",
            "18 20 receptacles",
            "19 20 kitchen receptacles",
            "20 20 laundry",
            "21 20 bath receptacles",
            "22 15 furnace",
            "23 15 receptacles",
            "24 20 spare",
        ]
    );
    assert!(shop.view.settled.set_aside.is_empty(), "{:?}", shop.view.settled.set_aside);
    assert_eq!(n_taps, 19, "17 breakers and two other ratings");
}

#[test]
fn a_breaker_sent_as_it_is_shown_stays_what_it_is() {
    let mut shop = Shop::demo();
    let job = shop.view.name.clone();
    let action = format!("/jobs/{job}/fill/main");
    let before: Vec<Body> = shop.used("breaker").into_iter().cloned().collect();
    for body in &before {
        let Body::Breaker(breaker) = body else { continue };
        let query = format!("space={}", breaker.spaces[0].0);
        let form = shop.form(&Route::Fill(job.clone(), "main".to_owned()), &query, &action);
        let entry = shop.send(&form.by("act", "save"));
        assert_eq!(entry.facts.len(), 1);
        assert_eq!(entry.facts[0].body, *body, "space {}", breaker.spaces[0].0);
        assert_eq!(entry.facts[0].supersedes.len(), 1);
    }
    assert_eq!(shop.used("breaker").len(), before.len());
}

#[test]
fn the_last_one_can_be_undone_and_what_it_replaced_stands_again() {
    let mut shop = split_panel();
    let mut go = String::new();
    tap(&mut shop, &mut go, &[], "load:range");
    assert_eq!(shop.breakers()[0], "1+3 50 range");
    let change = strip(&shop, "space=3").with(&[("rating", "40")]).by("act", "save");
    shop.send(&change);
    assert_eq!(shop.breakers()[0], "1+3 40 range", "by its second space, too");
    let undo = |shop: &Shop| {
        let html = shop.page(&Route::Fill("J-1".to_owned(), "main".to_owned()), "");
        crate::html::forms(&html)
            .into_iter()
            .find(|form| form.fields.contains(&("act".to_owned(), "undo".to_owned())))
            .expect("a form that undoes")
    };
    let form = undo(&shop);
    shop.send(&form);
    assert_eq!(shop.breakers()[0], "1+3 50 range");
    let form = strip(&shop, "space=1").by("act", "remove");
    let entry = shop.send(&form);
    assert_eq!(entry.go, "/jobs/J-1/fill/main?space=1");
    assert_eq!(shop.breakers(), ["9+11 60 lower section"]);
}

#[test]
fn what_does_not_fit_is_refused_with_what_is_in_the_way() {
    let mut shop = split_panel();
    let message = |shop: &mut Shop, query: &str, choices: &[(&str, &str)], act: &str| {
        let mut form = strip(shop, query).with(choices);
        form.fields.push(("act".to_owned(), act.to_owned()));
        let refusal = shop.try_send(&form).expect_err("it does not fit");
        assert!(shop.refused(&form, &refusal).contains("Not saved yet"));
        refusal.errors[0].message.clone()
    };
    let taken = message(&mut shop, "space=7", &[("poles", "2")], "load:lights");
    assert!(taken.contains("take 7 and 9, but space 9 holds the 60 A breaker of lower section"), "{taken}");
    let split = message(&mut shop, "space=12", &[], "load:dryer");
    assert!(split.contains("split below space 12"), "{split}");
    let end = message(&mut shop, "space=24", &[], "load:dryer");
    assert!(end.contains("ends too soon"), "{end}");
    let rating = message(&mut shop, "space=1", &[("feeds", "organ blower")], "save");
    assert!(rating.contains("rating on the handle"), "{rating}");
    let none = message(&mut shop, "space=1", &[], "above");
    assert!(none.contains("no breaker above"), "{none}");
    let poles = message(&mut shop, "space=1", &[("poles", "3")], "load:lights");
    assert!(poles.contains("2 legs"), "{poles}");
}

#[test]
fn own_words_and_another_rating() {
    let mut shop = split_panel();
    let words = [
        ("feeds", "kiln, workshop"),
        ("rating-other", "35"),
        ("poles", "2"),
        ("later", "yes"),
        ("handle", "off"),
    ];
    let form = strip(&shop, "space=1").with(&words).by("act", "save");
    shop.send(&form);
    assert_eq!(shop.breakers()[0], "1+3 35 kiln, workshop");
    let page = shop.page(&Route::Fill("J-1".to_owned(), "main".to_owned()), "space=1");
    assert!(page.contains("kiln, workshop") && page.contains(", off") && page.contains(", later"));
    assert_eq!(pairs_of("a=1&b=2").len(), 2);
}

#[test]
fn an_entry_that_waited_for_a_network_stands_beside_what_came_in_meanwhile() {
    let mut shop = split_panel();
    // Two pages are open on two devices; the second one sends after the first one's breaker has arrived.
    let (first, late) = (strip(&shop, "space=1"), strip(&shop, "space=1"));
    shop.send(&first.by("act", "load:range"));
    let late = shop.send(&late.by("act", "load:lights"));
    assert!(late.facts[0].supersedes.is_empty(), "it knew of no breaker there");
    // Both stand; one is used, the other is set aside and named.
    assert_eq!(shop.view.facts.iter().filter(|fact| matches!(fact.body, Body::Breaker(_))).count(), 3);
    assert_eq!(shop.view.settled.set_aside.len(), 1);
    // A page that shows it replaces it.
    let correction = strip(&shop, "space=1").by("act", "load:range");
    assert_eq!(shop.send(&correction).facts[0].supersedes.len(), 1);
}
