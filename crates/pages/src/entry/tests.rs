//! Forms and facts say the same: what a form shows reads back, and what cannot be is refused.

mod at_once;
mod install;

use super::*;
use crate::context::{Judged, Light, Viewer};
use jiff::civil::date;
use model::job::Exposure;
use proptest::prelude::*;
use record::fact::{ExposureReached, TemperatureAs};
use record::text::{AsText, Textual};

const CASES: [&str; 3] = [
    include_str!("../../../../cases/1-burnt-stabs.toml"),
    include_str!("../../../../cases/2-overload.toml"),
    include_str!("../../../../cases/3-service-neutral.toml"),
];
const HASH: &str = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08";

fn view_of(text: &str) -> JobView {
    let reading = record::read_job("case", text, date(2026, 1, 1));
    assert!(!reading.facts.is_empty(), "{:?}", reading.problems);
    view_with(reading.facts)
}

fn view_with(facts: Vec<Fact>) -> JobView {
    let settled = record::settle(&facts, None);
    let name = settled.job.as_ref().map(|job| job.id.clone()).unwrap_or_default();
    JobView { name, facts, settled, revision: 1, judged: Judged::Waiting }
}

fn context(view: &JobView) -> Context<'_> {
    Context {
        now: date(2025, 11, 19).at(9, 0, 0, 0),
        viewer: Viewer { name: "electrician" },
        light: Light::Auto,
        csrf: "csrf",
        entry: "e1",
        jobs: &[],
        job: Some(view),
        devices: &[],
        invitation: None,
        board: &[],
        policy: policy(),
        book: book(),
        policy_text: crate::PolicyText { text: study::Policy::standard_text(), ..Default::default() },
        shop: invented_shop(),
    }
}

fn fields(pairs: &[(&str, &str)]) -> Fields {
    Fields::from_pairs(pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())))
}

fn bodies(view: &JobView, kind: EntryKind, pairs: &[(&str, &str)]) -> Vec<Body> {
    match read(kind, &fields(pairs), &context(view)) {
        Ok(entry) => entry.facts.into_iter().map(|fact| fact.body).collect(),
        Err(refusal) => panic!("{kind:?} {pairs:?}: {refusal:?}"),
    }
}

/// Names of the fields that are told of.
fn wrong(view: &JobView, kind: EntryKind, pairs: &[(&str, &str)]) -> Vec<String> {
    let refusal = read(kind, &fields(pairs), &context(view)).expect_err("it must be refused");
    refusal.errors.into_iter().map(|error| error.field).collect()
}

/// The job with its dead front put back on, or proven dead.
fn reached(text: &str, word: &str) -> JobView {
    let view = view_of(text);
    let mut pairs = vec![("reached", word), ("who", "electrician")];
    if word != "cover-on" {
        pairs.push(("qualified", "yes"));
    }
    if word == "proven-dead" {
        pairs.extend([("pairs", "yes"), ("tester", "yes")]);
    }
    let view = if word == "proven-dead" { isolated(view) } else { view };
    let entry = read(EntryKind::Exposure, &fields(&pairs), &context(&view)).expect("a change of exposure");
    let mut facts = view.facts;
    facts.extend(entry.facts);
    view_with(facts)
}

