//! The audit trail: who did what to whom and when, beside the facts, which name their own author. Rows are only added.
//!
//! A row names persons, devices and links by their ids and a job by a digest of its name, so that the trail holds nothing
//! of a customer and may outlive what was deleted.

use crate::base::Base;
use crate::database;
use crate::writer::{Statement, Value};
use crate::{Error, Store, hash};
use sqlx::{Any, AnyConnection, Executor};

/// Digits of the digest that stands for a job.
const JOB_DIGITS: usize = 16;

/// What was done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Act {
    /// A device joined by a code.
    Joined,
    /// A person signed in.
    SignedIn,
    /// A password was wrong; the object is the person, where there is one of that name.
    SignInRefused,
    /// A person signed out.
    SignedOut,
    /// A device was invited; the object is its role.
    Invited,
    /// A person was invited, or invited to set a new password.
    InvitedPerson,
    /// A person set a password.
    PasswordSet,
    /// A device was shut out.
    RevokedDevice,
    /// A person was shut out, with every device.
    RevokedPerson,
    /// A person was let in again.
    RestoredPerson,
    /// A person's role was changed.
    ChangedRole,
    /// Another policy was put in force.
    ChangedPolicy,
    /// Another price book was put in force.
    ChangedPrices,
    /// Another text of the shop was put in force.
    ChangedText,
    /// A link was made.
    MadeLink,
    /// A link was taken back.
    RevokedLink,
    /// Somebody looked by a link.
    LookedByLink,
    /// A job was exported with all it has.
    Exported,
    /// What is a customer's was deleted.
    Deleted,
    /// A laptop exchanged with this bench; the object is what went each way.
    Exchanged,
    /// This bench exchanged with a shop; the object is what went each way.
    ExchangedWithShop,
}

impl Act {
    /// All acts.
    pub const ALL: [Act; 21] = [
        Act::Joined,
        Act::SignedIn,
        Act::SignInRefused,
        Act::SignedOut,
        Act::Invited,
        Act::InvitedPerson,
        Act::PasswordSet,
        Act::RevokedDevice,
        Act::RevokedPerson,
        Act::RestoredPerson,
        Act::ChangedRole,
        Act::ChangedPolicy,
        Act::ChangedPrices,
        Act::ChangedText,
        Act::MadeLink,
        Act::RevokedLink,
        Act::LookedByLink,
        Act::Exported,
        Act::Deleted,
        Act::Exchanged,
        Act::ExchangedWithShop,
    ];

    /// The word in the store.
    pub const fn word(self) -> &'static str {
        match self {
            Act::Joined => "joined",
            Act::SignedIn => "signed-in",
            Act::SignInRefused => "sign-in-refused",
            Act::SignedOut => "signed-out",
            Act::Invited => "invited",
            Act::InvitedPerson => "invited-person",
            Act::PasswordSet => "password-set",
            Act::RevokedDevice => "revoked-device",
            Act::RevokedPerson => "revoked-person",
            Act::RestoredPerson => "restored-person",
            Act::ChangedRole => "changed-role",
            Act::ChangedPolicy => "changed-policy",
            Act::ChangedPrices => "changed-prices",
            Act::ChangedText => "changed-text",
            Act::MadeLink => "made-link",
            Act::RevokedLink => "revoked-link",
            Act::LookedByLink => "looked-by-link",
            Act::Exported => "exported",
            Act::Deleted => "deleted",
            Act::Exchanged => "exchanged",
            Act::ExchangedWithShop => "exchanged-with-shop",
        }
    }
}

/// Who did it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Actor<'a> {
    /// Id of the person; empty for a device that joined by a code, and for nobody.
    pub person: &'a str,
    /// Id of the device; empty for nobody.
    pub device: &'a str,
}

/// A row of the trail.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AuditLine {
    /// Which, from 1 without a gap.
    pub number: i64,
    /// When, milliseconds since 1970-01-01 UTC.
    pub at: i64,
    /// Id of the person; empty where there was none.
    pub person: String,
    /// Id of the device; empty where there was none.
    pub device: String,
    /// What, by its word; one that a newer program wrote may be unknown here.
    pub act: String,
    /// To what, by an id.
    pub object: String,
}

/// What stands for a job in the trail.
pub fn job_digest(job: &str) -> String {
    let mut digest = hash::sha256(job.as_bytes());
    digest.truncate(JOB_DIGITS);
    digest
}

