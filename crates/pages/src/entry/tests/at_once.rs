//! What is asked, refused or offered at the entry itself, and not only told of later.

use super::*;

/// What a form says of each field, refused with these fields.
fn messages(view: &JobView, kind: EntryKind, pairs: &[(&str, &str)]) -> Vec<String> {
    let refusal = read(kind, &fields(pairs), &context(view)).expect_err("it must be refused");
    refusal.errors.into_iter().map(|error| error.message).collect()
}

fn html(view: &JobView, kind: EntryKind, pairs: &[(&str, &str)]) -> String {
    page(kind, &fields(pairs), None, &context(view)).html
}

fn taken(view: &JobView, kind: EntryKind, pairs: &[(&str, &str)]) -> (JobView, String) {
    let entry = read(kind, &fields(pairs), &context(view)).expect("it can be taken");
    (view_with([view.facts.clone(), entry.facts].concat()), entry.go)
}

#[test]
fn a_current_that_its_breaker_cannot_carry_is_kept_and_asked_about_on_the_next_page() {
    let view = view_of(CASES[0]);
    let clamp = |amps| [("place", "main/1"), ("amps", amps), ("cover", "yes"), ("then", "next")];
    let (after, go) = taken(&view, EntryKind::Clamp, &clamp("250"));
    assert!(go.ends_with("#here"), "{go}");
    let next = html(&after, EntryKind::Clamp, &[("place", "main/2")]);
    assert!(next.contains("250 A is 5 times the 50 A of breaker 1"), "{next}");
    assert!(next.contains("Undo") && next.contains("/enter/take-back"), "{next}");
    let (after, _) = taken(&view, EntryKind::Clamp, &clamp("40"));
    let next = html(&after, EntryKind::Clamp, &[("place", "main/2")]);
    assert!(!next.contains("right?") && next.contains("Last: <strong>Space 1</strong>, 40 A"), "{next}");
}

/// The answers come before what is rarely changed, and each page of a series says what was last.
#[test]
fn a_touch_shows_the_last_one_and_its_answers_before_the_rest() {
    let view = view_of(CASES[0]);
    let (after, go) = taken(
        &view,
        EntryKind::Touch,
        &[("place", "main/13"), ("feel", "warm"), ("state", "breakfast"), ("then", "yes")],
    );
    assert!(go.contains("/enter/touch?place=") && go.ends_with("#here"), "{go}");
    let next = html(&after, EntryKind::Touch, &[("place", "main/14"), ("state", "breakfast")]);
    assert!(next.contains("Last: <strong>Space 13</strong>, warm") && next.contains("Undo"), "{next}");
    assert!(next.contains("<details class=\"more\"><summary>Another face"), "folded: {next}");
}

#[test]
fn a_drop_across_legs_or_below_zero_is_refused_with_what_would_be_right() {
    let view = view_of(CASES[0]);
    let drop =
        |from, to, mv| [("from", from), ("to", to), ("mv", mv), ("cover", "yes"), ("state", "breakfast")];
    let said = messages(&view, EntryKind::Drop, &drop("main/load:13", "main/load:15", "12"));
    assert!(
        said.len() == 1 && said[0].contains("is on leg A") && said[0].contains("is on leg B"),
        "{said:?}"
    );
    let said = messages(&view, EntryKind::Drop, &drop("main/load:23", "main/load:15", "-120"));
    assert!(said.len() == 1 && said[0].contains("Swap them"), "{said:?}");
    assert_eq!(bodies(&view, EntryKind::Drop, &drop("main/load:23", "main/load:15", "-1")).len(), 1);
}

#[test]
fn a_drop_is_offered_an_idle_tap_of_its_leg_and_the_current_as_clamped() {
    let view = view_of(CASES[0]);
    let state = ("state", "kettle and toaster oven at once");
    let offered = html(&view, EntryKind::Drop, &[("place", "main/15"), state]);
    // Space 16 carries 0.4 A then, and lies across from 15.
    assert!(offered.contains("value=\"main/load:16\" selected"), "{offered}");
    assert!(offered.contains("As clamped with this load state: 18.4 A"), "{offered}");
    assert!(!offered.contains("main/load:13"), "another leg: {offered}");
    assert!(offered.contains("Save drop and next"));
    let all = html(&view, EntryKind::Drop, &[]);
    assert!(all.contains("main/load:13") && all.contains("main/load:16"));
}

#[test]
fn only_temperatures_have_a_key_for_the_sign() {
    let view = view_of(CASES[0]);
    let signed = |kind| html(&view, kind, &[]).contains("data-key=\"sign\"");
    assert!(signed(EntryKind::Temperature) && signed(EntryKind::State));
    assert!(!signed(EntryKind::Clamp) && !signed(EntryKind::Breaker));
}

#[test]
fn a_rating_that_is_not_made_is_asked_about_at_its_field() {
    let view = view_of(CASES[0]);
    let breaker = |rating| [("panel", "main"), ("spaces", "10"), ("rating_a", rating)];
    assert_eq!(wrong(&view, EntryKind::Breaker, &breaker("12.5")), ["rating_a"]);
    let sure = [&breaker("12.5")[..], &[("rating_sure", "yes")]].concat();
    assert_eq!(bodies(&view, EntryKind::Breaker, &sure).len(), 1);
    assert_eq!(bodies(&view, EntryKind::Breaker, &breaker("35")).len(), 1);
}

#[test]
fn a_house_of_two_square_feet_is_refused() {
    let view = view_of(CASES[0]);
    let said = messages(&view, EntryKind::Dwelling, &[("floor_ft2", "1.65")]);
    assert!(said.len() == 1 && said[0].contains("as in 1650"), "{said:?}");
    assert_eq!(bodies(&view, EntryKind::Dwelling, &[("floor_ft2", "1650")]).len(), 1);
}

#[test]
fn a_nameplate_takes_a_comma_and_is_refused_without_marks_of_code() {
    let view = view_of(CASES[0]);
    let plate = |text| [("what", "dryer"), ("rating", text)];
    let of = |text| bodies(&view, EntryKind::Appliance, &plate(text));
    assert_eq!(of("5,4 kW"), of("5.4 kW"));
    let said = messages(&view, EntryKind::Appliance, &plate("much"));
    assert!(said.len() == 1 && !said[0].contains('`'), "{said:?}");
    let said = messages(&view, EntryKind::Appliance, &plate("1,250 W"));
    assert!(said.len() == 1 && said[0].contains("1250 W or 1.250 W"), "{said:?}");
}

#[test]
fn a_plan_has_one_tile_a_breaker_and_what_the_call_told() {
    let view = view_of(CASES[0]);
    let told = record::fact::CallTaken {
        answers: [("alarms", "no"), ("people", "frail")]
            .map(|(question, answer)| {
                AsText(model::job::CallAnswer { question: question.to_owned(), answer: answer.to_owned() })
            })
            .to_vec(),
        words: String::new(),
    };
    let call = Fact::new(date(2025, 11, 19).at(8, 0, 0, 0), None, Vec::new(), told.into());
    let view = view_with([view.facts.clone(), vec![call]].concat());
    let plan = html(&view, EntryKind::Interim, &[]);
    assert!(
        plan.contains("name=\"off\" value=\"main/1\"") && !plan.contains("name=\"off\" value=\"main/3\""),
        "{plan}"
    );
    assert!(plan.contains("Told on the call: no smoke alarm works"), "{plan}");
    assert!(plan.contains("somebody there is old, ill or slow to get out"), "{plan}");
}
