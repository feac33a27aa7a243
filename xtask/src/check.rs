//! `cargo xtask check`: everything that must hold before a commit, in one command, with the time of each step.

use crate::tree::root;
use std::io::{self, BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::time::{Duration, Instant};

/// May the audit ask for the list of known vulnerabilities?
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Advisories {
    /// Yes, where it can be reached.
    IfReached,
    /// No.
    LeftOut,
}

/// How a step ended.
enum Ended {
    Passed(String),
    Skipped(String),
    Failed(String),
}

/// What the tests counted.
#[derive(Debug, Default, PartialEq, Eq)]
struct Counts {
    passed: usize,
    failed: usize,
    skipped: usize,
}

/// Runs all steps; the later ones run even when an earlier one failed, so that one run tells everything.
pub(crate) fn run(advisories: Advisories) -> ExitCode {
    let mut report: Vec<(&str, Duration, Ended)> = Vec::new();
    let mut step = |name: &'static str, act: &mut dyn FnMut() -> Ended| {
        println!("── {name}");
        let begun = Instant::now();
        let ended = act();
        if let Ended::Failed(why) | Ended::Skipped(why) = &ended {
            println!("{name}: {why}");
        }
        report.push((name, begun.elapsed(), ended));
    };
    step("format", &mut || cargo(&["fmt", "--all", "--check"], &[]));
    step("lints", &mut || {
        cargo(&["clippy", "--workspace", "--all-targets", "--locked", "--", "-D", "warnings"], &[])
    });
    let mut counts = Counts::default();
    step("tests", &mut || tests(&mut counts));
    step("documentation", &mut || {
        cargo(&["doc", "--workspace", "--no-deps", "--locked"], &[("RUSTDOCFLAGS", "-D warnings")])
    });
    step("dependencies", &mut dependencies);
    step("advisories", &mut || match advisories {
        Advisories::IfReached => known_vulnerabilities(),
        Advisories::LeftOut => Ended::Skipped("left out, as asked".to_owned()),
    });
    summary(&report, &counts)
}

