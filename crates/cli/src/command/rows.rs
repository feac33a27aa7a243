//! Where the rows of a bench lie: in its data folder, or on a server.

use clap::Args;
use store::Options;

/// Environment variable with the address: on the command line others of this machine would see its password.
const DATABASE: &str = "PANELWRIGHT_DATABASE";

/// Where rows lie.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct Rows {
    /// PostgreSQL server that has the rows instead of the data folder, `postgres://user@host/database`; the folder
    /// still has the photos. Left out: what PANELWRIGHT_DATABASE says, which hides a password better.
    #[arg(long, value_name = "ADDRESS")]
    database: Option<String>,
}

impl Rows {
    /// The address, where one is given.
    pub(crate) fn database(&self) -> Option<String> {
        let given = self.database.clone().or_else(|| std::env::var(DATABASE).ok());
        given.filter(|address| !address.is_empty())
    }

    /// As the store takes it.
    pub(crate) fn options(&self) -> Options {
        Options { database: self.database(), ..Options::default() }
    }
}
