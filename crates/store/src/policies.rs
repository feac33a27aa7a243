//! The shop's policy as text, with all its earlier versions.

use crate::audit::{Act, Actor, line};
use crate::writer::{Statement, Value};
use crate::{Elsewhere, Error, Store};

/// A version of the shop's policy.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PolicyText {
    /// Which, from 1.
    pub number: i64,
    /// When it was put in force, milliseconds since 1970-01-01 UTC.
    pub made: i64,
    /// The device that did.
    pub device: Option<String>,
    /// The text; empty where the standard policy was put in force again.
    pub text: String,
}

impl Store {
    /// Puts a policy in force. Earlier versions are kept.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn put_policy(&self, text: &str, device: Option<&str>, now: i64) -> Result<(), Error> {
        let sql = "INSERT INTO policies (number, made, device, text) \
                   SELECT COALESCE(MAX(number), 0) + 1, $1, $2, $3 FROM policies";
        let by = Actor { person: "", device: device.unwrap_or_default() };
        let device = Value::Text(device.unwrap_or_default().to_owned());
        let values = vec![Value::Number(now), device, Value::Text(text.to_owned())];
        let put = Statement { sql, values, must: Some(1) };
        let statements = vec![put, line(Act::ChangedPolicy, by, "", now)];
        self.write_told(statements, Elsewhere::Policy).await.map(|_| ())
    }

    /// The policy in force; `None` where none was ever put in force.
    ///
    /// # Errors
    /// The database fails.
    pub async fn policy(&self) -> Result<Option<PolicyText>, Error> {
        let sql = "SELECT number, made, device, text FROM policies ORDER BY number DESC LIMIT 1";
        let query = sqlx::query_as(sql).fetch_optional(&self.inner.pool);
        let row: Option<(i64, i64, Option<String>, String)> =
            query.await.map_err(self.failed("reading the policy"))?;
        Ok(row.map(|(number, made, device, text)| {
            let device = device.filter(|device| !device.is_empty());
            PolicyText { number, made, device, text }
        }))
    }
}
