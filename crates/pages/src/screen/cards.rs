//! Address cards: what the utility and the permit office of each town said, by whom and when; kept by the office.

use crate::context::Context;
use crate::fields::{FieldError, Fields, Reader, Refusal};
use crate::form::Sheet;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::{Markup, html};
use study::cards::{Card, CardKind, Cards, Reconnect, money_of};
use study::outage::clock;

/// Longest text of a field.
const WORDS_MAX: usize = 600;

/// Fields of the form with the field of the card that each one fills, where the two have other names.
const NAMES: [(&str, &str); 2] = [("fee_usd", "fee"), ("id", "name")];

pub(crate) fn page(fields: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let sheet = Sheet::new(fields, again);
    let cards = &cx.shop.cards;
    let open = fields.text("card").and_then(|id| cards.card(id));
    let kind = open.map(|card| card.kind).or_else(|| kind_of(fields.text("kind")));
    let body = html! {
        p.lede { "What a utility or permit office told us: cuts, notice, inspections, fees. The plan of the day reckons with it where nothing is booked." }
        (sheet.error_list())
        @if cards.invented() {
            div.caution { p { strong { "Invented cards. " } "They are the demo’s and bear on invented jobs alone. Put in your own." } }
        }
        @match kind {
            Some(kind) => (edit(&sheet, open, kind, cx)),
            None => (all(cards, cx)),
        }
    };
    shell(cx, "Address cards", &Route::Cards, body)
}

fn all(cards: &Cards, cx: &Context<'_>) -> Markup {
    html! {
        p.quiet { (cx.shop.cards_origin) }
        @for kind in CardKind::ALL {
            section.sheet id=(kind.word()) {
                h2 { (match kind { CardKind::Utility => "Utilities", CardKind::Permit => "Permit offices" }) }
                @let own: Vec<&Card> = cards.all().iter().filter(|card| card.kind == kind).collect();
                @if own.is_empty() { p { "None yet." } }
                @for card in own { (shown(card, cx)) }
                p { a.plain href={ (Route::Cards) "?kind=" (kind.word()) } { "New card" span.off-screen { ": " (kind.title()) } } }
            }
        }
        div.note { p { "A card is what somebody said on a day. The utility, the inspector and local code come first; a card a year old is marked as old." } }
    }
}

fn shown(card: &Card, cx: &Context<'_>) -> Markup {
    html! {
        h3 { (card.name) @if card.is_old(cx.now.date()) { " " span.tag { "old" } } @if card.invented { " " span.tag { "invented" } } }
        p { (card.towns.join(", ")) br; span.quiet { "Told " (card.told) ": " (card.source) } }
        ul.facts { @for line in lines(card) { li { (line) } } }
        p { a.plain.small href={ (Route::Cards) "?card=" (card.id) } { "Change" span.off-screen { ": " (card.name) } } }
    }
}

/// What a card says, line by line.
fn lines(card: &Card) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some((from, to)) = card.cut {
        lines.push(format!("Cut between {} and {}", clock(from), clock(to)));
    }
    if let Some(days) = card.notice_days {
        lines.push(match card.kind {
            CardKind::Utility => format!("{days} working days of notice"),
            CardKind::Permit => format!("{days} working days for a permit"),
        });
    }
    let by = card.reconnect_by.map(|by| format!(", by {}", clock(by))).unwrap_or_default();
    match card.reconnect {
        Some(Reconnect::SameDay) => lines.push(format!("Supply back on the same day{by}")),
        Some(Reconnect::LaterDay) => lines.push("Supply not back on the day of the cut".to_owned()),
        None if !by.is_empty() => lines.push(format!("Supply back{by}")),
        None => {}
    }
    if let Some((from, to)) = card.hours {
        lines.push(format!("Inspector between {} and {}", clock(from), clock(to)));
    }
    if let Some(n) = card.inspections {
        lines.push(format!("{n} inspections"));
    }
    if let Some(before) = card.before_power {
        lines.push(
            if before {
                "Inspection before the supply is back"
            } else {
                "Supply may come back before the inspection"
            }
            .to_owned(),
        );
    }
    if let Some(fee) = card.fee {
        lines.push(format!("{} USD", fee.exact()));
    }
    for (what, text) in [("Seal: ", &card.seal), ("Emergency: ", &card.emergency), ("", &card.words)] {
        if !text.is_empty() {
            lines.push(format!("{what}{text}"));
        }
    }
    lines
}