/// The job with the bus behind space 15 switched off, every source ruled out and the bus proven dead, all by the forms.
fn isolated(view: JobView) -> JobView {
    let job = view.settled.job.clone().expect("a job");
    let panel = &job.installation.panels[0];
    let section = panel.section_of(model::Space::whole(15)).expect("a section").id.clone();
    let part = model::isolation::Part::Bus(panel.id.clone(), section);
    let plan = study::isolation(&job, &model::isolation::IsolationGoal::Part(part.clone())).expect("a plan");
    let mut facts = view.facts.clone();
    let mut add = |kind, pairs: &[(&str, &str)]| {
        facts.extend(read(kind, &fields(pairs), &context(&view)).expect("it can be taken").facts);
    };
    for movement in &plan.movements {
        let at = ("at", "2025-11-19T08:50:00");
        add(EntryKind::Handle, &[("what", &movement.opens.write()), ("to", "off"), at]);
    }
    for source in &plan.sources {
        let at = ("at", "2025-11-19T08:51:00");
        add(EntryKind::Source, &[("what", &source.source), ("found", "none"), ("looked", "asked"), at]);
    }
    let mut proof = vec![
        ("part".to_owned(), part.write()),
        ("tester".to_owned(), "tester 1".to_owned()),
        ("before".to_owned(), "121".to_owned()),
        ("after".to_owned(), "121".to_owned()),
        ("at".to_owned(), "2025-11-19T08:55:00".to_owned()),
    ];
    proof.extend(plan.proofs[0].pairs.iter().map(|pair| (format!("v-{}", pair.write()), "0.2".to_owned())));
    let pairs: Vec<(&str, &str)> =
        proof.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    add(EntryKind::Proof, &pairs);
    view_with(facts)
}

/// A request for an opening, or for the words that it is proven dead, is refused without the proofs, whatever it says.
#[test]
fn nothing_is_opened_without_its_proofs() {
    let open = |view: &JobView, joint: &str| {
        read(
            EntryKind::Opening,
            &fields(&[("joint", joint), ("found", "burnt"), ("cover", "yes")]),
            &context(view),
        )
    };
    let view = view_of(CASES[0]);
    assert!(open(&view, "main:stab:15").is_err());
    let said =
        [("reached", "proven-dead"), ("who", "x"), ("qualified", "y"), ("pairs", "y"), ("tester", "y")];
    assert_eq!(wrong(&view, EntryKind::Exposure, &said), ["reached"]);
    // An exposure that came from elsewhere, as a file or an older phone would give it.
    let body = ExposureReached { reached: AsText(Exposure::ProvenDead) };
    let claimed = Fact::new(date(2025, 11, 19).at(8, 59, 0, 0), None, Vec::new(), body.into());
    let claimed = view_with([view.facts.clone(), vec![claimed]].concat());
    assert_eq!(Standing::of(&claimed).exposure, Exposure::CoverOff);
    let refusal = open(&claimed, "main:stab:15").expect_err("no proof");
    assert!(refusal.errors[0].message.contains("counts as live"), "{refusal:?}");
    let whole = isolated(view_of(CASES[0]));
    assert!(open(&whole, "main:stab:15").is_ok());
    // The lugs stay closed: only the utility makes them dead.
    assert!(open(&whole, "main:lug:A").is_err());
    // Any one of the facts taken out closes it again.
    let n_before = view.facts.len();
    for out in n_before..whole.facts.len() {
        let mut facts = whole.facts.clone();
        facts.remove(out);
        assert!(open(&view_with(facts), "main:stab:15").is_err(), "without {:?}", whole.facts[out].body);
    }
    // The page says so: what is next, and stopped loudly.
    let job = view.name.clone();
    let bus = |view: &JobView| {
        crate::show(&Route::Isolation(job.clone()), &fields(&[("part", "main/lower")]), &context(view)).html
    };
    assert!(bus(&view).contains("Closed until the steps above") && !bus(&view).contains("✓ proven dead"));
    assert!(bus(&whole).contains("✓ proven dead"));
    let hot =
        [("part", "main/15"), ("tester", "tester 1"), ("v-A-neutral", "118"), ("at", "2025-11-19T08:57:00")];
    let entry =
        read(EntryKind::Proof, &fields(&hot), &context(&whole)).expect("what was read is always taken");
    let hot = view_with([whole.facts.clone(), entry.facts].concat());
    assert!(bus(&hot).contains("Hands off") && bus(&hot).contains("role=\"alert\""));
    assert!(open(&hot, "main:stab:15").is_err());
}

