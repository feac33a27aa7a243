//! Quotes and booked days: ends in their order, no quote that is over before it is given.

use super::{Finding, Site, Spot};
use crate::fact::Body;

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
        let mut wrong = |code, field: &'static str, message: String, hint: &str| {
            findings.push(Finding::error(code, Spot::field(fact.id(), (field, 0)), message, hint));
        };
        match &fact.body {
            Body::Quote(body) => {
                if body.usual_usd < body.low_usd || body.high_usd < body.usual_usd {
                    let message = format!(
                        "a range of {}, {}, {} US dollars is not in its order",
                        body.low_usd, body.usual_usd, body.high_usd
                    );
                    wrong("implausible", "high_usd", message, "lower end, middle and upper end");
                }
                if body.valid_until < fact.at.date() {
                    let message = format!(
                        "the quote holds until {} and was given on {}",
                        body.valid_until,
                        fact.at.date()
                    );
                    wrong("expires-too-soon", "valid_until", message, "the day it was given, or later");
                }
            }
            Body::Outage(body) => {
                for (field, from, to) in [
                    ("cut_to", &body.cut_from, &body.cut_to),
                    ("inspector_to", &body.inspector_from, &body.inspector_to),
                    ("reconnect_to", &body.reconnect_from, &body.reconnect_to),
                ] {
                    if let (Some(from), Some(to)) = (from, to)
                        && to.0 < from.0
                    {
                        wrong(
                            "implausible",
                            field,
                            "a window that ends before it begins".to_owned(),
                            "from, to",
                        );
                    }
                }
            }
            _ => {}
        }
    }
}
