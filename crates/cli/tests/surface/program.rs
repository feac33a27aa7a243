//! The program under test, and places to write to.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

/// What a run left behind.
pub(crate) struct Run {
    /// Standard output.
    pub(crate) out: String,
    /// Standard error.
    pub(crate) err: String,
    /// Exit code.
    pub(crate) code: i32,
}

/// The program with a fixed day, no colours, and no settings from the surroundings.
pub(crate) fn command(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_panelwright"));
    command.args(args).env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").env("COLUMNS", "80");
    command.current_dir(root());
    command
}

/// Runs the program.
pub(crate) fn run(args: &[&str]) -> Run {
    told(command(args).stdin(Stdio::null()).output().expect("the program starts"))
}

/// Runs the program with a text on standard input.
pub(crate) fn run_with_input(args: &[&str], input: &[u8]) -> Run {
    use std::io::Write as _;
    let mut child = command(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // A program that stops before it has read everything closes the pipe; that is no fault of the test.
    let _ = child.stdin.take().expect("a pipe was asked for").write_all(input);
    told(child.wait_with_output().expect("the program ends"))
}

fn told(output: Output) -> Run {
    Run {
        out: String::from_utf8(output.stdout).expect("output is text"),
        err: String::from_utf8(output.stderr).expect("errors are text"),
        code: output.status.code().expect("the program was not killed"),
    }
}

/// Folder of the workspace.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A new empty folder for a test.
pub(crate) fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).expect("a folder for the test");
    folder
}

/// A path as an argument.
pub(crate) fn arg(path: &Path) -> &str {
    path.to_str().expect("the test's paths are text")
}

/// The cases of the demo, as paths from the root.
pub(crate) const CASES: [&str; 3] =
    ["cases/1-burnt-stabs.toml", "cases/2-overload.toml", "cases/3-service-neutral.toml"];

/// A case of the demo assessed as text; each is run once for all tests.
pub(crate) fn text_of(case: usize) -> &'static str {
    static TEXTS: [OnceLock<String>; 3] = [const { OnceLock::new() }; 3];
    TEXTS[case].get_or_init(|| assessed(CASES[case], &[]))
}

/// A case of the demo assessed as JSON; each is run once for all tests.
pub(crate) fn json_of(case: usize) -> &'static str {
    static TEXTS: [OnceLock<String>; 3] = [const { OnceLock::new() }; 3];
    TEXTS[case].get_or_init(|| assessed(CASES[case], &["--json"]))
}

fn assessed(case: &str, more: &[&str]) -> String {
    let mut args = vec!["assess", case, "--day", "2025-12-01"];
    args.extend(more);
    let run = run(&args);
    assert_eq!(run.code, 0, "{case}: {}", run.err);
    run.out
}
