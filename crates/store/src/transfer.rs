//! Moving everything from one database to another, and proving that it arrived as it was.

use crate::base::Base;
use crate::photos_moved::{self, PhotosMoved};
use crate::{Bucket, Error, Options, Store, database, hash};
use futures_util::TryStreamExt;
use sqlx::any::AnyRow;
use sqlx::{AnyConnection, AssertSqlSafe, Connection, Executor, Row};
use std::path::{Path, PathBuf};

/// Rows that go in one statement.
const ROWS: usize = 100;

/// Every table, those that others point to first; columns of text and of numbers. Summaries are made anew from facts.
const TABLES: &[(&str, &[&str], &[&str])] = &[
    ("jobs", &["job"], &["revision", "created", "changed", "forgotten"]),
    ("facts", &["job", "fact", "entry", "device", "json"], &["revision", "received"]),
    ("receipts", &["job", "entry", "fingerprint"], &["stored", "revision", "received"]),
    ("photos", &["job", "sha256", "media_type"], &["bytes", "received"]),
    ("renditions", &["photo", "form", "sha256", "media_type"], &["bytes"]),
    ("persons", &["person", "name", "sought", "role", "password"], &["made", "revoked"]),
    (
        "devices",
        &["device", "name", "token_hash", "role", "person"],
        &["joined", "expires", "seen", "revoked"],
    ),
    ("invitations", &["code_hash", "device", "role", "person"], &["made", "expires", "used"]),
    ("policies", &["device", "text"], &["number", "made"]),
    ("shop_texts", &["kind", "device", "text"], &["number", "made"]),
    ("audit", &["person", "device", "act", "object"], &["number", "at"]),
    ("links", &["link", "token_hash", "job", "paper", "audience", "device"], &["made", "expires", "revoked"]),
];

/// A bench: its data folder and, where its rows or its photos lie on a server, the address of that.
#[derive(Debug, Clone)]
pub struct Place {
    /// The data folder, which has the photos unless a bucket has them.
    pub folder: PathBuf,
    /// Address of a PostgreSQL server.
    pub database: Option<String>,
    /// Bucket that has the photos.
    pub bucket: Option<Bucket>,
}

impl Place {
    fn options(&self) -> Options {
        Options { database: self.database.clone(), bucket: self.bucket.clone(), ..Options::default() }
    }

    fn has_rows_of(&self, other: &Place) -> bool {
        self.database == other.database
            && (self.database.is_some() || same_folder(&self.folder, &other.folder))
    }

    fn has_photos_of(&self, other: &Place) -> bool {
        match (&self.bucket, &other.bucket) {
            (None, None) => same_folder(&self.folder, &other.folder),
            (Some(one), Some(other)) => one.is_same(other),
            _ => false,
        }
    }
}

fn same_folder(one: &Path, other: &Path) -> bool {
    matches!((one.canonicalize(), other.canonicalize()), (Ok(one), Ok(other)) if one == other)
}

/// What was moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Transferred {
    /// Rows by table; none where both have the same.
    pub rows: Vec<(&'static str, u64)>,
    /// What became of the photos; `None` where both have them in the same place.
    pub photos: Option<PhotosMoved>,
}

/// Copies everything to a database that holds nothing yet: facts byte for byte, receipts, photos, devices, invitations
/// and policies. Every row is read back and compared. What is copied from stays as it is. Where both have the same rows, only
/// the photos are copied. What broke off is begun again: photos that are there already stay. `tell` hears how many forms of
/// photos are done, of how many.
///
/// # Errors
/// Either cannot be opened or is in use by a program that writes, the target holds something, what arrived differs, or both
/// are the same.
pub async fn transfer(
    from: &Place,
    to: &Place,
    tell: impl FnMut(usize, usize),
) -> Result<Transferred, Error> {
    let (same_rows, same_photos) = (to.has_rows_of(from), to.has_photos_of(from));
    if same_rows && same_photos {
        return Err(Error::SamePlace);
    }
    // Opening the target takes its lock, and brings it to the present version.
    let (source, target) = if same_rows {
        let target = Store::open_as(&to.folder, to.options()).await?;
        (Store::open_reading(&from.folder, from.options()).await?, target)
    } else {
        let source = Store::open_reading(&from.folder, from.options()).await?;
        (source, Store::open_as(&to.folder, to.options()).await?)
    };
    let moved = between(&source, &target, same_rows, same_photos, tell).await;
    // After a fault as well: whoever tries again at once finds the folder free.
    target.close().await;
    source.close().await;
    moved
}