fn edit(sheet: &Sheet<'_>, card: Option<&Card>, kind: CardKind, cx: &Context<'_>) -> Markup {
    let text = |of: fn(&Card) -> &String| card.map(|card| of(card).as_str()).unwrap_or_default();
    let time = |of: fn(&Card) -> Option<f64>| card.and_then(of).map(clock).unwrap_or_default();
    let towns = card.map(|card| card.towns.join(", ")).unwrap_or_default();
    let fee = card.and_then(|card| card.fee).map(|fee| format!("{:.2}", fee.usd())).unwrap_or_default();
    let notice = match kind {
        CardKind::Utility => "Working days of notice before a cut",
        CardKind::Permit => "Working days until a permit is there",
    };
    html! {
        form method="post" action=(Route::Cards) {
            input type="hidden" name="csrf" value=(cx.csrf);
            input type="hidden" name="kind" value=(kind.word());
            @if let Some(card) = card { input type="hidden" name="card" value=(card.id); }
            section.sheet {
                h2 { (kind.title()) }
                p.quiet { "What was not asked stays empty." }
                (sheet.text("name", "Name", "", text(|card| &card.name)))
                (sheet.text("towns", "Towns for which it holds", "Parted by commas, as in the jobs.", &towns))
                (sheet.text("source", "Who said so", "Name and office, or the paper with its date.", text(|card| &card.source)))
                (sheet.day("told", "When", "", card.map(|card| card.told)))
            }
            section.sheet {
                h2 { "What holds" }
                @if kind == CardKind::Utility {
                    (sheet.text("cut_from", "Cuts from", "For example 08:00.", &time(|card| card.cut.map(|cut| cut.0))))
                    (sheet.text("cut_to", "… to", "", &time(|card| card.cut.map(|cut| cut.1))))
                } @else {
                    (sheet.text("hours_from", "The inspector comes from", "For example 08:30.", &time(|card| card.hours.map(|hours| hours.0))))
                    (sheet.text("hours_to", "… to", "", &time(|card| card.hours.map(|hours| hours.1))))
                    (sheet.whole("inspections", "How many inspections", "", card.and_then(|card| card.inspections)))
                    (sheet.yes_no("before_power", "Must the inspector see it before the supply is back?", "", card.and_then(|card| card.before_power)))
                }
                (sheet.whole("notice_days", notice, "", card.and_then(|card| card.notice_days)))
                @if kind == CardKind::Utility {
                    (sheet.pick("reconnect", "Supply back on the day of the cut?", "",
                        &[("same-day", "Yes", ""), ("later-day", "No", ""), ("", "Not asked", "")],
                        card.and_then(|card| card.reconnect).map(Reconnect::word).unwrap_or_default()))
                    (sheet.text("reconnect_by", "At the latest by", "For example 15:30.", &time(|card| card.reconnect_by)))
                }
                (sheet.text("fee", if kind == CardKind::Utility { "Charge for cut and return, US dollars" } else { "Permit fee, US dollars" }, "", &fee))
                @if kind == CardKind::Utility {
                    (sheet.words("seal", "Who may cut the seal", "Without a word from the utility: only the utility.", text(|card| &card.seal)))
                    (sheet.words("emergency", "What holds in an emergency", "", text(|card| &card.emergency)))
                }
                (sheet.words("words", "What else was said", "", text(|card| &card.words)))
            }
            div.actions {
                @if card.is_some_and(|card| !card.invented) { button.plain name="act" value="remove" { "Take out" } }
                button.big name="act" value="save" { "Save the card" }
            }
        }
        p { a.plain href=(Route::Cards) { "All cards" } }
    }
}

fn kind_of(word: Option<&str>) -> Option<CardKind> {
    CardKind::ALL.into_iter().find(|kind| Some(kind.word()) == word)
}

/// The cards as a form of the page leaves them.
///
/// # Errors
/// Everything that is wrong with the card, field by field. Then nothing is to be stored.
pub fn of_form(fields: &Fields, cards: &Cards) -> Result<Cards, Refusal> {
    let mut reader = Reader::new(fields);
    let old = fields.text("card").and_then(|id| cards.card(id));
    if fields.text("act") == Some("remove") {
        let Some(old) = old else {
            reader.wrong("", "This card is not there any more.");
            return Err(reader.refusal());
        };
        return Ok(cards.without(&old.id));
    }
    let Some(kind) = kind_of(fields.text("kind")) else {
        reader.wrong("", "Say whose card it is: a utility’s or a permit office’s.");
        return Err(reader.refusal());
    };
    let name = reader.text("name", WORDS_MAX).unwrap_or_default();
    let towns = reader.text("towns", WORDS_MAX).unwrap_or_default();
    let source = reader.text("source", WORDS_MAX).unwrap_or_default();
    let told = reader.day("told");
    for (field, missing, message) in [
        ("name", name.is_empty(), "The name of the utility or office is missing."),
        ("towns", towns.is_empty(), "Name the town or towns for which it holds."),
        ("source", source.is_empty(), "Who said so, or which paper? A card without that is worth nothing."),
        ("told", told.is_none() && fields.text("told").is_none(), "When was it told?"),
    ] {
        if missing {
            reader.wrong(field, message);
        }
    }
    let cut = window(&mut reader, "cut_from", "cut_to");
    let hours = window(&mut reader, "hours_from", "hours_to");
    let reconnect_by = time(&mut reader, "reconnect_by");
    let fee = fields.text("fee").and_then(|text| {
        let fee = money_of(text);
        if fee.is_none() {
            reader.wrong("fee", "Write dollars, as 125 or 64.50.");
        }
        fee
    });
    let card = Card {
        id: old.map_or_else(|| cards.new_id(&name), |card| card.id.clone()),
        kind,
        towns: towns
            .split([',', ';', '\n'])
            .map(|town| town.trim().to_owned())
            .filter(|town| !town.is_empty())
            .collect(),
        // Whoever writes a card says what somebody said.
        invented: false,
        source,
        told: told.unwrap_or_default(),
        cut,
        notice_days: reader.whole("notice_days", (0, 400)),
        reconnect: Reconnect::ALL.into_iter().find(|one| Some(one.word()) == fields.text("reconnect")),
        reconnect_by,
        hours,
        inspections: reader.whole("inspections", (0, 20)),
        before_power: reader.yes_no("before_power"),
        fee,
        seal: reader.text("seal", WORDS_MAX).unwrap_or_default(),
        emergency: reader.text("emergency", WORDS_MAX).unwrap_or_default(),
        words: reader.text("words", WORDS_MAX).unwrap_or_default(),
        name,
    };
    reader.finish()?;
    cards.take(card).map_err(|bad| {
        let error = |one: study::cards::BadCard| {
            let field = NAMES.iter().find(|(of, _)| *of == one.field).map_or(one.field, |(_, own)| own);
            FieldError {
                field: field.to_owned(),
                message: format!("{}.", study::words::capital(&one.message)),
            }
        };
        Refusal { errors: bad.into_iter().map(error).collect() }
    })
}

