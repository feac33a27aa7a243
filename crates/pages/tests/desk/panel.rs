//! Describing a panel.

use crate::shop::Shop;
use pages::Route;
use record::Body;
use record::fact::FeedDescribed;

fn new_panel(shop: &Shop) -> crate::html::Form {
    shop.form(&Route::Panel("J-1".to_owned(), String::new()), "", "/jobs/J-1/panel")
}

#[test]
fn a_split_bus_panel_is_described_with_the_breaker_that_feeds_its_lower_section() {
    let mut shop = Shop::fresh();
    let form = new_panel(&shop);
    let entry = shop.send(&form.with(&[
        ("place", "garage"),
        ("spaces", "24"),
        ("main", "split"),
        ("lower", "14"),
        ("feeder", "9"),
        ("feeder-rating", "60"),
    ]));
    assert_eq!(entry.go, "/jobs/J-1/fill/main");
    let [Body::Panel(panel)] = shop.used("panel")[..] else { panic!("one panel") };
    let rows: Vec<[u16; 2]> = panel.sections.iter().map(|section| section.rows).collect();
    assert_eq!((panel.spaces, panel.columns, rows), (24, 2, vec![[1, 6], [7, 12]]));
    assert_eq!(panel.sections[0].feed, FeedDescribed::Lugs);
    assert_eq!(shop.breakers(), ["9+11 60 lower section"]);
    let job = shop.view.settled.job.as_ref().expect("a job");
    assert!(job.installation.panels[0].lacks_single_main());
    assert!(shop.view.settled.set_aside.is_empty(), "{:?}", shop.view.settled.set_aside);
}

#[test]
fn a_described_panel_sent_as_it_is_shown_changes_nothing() {
    let mut shop = Shop::demo();
    let job = shop.view.name.clone();
    let action = format!("/jobs/{job}/panel/main");
    let form = shop.form(&Route::Panel(job, "main".to_owned()), "", &action);
    let entry = shop.send(&form);
    assert!(entry.facts.is_empty(), "{:?}", entry.facts);
    let entry = shop.send(&form.with(&[("year", "1967")]));
    assert_eq!(entry.facts.len(), 1);
    let [Body::Panel(panel)] = shop.used("panel")[..] else { panic!("the old one is superseded") };
    assert_eq!(panel.year, Some(1967));
    assert!(panel.cabinet.width.is_some(), "what the form does not ask stays");
    assert!(!panel.sections[1].feeder.is_blank(), "what the form does not ask stays");
}

#[test]
fn a_main_breaker_and_a_sub_panel() {
    let mut shop = Shop::fresh();
    let form = new_panel(&shop);
    shop.send(&form.with(&[("spaces", "20"), ("main", "breaker"), ("main-rating", "100")]));
    let fill = shop.form(&Route::Fill("J-1".to_owned(), "main".to_owned()), "space=1", "/jobs/J-1/fill/main");
    shop.send(&fill.with(&[("feeds", "sub-panel"), ("rating", "60"), ("poles", "2"), ("act", "save")]));
    let form = new_panel(&shop);
    assert!(
        form.fields.contains(&("main".to_owned(), "sub".to_owned())),
        "a further panel is a sub-panel first"
    );
    shop.send(&form.with(&[("panel", "shed"), ("spaces-other", "6"), ("fed-by", "main/1")]));
    let job = shop.view.settled.job.as_ref().expect("a job");
    let panels: Vec<(&str, u16)> =
        job.installation.panels.iter().map(|panel| (panel.id.as_str(), panel.n_spaces)).collect();
    assert_eq!(panels, [("main", 20), ("shed", 6)]);
    assert!(shop.view.settled.set_aside.is_empty(), "{:?}", shop.view.settled.set_aside);
}

#[test]
fn what_cannot_be_is_refused_at_its_field() {
    let mut shop = Shop::fresh();
    let form = new_panel(&shop);
    let mut refused = |changes: &[(&str, &str)]| -> Vec<(String, String)> {
        let refusal = shop.try_send(&form.clone().with(changes)).expect_err("wrong");
        refusal.errors.into_iter().map(|error| (error.field, error.message)).collect()
    };
    let named =
        |errors: &[(String, String)]| errors.iter().map(|(field, _)| field.clone()).collect::<Vec<_>>();
    assert_eq!(named(&refused(&[])), ["spaces", "main"]);
    let errors = refused(&[("spaces", "24")]);
    assert!(errors[0].1.contains("split bus or lugs only"), "{errors:?}");
    let errors = refused(&[("spaces", "24"), ("main", "split")]);
    assert_eq!(named(&errors), ["lower", "feeder", "feeder-rating"]);
    let errors = refused(&[
        ("spaces", "24"),
        ("main", "split"),
        ("lower", "13"),
        ("feeder", "11"),
        ("feeder-rating", "60"),
    ]);
    assert!(errors[0].1.contains("below 10"), "{errors:?}");
    let errors = refused(&[("spaces", "24"), ("main", "lugs"), ("first-leg", "C")]);
    assert_eq!(named(&errors), ["first-leg"]);
}
