//! The database: one SQLite file or a PostgreSQL server, opened, checked and brought to the present version.
//!
//! Queries go through the database-neutral layer of the library, so that both serve the same SQL; what only one of
//! them has stands in this file and in the backup.

use crate::Error;
use crate::base::{Base, Server};
use crate::folder::Folder;
use sqlx::any::{AnyConnectOptions, AnyPoolOptions};
use sqlx::migrate::{MigrateError, Migrator};
use sqlx::{AnyConnection, AnyPool, Connection, Executor, Row};
use std::path::Path;
use std::str::FromStr;
use std::sync::Arc;

/// Steps from nothing to the present version, in order; only ever added to.
pub(crate) static STEPS: Migrator = sqlx::migrate!("./migrations");

const VERSION_SQL: &str = "SELECT CAST(COALESCE(MAX(version), 0) AS BIGINT) FROM _sqlx_migrations";
/// Connections that read.
const READERS: u32 = 4;
/// The same on a server: it answers over a line, so more may wait at once.
const SERVER_READERS: u32 = 8;
/// Most findings of the integrity check that are told.
const FINDINGS_TOLD: usize = 3;

/// A connection that may write. `pages` bounds the size of the file.
pub(crate) async fn writer(base: &Base, pages: Option<i64>) -> Result<AnyConnection, Error> {
    let failed = |error| base.error("opening", error);
    let folder = &base.folder;
    if let Some(server) = &base.server {
        let options = server_options(base, server)?;
        let mut connection = AnyConnection::connect_with(&options).await.map_err(failed)?;
        // However the server is set: a commit is flushed to its disk before it is acknowledged.
        (&mut connection).execute("SET synchronous_commit = on").await.map_err(failed)?;
        return Ok(connection);
    }
    let mut connection =
        AnyConnection::connect_with(&options(folder, &folder.database(), "rwc")?).await.map_err(failed)?;
    // WAL: readers do not wait for the writer, and a commit is one write to the end of one file.
    // FULL: each commit is flushed to the disk before it is acknowledged. NORMAL would flush only now and then,
    // and a phone would drop facts that a power cut then loses.
    for pragma in [
        "PRAGMA busy_timeout = 5000",
        "PRAGMA journal_mode = WAL",
        "PRAGMA synchronous = FULL",
        "PRAGMA foreign_keys = ON",
        // What is forgotten is not left in free pages.
        "PRAGMA secure_delete = ON",
        "PRAGMA journal_size_limit = 16777216",
    ] {
        (&mut connection).execute(pragma).await.map_err(failed)?;
    }
    if let Some(pages) = pages {
        let pragma = sqlx::AssertSqlSafe(format!("PRAGMA max_page_count = {pages}"));
        (&mut connection).execute(pragma).await.map_err(failed)?;
    }
    Ok(connection)
}

/// Connections that only read.
pub(crate) async fn readers(base: &Base) -> Result<AnyPool, Error> {
    let folder = &base.folder;
    if let Some(server) = &base.server {
        let pool = AnyPoolOptions::new().max_connections(SERVER_READERS).after_connect(|connection, _| {
            Box::pin(async move {
                connection.execute("SET default_transaction_read_only = on").await?;
                Ok(())
            })
        });
        let options = server_options(base, server)?;
        return pool.connect_with(options).await.map_err(|error| base.error("opening", error));
    }
    let pool = AnyPoolOptions::new().max_connections(READERS).after_connect(|connection, _| {
        Box::pin(async move {
            connection.execute("PRAGMA busy_timeout = 5000").await?;
            connection.execute("PRAGMA query_only = ON").await?;
            Ok(())
        })
    });
    let options = options(folder, &folder.database(), "rw")?;
    pool.connect_with(options).await.map_err(|error| error_of(folder, "opening", error))
}

/// Is the file whole, and does every row point to one that exists?
pub(crate) async fn check(base: &Base, connection: &mut AnyConnection) -> Result<(), Error> {
    // A server looks after its files itself.
    if base.server.is_some() { Ok(()) } else { check_file(&base.folder, connection).await }
}

