//! The commands, one file each: arguments whose doc comment is the manual, and `run`.

pub(crate) mod asks;
pub(crate) mod assess;
pub(crate) mod backup;
pub(crate) mod board;
pub(crate) mod built;
pub(crate) mod check;
pub(crate) mod code;
pub(crate) mod demo;
pub(crate) mod editions;
pub(crate) mod exchange;
pub(crate) mod export;
pub(crate) mod forget;
pub(crate) mod import;
pub(crate) mod isolate;
pub(crate) mod layout;
pub(crate) mod learn;
pub(crate) mod load;
pub(crate) mod meter;
pub(crate) mod moving;
pub(crate) mod outage;
pub(crate) mod papers;
pub(crate) mod permit;
pub(crate) mod price;
pub(crate) mod prove;
pub(crate) mod restore;
pub(crate) mod rows;
pub(crate) mod schema;
pub(crate) mod serve;
mod shop;
pub(crate) mod sizes;
pub(crate) mod transfer;

use crate::args::{Cli, Command};
use crate::failure::{Ending, Failure};
use crate::screen::Screen;

/// The data folder, where none is named.
pub(crate) const DATA: &str = "panelwright-data";

/// Runs the command.
pub(crate) fn run(cli: &Cli, screen: &mut Screen) -> Result<Ending, Failure> {
    let global = &cli.global;
    match &cli.command {
        Command::Demo(args) => demo::run(args, global, screen),
        Command::Check(args) => check::run(args, global, screen),
        Command::Assess(args) => assess::run(args, global, screen),
        Command::Papers(args) => papers::run(args, global, screen),
        Command::Isolate(args) => isolate::run(args, global, screen),
        Command::Move(args) => moving::run(args, global, screen),
        Command::Layout(args) => layout::run(args, global, screen),
        Command::Price(args) => price::run(args, global, screen),
        Command::Built(args) => built::run(args, global, screen),
        Command::Learn(args) => learn::run(args, global, screen),
        Command::Outage(args) => outage::run(args, global, screen),
        Command::Load(args) => load::run(args, global, screen),
        Command::Sizes(args) => sizes::run(args, global, screen),
        Command::Asks(args) => asks::run(args, global, screen),
        Command::Editions(args) => editions::run(args, global, screen),
        Command::Meter(args) => meter::run(args, global, screen),
        Command::Permit(args) => permit::run(args, global, screen),
        Command::Prove(args) => prove::run(args, global, screen),
        Command::Board(args) => board::run(args, global, screen),
        Command::Schema(args) => schema::run(args, global, screen),
        Command::Serve(args) => serve::run(args, global, screen),
        Command::Backup(args) => backup::run(args, global, screen),
        Command::Restore(args) => restore::run(args, global, screen),
        Command::Transfer(args) => transfer::run(args, global, screen),
        Command::Exchange(args) => exchange::run(args, global, screen),
        Command::Export(args) => export::run(args, global, screen),
        Command::Forget(args) => forget::run(args, global, screen),
        Command::Import(args) => import::run(args, global, screen),
    }
}

/// What stores and servers run on.
fn runtime() -> Result<tokio::runtime::Runtime, Failure> {
    tokio::runtime::Builder::new_multi_thread().enable_all().build().map_err(Failure::Threads)
}
