//! Names of joints, places and feeds in words.

use crate::clean::clean;
use crate::number::amperes;
use crate::phrases::{Phrases, fill};
use model::assessment::Assessment;
use model::evidence::{ClampPlace, Feel, SignScope};
use model::id::{PanelId, Slot};
use model::installation::Installation;
use model::joint::JointId;
use model::panel::Feed;
use model::place::Place;

/// `stab 5`, `line lug A`: for a technician, the panel left out.
pub(crate) fn joint(phrases: &Phrases, id: &JointId) -> String {
    let name = |term: &str, values: &[(&str, &str)]| fill(phrases.word("joint-name", term), values);
    match id {
        JointId::Stab(slot) => name("stab", &[("space", &slot.space.to_string())]),
        JointId::Terminal(slot) => name("terminal", &[("space", &slot.space.to_string())]),
        JointId::NeutralTerminal(slot) => name("neutral", &[("space", &slot.space.to_string())]),
        JointId::NeutralLug(_) => name("neutral-lug", &[]),
        JointId::Lug(_, leg) => name("lug", &[("leg", &leg.to_string())]),
        JointId::Feeder(_, section, leg) => {
            name("feeder", &[("section", &clean(section.as_str())), ("leg", &leg.to_string())])
        }
    }
}

/// As [`joint`], with its panel where there are several.
pub(crate) fn joint_in(phrases: &Phrases, installation: &Installation, id: &JointId) -> String {
    let name = joint(phrases, id);
    if installation.panels.len() < 2 {
        return name;
    }
    let panel = clean(id.panel().as_str());
    fill(phrases.word("joint-name", "of-panel"), &[("joint", &name), ("panel", &panel)])
}

/// `the joint behind breaker 5 (dryer)`: for an owner.
pub(crate) fn joint_for_owner(phrases: &Phrases, installation: &Installation, id: &JointId) -> String {
    let words = &phrases.letter;
    let of_slot = |template: &str, slot: &Slot| {
        let feeds = short_feeds(phrases, installation, slot);
        fill(template, &[("space", &slot.space.to_string()), ("feeds", &feeds)])
    };
    match id {
        JointId::Stab(slot) => of_slot(&words.stab, slot),
        JointId::Terminal(slot) => of_slot(&words.terminal, slot),
        JointId::NeutralTerminal(slot) => of_slot(&words.neutral_joint, slot),
        JointId::NeutralLug(_) => phrases.word("owner", "neutral-lug").to_owned(),
        JointId::Lug(_, leg) => fill(&words.lug, &[("leg", &leg.to_string())]),
        JointId::Feeder(panel, section, leg) => {
            let feed = installation.panel(panel).and_then(|panel| panel.section(section));
            let behind_main = feed.is_some_and(|section| matches!(section.feed, Feed::MainBreaker { .. }));
            let template = if behind_main { &words.feeder_main } else { &words.feeder };
            fill(template, &[("section", &clean(section.as_str())), ("leg", &leg.to_string())])
        }
    }
}

/// Puts names in the place of joint identities such as `main:stab:15` wherever they stand in a text.
pub(crate) fn with_names(text: &str, assessment: &Assessment, name: impl Fn(&JointId) -> String) -> String {
    const KINDS: [&str; 5] = [":stab:", ":terminal:", ":lug:", ":neutral:", ":feeder:"];
    if !KINDS.iter().any(|kind| text.contains(kind)) {
        return text.to_owned();
    }
    let mut ids: Vec<(String, &JointId)> = assessment
        .joints
        .iter()
        .map(|finding| (clean(&finding.joint.id.to_string()), &finding.joint.id))
        .collect();
    // the longer first: `main:stab:1` is the head of `main:stab:15`
    ids.sort_by(|(one, _), (two, _)| two.len().cmp(&one.len()).then(one.cmp(two)));
    let mut out = String::new();
    let mut rest = text;
    'text: while !rest.is_empty() {
        let fresh = !out.ends_with(char::is_alphanumeric);
        for (written, id) in &ids {
            let Some(tail) = rest.strip_prefix(written.as_str()) else { continue };
            if fresh && !tail.starts_with(char::is_alphanumeric) {
                out.push_str(&name(id));
                rest = tail;
                continue 'text;
            }
        }
        let mut marks = rest.chars();
        out.extend(marks.next());
        rest = marks.as_str();
    }
    out
}

