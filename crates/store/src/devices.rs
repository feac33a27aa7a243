//! Devices that may use the store, and the invitations by which they join. Only hashes of codes and tokens are kept.

use crate::audit::{Act, Actor, line};
use crate::writer::{Statement, Value};
use crate::{Elsewhere, Error, Store, hash};
use record::limits::NAME_MAX;

/// A device is noted as seen at most this often, milliseconds: not every page view is worth a write.
const SEEN_EVERY_MS: i64 = 60_000;

/// An invitation, told once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Invitation {
    /// What is typed: ten clear letters and digits in two groups.
    pub code: String,
    /// Until when, milliseconds since 1970-01-01 UTC.
    pub expires: i64,
}

/// A device that joined.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joined {
    /// Its id.
    pub device: String,
    /// What it shows from now on. Told once: only its hash is kept.
    pub token: String,
}

/// A device.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Device {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// When it joined, milliseconds since 1970-01-01 UTC.
    pub joined: i64,
    /// Until when it may come without joining again.
    pub expires: i64,
    /// When it was last seen, to the minute.
    pub seen: Option<i64>,
    /// When it was shut out.
    pub revoked: Option<i64>,
    /// What it may do, by the word of its person, else of its invitation; the store does not judge it.
    pub role: String,
    /// Id of the person who signed in on it; empty where it joined by a code alone.
    pub person: String,
    /// Name of that person; empty as above.
    pub person_name: String,
}

impl Device {
    /// May it use the store at this moment?
    pub fn is_welcome(&self, now: i64) -> bool {
        self.revoked.is_none() && now < self.expires
    }
}

type Row = (String, String, i64, i64, Option<i64>, Option<i64>, String, String, String);

/// A person's role counts for all devices of the person, and a person who was shut out has none.
macro_rules! devices_sql {
    ($rest:literal) => {
        concat!(
            "SELECT d.device, d.name, d.joined, d.expires, d.seen, COALESCE(p.revoked, d.revoked) AS revoked, ",
            "COALESCE(p.role, d.role) AS role, d.person, COALESCE(p.name, '') AS person_name ",
            "FROM devices AS d LEFT JOIN persons AS p ON p.person = d.person ",
            $rest
        )
    };
}

/// The role of an invitation that names none.
const USUAL_ROLE: &str = "electrician";

