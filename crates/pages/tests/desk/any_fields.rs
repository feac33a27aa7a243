//! Whatever is sent, nothing panics, and what is taken can be settled and shown.

use crate::html::Form;
use crate::shop::Shop;
use pages::Route;
use proptest::prelude::*;

/// Names that forms use, so that chance hits them.
const NAMES: &[&str] = &[
    "act",
    "space",
    "rating",
    "rating-other",
    "poles",
    "feeds",
    "class",
    "handle",
    "protection",
    "other-make",
    "later",
    "panel",
    "place",
    "spaces",
    "spaces-other",
    "columns",
    "system",
    "first-leg",
    "main",
    "main-rating",
    "lower",
    "feeder",
    "feeder-rating",
    "fed-by",
    "metal",
    "year",
    "mounting",
    "moisture",
    "half-width",
    "job",
    "of",
    "words",
    "town",
    "a-danger",
    "a-",
    "at",
    "fact",
    "entry",
];

/// Values that forms use.
const VALUES: &[&str] = &[
    "",
    "1",
    "2",
    "3",
    "9",
    "15",
    "24",
    "84",
    "0",
    "7a",
    "main",
    "main/9",
    "split",
    "sub",
    "lugs",
    "breaker",
    "keep",
    "usual",
    "load:dryer",
    "above",
    "undo",
    "remove",
    "save",
    "yes",
    "no",
    "A",
    "C",
    "208Y/120",
    "smoke",
    "trips",
    "1e9",
    "-1",
    "1,5",
    "2025-11-18T10:00:00",
    "9999-12-31T23:59:59",
    "😀",
    "\u{0}",
    "lights",
];

fn pairs() -> impl Strategy<Value = Vec<(String, String)>> {
    let name = prop_oneof![8 => proptest::sample::select(NAMES).prop_map(str::to_owned), 1 => ".{0,8}"];
    let value = prop_oneof![8 => proptest::sample::select(VALUES).prop_map(str::to_owned), 2 => ".{0,20}"];
    proptest::collection::vec((name, value), 0..24)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn anything_can_be_sent(pairs in pairs(), which in 0_usize..6) {
        let mut shop = if which % 2 == 0 { Shop::demo() } else { Shop::fresh() };
        let own = || shop.view.name.clone();
        let route = match which / 2 {
            0 => Route::New,
            1 => Route::Panel(own(), if pairs.len() % 2 == 0 { String::new() } else { "main".to_owned() }),
            _ => Route::Fill(own(), "main".to_owned()),
        };
        let form = Form::forged(route.to_string(), pairs);
        match shop.try_send(&form) {
            Ok(entry) => {
                prop_assert!(Route::of_path(entry.go.split('?').next().unwrap_or_default()).is_some(), "{}", entry.go);
                for fact in &entry.facts {
                    let line = fact.to_json();
                    prop_assert_eq!(&record::Fact::from_json(&line).expect("a stored fact reads back"), fact);
                }
                shop.page(&route, "");
            }
            Err(refusal) => {
                prop_assert!(!refusal.errors.is_empty());
                let page = shop.refused(&form, &refusal);
                prop_assert!(page.contains("Not saved yet") || page.contains("is not described yet"));
            }
        }
    }
}