/// What the breaker in a slot feeds.
pub(crate) fn feeds(phrases: &Phrases, installation: &Installation, slot: &Slot) -> String {
    let words = &phrases.drawing;
    if let Some((panel, section)) = installation.sections_fed_by(slot).next() {
        return if panel.id == slot.panel {
            fill(&words.feeds_section, &[("section", &clean(section.id.as_str()))])
        } else {
            fill(&words.feeds_panel, &[("panel", &clean(panel.id.as_str()))])
        };
    }
    match installation.breaker_at(slot).map(|breaker| &breaker.circuit) {
        Some(Some(circuit)) if !circuit.feeds.trim().is_empty() => clean(&circuit.feeds),
        Some(Some(_)) => words.not_traced.clone(),
        _ => words.spare.clone(),
    }
}

/// The same for a sentence, where a name without end would push everything else out.
pub(crate) fn short_feeds(phrases: &Phrases, installation: &Installation, slot: &Slot) -> String {
    crate::clean::shorten(&feeds(phrases, installation, slot), 40)
}

/// What feeds a section of a panel.
pub(crate) fn feed(phrases: &Phrases, installation: &Installation, panel: &PanelId, feed: &Feed) -> String {
    match feed {
        Feed::ServiceLugs => phrases.word("feed", "lugs").to_owned(),
        Feed::MainBreaker { rating } => fill(phrases.word("feed", "main"), &[("rating", &amperes(*rating))]),
        Feed::Breaker { slot } => {
            let Some(breaker) = installation.breaker_at(slot) else {
                let slot = clean(&slot.to_string());
                return fill(phrases.word("feed", "breaker-missing"), &[("slot", &slot)]);
            };
            let spaces = crate::drawing::space_list(&breaker.spaces);
            let term = if slot.panel == *panel { "breaker" } else { "breaker-of" };
            let values = [
                ("spaces", spaces.as_str()),
                ("panel", &clean(slot.panel.as_str())),
                ("rating", &amperes(breaker.rating)),
            ];
            fill(phrases.word("feed", term), &values)
        }
    }
}

/// Where a probe or spot was, in words.
pub(crate) fn place(phrases: &Phrases, place: &Place) -> String {
    let name = |term: &str, values: &[(&str, &str)]| fill(phrases.word("place", term), values);
    let slot = |term: &str, slot: &Slot| name(term, &[("space", &slot.space.to_string())]);
    match place {
        Place::Face(at) => slot("face", at),
        Place::Load(at) => slot("load", at),
        Place::Wire(at) => slot("wire", at),
        Place::NeutralWire(at) => slot("neutral-wire", at),
        Place::Receptacle(at) => slot("receptacle", at),
        Place::Lug(_, leg) => name("lug", &[("leg", &leg.to_string())]),
        Place::Line(_, leg) => name("line", &[("leg", &leg.to_string())]),
        Place::NeutralLug(_) => name("neutral-lug", &[]),
        Place::NeutralLine(_) => name("neutral-line", &[]),
        Place::NeutralBar(_) => name("neutral-bar", &[]),
        Place::Cover(_) => name("cover", &[]),
        Place::Earth(_) => name("earth", &[]),
    }
}

/// Where a clamp was, in words.
pub(crate) fn clamp(phrases: &Phrases, at: &ClampPlace) -> String {
    let name = |term: &str, values: &[(&str, &str)]| fill(phrases.word("clamp", term), values);
    match at {
        ClampPlace::Pole(slot) => name("pole", &[("space", &slot.space.to_string())]),
        ClampPlace::Line(_, leg) => name("line", &[("leg", &leg.to_string())]),
        ClampPlace::Neutral(_) => name("neutral", &[]),
        ClampPlace::Electrode(_) => name("electrode", &[]),
    }
}