/// Every fact of the demo that has a form is said again, word for word, by the form it fills.
#[test]
fn every_form_says_again_what_a_fact_says() {
    let mut n_by_kind = std::collections::BTreeMap::new();
    for text in CASES {
        let view = view_of(text);
        for fact in &view.facts {
            let Some(kind) = form_of(&fact.body) else { continue };
            let mut pairs = (form(kind).pairs)(&fact.body);
            pairs.push(pair("at", fact.at.strftime("%Y-%m-%dT%H:%M:%S")));
            match kind {
                EntryKind::Exposure => pairs.extend([pair("qualified", "yes"), pair("who", "electrician")]),
                EntryKind::Breaker | EntryKind::Service => pairs.push(pair("supersedes", fact.id())),
                _ => {}
            }
            let sent = Fields::from_pairs(pairs.clone());
            let entry = read(kind, &sent, &context(&view));
            let entry = entry.unwrap_or_else(|refusal| panic!("{pairs:?}: {refusal:?}"));
            let said: Vec<&Body> = entry.facts.iter().map(|fact| &fact.body).collect();
            assert_eq!(said, [&fact.body], "{pairs:?}");
            *n_by_kind.entry(kind).or_insert(0) += 1;
        }
    }
    // The demo holds facts of most kinds; the others have tests of their own.
    assert!(10 <= n_by_kind.len(), "{n_by_kind:?}");
}

/// What a browser would send of a form that nobody touched; the form that takes the last reading back is another one.
fn defaults(html: &str) -> Pairs {
    let attribute = |tag: &str, name: &str| {
        let start = tag.find(&format!(" {name}=\""))? + name.len() + 3;
        Some(tag[start..].split('"').next()?.replace("&quot;", "\"").replace("&amp;", "&"))
    };
    let form =
        html.split("data-queue>").nth(1).unwrap_or_default().split("</form>").next().unwrap_or_default();
    let mut pairs = Pairs::new();
    let mut list: Option<(String, Option<String>, bool)> = None;
    for tag in form.split('<').skip(1) {
        let (tag, text) = tag.split_once('>').unwrap_or((tag, ""));
        let is =
            |name: &str| tag.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '));
        let ends = |word: &str| tag.ends_with(&format!(" {word}")) || tag.contains(&format!(" {word} "));
        if is("select") {
            list = attribute(tag, "name").map(|name| (name, None, false));
        } else if is("/select") {
            pairs.extend(list.take().and_then(|(name, value, _)| Some((name, value?))));
        } else if is("option")
            && let Some((_, value, chosen)) = &mut list
            && (ends("selected") || value.is_none())
            && !*chosen
        {
            *value = attribute(tag, "value");
            *chosen = ends("selected");
        } else if is("textarea") {
            pairs.extend(attribute(tag, "name").map(|name| (name, text.to_owned())));
        } else if is("input") {
            let kind = attribute(tag, "type").unwrap_or_default();
            if !matches!(kind.as_str(), "radio" | "checkbox") || ends("checked") {
                pairs.extend(
                    attribute(tag, "name").map(|name| (name, attribute(tag, "value").unwrap_or_default())),
                );
            }
        }
    }
    pairs
}

/// A form as it is shown for a query, with some fields filled in by hand, sent.
fn shown_and_sent(
    view: &JobView,
    kind: EntryKind,
    query: &[(&str, &str)],
    typed: &[(&str, &str)],
) -> Vec<Body> {
    let cx = context(view);
    let mut pairs = defaults(&page(kind, &fields(query), None, &cx).html);
    pairs.retain(|(name, _)| typed.iter().all(|(other, _)| name != other));
    pairs.extend(typed.iter().map(|(name, value)| pair(name, value)));
    let entry = read(kind, &Fields::from_pairs(pairs.clone()), &cx);
    let entry = entry.unwrap_or_else(|refusal| panic!("{kind:?} {pairs:?}: {refusal:?}"));
    assert!(entry.facts.iter().all(|fact| fact.by.is_some() && fact.has_derived_id()));
    entry.facts.into_iter().map(|fact| fact.body).collect()
}

