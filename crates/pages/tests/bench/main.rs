//! The pages around the bench with a real judgement behind them: what they show, where they lead, what they refuse.

#[path = "../desk/html.rs"]
#[expect(dead_code, reason = "shared with the other tests of this package")]
mod html;

use html::{Piece, forms, pieces};
use jiff::civil::date;
use pages::{Context, EntryKind, Fields, JobView, Judged, Light, Route, Viewer};
use record::{Body, Fact};
use std::collections::BTreeSet;
use std::sync::OnceLock;

const CASE: &str = include_str!("../../../../cases/1-burnt-stabs.toml");
/// Largest page that a phone in a cellar should be asked to load, bytes.
const PAGE_MAX: usize = 150_000;

fn facts(text: &str) -> Vec<Fact> {
    let reading = record::read_job("case", text, date(2026, 1, 1));
    assert!(!reading.facts.is_empty(), "{:?}", reading.problems);
    reading.facts
}

fn view(facts: Vec<Fact>, judged: Judged) -> JobView {
    let settled = record::settle(&facts, None);
    let name = settled.job.as_ref().map(|job| job.id.clone()).unwrap_or_default();
    JobView { name, facts, settled, revision: 1, judged }
}

/// The demo case with its judgement, of few draws: enough to tell a burnt stab from a sound one.
fn demo() -> &'static JobView {
    static DEMO: OnceLock<JobView> = OnceLock::new();
    DEMO.get_or_init(|| {
        let facts = facts(CASE);
        let job = record::settle(&facts, None).job.expect("a job");
        let mut settings = study::Settings::on(date(2025, 11, 18));
        settings.n_sweeps = 120;
        settings.n_chains = 2;
        let assessment = study::assess(&job, &settings).expect("a judgement");
        view(facts, Judged::Done { assessment: Box::new(assessment), current: true, first: None })
    })
}

fn show(view: &JobView, route: &Route, query: &[(&str, &str)]) -> String {
    let query = query.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned()));
    pages::show(route, &Fields::from_pairs(query), &context(view)).html
}

fn context(view: &JobView) -> Context<'_> {
    Context {
        now: date(2025, 11, 19).at(9, 0, 0, 0),
        viewer: Viewer { name: "electrician" },
        light: Light::Auto,
        csrf: "token",
        entry: "e1",
        jobs: &[],
        job: Some(view),
        devices: &[],
        invitation: None,
        board: &[],
        policy: policy(),
        book: book(),
        policy_text: pages::PolicyText { text: study::Policy::standard_text(), ..Default::default() },
        shop: invented_shop(),
    }
}

/// Sends a form that must be taken; the job with its facts, judged no further.
fn send(view: &JobView, kind: EntryKind, pairs: &[(&str, &str)]) -> JobView {
    let fields = pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned()));
    let route = Route::Enter(view.name.clone(), kind);
    let entry = pages::read(&route, &Fields::from_pairs(fields), &context(view)).expect("it must be taken");
    self::view([view.facts.clone(), entry.facts].concat(), view.judged.clone())
}

/// Where a page leads, without queries.
fn links(html: &str) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    let mut in_title = false;
    for piece in pieces(html) {
        match piece {
            Piece::Open { name, attributes } if name == "a" => {
                let of = |key: &str| attributes.get(key).cloned().unwrap_or_default();
                all.push((of("href"), of("aria-label")));
            }
            // A link of a drawing is named by its title.
            Piece::Open { name, .. } => in_title = name == "title",
            Piece::Text(text) if in_title => {
                if let Some((_, label)) = all.last_mut() {
                    label.push_str(&text);
                }
                in_title = false;
            }
            _ => in_title = false,
        }
    }
    all
}

fn own() -> String {
    "Q-0117".to_owned()
}

