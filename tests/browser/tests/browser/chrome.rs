//! Chromium, started fresh or again with the profile of an earlier start.

use crate::tab::Tab;
use chromiumoxide::browser::{Browser, BrowserConfig};
use chromiumoxide::handler::viewport::Viewport;
use futures_util::StreamExt;
use std::future::Future;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;
use tempfile::TempDir;
use tokio::task::JoinHandle;

/// Two browsers at once on a small machine make each other late; tests take turns.
static TURN: Mutex<()> = Mutex::new(());

/// Runs a test if there is a browser, one at a time; says so where there is none.
pub(crate) fn with_browser<F: Future<Output = ()>>(name: &str, test: impl FnOnce(PathBuf) -> F) {
    let Some(program) = program() else {
        let is_ci = std::env::var("CI").is_ok_and(|value| value == "true");
        assert!(!is_ci, "{name}: Chromium is not installed, and here it must be");
        println!("{name}: NOT RUN, Chromium is not installed (`apt-get install chromium`, or set CHROMIUM)");
        return;
    };
    let _turn = TURN.lock().unwrap_or_else(PoisonError::into_inner);
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().expect("a runtime");
    let whole = async { tokio::time::timeout(Duration::from_secs(420), test(program)).await };
    runtime.block_on(whole).unwrap_or_else(|_| panic!("{name}: not done after seven minutes"));
}

/// The browser, where there is one.
fn program() -> Option<PathBuf> {
    if let Some(named) = std::env::var_os("CHROMIUM") {
        return Some(PathBuf::from(named));
    }
    let path = std::env::var_os("PATH")?;
    let names = ["chromium", "chromium-browser"];
    std::env::split_paths(&path)
        .flat_map(|folder| names.map(|name| folder.join(name)))
        .find(|file| file.is_file())
}

/// A folder for what a browser keeps.
pub(crate) fn profile() -> TempDir {
    tempfile::tempdir().expect("a folder for the profile")
}

/// A running browser.
pub(crate) struct Chrome {
    browser: Browser,
    events: JoinHandle<()>,
}

/// How large the window is, and whether it is a phone.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Screen {
    /// 360 by 740, touch.
    Phone,
    /// 1280 by 800.
    Laptop,
}

impl Screen {
    pub(crate) const fn size(self) -> (u32, u32) {
        match self {
            Screen::Phone => (360, 740),
            Screen::Laptop => (1280, 800),
        }
    }
}

impl Chrome {
    /// Starts a browser on a profile.
    pub(crate) async fn start(program: &Path, profile: &Path, screen: Screen) -> Chrome {
        let (width, height) = screen.size();
        let is_phone = matches!(screen, Screen::Phone);
        let viewport = Viewport {
            width,
            height,
            device_scale_factor: Some(1.0),
            emulating_mobile: is_phone,
            is_landscape: !is_phone,
            has_touch: is_phone,
        };
        let config = BrowserConfig::builder()
            .chrome_executable(program)
            .user_data_dir(profile)
            .no_sandbox()
            .new_headless_mode()
            .window_size(width, height)
            .viewport(viewport)
            .launch_timeout(Duration::from_secs(60))
            .request_timeout(Duration::from_secs(60))
            .args([
                "disable-gpu",
                "disable-quic",
                "no-first-run",
                "disable-background-networking",
                "disable-component-update",
                "disable-sync",
            ])
            .build()
            .expect("the settings of the browser are complete");
        let (browser, mut handler) = Browser::launch(config).await.expect("the browser starts");
        let events = tokio::spawn(async move { while handler.next().await.is_some() {} });
        Chrome { browser, events }
    }

    /// Opens an address in a new tab.
    pub(crate) async fn open(&self, address: &str) -> Tab {
        let page = self.browser.new_page("about:blank").await.expect("a tab opens");
        let tab = Tab::of(page).await;
        tab.go(address).await;
        tab
    }

    /// Closes it as a person does, and waits until it has gone.
    pub(crate) async fn close(mut self) {
        self.browser.close().await.expect("the browser closes");
        self.browser.wait().await.expect("the browser ends");
        self.events.abort();
    }

    /// Kills it, as an empty battery does.
    pub(crate) async fn kill(mut self) {
        if let Some(killed) = self.browser.kill().await {
            killed.expect("the browser can be killed");
        }
        self.browser.wait().await.expect("the browser ends");
        self.events.abort();
    }
}