/// Shows a form, sends it, and gives the one fact as JSON without its kind's quotes, to be compared with a text.
fn said(view: &JobView, kind: EntryKind, query: &[(&str, &str)], typed: &[(&str, &str)]) -> String {
    let bodies = shown_and_sent(view, kind, query, typed);
    let texts: Vec<String> = bodies
        .into_iter()
        .map(|body| {
            let line = Fact::new(date(2026, 1, 1).at(0, 0, 0, 0), None, Vec::new(), body).to_json();
            let body = line.split_once("\"body\":").map(|(_, body)| body).unwrap_or_default();
            body.trim_end_matches('}').replace('"', "").to_owned()
        })
        .collect();
    texts.join(" & ")
}

#[test]
fn forms_as_shown_read_to_the_fact_that_is_meant() {
    let view = view_of(CASES[0]);
    let at15: &[(&str, &str)] = &[("place", "main/15"), ("state", "breakfast")];
    type Pairs<'a> = &'a [(&'a str, &'a str)];
    let cases: [(EntryKind, Pairs<'_>, Pairs<'_>, &str); 13] = [
        (
            EntryKind::Touch,
            at15,
            &[("feel", "hot")],
            "{kind:touch,slot:main/15,feel:hot,void:false,state:breakfast",
        ),
        (
            EntryKind::Temperature,
            at15,
            &[("value", "61,5")],
            "{kind:temperature,place:main/face:15,value:{c:61.5},method:infrared,surface:matte,instrument:camera 1,state:breakfast",
        ),
        (
            EntryKind::Temperature,
            &[("place", "main/lug:A")],
            &[("value", "140"), ("unit", "f"), ("surface", "matte"), ("instrument", "")],
            "{kind:temperature,place:main/lug:A,value:{f:140.0},method:infrared,surface:matte,state:kettle and toaster oven at once",
        ),
        (
            EntryKind::Clamp,
            at15,
            &[("amps", "12.5")],
            "{kind:clamp,place:main/15,amps:12.5,instrument:clamp 2,state:breakfast",
        ),
        (
            EntryKind::Drop,
            at15,
            &[("mv", "200"), ("amps", "13")],
            "{kind:drop,from:main/load:23,to:main/load:15,mv:200.0,amps:13.0,instrument:meter 4,state:breakfast",
        ),
        (
            EntryKind::Voltage,
            at15,
            &[("volts-B", "118.4")],
            "{kind:voltage,from:main/receptacle:15,to:main/neutral-wire:15,volts:118.4,state:breakfast",
        ),
        (EntryKind::Trip, &[("place", "main/15")], &[("amps", "18.4")], "{kind:trip,slot:main/15,amps:18.4"),
        (
            EntryKind::Sign,
            at15,
            &[("sign", "buzz"), ("seen", "no")],
            "{kind:sign,sign:buzz,scope:main/15,seen:false",
        ),
        (
            EntryKind::Complaint,
            &[],
            &[("of", "flicker"), ("words", "all lights")],
            "{kind:complaint,of:flicker,words:all lights",
        ),
        (EntryKind::Decision, &[], &[("words", "waits")], "{kind:decision,words:waits,declined:false"),
        (
            EntryKind::Work,
            &[("place", "main/15")],
            &[("words", "off and tagged"), ("expires", "2025-12-18"), ("recheck", "2025-11-22")],
            "{kind:work,kind_of_work:stop-gap,words:off and tagged,slots:[main/15],expires:2025-12-18,recheck:2025-11-22",
        ),
        (
            EntryKind::Promise,
            &[],
            &[("words", "the quote"), ("due", "2025-11-25")],
            "{kind:promise,of_kind:promise,words:the quote,due:2025-11-25",
        ),
        (
            EntryKind::State,
            &[],
            &[("name", "range on"), ("room", "70"), ("unit", "f")],
            "{kind:state,name:range on,room:{f:70.0",
        ),
    ];
    for (kind, query, typed, want) in cases {
        assert_eq!(said(&view, kind, query, typed), want, "{kind:?}");
    }
    let pin = said(&view, EntryKind::Pin, &[("photo", HASH)], &[("part", "6"), ("words", "browned")]);
    assert_eq!(pin, format!("{{kind:pin,photo:{HASH},x:0.3,y:0.3,words:browned"));
    let dead = reached(CASES[0], "proven-dead");
    let opening = said(&dead, EntryKind::Opening, &[("place", "main/15")], &[("found", "burnt")]);
    assert_eq!(opening, "{kind:opening,joint:main:stab:15,found:burnt");
}