/// Is a SQLite file whole?
pub(crate) async fn check_file(folder: &Folder, connection: &mut AnyConnection) -> Result<(), Error> {
    let failed = |error| error_of(folder, "checking", error);
    let rows = connection.fetch_all("PRAGMA integrity_check(10)").await.map_err(failed)?;
    let mut findings: Vec<String> = Vec::new();
    for row in rows {
        let finding: String = row.try_get(0).map_err(failed)?;
        if finding != "ok" {
            findings.push(finding);
        }
    }
    for row in connection.fetch_all("PRAGMA foreign_key_check").await.map_err(failed)? {
        let table: String = row.try_get(0).map_err(failed)?;
        findings.push(format!("a row of {table} points to nothing"));
    }
    if findings.is_empty() {
        return Ok(());
    }
    findings.truncate(FINDINGS_TOLD);
    Err(Error::Damaged { path: folder.database(), what: findings.join("; ") })
}

/// Brings the database to the present version, or says why not.
pub(crate) async fn migrate(base: &Base, connection: &mut AnyConnection) -> Result<(), Error> {
    let path = base.folder.database();
    match STEPS.run(connection).await {
        Ok(()) => Ok(()),
        Err(MigrateError::VersionMissing(found)) => Err(Error::Newer { path, found, known: version() }),
        Err(MigrateError::VersionMismatch(version)) => Err(Error::OtherHistory { path, version }),
        Err(MigrateError::Execute(error)) => Err(base.error("bringing it up to date", error)),
        Err(MigrateError::ExecuteMigration(error, _)) => Err(base.error("bringing it up to date", error)),
        Err(error) => Err(Error::Migration { source: Arc::new(error) }),
    }
}

/// Refuses a database that is not of the present version, without changing it.
pub(crate) async fn require_present(base: &Base, pool: &AnyPool) -> Result<(), Error> {
    let folder = &base.folder;
    let found: i64 = sqlx::query_scalar(VERSION_SQL)
        .fetch_one(pool)
        .await
        .map_err(|error| base.error("reading its version", error))?;
    match found {
        found if version() < found => Err(Error::Newer { path: folder.database(), found, known: version() }),
        found if found < version() => {
            Err(Error::OtherHistory { path: folder.database(), version: found + 1 })
        }
        _ => Ok(()),
    }
}

/// Refuses a database of a newer program, without changing it.
pub(crate) async fn refuse_newer(folder: &Folder, connection: &mut AnyConnection) -> Result<(), Error> {
    let found: i64 = sqlx::query_scalar(VERSION_SQL)
        .fetch_one(connection)
        .await
        .map_err(|error| error_of(folder, "reading its version", error))?;
    if version() < found {
        return Err(Error::Newer { path: folder.database(), found, known: version() });
    }
    Ok(())
}

/// Writes a consistent copy of the database as it is at this moment, beside readers and the writer.
pub(crate) async fn copy(folder: &Folder, to: &Path) -> Result<(), Error> {
    let failed = |error| error_of(folder, "copying it", error);
    let mut connection = plain(folder, &folder.database()).await?;
    let to = to.to_string_lossy().into_owned();
    sqlx::query("VACUUM INTO $1").bind(to).execute(&mut connection).await.map_err(failed)?;
    connection.close().await.map_err(failed)
}

/// A connection to a database file that leaves its settings as they are.
pub(crate) async fn plain(folder: &Folder, path: &Path) -> Result<AnyConnection, Error> {
    let options = options(folder, path, "rw")?;
    AnyConnection::connect_with(&options).await.map_err(|error| error_of(folder, "opening", error))
}

/// A new SQLite file that nobody else uses yet.
pub(crate) async fn fresh_file(folder: &Folder, path: &Path) -> Result<AnyConnection, Error> {
    let options = options(folder, path, "rwc")?;
    AnyConnection::connect_with(&options).await.map_err(|error| error_of(folder, "opening", error))
}

