//! The program itself, serving its bench to the tests.

use crate::tab::Tab;
use serde_json::Value;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use tempfile::TempDir;
use tokio::io::{AsyncBufReadExt, BufReader};
use tokio::process::Child;

/// The program under test: named by the environment, or built now.
pub(crate) fn program() -> &'static Path {
    static PROGRAM: OnceLock<PathBuf> = OnceLock::new();
    PROGRAM.get_or_init(|| {
        if let Some(named) = std::env::var_os("PANELWRIGHT_BIN") {
            return PathBuf::from(named);
        }
        let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
        let built = Command::new(cargo)
            .args(["build", "--package", "cli", "--locked", "--message-format", "json-render-diagnostics"])
            .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
            .stderr(Stdio::inherit())
            .output()
            .expect("cargo starts");
        assert!(built.status.success(), "the program does not build");
        let text = String::from_utf8_lossy(&built.stdout).into_owned();
        let messages = text.lines().filter_map(|line| serde_json::from_str::<Value>(line).ok());
        let file =
            messages.filter_map(|message| message["executable"].as_str().map(PathBuf::from)).next_back();
        file.expect("cargo names the program it built")
    })
}

/// Runs the program to its end and gives what it printed; it must succeed.
pub(crate) fn run(args: &[&str]) -> String {
    let out = Command::new(program()).args(args).stdin(Stdio::null()).output().expect("the program starts");
    let err = String::from_utf8_lossy(&out.stderr);
    assert!(out.status.success(), "`panelwright {}`: {err}", args.join(" "));
    String::from_utf8(out.stdout).expect("it prints text")
}

/// A bench that serves.
pub(crate) struct Bench {
    child: Child,
    /// Its address on this machine.
    pub(crate) here: String,
    code: String,
    folder: TempDir,
    more: Vec<&'static str>,
}

impl Bench {
    /// An empty bench.
    pub(crate) async fn empty() -> Bench {
        Bench::empty_with(&[]).await
    }

    /// A bench with the demo cases, its clock in a zone as POSIX writes it: `B-24` is a day ahead of UTC.
    pub(crate) async fn demo_in_zone(zone: &'static str) -> Bench {
        let folder = tempfile::tempdir().expect("a folder for the data");
        let (child, said) = serve("demo", folder.path(), 0, &[zone]).await;
        Bench { more: vec![zone], ..Bench::of(child, &said, folder) }
    }