#[test]
fn a_breaker_form_shows_what_is_known_and_replaces_it() {
    let view = view_of(CASES[0]);
    let cx = context(&view);
    let mut pairs = defaults(&page(EntryKind::Breaker, &fields(&[("place", "main/16")]), None, &cx).html);
    pairs.retain(|(name, _)| name != "rating_a");
    pairs.push(pair("rating_a", 15));
    let entry = read(EntryKind::Breaker, &Fields::from_pairs(pairs), &cx).expect("a breaker");
    let [fact] = entry.facts.as_slice() else { panic!("{entry:?}") };
    let Body::Breaker(breaker) = &fact.body else { panic!("{fact:?}") };
    assert_eq!((breaker.rating_a, breaker.other_make, breaker.later), (15.0, Some(true), Some(true)));
    assert_eq!(breaker.circuit.as_ref().map(|circuit| circuit.feeds.as_str()), Some("laundry receptacle"));
    let old =
        view.facts.iter().find(|fact| fact.id() == &entry.facts[0].supersedes[0].0).expect("the old fact");
    assert!(matches!(&old.body, Body::Breaker(body) if body.rating_a == 20.0));
    let after = view_with([view.facts.clone(), entry.facts].concat());
    let job = after.settled.job.expect("a job");
    let slot = model::Slot::new(model::PanelId::new("main"), model::Space::whole(16));
    assert_eq!(job.installation.breaker_at(&slot).map(|breaker| breaker.rating.a()), Some(15.0));
}

