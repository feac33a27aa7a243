//! A later day never uses an earlier edition, and a day before its adoption never a later one.

use codebook::{Profile, rule};
use proptest::prelude::*;

proptest! {
    #[test]
    fn a_later_day_never_uses_an_earlier_edition(first in 0i32..6000, later in 0i32..6000) {
        let book = crate::book();
        let city = Profile::read(book, Profile::example_text()).expect("the example is right");
        let start: jiff::civil::Date = "2015-07-01".parse().expect("a day");
        let day = |n: i32| start.checked_add(jiff::Span::new().days(n)).expect("in range");
        let (one, two) = (city.on(book, day(first)).expect("adopted"), city.on(book, day(first + later)).expect("adopted"));
        prop_assert!(one.edition() <= two.edition());
        for id in rule::ALL {
            if let (Ok(a), Ok(b)) = (one.ask(*id), two.ask(*id)) {
                prop_assert!(a.edition <= b.edition);
            }
        }
    }
}
