//! Writes the pages of the code book as files to be looked at: `cargo run -p pages --example code_stills -- FOLDER`.

use jiff::civil::date;
use pages::{Context, EntryKind, Fields, JobView, Judged, Light, Route, Viewer};
use std::path::Path;
use study::code::{CsvForm, MeterData, MeterReader};

const CASE: &str = include_str!("../../../cases/2-overload.toml");
const LOOK: &str = include_str!("../../web/assets/look.css");

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| "stills".to_owned());
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("look.css"), LOOK)?;
    let reading = record::read_job("case", CASE, date(2026, 1, 1));
    let settled = record::settle(&reading.facts, None);
    let name = settled.job.as_ref().map(|job| job.id.clone()).ok_or("the case gives no job")?;
    let view = JobView { name, facts: reading.facts, settled, revision: 1, judged: Judged::Waiting };
    let (book, policy) = (study::code::Book::built_in(), study::Policy::standard());
    let data = invented_meter()?;
    for light in [Light::Day, Light::Dark, Light::Glare] {
        let cx = Context {
            now: date(2025, 11, 21).at(9, 0, 0, 0),
            viewer: Viewer { name: "electrician" },
            light,
            csrf: "csrf",
            entry: "k3f9a0",
            jobs: &[],
            job: Some(&view),
            devices: &[],
            invitation: None,
            board: &[],
            policy: &policy,
            book: &book,
            policy_text: pages::PolicyText::default(),
            shop: invented_shop(),
        };
        let own = || view.name.clone();
        let mut stills = vec![
            ("code", Route::Code(own())),
            ("load", Route::Load(own())),
            ("sizes", Route::Sizes(own())),
            ("asks", Route::Asks(own())),
            ("editions", Route::Editions(own())),
            ("meter", Route::Meter(own())),
        ];
        let kinds = [
            EntryKind::Adoption,
            EntryKind::Dwelling,
            EntryKind::Appliance,
            EntryKind::Demand,
            EntryKind::Site,
        ];
        stills.extend(kinds.map(|kind| (kind.word(), Route::Enter(own(), kind))));
        for (name, route) in stills {
            write(folder, name, light, &pages::show(&route, &Fields::default(), &cx).html)?;
        }
        write(folder, "meter-read", light, &pages::meter_page(&own(), &Ok(data.clone()), &cx).html)?;
    }
    Ok(())
}

/// Hourly data of an invented year.
fn invented_meter() -> Result<MeterData, Box<dyn std::error::Error>> {
    let mut text = "Start,Usage (kWh)\n".to_owned();
    let mut at = date(2025, 1, 1).at(0, 0, 0, 0);
    for hour in 0..8760_u32 {
        let (day, of_day) = (f64::from(hour / 24), f64::from(hour % 24));
        let season = 1.0 + 0.8 * ((day - 182.0).abs() / 91.0 - 1.0);
        let evening = if (17.0..22.0).contains(&of_day) { 2.6 } else { 0.4 };
        text.push_str(&format!("{},{:.3}\n", at.strftime("%Y-%m-%d %H:%M"), 0.3 + season * evening * 0.7));
        at = at.checked_add(jiff::Span::new().hours(1))?;
    }
    let mut reader = MeterReader::new(CsvForm::default());
    reader.feed(text.as_bytes())?;
    Ok(reader.finish(Some(100.0), 240.0, None)?)
}

fn write(folder: &Path, name: &str, light: Light, html: &str) -> std::io::Result<()> {
    let beside = html.replace("href=\"/look.css\"", "href=\"look.css\"");
    std::fs::write(folder.join(format!("{name}-{}.html", light.word())), beside)
}

/// A shop without anything of its own.
fn invented_shop() -> &'static study::Shop {
    static SHOP: std::sync::OnceLock<study::Shop> = std::sync::OnceLock::new();
    SHOP.get_or_init(study::Shop::default)
}
