//! What a test of the contract runs on: a folder, and the same with its rows on a PostgreSQL server.
//!
//! The server is named by `PANELWRIGHT_TEST_POSTGRES`, `postgres://user@host:port/database`; where it is not, a test says
//! so and passes for SQLite alone. Each ground has a schema of its own there, which goes with it.

use crate::data::run;
use sqlx::{AssertSqlSafe, Connection, Executor, PgConnection};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU32, Ordering};
use store::{Error, Options, Place, Store};
use tempfile::TempDir;

/// Environment variable with the address of the server.
const SERVER: &str = "PANELWRIGHT_TEST_POSTGRES";

/// A place for one bench.
pub(crate) struct Ground {
    folder: TempDir,
    server: Option<Schema>,
}

/// A schema of its own on the server.
struct Schema {
    server: String,
    name: String,
}

impl Ground {
    pub(crate) fn on_file() -> Self {
        Ground { folder: tempfile::tempdir().expect("a folder"), server: None }
    }

    /// `None` where no server is named.
    pub(crate) fn on_server() -> Option<Self> {
        static N: AtomicU32 = AtomicU32::new(0);
        let server = std::env::var(SERVER).ok()?;
        let name = format!("t{}_{}", std::process::id(), N.fetch_add(1, Ordering::Relaxed));
        sql(&server, &format!("CREATE SCHEMA {name}"));
        let server = Some(Schema { server, name });
        Some(Ground { folder: tempfile::tempdir().expect("a folder"), server })
    }

    pub(crate) fn path(&self) -> &Path {
        self.folder.path()
    }

    /// Address of the database, where it is on a server.
    pub(crate) fn database(&self) -> Option<String> {
        let Schema { server, name } = self.server.as_ref()?;
        let join = if server.contains('?') { '&' } else { '?' };
        Some(format!("{server}{join}options=-csearch_path%3D{name}"))
    }

    pub(crate) fn options(&self) -> Options {
        Options { database: self.database(), ..Options::default() }
    }

    /// As [`store::transfer`] takes it.
    pub(crate) fn place(&self) -> Place {
        Place { folder: PathBuf::from(self.path()), database: self.database(), bucket: None }
    }

    pub(crate) async fn open(&self) -> Result<Store, Error> {
        Store::open_as(self.path(), self.options()).await
    }
}

impl Drop for Ground {
    fn drop(&mut self) {
        if let Some(Schema { server, name }) = &self.server {
            sql(server, &format!("DROP SCHEMA {name} CASCADE"));
        }
    }
}

/// Runs a statement on the server.
pub(crate) fn sql(server: &str, statement: &str) {
    let (server, statement) = (server.to_owned(), statement.to_owned());
    // A thread of its own: a ground may go within a runtime.
    let done = std::thread::spawn(move || {
        run(async move {
            let mut connection = PgConnection::connect(&server).await.expect("the named server answers");
            connection.execute(AssertSqlSafe(statement)).await.expect("it does that");
            connection.close().await.expect("closed");
        });
    });
    done.join().expect("no panic");
}

/// Both grounds, or one where no server is named.
pub(crate) fn grounds() -> Vec<Ground> {
    let server = Ground::on_server();
    if server.is_none() {
        println!("left out on PostgreSQL: {SERVER} names no server");
    }
    std::iter::once(Ground::on_file()).chain(server).collect()
}

/// The same test on each.
pub(crate) fn each(test: impl Fn(&Ground)) {
    grounds().iter().for_each(test);
}
