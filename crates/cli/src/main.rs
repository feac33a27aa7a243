//! The program `panelwright`: one file a command.
//!
//! Results go to standard output, everything else to standard error. This is the only crate that reads files, the
//! clock and the terminal.

mod args;
mod command;
mod failure;
mod input;
mod outcome;
mod screen;
mod show;
mod threads;

use args::Cli;
use clap::Parser;
use failure::Ending;
use screen::Screen;
use std::process::ExitCode;

fn main() -> ExitCode {
    // A panic is a fault of the program, never of a file: it gets an exit code of its own.
    let run = std::panic::catch_unwind(|| {
        let cli = Cli::parse();
        let mut screen = Screen::new(cli.global.no_color);
        let ending = command::run(&cli, &mut screen);
        let ending = ending.and_then(|ending| screen.finish().map(|()| ending));
        match ending {
            Ok(ending) => ending,
            Err(failure) => failure.report(),
        }
    });
    match run {
        Ok(ending) => ending.code(),
        Err(_) => {
            eprintln!("panelwright: this is a fault of the program, not of your file; please report it");
            Ending::Internal.code()
        }
    }
}
