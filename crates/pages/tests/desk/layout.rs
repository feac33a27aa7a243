//! The page of the new panel: a circuit that is added is picked up and put down like another, without script.

use crate::html::forms;
use crate::shop::{CASE, Shop};
use jiff::civil::date;
use pages::Route;

fn shop() -> Shop {
    let new = "\n[site]\n[[site.new_circuit]]\nname = \"car - garage\"\namps = 40\nis_120_v = false\n";
    let reading = record::read_job("case", &format!("{CASE}{new}"), date(2026, 1, 1));
    assert!(reading.job.is_some(), "{:?}", reading.problems);
    // The case has a choice of a later day than the shop of these tests.
    Shop::of(reading.facts.into_iter().filter(|fact| fact.body.kind() != "arrangement").collect())
}

/// The query of the link of a space.
fn link(html: &str, space: u16) -> String {
    let before = html.split_once(&format!("\" data-space=\"{space}\"")).expect("the space").0;
    let address = before.rsplit_once("href=\"").expect("a link").1.replace("&amp;", "&");
    let query = address.split_once('?').expect("a query").1.split('#').next().unwrap_or_default();
    query.replace("%20", " ")
}

#[test]
fn a_new_circuit_is_put_by_two_taps_and_chosen_with_its_lock() {
    let mut shop = shop();
    let route = Route::Layout(shop.view.name.clone());
    let page = shop.page(&route, "spaces=42");
    assert!(page.contains("data-from=\"new:car - garage\""), "a grip of its own");
    let at = (1..=42)
        .find(|&space| link(&page, space).contains("pick=new:car - garage"))
        .expect("it can be picked up");
    let to = if at == 5 { 9 } else { 5 };
    let picked = shop.page(&route, &link(&page, at));
    assert!(picked.contains("In hand: </strong>new: car - garage"), "{picked}");
    let put = shop.page(&route, &link(&picked, to));
    assert!(put.contains(&format!("Decided by hand: new car - garage into {to}")), "{put}");
    assert!(put.contains(&format!("new: car - garage into {to}/{}: decided by hand.", to + 2)), "{put}");
    let form = forms(&put).into_iter().rfind(|form| form.action == route.to_string()).expect("the choice");
    shop.send(&form.with(&[("words", "beside the garage")]));
    let chosen = shop.used("arrangement");
    let text = format!("{:?}", chosen.last().expect("chosen"));
    assert!(text.contains("new: Some(\"car - garage\")"), "{text}");
    // It comes up again with its lock, which can be given up.
    let again = shop.page(&route, "");
    assert!(again.contains(&format!("Decided by hand: new car - garage into {to}")), "{again}");
    // Where it cannot be, the page says so and how to go on.
    let refused = shop.page(&route, "spaces=42&lock=new:car - garage-42");
    assert!(
        refused.contains("Not laid out: </strong>the new circuit car - garage cannot go into space 42"),
        "{refused}"
    );
    assert!(refused.contains("Let every circuit move again"), "{refused}");
}
