//! Forms and screens of the new panel: what they take, what they refuse, and that no branch is offered too early.

use super::*;
use crate::screen::show;
use record::fact::{TerminalTorqued, TorqueFrom};

/// Reads a form, says it again by the fact, and reads that.
fn there_and_back(view: &JobView, kind: EntryKind, pairs: &[(&str, &str)]) -> Body {
    let first = bodies(view, kind, pairs).remove(0);
    let again = (form(kind).pairs)(&first);
    let again: Vec<(&str, &str)> =
        again.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    assert_eq!(bodies(view, kind, &again).remove(0), first, "{again:?}");
    first
}

fn with(view: &JobView, minute: i8, body: Body) -> JobView {
    let fact = Fact::new(date(2025, 11, 19).at(14, minute, 0, 0), Some("JD".to_owned()), Vec::new(), body);
    view_with([view.facts.clone(), vec![fact]].concat())
}

const GOOD: [(&str, &str); 4] =
    [("v-A-B", "241.1"), ("v-A-neutral", "120.6"), ("v-B-neutral", "120.5"), ("v-neutral-ground", "0,1")];

fn step(view: &JobView, minute: i8, more: &[(&str, &str)]) -> JobView {
    let body = there_and_back(view, EntryKind::Energised, &[&GOOD[..], more].concat());
    with(view, minute, body)
}

fn screen(view: &JobView, route: &Route) -> String {
    show(route, &Fields::default(), &context(view)).html
}

#[test]
fn no_branch_is_offered_before_both_stages_are_read() {
    let view = view_of(CASES[0]);
    let route = Route::Proving(view.name.clone());
    let breaker = [("spaces", "13"), ("rating", "15"), ("from", "main/13"), ("protection", "arc-fault")];
    let view = with(&view, 0, there_and_back(&view, EntryKind::Installed, &breaker));
    let html = screen(&view, &route);
    assert!(html.contains("No branch yet") && !html.contains("They are closed"), "{html}");
    assert!(!html.contains("Read with the main closed"), "the supply comes first");
    let view = step(&view, 1, &[("stage", "supply")]);
    let html = screen(&view, &route);
    assert!(html.contains("Read with the main closed") && !html.contains("They are closed"), "{html}");
    let view = step(&view, 2, &[("stage", "main"), ("meter", "meter 4")]);
    let html = screen(&view, &route);
    assert!(html.contains("They are closed") && html.contains("lights, ground floor"), "{html}");
    let view = step(&view, 3, &[("stage", "branches"), ("spaces", "13"), ("a-A", "3.1"), ("a-B", "0")]);
    assert!(screen(&view, &route).contains("No branch is left open"));
}

#[test]
fn a_step_says_what_was_closed_and_what_was_read() {
    let view = view_of(CASES[0]);
    let refused = |pairs: &[(&str, &str)]| wrong(&view, EntryKind::Energised, pairs);
    assert_eq!(refused(&[("stage", "main")]), ["v-A-B"]);
    assert_eq!(refused(&[&GOOD[..], &[("stage", "branches")]].concat()), ["spaces"]);
    assert_eq!(refused(&[&GOOD[..], &[("stage", "supply"), ("spaces", "3")]].concat()), ["spaces"]);
    assert_eq!(refused(&GOOD), ["stage"]);
}

const TORQUE: [(&str, &str); 6] = [
    ("terminal", "pole:13"),
    ("value", "25"),
    ("unit", "lb_in"),
    ("sheet", "maker's sheet, table 1"),
    ("tool", "driver 2"),
    ("calibrated", "2025-06-02"),
];

#[test]
fn a_torque_without_its_source_tool_or_calibration_is_refused() {
    let view = view_of(CASES[0]);
    let body = there_and_back(&view, EntryKind::Torqued, &TORQUE);
    assert!(matches!(&body, Body::Torqued(TerminalTorqued { source: TorqueFrom::Sheet(_), .. })));
    for (left_out, field) in
        [("sheet", "label"), ("tool", "tool"), ("calibrated", "calibrated"), ("value", "value")]
    {
        let without: Vec<_> = TORQUE.iter().copied().filter(|(name, _)| *name != left_out).collect();
        assert_eq!(wrong(&view, EntryKind::Torqued, &without), [field], "{left_out}");
    }
    let both = [&TORQUE[..], &[("label", HASH)]].concat();
    assert_eq!(wrong(&view, EntryKind::Torqued, &both), ["sheet"]);
    let later: Vec<_> = TORQUE
        .iter()
        .map(|&(name, value)| (name, if name == "calibrated" { "2025-11-20" } else { value }))
        .collect();
    assert_eq!(wrong(&view, EntryKind::Torqued, &later), ["calibrated"]);
    // The next one like it has tool, sheet and value there already, and the page says to look at the label.
    let view = with(&view, 0, body);
    let html = page(EntryKind::Torqued, &fields(&[("terminal", "pole:15")]), None, &context(&view)).html;
    assert!(html.contains("does the label say so here") && html.contains("driver 2"), "{html}");
    let html = page(EntryKind::Torqued, &fields(&[("terminal", "lug:A")]), None, &context(&view)).html;
    assert!(!html.contains("value=\"25\""), "a lug is not like a breaker: {html}");
}