fn pages_of_the_demo() -> Vec<(Route, String)> {
    let mut routes = vec![
        Route::Bench(own()),
        Route::Log(own()),
        Route::Isolation(own()),
        Route::Plan(own()),
        Route::Survey(own()),
        Route::Surprises(own()),
        Route::Layout(own()),
        Route::Proving(own()),
        Route::Torque(own()),
        Route::Price(own()),
        Route::Outage(own()),
        Route::Code(own()),
        Route::Load(own()),
        Route::Verdict(own()),
        Route::Board,
        Route::Policy,
        Route::Prices,
        Route::Photos(own()),
        Route::Papers(own()),
    ];
    routes.extend((1..=24).map(|space| Route::Space(own(), "main".to_owned(), space.to_string())));
    let assessment = demo().judged.assessment().expect("a judgement");
    routes.extend(assessment.joints.iter().map(|finding| Route::Joint(own(), finding.joint.id.to_string())));
    routes.extend(EntryKind::ALL.iter().map(|&kind| Route::Enter(own(), kind)));
    routes.into_iter().map(|route| (route.clone(), show(demo(), &route, &[]))).collect()
}

#[test]
fn every_link_leads_to_a_page_and_no_page_is_heavy() {
    let mut n_links = 0;
    for (route, html) in pages_of_the_demo() {
        assert!(html.len() < PAGE_MAX, "{route}: {} bytes", html.len());
        assert!(!html.contains("No such"), "{route}");
        for (href, _) in links(&html).iter().filter(|(href, _)| href.starts_with("/jobs/")) {
            let path = href.split(['?', '#']).next().unwrap_or_default();
            let file =
                ["/papers/", "/install/", "/permit/", "/offer/"].iter().any(|folder| path.contains(folder))
                    || path.ends_with("/export");
            let known = Route::of_path(path).is_some() || file;
            assert!(known, "{route} leads to {href}");
            n_links += 1;
        }
    }
    assert!(500 < n_links, "{n_links}");
}

#[test]
fn the_drawing_has_a_link_for_every_space_that_says_what_is_thought_of_it() {
    let html = show(demo(), &Route::Bench(own()), &[("state", "breakfast")]);
    let links = links(&html);
    for space in 1..=24 {
        let href = format!("/jobs/Q-0117/spaces/main/{space}?state=breakfast");
        let (_, label) = links.iter().find(|(to, _)| *to == href).expect("a link for the space");
        assert!(label.starts_with(&format!("Space {space},")), "{label}");
    }
    let label_of = |space: u16| {
        let start = format!("Space {space},");
        links
            .iter()
            .find(|(_, label)| label.starts_with(&start))
            .map(|(_, label)| label.clone())
            .unwrap_or_default()
    };
    assert_eq!(
        label_of(15),
        "Space 15, 20 A, kitchen receptacles, east, stab probably burnt, 48 °C · 13.2 A"
    );
    // Its one drop cannot part a worn stab from a sound one, so it may be called sound or not known, but nothing worse.
    let of_19 = label_of(19);
    assert!(of_19.contains("stab probably sound") || of_19.contains("stab not known"), "{of_19}");
    assert_eq!(label_of(10), "Space 10, empty");
    assert!(
        html.contains("Within 72 hours") || html.contains("Now, before anybody leaves"),
        "the verdict is shown"
    );
}

/// Unknown is never sound: what stands above a space is the worst of its joints.
#[test]
fn a_space_is_not_called_sound_while_a_joint_of_it_is_unknown() {
    let view = demo();
    let assessment = view.judged.assessment().expect("judged");
    let marks = study::Marks::of(assessment);
    let installation = &view.settled.job.as_ref().expect("a job").installation;
    let mut n_sound_beside_unknown = 0;
    for (panel, breaker) in installation.breakers() {
        let Some(&space) = breaker.spaces.first() else { continue };
        let slot = model::Slot::new(panel.id.clone(), space);
        let of = [
            model::JointId::Stab(slot.clone()),
            model::JointId::Terminal(slot.clone()),
            model::JointId::NeutralTerminal(slot),
        ];
        let of: Vec<study::Mark> = of.iter().filter_map(|id| marks.mark(id)).collect();
        let html = show(view, &Route::Space(own(), panel.id.to_string(), space.to_string()), &[]);
        let short = html.split_once("id=\"short\"").and_then(|(_, rest)| rest.split_once("</div>"));
        let (short, _) = short.expect("a headline");
        let sound = short.contains("mark sound");
        assert_eq!(sound, of.iter().all(|mark| *mark == study::Mark::Sound), "space {space}: {of:?}");
        let both = of.contains(&study::Mark::Sound) && of.contains(&study::Mark::Unknown);
        n_sound_beside_unknown += usize::from(both);
    }
    assert!(0 < n_sound_beside_unknown, "the case shows what is held here");
}