/// Where a sign was looked for, in words.
pub(crate) fn scope(phrases: &Phrases, scope: &SignScope) -> String {
    let name = |term: &str, values: &[(&str, &str)]| fill(phrases.word("scope", term), values);
    match scope {
        SignScope::Slot(slot) => name("slot", &[("space", &slot.space.to_string())]),
        SignScope::Lug(_, leg) => name("lug", &[("leg", &leg.to_string())]),
        SignScope::Neutral(_) => name("neutral", &[]),
        SignScope::Leg(_, leg) => name("leg", &[("leg", &leg.to_string())]),
        SignScope::Panel(_) => name("panel", &[]),
    }
}

/// The term of a touch in the phrase file.
pub(crate) const fn feel(feel: Feel) -> &'static str {
    match feel {
        Feel::NotWarm => "not-warm",
        Feel::Warm => "warm",
        Feel::Hot => "hot",
        Feel::Pain => "pain",
        Feel::Withdrawn => "withdrawn",
    }
}

/// Names of the model's terms in the phrase file.
pub(crate) mod term {
    use model::assessment::Class;
    use model::breaker::{Attachment, Handle, Protection};
    use model::conductor::{EntrySide, Metal, Plating};
    use model::evidence::{Surface, TemperatureMethod};
    use model::panel::Mounting;
    use model::service::SupplyPath;

    macro_rules! terms {
        ($name:ident: $type:ty { $($variant:path => $word:literal),+ $(,)? }) => {
            pub(crate) const fn $name(value: $type) -> &'static str {
                match value {
                    $($variant => $word,)+
                }
            }
        };
    }

    terms! {
        class: Class {
            Class::Seen => "seen",
            Class::Measured => "measured",
            Class::Inferred => "inferred",
            Class::Unknown => "unknown",
        }
    }
    terms! {
        metal: Metal {
            Metal::Copper => "copper",
            Metal::Aluminium => "aluminium",
            Metal::CopperCladAluminium => "copper-clad",
        }
    }
    terms! {
        plating: Plating {
            Plating::Bare => "bare",
            Plating::Tin => "tin",
            Plating::Silver => "silver",
        }
    }
    terms! {
        mounting: Mounting {
            Mounting::Surface => "surface",
            Mounting::Flush => "flush",
            Mounting::FlushInsulated => "flush-insulated",
        }
    }
    terms! {
        protection: Protection {
            Protection::ThermalMagnetic => "thermal-magnetic",
            Protection::ArcFault => "arc-fault",
            Protection::GroundFault => "ground-fault",
            Protection::ArcAndGroundFault => "dual",
            Protection::SwitchOnly => "switch",
        }
    }
    terms! {
        attachment: Attachment {
            Attachment::PlugOn => "plug-on",
            Attachment::BoltOn => "bolt-on",
        }
    }
    terms! {
        handle: Handle {
            Handle::On => "on",
            Handle::Off => "off",
            Handle::Tripped => "tripped",
        }
    }
    terms! {
        method: TemperatureMethod {
            TemperatureMethod::Infrared => "infrared",
            TemperatureMethod::Contact => "contact",
        }
    }
    terms! {
        surface: Surface {
            Surface::Matte => "matte",
            Surface::BareMetal => "bare-metal",
        }
    }
    terms! {
        path: SupplyPath {
            SupplyPath::Overhead => "overhead",
            SupplyPath::Underground => "underground",
        }
    }
    terms! {
        entry: EntrySide {
            EntrySide::Top => "top",
            EntrySide::Bottom => "bottom",
            EntrySide::Left => "left",
            EntrySide::Right => "right",
            EntrySide::Back => "back",
        }
    }
}
