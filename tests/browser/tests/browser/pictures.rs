//! Pictures of every page, for people to look at. `SHOTS` names a folder for all of them; `PICTURES=1` makes the few
//! of `docs/pictures` again.

use crate::bench::Bench;
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::no_signal::JOB;
use crate::walk::every_page;
use chromiumoxide::cdp::browser_protocol::page::CaptureScreenshotFormat;
use chromiumoxide::page::ScreenshotParams;
use std::path::Path;

/// Largest picture in the documents.
const PICTURE_MAX: usize = 60_000;

#[test]
fn pictures_are_made_when_asked_for() {
    let shots = std::env::var_os("SHOTS");
    let pictures = std::env::var_os("PICTURES").is_some();
    if shots.is_none() && !pictures {
        println!("pictures: NOT MADE, set SHOTS to a folder, or PICTURES=1 for those of the documents");
        return;
    }
    with_browser("pictures", async |program| {
        let bench = Bench::demo().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone").await;
        let stops = every_page(&bench, &tab).await;
        if let Some(folder) = &shots {
            let folder = Path::new(folder);
            std::fs::create_dir_all(folder).expect("a folder");
            for stop in &stops {
                tab.go(&bench.url(&stop.path)).await;
                tab.wait("document.documentElement.dataset.script === 'on'").await;
                for (size, width, height) in [("phone", 360, 740), ("laptop", 1280, 800)] {
                    for light in ["day", "dark", "glare"] {
                        // A picture of a whole page leaves another size behind.
                        tab.resize(width, height, 1.0, size == "phone").await;
                        tab.js(&format!("document.documentElement.dataset.light = '{light}'")).await;
                        let file = folder.join(format!("{}-{size}-{light}.png", stop.name));
                        std::fs::write(file, tab.picture(size == "phone").await).expect("a file");
                    }
                }
                tab.resize(360, 740, 1.0, true).await;
            }
            println!("pictures: {} pages, two sizes, three lights in {}", stops.len(), folder.display());
        }
        if pictures {
            let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/pictures"));
            std::fs::create_dir_all(folder).expect("a folder");
            let few = [
                ("bench-phone-day", format!("/jobs/{JOB}"), "day", 360, 740),
                ("bench-phone-dark", format!("/jobs/{JOB}"), "dark", 360, 740),
                ("space-phone-glare", format!("/jobs/{JOB}/spaces/main/15"), "glare", 360, 740),
                ("bench-laptop-day", format!("/jobs/{JOB}"), "day", 1280, 800),
            ];
            for (name, path, light, width, height) in few {
                tab.resize(width, height, 1.0, width < 500).await;
                tab.go(&bench.url(&path)).await;
                tab.wait("document.documentElement.dataset.script === 'on'").await;
                tab.js(&format!("document.documentElement.dataset.light = '{light}'")).await;
                let mut picture = Vec::new();
                for quality in [60, 45, 30] {
                    let format = CaptureScreenshotFormat::Jpeg;
                    let params = ScreenshotParams::builder().format(format).quality(quality).build();
                    picture = tab.page().screenshot(params).await.expect("a picture");
                    if picture.len() <= PICTURE_MAX {
                        break;
                    }
                }
                assert!(picture.len() <= PICTURE_MAX, "{name}: {} bytes", picture.len());
                std::fs::write(folder.join(format!("{name}.jpg")), picture).expect("a file");
            }
        }
        chrome.close().await;
    });
}
