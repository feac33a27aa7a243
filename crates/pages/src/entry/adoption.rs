//! Which code is adopted at the address.

use super::ask::Ask;
use super::premises::{line_pair, lines, replace_earlier};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use jiff::civil::Date;
use maud::{Markup, html};
use record::Body;
use record::fact::{AmendedAs, AmendmentMade, CodeAdopted, EditionTaken};
use record::limits;

pub(super) const FORM: Form = Form {
    title: "The adopted code",
    lede: "As the city, county or state adopted it. Without it nothing is computed by any edition.",
    show,
    read,
    pairs,
    series: None,
};

const YEARS: [(&str, &str, &str); 7] = [
    ("2008", "2008", ""),
    ("2011", "2011", ""),
    ("2014", "2014", ""),
    ("2017", "2017", ""),
    ("2020", "2020", ""),
    ("2023", "2023", ""),
    ("2026", "2026", ""),
];

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let is_open = ["earlier", "amendments"].iter().any(|name| ask.values.text(name).is_some());
    html! {
        div.note { p { "Look it up at the building department: secondary lists are often wrong. Write who told you and when in the decisions." } }
        (sheet.text("place", "Who adopted it", "City, county or state.", ""))
        (sheet.pick_narrow("edition", "Edition", "", &YEARS, ""))
        (sheet.day("from", "In force from", "First day by the ordinance.", None))
        (sheet.text("document", "Ordinance or statute", "", ""))
        (sheet.day("permit", "Permit applied for on", "This day decides which edition holds. Left empty: today.", None))
        details.more open[is_open || sheet.is_again()] {
            summary { "Editions before it, local amendments" }
            (sheet.words("earlier", "Editions before it", "One a line, the oldest first: 2017; 2018-07-01; Ordinance 17-31", ""))
            (sheet.words("amendments", "Local amendments", "One a line: edition; rule = value, or rule = absent; first day; ordinance; section; remark. The ids of rules are in the register of the code book. 2020; service.least = 125; 2021-10-01; Ordinance 21-07; 5", ""))
        }
        (moment(ask))
        (actions("Save the code"))
    }
}

fn year(taking: &mut Taking<'_>, field: &str, text: &str) -> Option<u16> {
    let known = YEARS.iter().find(|(year, ..)| *year == text.trim());
    if known.is_none() {
        taking.wrong(
            field,
            format!("“{text}” is the year of no edition: 2008, 2011, 2014, 2017, 2020, 2023 or 2026."),
        );
    }
    known.and_then(|(year, ..)| year.parse().ok())
}

fn day(taking: &mut Taking<'_>, field: &str, text: &str) -> Option<Date> {
    let day = text.trim().parse().ok();
    if day.is_none() {
        taking.wrong(field, format!("“{text}” is not a day: write it as in 2026-03-04."));
    }
    day
}

fn amendment(taking: &mut Taking<'_>, parts: &[String]) -> Option<AmendmentMade> {
    let edition = year(taking, "amendments", &parts[0]);
    let from = day(taking, "amendments", &parts[2]);
    let Some((rule, value)) = parts[1].split_once('=') else {
        taking.wrong("amendments", format!("“{}” is not “rule = value”.", parts[1]));
        return None;
    };
    let value = value.trim();
    let to = match value.parse::<f64>() {
        _ if value == "absent" => AmendedAs::Absent,
        Ok(number) if (limits::AMENDED.0..=limits::AMENDED.1).contains(&number) => AmendedAs::Number(number),
        Ok(number) => {
            taking.wrong("amendments", format!("{number} cannot be."));
            return None;
        }
        Err(_) => AmendedAs::Word(value.to_owned()),
    };
    Some(AmendmentMade {
        rule: rule.trim().to_owned(),
        edition: edition?,
        from: from?,
        to,
        document: parts[3].clone(),
        section: parts[4].clone(),
        note: parts.get(5).cloned().unwrap_or_default(),
    })
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let place = taking.name("place");
    if place.is_none() {
        taking.wrong("place", "Write who adopted it.");
    }
    let chosen = taking.text("edition").map(str::to_owned);
    let edition = match chosen {
        Some(text) => year(taking, "edition", &text),
        None => {
            taking.wrong("edition", "Choose the edition.");
            None
        }
    };
    let from = taking.reader.day("from");
    if from.is_none() && taking.text("from").is_none() {
        taking.wrong("from", "Give its first day.");
    }
    let document = taking.name("document");
    if document.is_none() {
        taking.wrong("document", "Name the ordinance or statute.");
    }
    let permit = taking.reader.day("permit");
    let mut editions = Vec::new();
    for parts in lines(taking, "earlier", 3) {
        let (edition, from) = (year(taking, "earlier", &parts[0]), day(taking, "earlier", &parts[1]));
        if let (Some(edition), Some(from)) = (edition, from) {
            editions.push(EditionTaken { edition, from, document: parts[2].clone() });
        }
    }
    let mut amendments = Vec::new();
    for parts in super::premises::lines_of(taking, "amendments", 5, 6) {
        amendments.extend(amendment(taking, &parts));
    }
    let (Some(place), Some(edition), Some(from), Some(document)) = (place, edition, from, document) else {
        return Vec::new();
    };
    editions.push(EditionTaken { edition, from, document });
    for pair in editions.windows(2) {
        if pair[1].from <= pair[0].from || pair[1].edition <= pair[0].edition {
            let message =
                format!("Edition {} does not follow edition {} in time.", pair[1].edition, pair[0].edition);
            taking.wrong("earlier", message);
            break;
        }
    }
    replace_earlier(taking, |body| matches!(body, Body::Adoption(_)));
    vec![CodeAdopted { place, editions, amendments, permit }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Adoption(body) = body else { return Vec::new() };
    let mut pairs = vec![pair("place", &body.place)];
    if let Some((last, earlier)) = body.editions.split_last() {
        pairs.extend([
            pair("edition", last.edition),
            pair("from", last.from),
            pair("document", &last.document),
        ]);
        let earlier = earlier.iter().map(|one| format!("{}; {}; {}", one.edition, one.from, one.document));
        pairs.extend(line_pair("earlier", earlier));
    }
    pairs.extend(body.permit.map(|permit| pair("permit", permit)));
    let amendments = body.amendments.iter().map(|one| {
        let to = match &one.to {
            AmendedAs::Number(number) => number.to_string(),
            AmendedAs::Word(word) => word.clone(),
            AmendedAs::Absent => "absent".to_owned(),
        };
        let note = if one.note.is_empty() { String::new() } else { format!("; {}", one.note) };
        format!("{}; {} = {to}; {}; {}; {}{note}", one.edition, one.rule, one.from, one.document, one.section)
    });
    pairs.extend(line_pair("amendments", amendments));
    pairs
}
