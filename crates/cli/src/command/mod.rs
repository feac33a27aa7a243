//! The commands, one file each: arguments whose doc comment is the manual, and `run`.

pub(crate) mod assess;
pub(crate) mod check;
pub(crate) mod demo;
pub(crate) mod papers;
pub(crate) mod schema;

use crate::args::{Cli, Command};
use crate::failure::{Ending, Failure};
use crate::screen::Screen;

/// Runs the command.
pub(crate) fn run(cli: &Cli, screen: &mut Screen) -> Result<Ending, Failure> {
    let global = &cli.global;
    match &cli.command {
        Command::Demo(args) => demo::run(args, global, screen),
        Command::Check(args) => check::run(args, global, screen),
        Command::Assess(args) => assess::run(args, global, screen),
        Command::Papers(args) => papers::run(args, global, screen),
        Command::Schema(args) => schema::run(args, global, screen),
    }
}
