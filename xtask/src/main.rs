//! House rules and chores of the workspace: `cargo xtask tidy`, `check`, `pure`, `phone`, `register`.

mod arrows;
mod check;
mod phone;
mod register;
mod source;
mod tidy;
mod tree;

use std::process::ExitCode;

const USAGE: &str = "\
cargo xtask <chore>

  check   format, lints, house rules, tests, documentation, dependency audit: the one command before a commit
          --no-advisories   leave the list of known vulnerabilities alone (it needs a network)
  tidy    the house rules alone (they also run as tests of this package)
  pure    the names of the pure crates, one a line
  phone   builds the module that makes pages and judgements inside a phone's browser; the program built after it brings
          it along
  register  writes docs/codebook-register.md from the rules of the code book
";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["tidy"] => tidy::run(),
        ["check"] => check::run(check::Advisories::IfReached),
        ["check", "--no-advisories"] => check::run(check::Advisories::LeftOut),
        ["phone"] => phone::build(),
        ["register"] => register::write(),
        ["pure"] => {
            for krate in arrows::CRATES.iter().filter(|krate| krate.pure) {
                println!("{}", krate.name);
            }
            ExitCode::SUCCESS
        }
        ["help" | "--help" | "-h"] => {
            print!("{USAGE}");
            ExitCode::SUCCESS
        }
        _ => {
            eprint!("{USAGE}");
            ExitCode::from(2)
        }
    }
}