#[test]
fn parts_that_change_by_themselves_have_ids_of_their_own() {
    for (route, html) in pages_of_the_demo() {
        let live: Vec<String> = pieces(&html)
            .into_iter()
            .filter_map(|piece| match piece {
                Piece::Open { attributes, .. } if attributes.contains_key("data-live") => {
                    Some(attributes.get("id").cloned().unwrap_or_default())
                }
                _ => None,
            })
            .collect();
        let ids: BTreeSet<&String> = live.iter().collect();
        assert_eq!(ids.len(), live.len(), "{route}: {live:?}");
        assert!(live.iter().all(|id| !id.is_empty()), "{route}: {live:?}");
    }
}

#[test]
fn with_the_dead_front_on_only_checks_outside_are_offered() {
    let off = show(demo(), &Route::Bench(own()), &[]);
    let drops =
        |html: &str| links(html).iter().filter(|(href, _)| href.contains("/enter/drop?from=")).count();
    assert!(0 < drops(&off), "the demo asks for a drop while the dead front is off");
    let on = send(demo(), EntryKind::Exposure, &[("reached", "cover-on")]);
    let html = show(&on, &Route::Bench(own()), &[]);
    assert_eq!(drops(&html), 0);
    assert!(html.contains("Needs the cover off by a qualified person."));
}

#[test]
fn one_tap_on_a_space_records_what_the_hand_felt() {
    let route = Route::Space(own(), "main".to_owned(), "17".to_owned());
    let html = show(demo(), &route, &[("state", "breakfast")]);
    let form =
        forms(&html).into_iter().find(|form| form.action.ends_with("/enter/touch")).expect("the tiles");
    assert_eq!(form.buttons.len(), 5);
    let form = form.by("feel", "hot");
    let fields = Fields::from_pairs(form.fields);
    let touch = Route::Enter(own(), EntryKind::Touch);
    let entry = pages::read(&touch, &fields, &context(demo())).expect("one tap is enough");
    assert_eq!(entry.go, "/jobs/Q-0117/spaces/main/17?state=breakfast");
    assert!(matches!(&entry.facts[0].body, Body::Touch(body) if body.state == "breakfast"));
    let after = view([demo().facts.clone(), entry.facts].concat(), Judged::Waiting);
    let html = show(&after, &route, &[]);
    assert!(html.contains("felt hot, can be held several seconds"));
    assert!(html.contains("Being judged."));
}

#[test]
fn the_log_strikes_what_is_taken_back_and_marks_what_is_set_aside() {
    let face = demo().facts.iter().find(|fact| matches!(fact.body, Body::Temperature(_))).expect("a face");
    let after = send(demo(), EntryKind::TakeBack, &[("supersedes", face.id().as_str())]);
    // A face where no breaker is recorded: kept, not used, and said so.
    let after = send(&after, EntryKind::Temperature, &[("place", "main/10"), ("value", "30")]);
    let log = show(&after, &Route::Log(own()), &[]);
    assert!(log.contains("<li class=\"taken-back\">") && log.contains("taken back</span>"), "struck");
    assert!(log.contains("<li class=\"set-aside\">") && log.contains("Not used: "), "set aside");
    let bench = show(&after, &Route::Bench(own()), &[]);
    assert!(bench.contains("Set aside") && bench.contains("Face of space 10"));
    let only = show(&after, &Route::Log(own()), &[("kind", "retraction")]);
    assert_eq!(only.matches("<li class=\"used\">").count(), 1);
}