async fn between(
    source: &Store,
    target: &Store,
    same_rows: bool,
    same_photos: bool,
    tell: impl FnMut(usize, usize),
) -> Result<Transferred, Error> {
    let (one, other) = (&source.inner.base, &target.inner.base);
    let mut reading = database::any(one).await?;
    let mut writing = database::any(other).await?;
    if !same_rows {
        empty(other, &mut writing).await?;
    }
    let photos = match same_photos {
        true => None,
        false => Some(photos_moved::copy(source, target, &mut reading, tell).await?),
    };
    let rows = match same_rows {
        true => Vec::new(),
        false => copy(one, &mut reading, other, &mut writing).await?,
    };
    reading.close().await.map_err(|error| one.error("reading", error))?;
    writing.close().await.map_err(|error| other.error("writing", error))?;
    Ok(Transferred { rows, photos })
}

/// Writes the rows of a server into a new SQLite file, as they are at this moment.
pub(crate) async fn copy_to_file(base: &Base, file: &Path) -> Result<(), Error> {
    let other = Base { folder: base.folder.clone(), server: None };
    let mut writing = database::fresh_file(&base.folder, file).await?;
    database::migrate(&other, &mut writing).await?;
    let mut reading = database::any(base).await?;
    copy(base, &mut reading, &other, &mut writing).await?;
    reading.close().await.map_err(|error| base.error("reading", error))?;
    writing.close().await.map_err(|error| other.error("writing", error))
}

/// Refuses a database that holds something.
async fn empty(base: &Base, connection: &mut AnyConnection) -> Result<(), Error> {
    for &(table, ..) in TABLES {
        let sql = AssertSqlSafe(format!("SELECT CAST(COUNT(*) AS BIGINT) FROM {table}"));
        let n: i64 = sqlx::query_scalar(sql)
            .fetch_one(&mut *connection)
            .await
            .map_err(|error| base.error("reading", error))?;
        if 0 < n {
            return Err(Error::NotEmptyDatabase { table, n });
        }
    }
    Ok(())
}

async fn copy(
    from: &Base,
    reading: &mut AnyConnection,
    to: &Base,
    writing: &mut AnyConnection,
) -> Result<Vec<(&'static str, u64)>, Error> {
    let read = |error| from.error("reading", error);
    let wrote = |error| to.error("writing", error);
    // One moment for all tables, while other programs go on writing.
    let begin = match from.server {
        Some(_) => "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
        None => "BEGIN",
    };
    reading.execute(begin).await.map_err(read)?;
    let mut transaction = writing.begin().await.map_err(wrote)?;
    let mut counts = Vec::new();
    for &(table, texts, numbers) in TABLES {
        let select = select(table, texts, numbers);
        let mut sent = Sum::default();
        let mut rows = sqlx::query(AssertSqlSafe(select.clone())).fetch(&mut *reading);
        let mut chunk = Vec::new();
        while let Some(row) = rows.try_next().await.map_err(read)? {
            let cells = Cells::of(&row, texts.len(), numbers.len()).map_err(read)?;
            sent.add(&cells);
            chunk.push(cells);
            if chunk.len() == ROWS {
                insert(&mut transaction, table, texts, numbers, &chunk).await.map_err(wrote)?;
                chunk.clear();
            }
        }
        drop(rows);
        insert(&mut transaction, table, texts, numbers, &chunk).await.map_err(wrote)?;
        let mut arrived = Sum::default();
        let mut rows = sqlx::query(AssertSqlSafe(select)).fetch(&mut *transaction);
        while let Some(row) = rows.try_next().await.map_err(wrote)? {
            arrived.add(&Cells::of(&row, texts.len(), numbers.len()).map_err(wrote)?);
        }
        drop(rows);
        if sent != arrived {
            return Err(Error::ArrivedOtherwise { table });
        }
        counts.push((table, sent.n));
    }
    transaction.commit().await.map_err(wrote)?;
    reading.execute("COMMIT").await.map_err(read)?;
    Ok(counts)
}