#[test]
fn both_hots_on_one_leg_are_told_on_the_screen() {
    let view = view_of(CASES[0]);
    let pairs =
        [("spaces", "1 3"), ("first", "8.2"), ("second", "6.9"), ("neutral", "15"), ("between", "0.2")];
    let view = with(&view, 0, there_and_back(&view, EntryKind::SharedNeutral, &pairs));
    let html = screen(&view, &Route::Proving(view.name.clone()));
    assert!(html.contains("both hots are on one leg"), "{html}");
    assert_eq!(
        wrong(
            &view,
            EntryKind::SharedNeutral,
            &[("spaces", "1"), ("first", "1"), ("second", "1"), ("neutral", "1")]
        ),
        ["spaces"]
    );
}

#[test]
fn the_torque_screen_lists_what_is_missing_one_tap_away() {
    let view = view_of(CASES[0]);
    let body = bodies(&view, EntryKind::Installed, &[("spaces", "13"), ("rating", "15")]).remove(0);
    let view = with(&view, 0, body);
    let html = screen(&view, &Route::Torque(view.name.clone()));
    for terminal in ["lug%3AA", "neutral-lug", "pole%3A13", "ground%3A13"] {
        let terminal = terminal.replace("%3A", ":");
        assert!(
            html.contains(&terminal) || html.contains(&terminal.replace(':', "%3A")),
            "{terminal}: {html}"
        );
    }
}

#[test]
fn readings_trials_permit_and_card_read_back_as_they_were_said() {
    let view = view_of(CASES[0]);
    let reading = [
        ("terminal", "pole:13"),
        ("unit", "f"),
        ("value", "81"),
        ("room", "69"),
        ("amps", "13"),
        ("held", "30"),
    ];
    there_and_back(&view, EntryKind::Verified, &reading);
    assert_eq!(wrong(&view, EntryKind::Verified, &[("terminal", "lug:A")]), ["value"]);
    there_and_back(&view, EntryKind::Tried, &[("space", "13"), ("how", "button"), ("passed", "no")]);
    assert_eq!(wrong(&view, EntryKind::Tried, &[("space", "13"), ("how", "load")]), ["passed"]);
    let permit =
        [("number", "INVENTED-1"), ("circuits", "1=20 3=15"), ("passed", "2025-11-18"), ("rating", "100")];
    there_and_back(&view, EntryKind::Permit, &permit);
    let failed =
        [("number", "INVENTED-1"), ("failed", "2025-11-17"), ("flagged", "labels"), ("flagged", "grounding")];
    there_and_back(&view, EntryKind::Permit, &failed);
    assert_eq!(wrong(&view, EntryKind::Permit, &[("number", "1"), ("flagged", "labels")]), ["failed"]);
    assert_eq!(wrong(&view, EntryKind::Permit, &[("number", "1"), ("flagged", "looks")]), ["flagged"]);
    for bad in ["1", "1=x", "1=20 1=15", "0=20"] {
        assert_eq!(
            wrong(&view, EntryKind::Permit, &[("number", "1"), ("circuits", bad)]),
            ["circuits"],
            "{bad}"
        );
    }
    let card = [("lines", "1: kitchen counter, left\n3: Mom's room"), ("width", "5.5")];
    let body = there_and_back(&view, EntryKind::Card, &card);
    let breaker = bodies(&view, EntryKind::Installed, &[("spaces", "3"), ("rating", "15")]).remove(0);
    let view = with(&with(&view, 0, breaker), 1, body);
    assert!(screen(&view, &Route::Proving(view.name.clone())).contains("hangs on who lives there"));
}
