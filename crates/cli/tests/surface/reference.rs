//! The reference of the command line is what the program says of itself.

use crate::program::{root, run};
use std::fs;

const COMMANDS: [&str; 28] = [
    "demo", "check", "assess", "papers", "isolate", "move", "layout", "price", "outage", "built", "learn",
    "load", "sizes", "asks", "editions", "meter", "permit", "prove", "board", "schema", "serve", "backup",
    "restore", "transfer", "exchange", "forget", "export", "import",
];

fn reference() -> String {
    let mut page =
        "# Command line\n\nWhat `panelwright --help` and the help of each command print. A test compares \
                    this page with the program.\n"
            .to_owned();
    let mut add = |title: &str, args: &[&str]| {
        let help = run(args).out;
        let lines: Vec<&str> = help.lines().map(str::trim_end).collect();
        page.push_str(&format!("\n## {title}\n\n```text\n{}\n```\n", lines.join("\n").trim_end()));
    };
    add("panelwright", &["--help"]);
    for command in COMMANDS {
        add(&format!("panelwright {command}"), &[command, "--help"]);
    }
    page
}

#[test]
fn the_reference_is_not_stale() {
    let path = root().join("docs/cli.md");
    let page = reference();
    if std::env::var_os("UPDATE_REFERENCE").is_some() {
        fs::write(&path, &page).expect("docs can be written");
    }
    let published = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        published == page,
        "docs/cli.md is stale: run the surface tests with UPDATE_REFERENCE=1 and read it"
    );
}

#[test]
fn help_of_a_command_is_the_same_by_both_ways() {
    for command in COMMANDS {
        assert_eq!(run(&["help", command]).out, run(&[command, "--help"]).out);
    }
}

#[test]
fn the_codes_in_the_manual_are_the_ones_tested() {
    let help = run(&["--help"]).out;
    for line in [
        "0  all is well",
        "1  a job file, the policy or stored data has errors",
        "2  the command line is wrong",
        "3  a file, folder or network address",
        "4  a fault of this program",
    ] {
        assert!(help.contains(line), "{line}");
    }
}