impl Store {
    /// Makes an invitation for one device.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn invite(&self, now: i64, expires: i64) -> Result<Invitation, Error> {
        self.invite_as(USUAL_ROLE, now, expires).await
    }

    /// Makes an invitation for one device with a role, by its word.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn invite_as(&self, role: &str, now: i64, expires: i64) -> Result<Invitation, Error> {
        self.invite_by(role, Actor::default(), now, expires).await
    }

    /// As [`Store::invite_as`], by somebody.
    ///
    /// # Errors
    /// The disk fails.
    pub async fn invite_by(
        &self,
        role: &str,
        by: Actor<'_>,
        now: i64,
        expires: i64,
    ) -> Result<Invitation, Error> {
        let letters = hash::random_code::<10>()?;
        let sql = "INSERT INTO invitations (code_hash, made, expires, role) VALUES ($1, $2, $3, $4)";
        let values = vec![text(&code_hash(&letters)), Value::Number(now), Value::Number(expires), text(role)];
        let invite = Statement { sql, values, must: Some(1) };
        self.write(vec![invite, line(Act::Invited, by, role, now)]).await?;
        let (first, second) = letters.split_at(5);
        Ok(Invitation { code: format!("{first}-{second}"), expires })
    }

    /// Lets a device in by an invitation, which is used up by that. Of two that use it at once, one gets in.
    ///
    /// # Errors
    /// No such invitation, run out or used; a name that cannot be; or the disk fails.
    pub async fn join(&self, code: &str, name: &str, now: i64, expires: i64) -> Result<Joined, Error> {
        let name = name.trim();
        if name.is_empty() || NAME_MAX < name.chars().count() || name.chars().any(char::is_control) {
            return Err(Error::DeviceName { name: name.to_owned(), max: NAME_MAX });
        }
        let code = code_hash(code);
        let sql = "SELECT expires, used, role FROM invitations WHERE code_hash = $1 AND person = ''";
        let query = sqlx::query_as(sql).bind(&code).fetch_optional(&self.inner.pool);
        let invitation: Option<(i64, Option<i64>, String)> =
            query.await.map_err(self.failed("reading invitations"))?;
        let role = match invitation {
            None => return Err(Error::NoInvitation),
            Some((_, Some(_), _)) => return Err(Error::InvitationUsed),
            Some((until, None, _)) if until <= now => return Err(Error::InvitationExpired),
            Some((_, None, role)) => role,
        };
        let (joined, join) = new_device(name, &role, "", now, expires)?;
        let take = Statement {
            sql: "UPDATE invitations SET used = $2, device = $3 \
                  WHERE code_hash = $1 AND used IS NULL AND expires > $2",
            values: vec![text(&code), Value::Number(now), text(&joined.device)],
            must: Some(1),
        };
        let by = Actor { person: "", device: &joined.device };
        let note = line(Act::Joined, by, &joined.device, now);
        let let_in = self.write(vec![join, take, note]).await?;
        if let_in { Ok(joined) } else { Err(Error::InvitationUsed) }
    }

    /// The device that has this token and is welcome now. Notes that it was seen.
    ///
    /// # Errors
    /// The database fails.
    pub async fn device_by_token(&self, token: &str, now: i64) -> Result<Option<Device>, Error> {
        let sql = devices_sql!("WHERE d.token_hash = $1");
        let query = sqlx::query_as(sql).bind(hash::sha256(token.as_bytes())).fetch_optional(&self.inner.pool);
        let row: Option<Row> = query.await.map_err(self.failed("reading devices"))?;
        let Some(device) = row.map(device).filter(|device| device.is_welcome(now)) else { return Ok(None) };
        if device.seen.is_none_or(|seen| seen + SEEN_EVERY_MS <= now)
            && let Ok(writer) = self.writer()
        {
            let sql = "UPDATE devices SET seen = $2 WHERE device = $1";
            let values = vec![text(&device.id), Value::Number(now)];
            let writer = writer.clone();
            // The page does not wait for it, and does not fail where it cannot be noted.
            tokio::spawn(
                async move { writer.write(vec![Statement { sql, values, must: None }], None).await },
            );
        }
        Ok(Some(device))
    }

    /// Shuts a device out, from the next request on. One that is out stays out since then.
    ///
    /// # Errors
    /// There is no such device, or the disk fails.
    pub async fn revoke(&self, device: &str, now: i64) -> Result<(), Error> {
        self.revoke_by(device, Act::RevokedDevice, Actor::default(), now).await
    }

    /// As [`Store::revoke`], by somebody: shut out, or signed out.
    ///
    /// # Errors
    /// As [`Store::revoke`].
    pub async fn revoke_by(&self, device: &str, act: Act, by: Actor<'_>, now: i64) -> Result<(), Error> {
        let sql = "UPDATE devices SET revoked = COALESCE(revoked, $2) WHERE device = $1";
        let revoke = Statement { sql, values: vec![text(device), Value::Number(now)], must: Some(1) };
        let found = self.write_told(vec![revoke, line(act, by, device, now)], Elsewhere::Access).await?;
        if found { Ok(()) } else { Err(Error::NoDevice { device: device.to_owned() }) }
    }

    /// All devices, the last that joined first.
    ///
    /// # Errors
    /// The database fails.
    pub async fn devices(&self) -> Result<Vec<Device>, Error> {
        let sql = devices_sql!("ORDER BY d.joined DESC, d.device");
        let rows: Vec<Row> =
            sqlx::query_as(sql).fetch_all(&self.inner.pool).await.map_err(self.failed("reading devices"))?;
        Ok(rows.into_iter().map(device).collect())
    }
}

fn device((id, name, joined, expires, seen, revoked, role, person, person_name): Row) -> Device {
    Device { id, name, joined, expires, seen, revoked, role, person, person_name }
}

/// A device with a secret that nobody knew before, and the statement that puts it in.
pub(crate) fn new_device(
    name: &str,
    role: &str,
    person: &str,
    now: i64,
    expires: i64,
) -> Result<(Joined, Statement), Error> {
    let device = hash::random_hex::<8>()?;
    let token = hash::random_hex::<32>()?;
    let sql = "INSERT INTO devices (device, name, token_hash, joined, expires, role, person) \
               VALUES ($1, $2, $3, $4, $5, $6, $7)";
    let values = vec![
        text(&device),
        text(name),
        text(&hash::sha256(token.as_bytes())),
        Value::Number(now),
        Value::Number(expires),
        text(role),
        text(person),
    ];
    Ok((Joined { device, token }, Statement { sql, values, must: Some(1) }))
}

/// However it was typed.
pub(crate) fn code_hash(code: &str) -> String {
    let letters: String = code.chars().filter(char::is_ascii_alphanumeric).collect();
    hash::sha256(letters.to_ascii_uppercase().as_bytes())
}

pub(crate) fn text(text: &str) -> Value {
    Value::Text(text.to_owned())
}