fn columns(texts: &[&str], numbers: &[&str]) -> String {
    texts.iter().chain(numbers).copied().collect::<Vec<_>>().join(", ")
}

fn select(table: &str, texts: &[&str], numbers: &[&str]) -> String {
    format!("SELECT {} FROM {table}", columns(texts, numbers))
}

async fn insert(
    connection: &mut AnyConnection,
    table: &str,
    texts: &[&str],
    numbers: &[&str],
    rows: &[Cells],
) -> Result<(), sqlx::Error> {
    if rows.is_empty() {
        return Ok(());
    }
    let width = texts.len() + numbers.len();
    let row = |row: usize| {
        let places: Vec<String> = (1..=width).map(|place| format!("${}", row * width + place)).collect();
        format!("({})", places.join(", "))
    };
    let values: Vec<String> = (0..rows.len()).map(row).collect();
    let sql = format!("INSERT INTO {table} ({}) VALUES {}", columns(texts, numbers), values.join(", "));
    let mut query = sqlx::query(AssertSqlSafe(sql));
    for cells in rows {
        for text in &cells.texts {
            query = query.bind(text.clone());
        }
        for number in &cells.numbers {
            query = query.bind(*number);
        }
    }
    query.execute(connection).await.map(|_| ())
}

/// A row.
struct Cells {
    texts: Vec<Option<String>>,
    numbers: Vec<Option<i64>>,
}

impl Cells {
    fn of(row: &AnyRow, n_texts: usize, n_numbers: usize) -> Result<Self, sqlx::Error> {
        let texts = (0..n_texts).map(|at| row.try_get(at)).collect::<Result<_, _>>()?;
        let numbers = (n_texts..n_texts + n_numbers).map(|at| row.try_get(at)).collect::<Result<_, _>>()?;
        Ok(Cells { texts, numbers })
    }
}

/// Count and sum of hashes of rows, whatever their order: two databases sort text differently.
#[derive(Debug, Default, PartialEq, Eq)]
struct Sum {
    n: u64,
    sum: [u64; 4],
}

impl Sum {
    fn add(&mut self, cells: &Cells) {
        let mut running = hash::Running::default();
        for text in &cells.texts {
            match text {
                Some(text) => {
                    running.add(&(text.len() as u64).to_le_bytes());
                    running.add(text.as_bytes());
                }
                None => running.add(b"none"),
            }
        }
        for number in &cells.numbers {
            running.add(format!("{number:?} ").as_bytes());
        }
        let hex = running.finish();
        self.n += 1;
        for (part, sum) in self.sum.iter_mut().enumerate() {
            let digits = hex.get(part * 16..part * 16 + 16).unwrap_or("0");
            *sum = sum.wrapping_add(u64::from_str_radix(digits, 16).unwrap_or(0));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_column_of_every_table_is_moved() {
        let folder = tempfile::tempdir().expect("a folder");
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
        runtime.block_on(async {
            let store = Store::open(folder.path()).await.expect("it opens");
            let sql = "SELECT m.name, c.name, c.type FROM sqlite_master AS m, pragma_table_info(m.name) AS c \
                       WHERE m.type = 'table' AND m.name NOT LIKE '_sqlx%' AND m.name NOT LIKE 'summar%'";
            let rows: Vec<(String, String, String)> =
                sqlx::query_as(sql).fetch_all(&store.inner.pool).await.expect("read");
            let there: BTreeSet<_> = rows.into_iter().collect();
            let moved: BTreeSet<_> = TABLES
                .iter()
                .flat_map(|(table, texts, numbers)| {
                    let text = texts.iter().map(|text| (*text, "TEXT"));
                    let number = numbers.iter().map(|number| (*number, "BIGINT"));
                    text.chain(number)
                        .map(|(column, kind)| ((*table).to_owned(), column.to_owned(), kind.to_owned()))
                })
                .collect();
            assert_eq!(there, moved);
            store.close().await;
        });
    }
}