#[test]
fn what_people_write_stays_text() {
    let nasty = "<script>x</script>\"'&";
    let text = CASE.replace("feeds = \"furnace\"", "feeds = '''<script>x</script>\"'&'''");
    let view = view(facts(&text), Judged::NotPossible(nasty.to_owned()));
    let space = Route::Space(own(), "main".to_owned(), "18".to_owned());
    for route in [Route::Bench(own()), space, Route::Log(own()), Route::Enter(own(), EntryKind::Touch)] {
        let html = show(&view, &route, &[("place", nasty), ("state", nasty), ("words", nasty)]);
        assert!(!html.contains("<script>x"), "{route}");
        assert!(html.contains("&lt;script&gt;x"), "{route}");
    }
}

/// One sentence of each kind of fact: how it reads, not what it means.
#[test]
fn facts_read_as_sentences() {
    let mut kinds = BTreeSet::new();
    let log = show(demo(), &Route::Log(own()), &[]);
    let mut lines = String::new();
    for fact in demo().facts.iter().filter(|fact| kinds.insert(fact.body.kind())) {
        let query = [("kind", fact.body.kind())];
        let html = show(demo(), &Route::Log(own()), &query);
        let sentence =
            html.split("<span class=\"words\">").nth(1).and_then(|rest| rest.split("</span>").next());
        let sentence = sentence.expect("a sentence");
        assert!(log.contains(sentence));
        lines.push_str(&format!("{}: {sentence}\n", fact.body.kind()));
    }
    insta::assert_snapshot!(lines);
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

/// Beside a first look the verdict is the more urgent of the two, whichever that is.
#[test]
fn beside_a_first_look_the_more_urgent_verdict_is_shown() {
    use model::advice::Urgency;
    let whole = demo().judged.assessment().expect("a judgement");
    let with = |urgency: Urgency| {
        let mut assessment = whole.clone();
        assessment.verdict.urgency = urgency;
        Box::new(assessment)
    };
    let kept = "The verdict is still the earlier one";
    for (before, look, shown) in [
        (Urgency::Now, Urgency::PlanIt, Urgency::Now),
        (Urgency::PlanIt, Urgency::Now, Urgency::Now),
        (Urgency::ThisMonth, Urgency::ThisMonth, Urgency::ThisMonth),
    ] {
        let judged = Judged::Done { assessment: with(before), current: false, first: Some(with(look)) };
        let view = JobView { judged, ..demo().clone() };
        assert_eq!(view.judged.assessment().map(|whole| whole.verdict.urgency), Some(before), "papers");
        for route in [Route::Bench(view.name.clone()), Route::Verdict(view.name.clone())] {
            let page = show(&view, &route, &[]);
            assert!(page.contains("First look, less exact."), "{route}");
            let marked = format!("section class=\"verdict\" data-urgency=\"{}\"", shown.word());
            assert!(page.contains(&marked), "{route}: {before:?} and {look:?}");
            assert_eq!(page.contains(kept), before < look, "{route}: {before:?} and {look:?}");
        }
    }
}

/// What the verdict says of a joint names it as a person does, on the page of the verdict and on the bench.
#[test]
fn no_id_of_a_joint_stands_in_the_verdict() {
    let mut assessment = demo().judged.assessment().expect("a judgement").clone();
    let raw = "what main:terminal:15 shows";
    assessment.verdict.would_change.push(raw.to_owned());
    assessment.options[0].reasons_for.push(raw.to_owned());
    for rule in &mut assessment.verdict.rules {
        rule.because = raw.to_owned();
        rule.reason = raw.to_owned();
    }
    let judged = Judged::Done { assessment: Box::new(assessment), current: true, first: None };
    let view = JobView { judged, ..demo().clone() };
    for route in [Route::Bench(view.name.clone()), Route::Verdict(view.name.clone())] {
        let page = show(&view, &route, &[]);
        assert!(!page.contains(raw), "{route}");
        assert!(page.contains("what the load terminal of breaker 15"), "{route}");
    }
}