#[test]
fn what_is_not_safe_or_cannot_be_is_refused() {
    let off = view_of(CASES[0]);
    let on = reached(CASES[0], "cover-on");
    let dead = reached(CASES[0], "proven-dead");
    assert_eq!(Standing::of(&on).exposure, Exposure::CoverOn);
    let opening = [("joint", "main:stab:15"), ("found", "burnt")];
    assert_eq!(wrong(&off, EntryKind::Opening, &opening), ["joint"]);
    assert_eq!(bodies(&dead, EntryKind::Opening, &opening).len(), 1);
    assert!(!page(EntryKind::Opening, &fields(&[]), None, &context(&off)).html.contains("name=\"found\""));

    let metal = [("place", "main/lug:A"), ("value", "50"), ("surface", "bare-metal")];
    assert_eq!(wrong(&off, EntryKind::Temperature, &metal), ["surface"]);
    let probe = [&metal[..], &[("method", "contact")]].concat();
    assert_eq!(bodies(&off, EntryKind::Temperature, &probe).len(), 1);
    assert_eq!(wrong(&off, EntryKind::Temperature, &[("place", "main/lug:A"), ("value", "50")]), ["surface"]);

    assert_eq!(
        wrong(&off, EntryKind::Work, &[("kind", "stop-gap"), ("words", "moved")]),
        ["expires", "recheck"]
    );
    let too_soon =
        [("kind", "stop-gap"), ("words", "off"), ("expires", "2025-11-19"), ("recheck", "2025-11-21")];
    assert_eq!(wrong(&off, EntryKind::Work, &too_soon), ["expires", "recheck"]);
    let late = [("kind", "stop-gap"), ("words", "off"), ("expires", "2025-12-01"), ("recheck", "2025-12-02")];
    assert_eq!(wrong(&off, EntryKind::Work, &late), ["recheck"]);
    // A move is a stop-gap, from a space, with both buses proven dead on record.
    let days = [("words", "kitchen moved"), ("expires", "2025-12-01"), ("recheck", "2025-11-25")];
    let to = [("moved_to", "main/22"), ("slots", "main/15")];
    let moved = [&days[..], &to[..], &[("kind", "stop-gap")]].concat();
    assert_eq!(wrong(&off, EntryKind::Work, &moved), ["moved_to"]);
    let dead_words =
        [&days[..], &to[..], &[("kind", "stop-gap"), ("cover", "yes"), ("reached", "proven-dead")]].concat();
    assert_eq!(wrong(&off, EntryKind::Work, &dead_words), ["moved_to"]);
    assert_eq!(bodies(&dead, EntryKind::Work, &moved).len(), 1);
    let lasting = [&to[..], &[("kind", "lasting"), ("words", "kitchen moved")]].concat();
    assert_eq!(wrong(&dead, EntryKind::Work, &lasting), ["moved_to"]);
    let from_nowhere = [&days[..], &[("kind", "stop-gap"), ("moved_to", "main/22")]].concat();
    assert_eq!(wrong(&dead, EntryKind::Work, &from_nowhere), ["slots"]);

    for value in ["900", "1,500", "warm", ""] {
        assert_eq!(
            wrong(&off, EntryKind::Temperature, &[("place", "main/15"), ("value", value)]),
            ["value"],
            "{value}"
        );
    }
    assert_eq!(wrong(&off, EntryKind::Exposure, &[("reached", "cover-off"), ("who", "x")]), ["qualified"]);
    assert_eq!(
        wrong(&off, EntryKind::Exposure, &[("reached", "proven-dead"), ("who", "x"), ("qualified", "yes")]),
        ["pairs", "reached", "tester"]
    );
    assert_eq!(
        wrong(&off, EntryKind::Sign, &[("place", "main/15"), ("sign", "pitted-stab"), ("seen", "yes")]),
        ["sign"]
    );

    // Behind the dead front while it is on: closed, unless it is said to be off now, and then that is a fact, too.
    let clamp = [("place", "main/15"), ("amps", "12")];
    assert_eq!(wrong(&on, EntryKind::Clamp, &clamp), ["cover"]);
    let said_off = bodies(&on, EntryKind::Clamp, &[&clamp[..], &[("cover", "yes")]].concat());
    assert_eq!(said_off.iter().map(Body::kind).collect::<Vec<_>>(), ["exposure", "clamp"]);
    let closed = page(EntryKind::Clamp, &fields(&[]), None, &context(&on)).html;
    assert!(closed.contains("Closed: the dead front is on."));
}

#[test]
fn a_reading_in_a_state_that_nobody_described_brings_the_state_with_it() {
    let view = view_of(CASES[0]);
    let said =
        bodies(&view, EntryKind::Touch, &[("place", "main/15"), ("feel", "warm"), ("state", "range on")]);
    assert_eq!(said.iter().map(Body::kind).collect::<Vec<_>>(), ["state", "touch"]);
    let said = bodies(&view, EntryKind::Touch, &[("place", "15"), ("feel", "warm")]);
    assert_eq!(said.iter().map(Body::kind).collect::<Vec<_>>(), ["touch"]);
}

#[test]
fn a_series_goes_down_the_column_and_stops_when_all_is_read() {
    let view = view_of(CASES[0]);
    let go = |place: &str, state: &str| {
        let sent = [("place", place), ("feel", "warm"), ("state", state), ("then", "next")];
        read(EntryKind::Touch, &fields(&sent), &context(&view)).expect("a touch").go
    };
    assert_eq!(go("main/13", "range on"), "/jobs/Q-0117/enter/touch?place=main/15&state=range%20on#here");
    // 15 and 19 were touched at breakfast.
    assert_eq!(go("main/13", "breakfast"), "/jobs/Q-0117/enter/touch?place=main/17&state=breakfast#here");
    assert_eq!(go("main/23", "breakfast"), "/jobs/Q-0117/enter/touch?place=main/2&state=breakfast#here");
}