fn time(reader: &mut Reader<'_>, name: &str) -> Option<f64> {
    let text = reader.fields().text(name)?;
    let minute = study::outage::minute_of(text.trim());
    if minute.is_none() {
        reader.wrong(name, format!("“{text}” is no time: write 08:00."));
    }
    minute
}

fn window(reader: &mut Reader<'_>, from: &str, to: &str) -> Option<(f64, f64)> {
    let (begin, end) = (time(reader, from), time(reader, to));
    let given = |name: &str| reader.fields().text(name).is_some();
    if given(from) != given(to) {
        let missing = if given(from) { to } else { from };
        reader.wrong(missing, "A window has a begin and an end.");
    }
    let (begin, end) = (begin?, end?);
    if end < begin {
        reader.wrong(to, "The window ends before it begins.");
        return None;
    }
    Some((begin, end))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sent(pairs: &[(&str, &str)], cards: &Cards) -> Result<Cards, Vec<String>> {
        let pairs = pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned()));
        of_form(&Fields::from_pairs(pairs), cards)
            .map_err(|refusal| refusal.errors.into_iter().map(|one| one.field).collect())
    }

    const CARD: [(&str, &str); 11] = [
        ("act", "save"),
        ("kind", "utility"),
        ("name", "Fenwick Power"),
        ("towns", "Fenwick, Lower Fenwick"),
        ("source", "the desk for connections, by telephone"),
        ("told", "2026-03-02"),
        ("cut_from", "08:00"),
        ("cut_to", "10:00"),
        ("notice_days", "3"),
        ("reconnect", "later-day"),
        ("fee", "64.50"),
    ];

    #[test]
    fn a_card_goes_in_is_changed_and_goes_out() {
        let cards = sent(&CARD, &Cards::default()).expect("a card");
        let card = &cards.all()[0];
        assert_eq!((card.id.as_str(), card.towns.len(), card.invented), ("fenwick-power", 2, false));
        assert_eq!(card.fee.map(|fee| fee.exact()), Some("64.50".to_owned()));
        assert_eq!(card.reconnect, Some(Reconnect::LaterDay));
        let changed = [("card", "fenwick-power"), ("name", "Fenwick Power")];
        let changed: Vec<_> = CARD
            .iter()
            .filter(|(name, _)| *name != "name" && *name != "notice_days")
            .chain(&changed)
            .copied()
            .collect();
        let cards = sent(&changed, &cards).expect("it is changed");
        assert!(cards.all().len() == 1 && cards.all()[0].notice_days.is_none(), "{cards:?}");
        assert_eq!(sent(&[("act", "remove"), ("card", "fenwick-power")], &cards), Ok(Cards::default()));
        assert_eq!(sent(&[("act", "remove"), ("card", "no-such")], &cards), Err(vec![String::new()]));
    }

    #[test]
    fn what_is_wrong_is_told_at_its_field() {
        let wrong = [
            ("act", "save"),
            ("kind", "permit"),
            ("hours_from", "9"),
            ("fee", "much"),
            ("cut_from", "10:00"),
            ("cut_to", "09:00"),
        ];
        let fields = sent(&wrong, &Cards::default()).expect_err("nearly all of it");
        for field in ["name", "towns", "source", "told", "hours_from", "hours_to", "fee", "cut_to"] {
            assert!(fields.iter().any(|one| one == field), "{field}: {fields:?}");
        }
    }
}
