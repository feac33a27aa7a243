//! Writes pages of an invented job as files, to be looked at: `cargo run -p pages --example stills -- FOLDER`.

use jiff::civil::{DateTime, date};
use model::advice::Urgency;
use pages::{Context, Device, EntryKind, Fields, Invitation, JobLine, JobView, Judged, Light, Route, Viewer};
use std::path::Path;

const CASE: &str = include_str!("../../../cases/1-burnt-stabs.toml");
const LOOK: &str = include_str!("../../web/assets/look.css");

/// Name of the file, page, query.
type Still<'a> = (&'a str, Route, &'a [(&'a str, &'a str)]);

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| "stills".to_owned());
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("look.css"), LOOK)?;
    let now = date(2025, 11, 18).at(9, 30, 0, 0);
    let view = view();
    let jobs = jobs(now);
    let devices = devices(now);
    let invitation = invitation(now);
    let (own, panel) = (|| view.name.clone(), || "main".to_owned());
    let stills: Vec<Still> = vec![
        ("jobs", Route::Jobs, &[]),
        ("new", Route::New, &[]),
        ("new-smoke", Route::New, &[("a-danger", "smoke"), ("of", "smell")]),
        ("call", Route::Call(own()), &[]),
        ("panel-new", Route::Panel(own(), String::new()), &[]),
        ("panel", Route::Panel(own(), panel()), &[]),
        ("fill", Route::Fill(own(), panel()), &[]),
        ("fill-15", Route::Fill(own(), panel()), &[("space", "15")]),
        ("fill-done", Route::Fill(own(), panel()), &[("done", "yes")]),
        ("bench", Route::Bench(own()), &[]),
        ("space", Route::Space(own(), panel(), "15".to_owned()), &[]),
        ("touch", Route::Enter(own(), EntryKind::Touch), &[("place", "main/15")]),
        ("temperature", Route::Enter(own(), EntryKind::Temperature), &[("place", "main/15")]),
        ("log", Route::Log(own()), &[]),
        ("devices", Route::Devices, &[]),
        ("join", Route::Join, &[]),
        ("guide", Route::Guide, &[]),
    ];
    for light in [Light::Day, Light::Dark, Light::Glare] {
        let cx = Context {
            now,
            viewer: Viewer { name: "electrician" },
            light,
            csrf: "csrf",
            entry: "k3f9a0",
            jobs: &jobs,
            job: None,
            devices: &devices,
            invitation: Some(&invitation),
            board: &[],
            policy: policy(),
            book: book(),
            policy_text: pages::PolicyText { text: study::Policy::standard_text(), ..Default::default() },
            shop: invented_shop(),
        };
        for (name, route, query) in &stills {
            let cx = Context { job: route.job().map(|_| &view), ..cx };
            let fields = Fields::from_pairs(
                query.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())),
            );
            let page = pages::show(route, &fields, &cx);
            write(folder, name, light, &page.html)?;
        }
        // Forms sent empty, to see how they say what is missing.
        for (name, route) in
            [("new-refused", Route::New), ("panel-refused", Route::Panel(own(), String::new()))]
        {
            let cx = Context { job: route.job().map(|_| &view), ..cx };
            if let Err(refusal) = pages::read(&route, &Fields::default(), &cx) {
                write(
                    folder,
                    name,
                    light,
                    &pages::show_refused(&route, &Fields::default(), &refusal, &cx).html,
                )?;
            }
        }
    }
    Ok(())
}

fn write(folder: &Path, name: &str, light: Light, html: &str) -> std::io::Result<()> {
    let beside = html.replace("href=\"/look.css\"", "href=\"look.css\"");
    std::fs::write(folder.join(format!("{name}-{}.html", light.word())), beside)
}

fn view() -> JobView {
    let reading = record::read_job("case", CASE, date(2026, 1, 1));
    let settled = record::settle(&reading.facts, None);
    JobView {
        name: settled.job.as_ref().map(|job| job.id.clone()).unwrap_or_default(),
        facts: reading.facts,
        settled,
        revision: 1,
        judged: Judged::Waiting,
    }
}

fn jobs(now: DateTime) -> Vec<JobLine> {
    let line = |job: &str, place: &str, n_facts, urgency| JobLine {
        job: job.to_owned(),
        place: place.to_owned(),
        town: "Quenmarsh".to_owned(),
        invented: true,
        n_facts,
        changed: now,
        urgency,
        as_of: None,
    };
    vec![
        line("Q-0117", "9 Kiln Row", 88, Some(Urgency::Now)),
        line("Q-0118", "31 Osier Bank", 41, Some(Urgency::Within72Hours)),
        line("Q-0119", "2 Candlewick Yard", 17, Some(Urgency::PlanIt)),
        line("2025-11-18-k3f9", "", 3, None),
    ]
}

fn devices(now: DateTime) -> Vec<Device> {
    let device = |id: &str, name: &str, revoked, this| Device {
        role: pages::Role::Electrician,
        id: id.to_owned(),
        person: String::new(),
        name: name.to_owned(),
        joined: now,
        seen: Some(now),
        expires: date(2026, 2, 16).at(9, 30, 0, 0),
        revoked,
        this,
    };
    vec![
        device("d1", "laptop in the truck", false, true),
        device("d2", "phone of the electrician", false, false),
        device("d3", "lost phone", true, false),
    ]
}

fn invitation(now: DateTime) -> Invitation {
    Invitation {
        code: "482 913".to_owned(),
        address: "http://192.0.2.7:8080/join?code=482913".to_owned(),
        qr_svg: "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 9 9\"><path d=\"M1 1h3v3h-3zM5 1h3v3h-3zM1 5h3v3h-3zM5 5h1v1h-1zM7 7h1v1h-1z\"/></svg>".to_owned(),
        expires: now,
    }
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