    /// An empty bench, served with further options.
    pub(crate) async fn empty_with(more: &[&'static str]) -> Bench {
        let folder = tempfile::tempdir().expect("a folder for the data");
        let (child, said) = serve("serve", folder.path(), 0, more).await;
        Bench { more: more.to_vec(), ..Bench::of(child, &said, folder) }
    }

    /// A bench with the demo cases.
    pub(crate) async fn demo() -> Bench {
        let folder = tempfile::tempdir().expect("a folder for the data");
        let (child, said) = serve("demo", folder.path(), 0, &[]).await;
        Bench::of(child, &said, folder)
    }

    /// A bench that holds one job, taken in from its file.
    pub(crate) async fn with_job(text: &str) -> Bench {
        let folder = tempfile::tempdir().expect("a folder for the data");
        let file = folder.path().join("job-to-take-in.toml");
        std::fs::write(&file, text).expect("the file of the job");
        let paths = [&file, &folder.path().join("data")].map(|path| path.to_string_lossy().into_owned());
        run(&["import", &paths[0], "--data", &paths[1]]);
        let (child, said) = serve("serve", &folder.path().join("data"), 0, &[]).await;
        Bench::of(child, &said, folder)
    }

    fn of(child: Child, said: &Value, folder: TempDir) -> Bench {
        let text = |key: &str| said[key].as_str().expect("the announcement is whole").to_owned();
        Bench {
            child,
            here: text("address").trim_end_matches('/').to_owned(),
            code: text("code"),
            folder,
            more: Vec::new(),
        }
    }

    /// Its data folder.
    pub(crate) fn data(&self) -> &Path {
        self.folder.path()
    }

    /// An address of it.
    pub(crate) fn url(&self, path: &str) -> String {
        format!("{}{path}", self.here)
    }

    /// Pulls the plug.
    pub(crate) async fn stop(&mut self) {
        self.child.kill().await.expect("the program can be killed");
    }

    /// Puts the plug back: the same data at the same address.
    pub(crate) async fn start_again(&mut self) {
        let port = self.here.rsplit(':').next().and_then(|port| port.parse().ok()).expect("a port");
        let (child, said) = serve("serve", self.folder.path(), port, &self.more).await;
        self.code = said["code"].as_str().expect("a code").to_owned();
        self.child = child;
    }

    /// Joins with the code that the program printed; it serves one device.
    pub(crate) async fn join(&self, tab: &Tab, name: &str) {
        let code = self.code.clone();
        self.join_with(tab, &code, name).await;
    }

    /// Joins with a code.
    pub(crate) async fn join_with(&self, tab: &Tab, code: &str, name: &str) {
        tab.go(&self.url(&format!("/join?code={code}"))).await;
        tab.wait("document.documentElement.dataset.script === 'on'").await;
        tab.fill("[name=name]", name).await;
        tab.tap("main form .big").await;
        tab.wait("location.pathname === '/' && document.readyState === 'complete'").await;
        tab.wait("document.documentElement.dataset.script === 'on'").await;
    }

    /// Makes a code for a further device, on the page of one that has joined.
    pub(crate) async fn invite(&self, tab: &Tab) -> String {
        tab.go(&self.url("/devices")).await;
        tab.mark().await;
        tab.tap("main form .big").await;
        tab.wait_for_next_page().await;
        let text = tab.text("document.querySelector('main').innerText").await;
        let (_, code) = text.split_once("join?code=").expect("the address with the code is shown");
        code.split_whitespace().next().expect("a code").to_owned()
    }
}

async fn serve(command: &str, data: &Path, port: u16, more: &[&str]) -> (Child, Value) {
    let port = port.to_string();
    let (zone, more): (Vec<&str>, Vec<&str>) = more.iter().partition(|word| word.starts_with("TZ="));
    let mut child = tokio::process::Command::new(program())
        .envs(zone.iter().filter_map(|zone| zone.split_once('=')))
        .args([command, "--host", "127.0.0.1", "--port", &port, "--json", "--data"])
        .arg(data)
        .args(more)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .kill_on_drop(true)
        .spawn()
        .expect("the program starts");
    let mut lines = BufReader::new(child.stdout.take().expect("its output")).lines();
    loop {
        let line = lines.next_line().await.expect("its output can be read").expect("it says where it is");
        if let Ok(said) = serde_json::from_str::<Value>(&line)
            && said["here"].is_string()
        {
            // What it prints later is read away, or it would wait for a reader.
            tokio::spawn(async move { while let Ok(Some(_)) = lines.next_line().await {} });
            return (child, said);
        }
    }
}

/// Fills a form and sends it: `button` finds the button, the rest are fields by name. Waits for the page after.
pub(crate) async fn enter(tab: &Tab, address: &str, fields: &[(&str, &str)], button: &str) {
    tab.go(address).await;
    send(tab, fields, button).await;
    tab.wait_for_next_page().await;
}

/// The same on the page that is open; does not wait.
pub(crate) async fn send(tab: &Tab, fields: &[(&str, &str)], button: &str) {
    tab.wait("document.documentElement.dataset.script === 'on'").await;
    let fields: Vec<Value> = fields.iter().map(|(name, value)| Value::from(vec![*name, *value])).collect();
    let fill = format!(
        "(() => {{ const button = document.querySelector({}); if (!button) return 'there is no button'; \
         for (const [name, value] of {}) {{ \
           const all = [...button.form.querySelectorAll(`[name=\"${{name}}\"]`)].filter((one) => one.tagName !== 'BUTTON'); \
           const box = all.find((one) => ['radio', 'checkbox'].includes(one.type) && one.value === value); \
           const field = box ?? all.find((one) => !['radio', 'checkbox'].includes(one.type)); \
           if (!field) return `no field ${{name}} takes ${{value}}`; \
           if (box) box.checked = true; else field.value = value; \
           if (!box && field.value !== value) return `${{name}} does not take ${{value}}`; \
           field.dispatchEvent(new Event('input', {{ bubbles: true }})); \
           field.dispatchEvent(new Event('change', {{ bubbles: true }})); }} return ''; }})()",
        Value::from(button),
        Value::from(fields)
    );
    let wrong = tab.text(&fill).await;
    assert_eq!(wrong, "", "on {}", tab.text("location.href").await);
    tab.mark().await;
    tab.tap(button).await;
}
