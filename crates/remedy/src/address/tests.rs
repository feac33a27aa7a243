//! Tests of the cards.

use super::*;
use jiff::civil::date;

#[test]
fn the_demo_cards_are_invented_and_come_back_from_their_text() {
    let cards = Cards::demo();
    assert!(
        cards.all().len() == 2
            && cards.all().iter().all(|card| card.invented && card.name.contains("invented"))
    );
    assert_eq!(Cards::read(&cards.write()), Ok(cards));
}

#[test]
fn a_card_holds_for_its_towns_and_an_invented_one_for_invented_jobs_alone() {
    let cards = Cards::demo();
    let found = |town, invented| cards.of_town(CardKind::Utility, town, invented);
    assert!(matches!(found(" quenmarsh ", true), Found::One(card) if card.id == "quenmarsh-light"));
    assert_eq!(found("Quenmarsh", false), Found::None);
    assert_eq!(found("", true), Found::None);
    let again = Card { id: "other".to_owned(), ..cards.all()[0].clone() };
    assert!(
        matches!(cards.with(again).of_town(CardKind::Utility, "Quenmarsh", true), Found::Several(two) if two.len() == 2)
    );
}

#[test]
fn a_card_is_old_after_a_year() {
    let cards = Cards::demo();
    let card = &cards.all()[0];
    assert!(!card.is_old(date(2026, 9, 14)) && card.is_old(date(2026, 9, 15)));
}

#[test]
fn every_mistake_is_told_at_once() {
    let text = "[[card]]\nid = \"A b\"\nkind = \"bank\"\ntold = \"yesterday\"\ncut_from = \"8\"\nhours_from = \"10:00\"\n\
                hours_to = \"09:00\"\nfee_usd = \"-1\"\nreconnect = \"soon\"\nnotice_days = 900\n";
    let bad = Cards::read(text).expect_err("all of it is wrong");
    let fields: Vec<&str> = bad.iter().map(|one| one.field).collect();
    for field in [
        "id",
        "kind",
        "name",
        "towns",
        "source",
        "told",
        "cut_from",
        "cut_to",
        "hours_to",
        "fee_usd",
        "reconnect",
        "notice_days",
    ] {
        assert!(fields.contains(&field), "{field}: {bad:?}");
    }
    let unknown = Cards::read("[[card]]\nfee = \"1\"\n").expect_err("no such field");
    assert!(unknown[0].message.contains("fee"), "{unknown:?}");
}

#[test]
fn working_days_leave_out_the_week_end() {
    // 2026-12-07 is a Monday.
    assert_eq!(working_days_before(date(2026, 12, 7), 3), Some(date(2026, 12, 2)));
    assert_eq!(working_days_before(date(2026, 12, 4), -1), Some(date(2026, 12, 7)));
    assert_eq!(working_days_before(date(2026, 12, 6), 0), Some(date(2026, 12, 6)));
}

#[test]
fn a_new_card_gets_a_name_of_its_own() {
    let cards = Cards::demo();
    assert_eq!(cards.new_id("Quenmarsh Light"), "quenmarsh-light-2");
    assert_eq!(cards.new_id("–"), "card");
}
