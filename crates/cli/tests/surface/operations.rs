//! What keeps a shop running: the drill of backup and restore, the line to the server, the unit of the service, the log,
//! and forgetting.

use crate::killed::{Serving, ask};
use crate::program::{CASES, arg, folder, root, run};
use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A script of the repository, on the program under test.
fn script(name: &str, args: &[&str]) -> Output {
    let path = root().join("scripts").join(name);
    let mut command = Command::new("bash");
    command.arg(path).args(args).env("PANELWRIGHT", env!("CARGO_BIN_EXE_panelwright"));
    command.env_remove("PANELWRIGHT_DATABASE").output().expect("bash")
}

fn text(output: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

/// A data folder with a case in it.
fn filled(name: &str) -> PathBuf {
    let data = folder(name).join("data");
    let case = root().join(CASES[0]);
    let import = run(&["import", arg(&case), "--data", arg(&data), "--day", "2025-12-01"]);
    assert_eq!(import.code, 0, "{}{}", import.out, import.err);
    data
}

#[test]
fn the_drill_of_backup_and_restore_holds() {
    let data = filled("drill");
    let drill = script("drill.sh", &[arg(&data), "Q-0117"]);
    assert!(drill.status.success(), "{}", text(&drill));
    assert!(text(&drill).contains("drill: holds. 1 jobs compared"), "{}", text(&drill));
    // It can fail: a job that is not there is not the same.
    assert!(!script("drill.sh", &[arg(&data), "Q-0000"]).status.success());
}

#[test]
fn the_line_to_the_server_is_encrypted_and_the_server_proven() {
    let data = filled("tls");
    let told = script("postgres-tls.sh", &[arg(&data)]);
    if told.status.code() == Some(77) {
        println!("left out: {}", text(&told));
        return;
    }
    println!("{}", text(&told));
    assert!(told.status.success(), "{}", text(&told));
}

#[test]
fn the_unit_of_the_service_is_one_that_the_system_takes() {
    if Command::new("systemd-analyze").arg("--version").output().is_err() {
        println!("left out: no systemd-analyze here");
        return;
    }
    let unit = fs::read_to_string(root().join("deploy/panelwright.service")).expect("it is there");
    assert!(unit.contains("/usr/local/bin/panelwright serve"));
    // The program is not installed where the tests run.
    let here = folder("unit").join("panelwright.service");
    fs::write(&here, unit.replace("/usr/local/bin/panelwright", env!("CARGO_BIN_EXE_panelwright")))
        .expect("a file");
    let told = Command::new("systemd-analyze").arg("verify").arg(&here).output().expect("it starts");
    let about_it: Vec<String> =
        text(&told).lines().filter(|line| line.contains("panelwright")).map(str::to_owned).collect();
    assert!(told.status.success() && about_it.is_empty(), "{}", text(&told));
}

/// Words that a person might enter, and that must be in no log.
const PERSONAL: [&str; 4] = ["Zebra-Quill", "555-0100", "Example-Lane", "Q-0117"];

#[test]
fn the_log_names_nobody() {
    let data = filled("logged");
    let args = [
        "serve",
        "--data",
        arg(&data),
        "--host",
        "127.0.0.1",
        "--port",
        "0",
        "--json",
        "--sweeps",
        "20",
        "--log",
    ];
    let mut serving = Serving::by(&args);
    let address = serving.address();
    let (cookie, csrf) = serving.join("phone-of-Zebra-Quill");
    let head = format!("cookie: {cookie}\r\nreferer: http://localhost/jobs/Q-0117?q=555-0100\r\n");
    for path in [
        "/jobs/Q-0117",
        "/jobs/Q-0117/verdict?who=Zebra-Quill",
        "/jobs/555-0100",
        "/Zebra-Quill/Example-Lane",
        "/jobs/Q-0117/Example-Lane/555-0100",
        "/exchange/names?job=Zebra-Quill",
    ] {
        ask(&address, "GET", path, &head, "").expect("an answer");
    }
    let form =
        format!("{head}x-bench: 1\r\nx-csrf: {csrf}\r\ncontent-type: application/x-www-form-urlencoded\r\n");
    let words = "entry=e-1&at=2025-11-30T10:00:00&words=Zebra-Quill+555-0100+Example-Lane";
    ask(&address, "POST", "/jobs/Q-0117/enter/decision", &form, words).expect("an answer");
    ask(&address, "POST", "/jobs/Q-0117/enter/Zebra-Quill", &form, words).expect("an answer");
    serving.child.kill().expect("ended");
    let mut log = String::new();
    serving.child.stderr.take().expect("a pipe").read_to_string(&mut log).expect("text");
    let lines: Vec<serde_json::Value> = log
        .lines()
        .map(|line| serde_json::from_str(line).unwrap_or_else(|_| panic!("no JSON: {line}")))
        .collect();
    assert!(10 <= lines.len(), "{log}");
    let routes: Vec<&str> = lines.iter().filter_map(|line| line["route"].as_str()).collect();
    assert!(routes.contains(&"/jobs/{job}/verdict") && routes.contains(&"none"), "{log}");
    let device = lines.iter().find_map(|line| line["device"].as_str()).expect("a device");
    assert_eq!(device.len(), 8);
    for secret in PERSONAL.iter().chain([&cookie.trim_start_matches("bench="), &csrf.as_str(), &"localhost"])
    {
        assert!(!log.contains(secret), "{secret} is in the log: {log}");
    }
}

/// Does any file below hold the text?
fn held(folder: &Path, secret: &str) -> bool {
    fs::read_dir(folder).expect("read").any(|entry| {
        let path = entry.expect("read").path();
        if path.is_dir() {
            return held(&path, secret);
        }
        fs::read(&path).expect("read").windows(secret.len()).any(|window| window == secret.as_bytes())
    })
}

#[test]
fn a_customer_is_forgotten_and_a_laptop_brings_nothing_back() {
    let (shop, laptop) = (filled("shop"), filled("laptop"));
    // What the case says of the place.
    let secret = "Kiln Row";
    assert!(held(&shop, secret));
    let asked = run(&["forget", "Q-0117", "--data", arg(&shop), "--day", "2025-12-05"]);
    assert_eq!(asked.code, 0, "{}", asked.err);
    assert!(asked.out.contains("--yes does it") && held(&shop, secret), "nothing is done without it");
    let done = run(&["forget", "Q-0117", "--data", arg(&shop), "--day", "2025-12-05", "--yes"]);
    assert_eq!(done.code, 0, "{}", done.err);
    assert!(!held(&shop, secret), "it is on the disk still");

    let serving = Serving::of(&shop);
    let address = format!("http://{}", serving.address());
    let code = serving.told["code"].as_str().expect("a code").to_owned();
    let args = ["exchange", &address, "--data", arg(&laptop), "--code", &code, "--json"];
    let exchanged = run(&args);
    assert_eq!(exchanged.code, 0, "{}{}", exchanged.out, exchanged.err);
    drop(serving);
    assert!(!held(&shop, secret), "the laptop brought it back");
    assert!(!held(&laptop, secret), "the laptop has it still");
    let n = |data: &Path| {
        let file = data.with_extension("zip");
        let told = run(&["export", "Q-0117", arg(&file), "--data", arg(data), "--json"]);
        serde_json::from_str::<serde_json::Value>(&told.out).expect("JSON")["facts"]
            .as_u64()
            .expect("a count")
    };
    assert_eq!(n(&shop), n(&laptop), "and each fact is there once");
}
