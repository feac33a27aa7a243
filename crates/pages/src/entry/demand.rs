//! A measured demand of the service.

use super::ask::Ask;
use super::premises::{replace_earlier, yes_no_word};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::form::Keypad;
use crate::route::Route;
use maud::{Markup, html};
use record::Body;
use record::fact::DemandMeasured;
use record::limits;

pub(super) const FORM: Form = Form {
    title: "Measured demand",
    lede: "The greatest demand that a meter or a recorder showed.",
    show,
    read,
    pairs,
    series: None,
};

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let kw = |name: &'static str, label: &'static str, hint: &'static str| Keypad {
        name,
        label,
        unit: "kW",
        hint,
        value: None,
        required: false,
    };
    html! {
        div.note { p { "Interval data of the utility? " a href=(Route::Meter(ask.view.name.clone())) { "Read the file" } " and take the demand from it." } }
        (sheet.number(&kw("least_kw", "At least", "The greatest mean that was seen.")))
        (sheet.number(&kw("most_kw", "At most", "The same where intervals are of fifteen minutes or less.")))
        (sheet.whole("interval_min", "Averaged over, minutes", "15 for most recorders, 60 for hourly data.", None))
        (sheet.whole("days", "Days recorded without a break", "Left empty: a year of meter data.", None))
        (sheet.yes_no("own_generation", "Solar, a battery or peak shaving on this service?", "The meter then does not see the load.", None))
        (sheet.yes_no("occupied", "Lived in as usual meanwhile?", "", None))
        (sheet.yes_no("season_included", "Does a recording hold the larger of heating and cooling?", "By measurement or by calculation.", None))
        details.more open[ask.values.text("power_factor").is_some() || ask.values.text("words").is_some() || sheet.is_again()] {
            summary { "Power factor, where it comes from" }
            (sheet.number(&Keypad { name: "power_factor", label: "Power factor at the peak", unit: "", hint: "Where it was measured.", value: None, required: false }))
            (sheet.words("words", "Where it comes from", "", ""))
        }
        (moment(ask))
        (actions("Save the demand"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let least = taking.number("least_kw", "Give the demand in kW.", limits::DEMAND_KW, "kW");
    let most = taking.number("most_kw", "Give the demand in kW.", limits::DEMAND_KW, "kW");
    let interval = taking.reader.whole("interval_min", (1, 1440));
    if interval.is_none() && taking.text("interval_min").is_none() {
        taking.wrong("interval_min", "Give the minutes that it is averaged over.");
    }
    if let (Some(least), Some(most)) = (least, most)
        && most < least
    {
        taking.wrong("most_kw", format!("{most} kW is below {least} kW, the least."));
    }
    let days = taking.reader.whole("days", (1, 400)).map(u32::from);
    let own_generation = taking.reader.yes_no("own_generation");
    let occupied = taking.reader.yes_no("occupied");
    let season_included = taking.reader.yes_no("season_included");
    let power_factor = taking.may_number("power_factor", limits::POWER_FACTOR, "");
    let words = taking.words("words");
    let (Some(least_kw), Some(most_kw), Some(interval)) = (least, most, interval) else { return Vec::new() };
    replace_earlier(taking, |body| matches!(body, Body::Demand(_)));
    let interval_min = u32::from(interval);
    let measured = DemandMeasured {
        least_kw,
        most_kw,
        interval_min,
        days,
        own_generation,
        occupied,
        season_included,
        power_factor,
        words,
    };
    vec![measured.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Demand(body) = body else { return Vec::new() };
    let mut pairs = vec![
        pair("least_kw", body.least_kw),
        pair("most_kw", body.most_kw),
        pair("interval_min", body.interval_min),
    ];
    pairs.extend(body.days.map(|days| pair("days", days)));
    pairs.extend(body.own_generation.map(|one| pair("own_generation", yes_no_word(Some(one)))));
    pairs.extend(body.occupied.map(|one| pair("occupied", yes_no_word(Some(one)))));
    pairs.extend(body.season_included.map(|one| pair("season_included", yes_no_word(Some(one)))));
    pairs.extend(body.power_factor.map(|one| pair("power_factor", one)));
    if !body.words.is_empty() {
        pairs.push(pair("words", &body.words));
    }
    pairs
}