fn summary(report: &[(&str, Duration, Ended)], counts: &Counts) -> ExitCode {
    println!("── summary");
    let mut sound = true;
    for (name, took, ended) in report {
        let (word, why) = match ended {
            Ended::Passed(why) => ("passed", why),
            Ended::Skipped(why) => ("skipped", why),
            Ended::Failed(why) => ("FAILED", why),
        };
        sound &= !matches!(ended, Ended::Failed(_));
        println!("{name:<14} {word:<8} {:>6.1} s  {why}", took.as_secs_f64());
    }
    let Counts { passed, failed, skipped } = counts;
    println!("tests: {passed} passed, {failed} failed, {skipped} skipped");
    if sound { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn command(program: &str, arguments: &[&str]) -> Command {
    let mut command = Command::new(program);
    command.args(arguments).current_dir(root()).stdin(Stdio::null());
    command
}

/// The cargo that runs this program, or the one on the path.
fn cargo_program() -> String {
    std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned())
}

fn cargo(arguments: &[&str], environment: &[(&str, &str)]) -> Ended {
    let mut command = command(&cargo_program(), arguments);
    command.envs(environment.iter().copied());
    match command.status() {
        Ok(status) if status.success() => Ended::Passed(String::new()),
        Ok(status) => Ended::Failed(format!("`cargo {}` ended with {status}", arguments.join(" "))),
        Err(error) => Ended::Failed(format!("`cargo` cannot be started: {error}")),
    }
}

/// Runs the tests, shows what they print, and counts.
fn tests(counts: &mut Counts) -> Ended {
    let arguments = ["test", "--workspace", "--locked", "--no-fail-fast"];
    // A snapshot that changed must fail here, not be written.
    let mut command = command(&cargo_program(), &arguments);
    command.env("INSTA_UPDATE", "no").env("INSTA_WORKSPACE_ROOT", root()).stdout(Stdio::piped());
    // Built by this very command, before any test runs; building it again alone would take other features.
    if let Some(folder) = target_folder() {
        command.env("PANELWRIGHT_BIN", folder.join("debug").join("panelwright"));
    }
    let mut child = match command.spawn() {
        Ok(child) => child,
        Err(error) => return Ended::Failed(format!("`cargo test` cannot be started: {error}")),
    };
    if let Some(stdout) = child.stdout.take() {
        for line in BufReader::new(stdout).split(b'\n').map_while(Result::ok) {
            let line = String::from_utf8_lossy(&line);
            counts.add(&line);
            if writeln!(io::stdout(), "{line}").is_err() {
                break;
            }
        }
    }
    match child.wait() {
        Ok(status) if status.success() && counts.passed == 0 => Ended::Failed("no test ran".to_owned()),
        Ok(status) if status.success() => Ended::Passed(format!("{} tests", counts.passed)),
        Ok(_) => Ended::Failed(format!("{} tests failed", counts.failed)),
        Err(error) => Ended::Failed(format!("`cargo test` was lost: {error}")),
    }
}

/// Where cargo builds: this program lies in it.
fn target_folder() -> Option<PathBuf> {
    let program = std::env::current_exe().ok()?;
    program.parent()?.parent().map(Path::to_path_buf)
}

impl Counts {
    /// Adds a closing line of a test program, `test result: ok. 3 passed; 0 failed; 1 ignored; …`.
    fn add(&mut self, line: &str) {
        let Some(rest) = line.strip_prefix("test result: ") else { return };
        let rest = rest.split_once(". ").map_or(rest, |(_, rest)| rest);
        for part in rest.split("; ") {
            let Some((number, word)) = part.split_once(' ') else { continue };
            let Ok(number) = number.parse::<usize>() else { continue };
            match word {
                "passed" => self.passed += number,
                "failed" => self.failed += number,
                "ignored" => self.skipped += number,
                _ => {}
            }
        }
    }
}

const NO_AUDITOR: &str = "cargo-deny is not on the path; get it with `cargo install cargo-deny --locked`";

fn has_auditor() -> bool {
    let mut command = command("cargo-deny", &["--version"]);
    command.stdout(Stdio::null()).stderr(Stdio::null()).status().is_ok_and(|status| status.success())
}

/// Licences, banned and doubled packages, sources.
fn dependencies() -> Ended {
    if !has_auditor() {
        let ci = std::env::var("CI").is_ok_and(|value| value == "true");
        return if ci { Ended::Failed(NO_AUDITOR.to_owned()) } else { Ended::Skipped(NO_AUDITOR.to_owned()) };
    }
    let arguments = ["--workspace", "check", "--hide-inclusion-graph", "bans", "licenses", "sources"];
    match command("cargo-deny", &arguments).status() {
        Ok(status) if status.success() => Ended::Passed("licences, bans, sources".to_owned()),
        Ok(_) => Ended::Failed("cargo-deny found something: see above".to_owned()),
        Err(error) => Ended::Failed(format!("cargo-deny cannot be started: {error}")),
    }
}

/// Known vulnerabilities, where their list can be fetched.
fn known_vulnerabilities() -> Ended {
    if !has_auditor() {
        return Ended::Skipped(NO_AUDITOR.to_owned());
    }
    let mut fetch = command("cargo-deny", &["--workspace", "fetch", "db"]);
    let fetched = fetch.stdout(Stdio::null()).stderr(Stdio::null()).status();
    if !fetched.is_ok_and(|status| status.success()) {
        return Ended::Skipped("their list cannot be fetched from here: NOT checked".to_owned());
    }
    match command("cargo-deny", &["--workspace", "check", "--disable-fetch", "advisories"]).status() {
        Ok(status) if status.success() => Ended::Passed("none known".to_owned()),
        Ok(_) => Ended::Failed("a dependency has a known fault: see above".to_owned()),
        Err(error) => Ended::Failed(format!("cargo-deny cannot be started: {error}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn closing_lines_are_added_up() {
        let mut counts = Counts::default();
        counts.add("running 3 tests");
        counts.add(
            "test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.00s",
        );
        counts.add("test result: FAILED. 2 passed; 1 failed; 0 ignored; 0 measured; 0 filtered out; finished in 0.00s");
        assert_eq!(counts, Counts { passed: 5, failed: 1, skipped: 1 });
    }
}