/// Version of the database that this program writes.
pub(crate) fn version() -> i64 {
    STEPS.iter().map(|step| step.version).max().unwrap_or(0)
}

/// What an error of the database means here.
pub(crate) fn error_of(folder: &Folder, doing: &'static str, error: sqlx::Error) -> Error {
    // Result codes of SQLite; the low byte is the kind.
    const CORRUPT: u32 = 11;
    const FULL: u32 = 13;
    const NOT_A_DATABASE: u32 = 26;
    const READ_ONLY: u32 = 8;
    const NO_ROOM_FOR_SHARED_MEMORY: u32 = 4874;
    let told = match &error {
        sqlx::Error::Database(database) => {
            let code = database.code().and_then(|code| code.parse::<u32>().ok()).unwrap_or(0);
            Some((code, database.message().to_owned()))
        }
        _ => None,
    };
    match told {
        Some((NO_ROOM_FOR_SHARED_MEMORY, _)) => Error::DiskFull { path: folder.root().to_owned() },
        Some((code, what)) => match code & 0xff {
            FULL => Error::DiskFull { path: folder.root().to_owned() },
            READ_ONLY => Error::ReadOnly { path: folder.root().to_owned() },
            CORRUPT | NOT_A_DATABASE => Error::Damaged { path: folder.database(), what },
            _ => Error::Database { doing, source: Arc::new(error) },
        },
        None => Error::Database { doing, source: Arc::new(error) },
    }
}

/// Waits until no other program writes to the database, and keeps them out until the transaction ends.
pub(crate) async fn take_turn(connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
    // By the schema, so that two benches in one database do not wait for each other.
    let sql =
        "SELECT CAST(pg_advisory_xact_lock(hashtextextended('panelwright ' || current_schema(), 0)) AS TEXT)";
    connection.execute(sql).await.map(|_| ())
}

/// Sends a notice with the commit of the transaction.
pub(crate) async fn tell(connection: &mut AnyConnection, text: &str) -> Result<(), sqlx::Error> {
    let sql = "SELECT CAST(pg_notify('panelwright ' || current_schema(), $1) AS TEXT)";
    sqlx::query(sql).bind(text.to_owned()).execute(connection).await.map(|_| ())
}

/// The channel on which notices are heard.
pub(crate) async fn channel(base: &Base, pool: &AnyPool) -> Result<String, Error> {
    let sql = "SELECT CAST('panelwright ' || current_schema() AS TEXT)";
    sqlx::query_scalar(sql).fetch_one(pool).await.map_err(|error| base.error("opening", error))
}

/// A connection as it comes, for moving everything.
pub(crate) async fn any(base: &Base) -> Result<AnyConnection, Error> {
    let Some(server) = &base.server else { return plain(&base.folder, &base.folder.database()).await };
    let options = server_options(base, server)?;
    AnyConnection::connect_with(&options).await.map_err(|error| base.error("opening", error))
}

fn server_options(base: &Base, server: &Server) -> Result<AnyConnectOptions, Error> {
    sqlx::any::install_default_drivers();
    AnyConnectOptions::from_str(server.url()).map_err(|error| base.error("opening", error))
}

fn options(folder: &Folder, path: &Path, mode: &str) -> Result<AnyConnectOptions, Error> {
    sqlx::any::install_default_drivers();
    let path = std::path::absolute(path).map_err(|error| folder.error(error))?;
    let url = format!("sqlite:{}?mode={mode}", encode(&path));
    AnyConnectOptions::from_str(&url).map_err(|error| error_of(folder, "opening", error))
}

/// Every byte but letters and digits as `%2F`, so that no name of a folder means anything in an address.
fn encode(path: &Path) -> String {
    let mut out = String::new();
    for byte in path.as_os_str().as_encoded_bytes() {
        if byte.is_ascii_alphanumeric() {
            out.push(char::from(*byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}
