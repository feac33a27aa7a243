//! How a bench is served, and why it cannot be.

use model::Date;
use std::io;
use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use study::Settings;

/// How the bench is served.
#[derive(Debug, Clone)]
pub struct Config {
    /// The data folder.
    pub data: PathBuf,
    /// Address of a PostgreSQL server that has the rows; without one the data folder has them. Several programs may be
    /// served from one.
    pub database: Option<String>,
    /// Bucket for the photos; without one the data folder has them.
    pub photos: Option<store::Bucket>,
    /// Address to listen on; unspecified for all networks of this machine.
    pub host: IpAddr,
    /// Port; 0 for any that is free.
    pub port: u16,
    /// Over HTTPS, with an authority of the bench's own?
    pub https: bool,
    /// Names under which the bench answers, besides the machine's addresses.
    pub names: Vec<String>,
    /// What judgements are asked with.
    pub settings: Settings,
    /// The day to judge for; without one the machine's own.
    pub day: Option<Date>,
    /// How it is watched over.
    pub watching: Watching,
}

/// How the program is watched over.
#[derive(Debug, Clone, Default)]
pub struct Watching {
    /// Write a line of JSON to standard error for each request?
    pub log: bool,
    /// Token by which a monitor on another machine may read the counts.
    pub token: Option<String>,
}

/// Why the bench cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// Something else listens there.
    #[error(
        "{address} is in use: another program listens there, perhaps another bench; choose another --port"
    )]
    InUse {
        /// The address.
        address: SocketAddr,
    },
    /// The address cannot be listened on.
    #[error("{address} cannot be listened on: {source}")]
    Listen {
        /// The address.
        address: SocketAddr,
        /// Why.
        source: io::Error,
    },
    /// The store cannot be used.
    #[error("{}; {}", .0, .0.hint())]
    Store(#[from] store::Error),
    /// Files of the authority.
    #[error("{} cannot be read or written: {source}", .path.display())]
    Authority {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The authority was made without this name.
    #[error(
        "the authority in {} was made without the name {name}; delete that folder, and install the new certificate on \
         the phones again",
        .folder.display()
    )]
    ForeignName {
        /// The name.
        name: String,
        /// Folder of the authority.
        folder: PathBuf,
    },
    /// A certificate cannot be made.
    #[error(
        "a certificate cannot be made: {0}; delete the folder `authority` in the data folder if it is damaged"
    )]
    Certificate(#[from] rcgen::Error),
    /// TLS refuses the certificate.
    #[error("HTTPS cannot be set up: {0}")]
    Tls(#[from] rustls::Error),
    /// The shop's copy of the code book's refusals.
    #[error("{} cannot be used: {why}; mend it, or take it out of the data folder", .path.display())]
    Refusals {
        /// The file.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// Threads, sockets.
    #[error("the bench cannot be served: {0}")]
    Io(#[from] io::Error),
}
