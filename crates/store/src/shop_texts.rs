//! Texts of the shop beside its policy, each with all its earlier versions: the price book, the notice of cancelling, the
//! address cards.

use crate::audit::{Act, Actor, line};
use crate::writer::{Statement, Value};
use crate::{Elsewhere, Error, Store};

/// A text of the shop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ShopText {
    /// The price book as CSV; empty where the invented one was put in force again.
    Prices,
    /// What the shop's openings say, as counts; empty where the program's own chances were put in force again.
    Experience,
    /// What the shop's state asks to be said of cancelling; empty where it was taken back.
    Notice,
    /// The address cards as TOML.
    Cards,
}

impl ShopText {
    const fn word(self) -> &'static str {
        match self {
            ShopText::Prices => "prices",
            ShopText::Experience => "experience",
            ShopText::Notice => "notice",
            ShopText::Cards => "cards",
        }
    }
}

/// A version of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShopVersion {
    /// Which, from 1.
    pub number: i64,
    /// When it was put in force, milliseconds since 1970-01-01 UTC.
    pub made: i64,
    /// The device that did; empty: none.
    pub device: String,
    /// The text.
    pub text: String,
}

impl Store {
    /// Puts a text in force. Earlier versions are kept.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn put_shop_text(
        &self,
        kind: ShopText,
        text: &str,
        device: Option<&str>,
        now: i64,
    ) -> Result<(), Error> {
        let sql = "INSERT INTO shop_texts (kind, number, made, device, text) \
                   SELECT $1, COALESCE(MAX(number), 0) + 1, $2, $3, $4 FROM shop_texts WHERE kind = $5";
        let own = |text: &str| Value::Text(text.to_owned());
        let by = Actor { person: "", device: device.unwrap_or_default() };
        let device = own(device.unwrap_or_default());
        let values = vec![own(kind.word()), Value::Number(now), device, own(text), own(kind.word())];
        let put = Statement { sql, values, must: Some(1) };
        let act = match kind {
            ShopText::Prices => Act::ChangedPrices,
            ShopText::Notice | ShopText::Cards | ShopText::Experience => Act::ChangedText,
        };
        let statements = vec![put, line(act, by, kind.word(), now)];
        self.write_told(statements, Elsewhere::Policy).await.map(|_| ())
    }

    /// All versions of a text, the one in force first. Empty where none was ever put in force.
    ///
    /// # Errors
    /// The database fails.
    pub async fn shop_texts(&self, kind: ShopText) -> Result<Vec<ShopVersion>, Error> {
        let sql = "SELECT number, made, device, text FROM shop_texts WHERE kind = $1 ORDER BY number DESC";
        let query = sqlx::query_as(sql).bind(kind.word()).fetch_all(&self.inner.pool);
        let rows: Vec<(i64, i64, String, String)> =
            query.await.map_err(self.failed("reading the shop's texts"))?;
        let version = |(number, made, device, text)| ShopVersion { number, made, device, text };
        Ok(rows.into_iter().map(version).collect())
    }
}