#[test]
fn a_correction_is_filled_with_the_old_value_and_replaces_it() {
    let view = view_of(CASES[0]);
    let old = view
        .facts
        .iter()
        .find(|fact| matches!(&fact.body, Body::Temperature(body) if body.value == TemperatureAs::C(48.4)));
    let old = old.expect("the face of space 15");
    let said = shown_and_sent(
        &view,
        EntryKind::Temperature,
        &[("supersedes", old.id().as_str())],
        &[("value", "84.4")],
    );
    let [Body::Temperature(body)] = said.as_slice() else { panic!("{said:?}") };
    assert_eq!((body.value, body.state.as_str()), (TemperatureAs::C(84.4), "breakfast"));
    let sent = [("supersedes", old.id().as_str()), ("words", "wrong breaker")];
    let entry = read(EntryKind::TakeBack, &fields(&sent), &context(&view)).expect("taken back");
    assert_eq!(entry.facts[0].supersedes[0].0, *old.id());
    let job = view.facts.iter().find(|fact| matches!(fact.body, Body::Job(_))).expect("the job is opened");
    assert_eq!(wrong(&view, EntryKind::TakeBack, &[("supersedes", job.id().as_str())]), ["supersedes"]);
}

/// Names that forms use, so that arbitrary values reach the readers.
const NAMES: [&str; 34] = [
    "place",
    "elsewhere",
    "part",
    "value",
    "unit",
    "method",
    "surface",
    "state",
    "at",
    "supersedes",
    "feel",
    "amps",
    "mv",
    "from",
    "to",
    "volts",
    "volts-A",
    "on-A",
    "where",
    "sign",
    "seen",
    "words",
    "photo",
    "x",
    "y",
    "joint",
    "found",
    "kind",
    "expires",
    "spaces",
    "rating_a",
    "name",
    "go",
    "cover",
];

