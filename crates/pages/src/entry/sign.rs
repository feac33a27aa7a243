//! A sign: seen, heard or smelt, or looked for and not there.

use super::ask::Ask;
use super::taking::Taking;
use super::words::scope_words;
use super::{Form, Pairs, moment, pair};
use maud::{Markup, html};
use model::evidence::{Sign, SignScope};
use model::job::Exposure;
use record::Body;
use record::fact::SignLookedFor;
use record::text::{AsText, Textual};
use study::words::{capital, sign_phrase};

pub(super) const FORM: Form = Form {
    title: "A sign",
    lede: "Looked and not there counts as well: say it.",
    show,
    read,
    pairs,
    series: None,
};

/// How far the panel must be open to look for a sign.
pub(crate) const fn needs(sign: Sign) -> Exposure {
    match sign {
        Sign::PittedStab => Exposure::ProvenDead,
        Sign::Discoloration | Sign::BakedInsulation => Exposure::CoverOff,
        Sign::MeltedCase
        | Sign::Smell
        | Sign::RoughHandle
        | Sign::Buzz
        | Sign::Flicker
        | Sign::TripsWithoutLoad
        | Sign::WillNotReset
        | Sign::Moisture
        | Sign::CoverDiscoloured => Exposure::CoverOn,
    }
}

/// Signs that can be looked for at one space at an exposure.
pub(crate) fn signs_at(exposure: Exposure) -> impl Iterator<Item = Sign> {
    Sign::ALL.into_iter().filter(move |&sign| {
        needs(sign) <= exposure && !matches!(sign, Sign::CoverDiscoloured | Sign::Moisture)
    })
}

fn pick<'a>(ask: &Ask<'a>, id: &'a str, label: &str, signs: &[Sign]) -> Markup {
    let all: Vec<(&str, String)> =
        signs.iter().map(|&sign| (sign.word(), capital(sign_phrase(sign)))).collect();
    let choices: Vec<(&str, &str, &str)> =
        all.iter().map(|(word, words)| (*word, words.as_str(), "")).collect();
    ask.sheet.with_id(id).pick("sign", label, "", &choices, "")
}

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let of = |exposure: Exposure| -> Vec<Sign> {
        Sign::ALL.into_iter().filter(|&sign| needs(sign) == exposure).collect()
    };
    let mut scopes = ask.of_panels(
        |panel, leg| {
            [SignScope::Leg(panel.clone(), leg), SignScope::Lug(panel.clone(), leg)]
                .iter()
                .map(|scope| choice(ask, scope))
                .collect()
        },
        |panel| {
            vec![
                choice(ask, &SignScope::Neutral(panel.clone())),
                choice(ask, &SignScope::Panel(panel.clone())),
            ]
        },
    );
    for (_, all) in &mut scopes {
        all.reverse();
    }
    scopes.extend(ask.slots());
    let usual = match (ask.query_slot(), ask.installation()) {
        (Some(slot), _) => slot.to_string(),
        (None, Some(installation)) if installation.panels.len() == 1 => {
            SignScope::Panel(installation.panels[0].id.clone()).write()
        }
        _ => String::new(),
    };
    let value = match ask.values.text("place") {
        Some(text) if !text.contains(':') || SignScope::read(text, None).is_ok() => text.to_owned(),
        _ => usual,
    };
    let photos: Vec<(String, String)> = ask
        .standing
        .live
        .iter()
        .rev()
        .filter_map(|fact| match &fact.body {
            Body::Photo(_) => Some((fact.id().to_string(), super::sentence::sentence(ask.view, &fact.body))),
            _ => None,
        })
        .collect();
    html! {
        (ask.list("place", "Where", "Choose a place", &scopes, &value))
        (pick(ask, "f", "What, with the dead front on", &of(Exposure::CoverOn)))
        p.hint { "A handle is felt only with its circuit unloaded, from the side, once." }
        (ask.behind("With the dead front off", !ask.cover_on(), html! {
            (pick(ask, "off", "What, behind the dead front", &of(Exposure::CoverOff)))
        }))
        @if ask.standing.exposure == Exposure::ProvenDead {
            (pick(ask, "dead", "What, proven dead", &of(Exposure::ProvenDead)))
        } @else {
            p.quiet { "Stabs themselves are looked at only when the panel is proven dead and the record says so." }
        }
        (sheet.words("words", "In words", "Colour, strength, when it comes and goes.", ""))
        @if !photos.is_empty() {
            (ask.choose("photo", "Photo that shows it", "", "None", vec![(String::new(), photos)], ""))
        }
        (moment(ask))
        (sheet.error("seen"))
        div.actions {
            button.plain name="seen" value="no" { "Not there" }
            button.big name="seen" value="yes" { "It is there" }
        }
    }
}

fn choice(ask: &Ask<'_>, scope: &SignScope) -> (String, String) {
    let words = scope_words(ask.installation(), scope);
    let words = words.split_once(' ').map_or(words.as_str(), |(_, rest)| rest);
    (scope.write(), capital(words.trim_start_matches("the ")))
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let scope = taking.need::<SignScope>("place", "Choose where you looked.");
    let sign = taking.need::<Sign>("sign", "Choose the sign.");
    let seen = taking.reader.yes_no("seen");
    if taking.text("seen").is_none() {
        taking.wrong("seen", "Say whether it is there, or was looked for and is not.");
    }
    let words = taking.words("words");
    let photo = taking.may::<model::FactId>("photo");
    let exposure = taking.exposure();
    match sign.map(needs) {
        Some(Exposure::ProvenDead) if exposure < Exposure::ProvenDead => {
            taking
                .wrong("sign", "A stab is looked at only when the panel is proven dead: record that first.");
        }
        Some(Exposure::ProvenDead) => {
            let job = taking.view.settled.job.as_ref();
            let of_stab = |slot: &model::Slot| {
                let joint = model::JointId::Stab(slot.clone());
                job.is_some_and(|job| study::closed(job, &joint, Some(taking.at)).is_empty())
            };
            if matches!(&scope, Some(SignScope::Slot(slot)) if !of_stab(slot)) {
                taking.wrong(
                    "sign",
                    "The bus of this stab is not proven dead: go through its isolation first.",
                );
            }
        }
        Some(Exposure::CoverOff) => taking.needs_cover_off(),
        _ => {}
    }
    if let Some(SignScope::Slot(slot)) = &scope {
        taking.about = Some(slot.clone());
    }
    let (Some(scope), Some(sign), Some(seen)) = (scope, sign, seen) else { return Vec::new() };
    let photo = photo.map(AsText);
    vec![SignLookedFor { sign: AsText(sign), scope: AsText(scope), seen, words, photo }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Sign(body) = body else { return Vec::new() };
    let mut pairs = vec![
        pair("place", body.scope.0.write()),
        pair("sign", body.sign.0.word()),
        pair("seen", if body.seen { "yes" } else { "no" }),
        pair("words", &body.words),
    ];
    pairs.extend(body.photo.as_ref().map(|photo| pair("photo", &photo.0)));
    pairs
}
