//! Where the rows lie: in the SQLite file of the data folder, or on a PostgreSQL server.

use crate::Error;
use crate::folder::Folder;
use std::fmt;
use std::sync::Arc;

/// The data folder and, where rows do not lie in it, the server that has them.
#[derive(Debug, Clone)]
pub(crate) struct Base {
    /// Photos, files on their way out, and the SQLite file where no server is named.
    pub(crate) folder: Folder,
    pub(crate) server: Option<Server>,
}

/// A PostgreSQL server: its address, which may hold a password and so is never shown.
#[derive(Clone)]
pub(crate) struct Server {
    url: Arc<str>,
    shown: Arc<str>,
}

impl Base {
    /// # Errors
    /// The address is none of a PostgreSQL server.
    pub(crate) fn new(folder: Folder, database: Option<&str>) -> Result<Self, Error> {
        let server = database.map(Server::new).transpose()?;
        Ok(Base { folder, server })
    }

    /// What an error of the database means here.
    pub(crate) fn error(&self, doing: &'static str, error: sqlx::Error) -> Error {
        match &self.server {
            None => crate::database::error_of(&self.folder, doing, error),
            Some(server) => server.error(doing, error),
        }
    }
}

impl Server {
    fn new(url: &str) -> Result<Self, Error> {
        let rest = url.strip_prefix("postgres://").or_else(|| url.strip_prefix("postgresql://"));
        let Some(rest) = rest else { return Err(Error::Address) };
        let place = rest.split_once('?').map_or(rest, |(place, _)| place);
        let place = place.rsplit_once('@').map_or(place, |(_, place)| place);
        let shown = if place.starts_with('/') { format!("this machine{place}") } else { place.to_owned() };
        Ok(Server { url: url.into(), shown: shown.into() })
    }

    pub(crate) fn url(&self) -> &str {
        &self.url
    }

    fn error(&self, doing: &'static str, error: sqlx::Error) -> Error {
        // SQLSTATE, appendix A of the PostgreSQL manual: 53100 disk_full.
        const DISK_FULL: &str = "53100";
        let server = self.shown.to_string();
        match &error {
            sqlx::Error::Database(told) if told.code().as_deref() == Some(DISK_FULL) => {
                Error::ServerFull { server }
            }
            sqlx::Error::Io(_) | sqlx::Error::Tls(_) | sqlx::Error::Configuration(_) => {
                Error::Unreachable { server, source: Arc::new(error) }
            }
            _ => Error::Database { doing, source: Arc::new(error) },
        }
    }
}

/// Without user and password.
impl fmt::Debug for Server {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Server({})", self.shown)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_password_is_never_shown() {
        let server = Server::new("postgres://bench:se@cret@db.example:5432/shop?x=1").expect("an address");
        assert_eq!(format!("{server:?}"), "Server(db.example:5432/shop)");
        let told = server.error("opening", sqlx::Error::PoolTimedOut).to_string();
        assert!(!told.contains("cret"), "{told}");
        assert!(Server::new("mysql://somewhere").is_err());
    }
}