impl Store {
    /// Notes that something was done.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn note(&self, act: Act, by: Actor<'_>, object: &str, now: i64) -> Result<(), Error> {
        self.write(vec![line(act, by, object, now)]).await.map(|_| ())
    }

    /// The newest rows before a number, at most `most`; `None` for the newest of all.
    ///
    /// # Errors
    /// The database fails.
    pub async fn audit(&self, before: Option<i64>, most: u32) -> Result<Vec<AuditLine>, Error> {
        let sql = "SELECT number, at, person, device, act, object FROM audit WHERE number < $1 \
                   ORDER BY number DESC LIMIT $2";
        let query = sqlx::query_as(sql).bind(before.unwrap_or(i64::MAX)).bind(i64::from(most));
        let rows: Vec<(i64, i64, String, String, String, String)> =
            query.fetch_all(&self.inner.pool).await.map_err(self.failed("reading the audit trail"))?;
        let line =
            |(number, at, person, device, act, object)| AuditLine { number, at, person, device, act, object };
        Ok(rows.into_iter().map(line).collect())
    }
}

/// The row, to be written with what it tells of.
pub(crate) fn line(act: Act, by: Actor<'_>, object: &str, now: i64) -> Statement {
    let sql = "INSERT INTO audit (number, at, person, device, act, object) \
               SELECT COALESCE(MAX(number), 0) + 1, $1, $2, $3, $4, $5 FROM audit";
    let text = |text: &str| Value::Text(text.to_owned());
    let values = vec![Value::Number(now), text(by.person), text(by.device), text(act.word()), text(object)];
    Statement { sql, values, must: Some(1) }
}

/// Adds the row within a transaction that is under way.
pub(crate) async fn insert(connection: &mut AnyConnection, line: &Statement) -> Result<(), sqlx::Error> {
    let mut query = sqlx::query::<Any>(line.sql);
    for value in &line.values {
        query = match value {
            Value::Text(text) => query.bind(text.clone()),
            Value::Number(number) => query.bind(*number),
        };
    }
    query.execute(connection).await.map(|_| ())
}

/// Has the database itself refuse every change of a row that is there. Triggers are no part of the common steps: each
/// database writes them in its own way.
pub(crate) async fn seal(base: &Base, connection: &mut AnyConnection) -> Result<(), Error> {
    let failed = |error| base.error("sealing the audit trail", error);
    if base.server.is_some() {
        return seal_server(connection).await.map_err(failed);
    }
    for sql in [
        "CREATE TRIGGER IF NOT EXISTS audit_stays BEFORE UPDATE ON audit \
         BEGIN SELECT RAISE(ABORT, 'the audit trail is only added to'); END",
        "CREATE TRIGGER IF NOT EXISTS audit_lasts BEFORE DELETE ON audit \
         BEGIN SELECT RAISE(ABORT, 'the audit trail is only added to'); END",
    ] {
        connection.execute(sql).await.map_err(failed)?;
    }
    Ok(())
}

async fn seal_server(connection: &mut AnyConnection) -> Result<(), sqlx::Error> {
    let there: i64 = sqlx::query_scalar(
        "SELECT CAST(COUNT(*) AS BIGINT) FROM pg_trigger \
         WHERE tgrelid = to_regclass('audit') AND tgname = 'audit_stays'",
    )
    .fetch_one(&mut *connection)
    .await?;
    if 0 < there {
        return Ok(());
    }
    // Two programs may come here at once: the lock keeps one of them waiting, and it finds all done.
    connection.execute("BEGIN").await?;
    database::take_turn(connection).await?;
    for sql in [
        "CREATE OR REPLACE FUNCTION audit_refuse() RETURNS trigger LANGUAGE plpgsql AS \
         $$ BEGIN RAISE EXCEPTION 'the audit trail is only added to'; END $$",
        "DROP TRIGGER IF EXISTS audit_stays ON audit",
        "CREATE TRIGGER audit_stays BEFORE UPDATE OR DELETE OR TRUNCATE ON audit \
         FOR EACH STATEMENT EXECUTE FUNCTION audit_refuse()",
    ] {
        connection.execute(sql).await?;
    }
    connection.execute("COMMIT").await.map(|_| ())
}
