//! Writes the pages around the bench, with a real judgement, as files to be looked at:
//! `cargo run -p pages --example bench_stills -- FOLDER`.

use jiff::civil::date;
use pages::{Context, EntryKind, Fields, JobView, Judged, Light, Route, Viewer};
use std::path::Path;

const CASE: &str = include_str!("../../../cases/1-burnt-stabs.toml");
const LOOK: &str = include_str!("../../web/assets/look.css");
/// A picture for photos that are not there.
const PICTURE: &str = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 4 3'><rect width='4' height='3' fill='#888'/></svg>";
const HASH: &str = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08";

/// Name of the file, page, query.
type Still = (String, Route, Vec<(&'static str, String)>);

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| "stills".to_owned());
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("look.css"), LOOK)?;
    std::fs::write(folder.join("picture.svg"), PICTURE)?;
    let view = view()?;
    let own = || view.name.clone();
    let mut stills: Vec<Still> = vec![
        ("bench".to_owned(), Route::Bench(own()), vec![]),
        ("space".to_owned(), Route::Space(own(), "main".to_owned(), "15".to_owned()), vec![]),
        ("space-empty".to_owned(), Route::Space(own(), "main".to_owned(), "10".to_owned()), vec![]),
        ("joint".to_owned(), Route::Joint(own(), "main:stab:15".to_owned()), vec![]),
        ("log".to_owned(), Route::Log(own()), vec![]),
        ("photos".to_owned(), Route::Photos(own()), vec![]),
        ("photo".to_owned(), Route::Photo(own(), HASH.to_owned()), vec![]),
        ("papers".to_owned(), Route::Papers(own()), vec![]),
    ];
    for &kind in EntryKind::ALL {
        let query = vec![("place", "main/15".to_owned()), ("photo", HASH.to_owned())];
        stills.push((format!("enter-{}", kind.word()), Route::Enter(own(), kind), query));
    }
    let closed = with_cover_on(&view)?;
    let bare =
        JobView { judged: Judged::NotPossible("No load state is recorded.".to_owned()), ..closed.clone() };
    for (prefix, view, kinds) in [("on", &closed, EntryKind::ALL), ("bare", &bare, &[])] {
        let cx = context(view, Light::Day);
        let bench = pages::show(&Route::Bench(own()), &Fields::default(), &cx);
        write(folder, &format!("{prefix}-bench"), Light::Day, &bench.html)?;
        for &kind in kinds {
            let page = pages::show(&Route::Enter(own(), kind), &Fields::default(), &cx);
            write(folder, &format!("{prefix}-{}", kind.word()), Light::Day, &page.html)?;
        }
    }
    for light in [Light::Day, Light::Dark, Light::Glare] {
        let cx = context(&view, light);
        for (name, route, query) in &stills {
            let fields = query.iter().map(|(name, value)| ((*name).to_owned(), value.clone()));
            let fields = Fields::from_pairs(fields);
            write(folder, name, light, &pages::show(route, &fields, &cx).html)?;
            if let Err(refusal) = pages::read(route, &Fields::default(), &cx)
                && light == Light::Day
            {
                let page = pages::show_refused(route, &Fields::default(), &refusal, &cx);
                write(folder, &format!("{name}-refused"), light, &page.html)?;
            }
        }
    }
    Ok(())
}

fn context(view: &JobView, light: Light) -> Context<'_> {
    Context {
        now: date(2025, 11, 18).at(13, 0, 0, 0),
        viewer: Viewer { name: "electrician" },
        light,
        csrf: "csrf",
        entry: "k3f9a0",
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

/// The same job with the dead front back on.
fn with_cover_on(view: &JobView) -> Result<JobView, Box<dyn std::error::Error>> {
    let fields = Fields::from_pairs([("reached".to_owned(), "cover-on".to_owned())]);
    let route = Route::Enter(view.name.clone(), EntryKind::Exposure);
    let entry = pages::read(&route, &fields, &context(view, Light::Day))
        .map_err(|refusal| format!("the exposure is refused: {refusal:?}"))?;
    let facts = [view.facts.clone(), entry.facts].concat();
    let settled = record::settle(&facts, None);
    Ok(JobView { facts, settled, ..view.clone() })
}

fn write(folder: &Path, name: &str, light: Light, html: &str) -> std::io::Result<()> {
    let mut beside = html.replace("href=\"/look.css\"", "href=\"look.css\"");
    for rendition in ["thumb", "page", "original"] {
        beside =
            beside.replace(&format!("src=\"/jobs/Q-0117/photos/{HASH}/{rendition}\""), "src=\"picture.svg\"");
    }
    std::fs::write(folder.join(format!("{name}-{}.html", light.word())), beside)
}

fn view() -> Result<JobView, Box<dyn std::error::Error>> {
    let more = format!(
        "\n[[photo]]\nsha256 = \"{HASH}\"\nwords = \"brown edge above the handle\"\nspace = 15\n\n\
         [[pin]]\nphoto = \"{HASH}\"\nx = 0.4\ny = 0.3\nspace = 15\nwords = \"browned\"\n"
    );
    let mut reading = record::read_job("case", &format!("{CASE}{more}"), date(2026, 1, 1));
    if reading.facts.is_empty() {
        reading = record::read_job("case", CASE, date(2026, 1, 1));
    }
    let settled = record::settle(&reading.facts, None);
    let job = settled.job.clone().ok_or("the case gives no job")?;
    let assessment = study::assess(&job, &study::Settings::on(date(2025, 11, 18)))?;
    let judged = Judged::Done { assessment: Box::new(assessment), current: true, first: None };
    Ok(JobView { name: job.id.clone(), facts: reading.facts, settled, revision: 1, judged })
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
