//! A call opens a job and says what to tell.

use crate::html::forms;
use crate::shop::Shop;
use pages::Route;
use record::Body;

#[test]
fn a_call_opens_a_job_and_says_at_once_what_to_tell() {
    let mut shop = Shop::of(Vec::new());
    let form = shop.form(&Route::New, "", "/new").with(&[
        ("words", "Half the house went and the rest is too bright."),
        ("of", "dim-bright"),
        ("place", "3 Withy Lane"),
        ("a-lights", "see-saw"),
    ]);
    let entry = shop.send(&form);
    assert_eq!(entry.go, format!("/jobs/{}/call", entry.job));
    assert!(entry.job.starts_with("2025-11-18-") && entry.job.len() == 15, "{}", entry.job);
    let kinds: Vec<&str> = entry.facts.iter().map(|fact| fact.body.kind()).collect();
    assert_eq!(kinds, ["job", "complaint", "call"]);
    let page = shop.page(&Route::Call(entry.job.clone()), "");
    assert!(page.contains("Call your power company now"), "the see-saw cannot wait");
    assert!(page.contains("sms:?&amp;body=Call%20your%20power"), "and can be sent");
}

#[test]
fn smoke_is_told_first_whatever_else_is_said() {
    let mut shop = Shop::of(Vec::new());
    let mut form =
        shop.form(&Route::New, "", "/new").with(&[("place", "3 Withy Lane"), ("a-lights", "flicker")]);
    form.fields.push(("a-danger".to_owned(), "smoke".to_owned()));
    form.fields.push(("a-danger".to_owned(), "none".to_owned()));
    let entry = shop.send(&form);
    let page = shop.page(&Route::Call(entry.job), "");
    assert!(page.contains("Get everyone out now"), "{page}");
}

#[test]
fn the_same_entry_names_the_same_job_and_another_entry_another() {
    let name = |entry: &str| {
        let shop = Shop::of(Vec::new());
        let form = shop.form(&Route::New, "", "/new").with(&[("place", "3 Withy Lane"), ("entry", entry)]);
        shop.clone().send(&form).job
    };
    assert_eq!(name("e1"), name("e1"));
    assert_ne!(name("e1"), name("e2"));
}

#[test]
fn an_empty_sheet_is_refused_and_what_was_typed_is_kept() {
    let mut shop = Shop::of(Vec::new());
    let form =
        shop.form(&Route::New, "", "/new").with(&[("town", "Quenmarsh"), ("job", "a b"), ("at", "noon")]);
    let refusal = shop.try_send(&form).expect_err("nothing was said");
    let named: Vec<&str> = refusal.errors.iter().map(|error| error.field.as_str()).collect();
    assert_eq!(named, ["at", "job", "words"]);
    let page = shop.refused(&form, &refusal);
    assert!(page.contains(r##"href="#f-words""##) && page.contains(r#"id="f-words""#));
    let again = forms(&page).into_iter().find(|form| form.action == "/new").expect("the form again");
    assert!(again.fields.contains(&("town".to_owned(), "Quenmarsh".to_owned())));
    assert!(again.fields.contains(&("job".to_owned(), "a b".to_owned())));
}

#[test]
fn answers_can_be_corrected_and_nothing_is_written_where_nothing_changed() {
    let mut shop = Shop::fresh();
    let here = Route::Call("J-1".to_owned());
    let form = shop.form(&here, "", "/jobs/J-1/call");
    assert!(shop.send(&form).facts.is_empty(), "sent as it was shown");
    let entry = shop.send(&form.with(&[("a-smell", "fishy"), ("town", "Quenmarsh")]));
    assert_eq!(entry.facts.len(), 2);
    let form = shop.form(&here, "", "/jobs/J-1/call");
    assert!(form.fields.contains(&("a-smell".to_owned(), "fishy".to_owned())));
    assert!(shop.send(&form).facts.is_empty(), "sent as it was shown, again");
    shop.send(&form.with(&[("a-smell", "none")]));
    let [Body::Call(call)] = shop.used("call")[..] else { panic!("one call, corrected") };
    assert_eq!(call.answers.len(), 1);
    assert_eq!(shop.used("job").len(), 1);
}

/// What the caller said of other sources stands beside each on the page of the isolation; it rules nothing out.
#[test]
fn the_callers_word_on_other_sources_stands_beside_them_and_rules_nothing_out() {
    let sources = |said: &str| {
        let mut shop = Shop::demo();
        let job = shop.view.name.clone();
        let form = shop.form(&Route::Call(job.clone()), "", &format!("/jobs/{job}/call"));
        let mut form = form.clone();
        form.fields.retain(|(name, _)| name != "a-sources");
        form.fields.push(("a-sources".to_owned(), said.to_owned()));
        shop.send(&form);
        shop.page(&Route::Isolation(job), "")
    };
    let none = sources("none");
    assert_eq!(none.matches("the caller knows of none, not looked for: counts as live").count(), 3);
    assert!(none.contains("□ not looked for: counts as live"), "nobody asked the caller of a second meter");
    let solar = sources("solar");
    assert_eq!(solar.matches("the caller named it, not looked for: live").count(), 1);
    assert!(!solar.contains("the caller knows of none"));
}