fn value() -> impl Strategy<Value = String> {
    prop_oneof![
        any::<String>(),
        "[-+0-9., :/a-zA-Z]{0,40}",
        prop::sample::select(vec![
            "main/15",
            "main/face:15",
            "main/load:0",
            "15b",
            "yes",
            "c",
            "f",
            "2025-11-18T10:40:00",
            "-9999-01-01T00:00",
            "9999-12-31T23:59:59",
            "breakfast",
            "stop-gap",
            "lasting",
            "hot",
            "1e400",
            "65536",
            "main/99999",
            "/jobs/Q-0117/log",
        ])
        .prop_map(str::to_owned),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is sent, reading answers with facts or with what is wrong, and the form is shown again.
    #[test]
    fn reading_never_panics(sent in prop::collection::vec((prop::sample::select(NAMES.to_vec()), value()), 0..12)) {
        let view = view_of(CASES[0]);
        let cx = context(&view);
        let sent = Fields::from_pairs(sent.into_iter().map(|(name, value)| (name.to_owned(), value)));
        for &kind in EntryKind::ALL {
            match read(kind, &sent, &cx) {
                Ok(entry) => prop_assert!(entry.go.starts_with("/jobs/Q-0117"), "{}", entry.go),
                Err(refusal) => {
                    prop_assert!(!refusal.errors.is_empty());
                    let _ = page(kind, &sent, Some(&refusal), &cx);
                }
            }
            let _ = page(kind, &sent, None, &cx);
        }
    }
}

/// Everything that a plan must say, on one form.
const PLAN: [(&str, &str); 11] = [
    ("off", "main/15"),
    ("limits", "one-big"),
    ("watch", "smoke"),
    ("slip", "call"),
    ("alarms", "tested"),
    ("medical", "none"),
    ("food", "insulin"),
    ("heat", "none"),
    ("expires", "2025-12-18"),
    ("recheck", "2025-11-22"),
    ("answer", "accepted"),
];

#[test]
fn a_plan_is_one_entry_and_lacks_nothing() {
    let view = view_of(CASES[0]);
    let whole = [&PLAN[..], &[("answer_words", "We eat out until then.")]].concat();
    let made = bodies(&view, EntryKind::Interim, &whole);
    assert!(matches!(&made[..], [Body::Interim(plan)] if plan.off.len() == 1 && plan.answer_by == "owner"));
    for (left_out, field) in [
        ("watch", "watch"),
        ("slip", "slip"),
        ("alarms", "alarms"),
        ("medical", "medical"),
        ("food", "food"),
        ("heat", "heat"),
        ("expires", "expires"),
        ("recheck", "recheck"),
        ("answer", "answer"),
        ("answer_words", "answer_words"),
    ] {
        let without: Vec<_> = whole.iter().copied().filter(|(name, _)| *name != left_out).collect();
        assert_eq!(wrong(&view, EntryKind::Interim, &without), [field], "{left_out}");
    }
    let with = |name: &'static str, value: &'static str| {
        whole.iter().map(|&(one, old)| (one, if one == name { value } else { old })).collect::<Vec<_>>()
    };
    assert_eq!(wrong(&view, EntryKind::Interim, &with("recheck", "2025-12-19")), ["recheck"]);
    assert_eq!(wrong(&view, EntryKind::Interim, &with("expires", "2025-11-18")), ["expires", "recheck"]);
    assert_eq!(wrong(&view, EntryKind::Interim, &with("watch", "nothing-of-ours")), ["watch", "watch"]);
    // Against advice: why it was advised stands beside it.
    assert_eq!(wrong(&view, EntryKind::Interim, &with("answer", "declined")), ["reasons"]);
}

#[test]
fn what_is_due_is_settled_by_what_was_done() {
    let view = view_of(CASES[0]);
    let promise = bodies(&view, EntryKind::Promise, &[("words", "the quote"), ("due", "2025-11-25")]);
    let at = date(2025, 11, 19).at(10, 0, 0, 0);
    let fact = Fact::new(at, None, Vec::new(), promise.into_iter().next().expect("one"));
    let of = format!("promise:{}", fact.id());
    let view = view_with([view.facts.clone(), vec![fact]].concat());
    let html = page(EntryKind::Kept, &fields(&[]), None, &context(&view)).html;
    assert!(html.contains("the quote") && html.contains(&of), "{html}");
    assert_eq!(wrong(&view, EntryKind::Kept, &[("of", "promise:nothing"), ("words", "sent")]), ["of"]);
    assert_eq!(wrong(&view, EntryKind::Kept, &[("of", of.as_str())]), ["words"]);
    let kept = bodies(&view, EntryKind::Kept, &[("of", of.as_str()), ("words", "sent")]);
    let fact = Fact::new(
        date(2025, 11, 19).at(11, 0, 0, 0),
        None,
        Vec::new(),
        kept.into_iter().next().expect("one"),
    );
    let view = view_with([view.facts.clone(), vec![fact]].concat());
    let job = view.settled.job.as_ref().expect("a job");
    assert!(study::board(job, policy()).iter().all(|due| due.words != "the quote"));
}

/// The code book as it comes with the program.
fn book() -> &'static study::code::Book {
    static BOOK: std::sync::OnceLock<study::code::Book> = std::sync::OnceLock::new();
    BOOK.get_or_init(study::code::Book::built_in)
}

/// The policy of an invented shop.
fn policy() -> &'static study::Policy {
    static POLICY: std::sync::OnceLock<study::Policy> = std::sync::OnceLock::new();
    POLICY.get_or_init(study::Policy::standard)
}

/// A shop without anything of its own.
fn invented_shop() -> &'static study::Shop {
    static SHOP: std::sync::OnceLock<study::Shop> = std::sync::OnceLock::new();
    SHOP.get_or_init(study::Shop::default)
}
