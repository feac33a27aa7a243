//! Persons: a name, a role, a password's hash; invitations by which a person sets it; their devices.
//!
//! A device that a person signed in on is a device like any other, with the person's id: what the person may do counts
//! for all of them, and who shuts the person out shuts out all. Passwords are hashed by the caller.

use crate::audit::{Act, Actor, line};
use crate::devices::{Joined, code_hash, new_device, text};
use crate::writer::{Statement, Value};
use crate::{Elsewhere, Error, Invitation, Store, hash};
use record::limits::NAME_MAX;

/// A person of the shop.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Person {
    /// Id.
    pub id: String,
    /// Name, as the shop writes it.
    pub name: String,
    /// What the person may do, by a word; the store does not judge it.
    pub role: String,
    /// Hash of the password as PHC text; empty until it was set.
    pub password: String,
    /// When the person was put in, milliseconds since 1970-01-01 UTC.
    pub made: i64,
    /// When the person was shut out.
    pub revoked: Option<i64>,
}

type Row = (String, String, String, String, i64, Option<i64>);

impl Store {
    /// Puts in a person without a password, with the code by which that person sets one.
    ///
    /// # Errors
    /// A name that cannot be or that another person has, or the disk fails.
    pub async fn add_person(
        &self,
        name: &str,
        role: &str,
        by: Actor<'_>,
        now: i64,
        expires: i64,
    ) -> Result<(Person, Invitation), Error> {
        let name = fine_name(name)?;
        let id = hash::random_hex::<8>()?;
        let person = Person {
            id: id.clone(),
            name: name.to_owned(),
            role: role.to_owned(),
            password: String::new(),
            made: now,
            revoked: None,
        };
        let add = Statement {
            sql: "INSERT INTO persons (person, name, sought, role, password, made) \
                  SELECT $1, $2, $3, $4, '', $5 WHERE NOT EXISTS (SELECT 1 FROM persons WHERE sought = $6)",
            values: vec![
                text(&id),
                text(name),
                text(&sought(name)),
                text(role),
                Value::Number(now),
                text(&sought(name)),
            ],
            must: Some(1),
        };
        let (invitation, invite) = invitation(&id, role, now, expires)?;
        let note = line(Act::InvitedPerson, by, &id, now);
        let added = self.write(vec![add, invite, note]).await?;
        if added { Ok((person, invitation)) } else { Err(Error::PersonThere { name: name.to_owned() }) }
    }

    /// A further code for a person who is there: for a password that was forgotten, or an invitation that ran out.
    ///
    /// # Errors
    /// There is no such person, or the disk fails.
    pub async fn invite_person(
        &self,
        person: &str,
        by: Actor<'_>,
        now: i64,
        expires: i64,
    ) -> Result<Invitation, Error> {
        let Some(found) = self.person(person).await?.filter(|person| person.revoked.is_none()) else {
            return Err(Error::NoPerson { person: person.to_owned() });
        };
        let (code, invite) = invitation(&found.id, &found.role, now, expires)?;
        self.write(vec![invite, line(Act::InvitedPerson, by, &found.id, now)]).await?;
        Ok(code)
    }

    /// The person that a code is for, where it may still be used.
    ///
    /// # Errors
    /// No such code, run out or used.
    pub async fn person_invited(&self, code: &str, now: i64) -> Result<Person, Error> {
        let sql = "SELECT expires, used, person FROM invitations WHERE code_hash = $1 AND person <> ''";
        let query = sqlx::query_as(sql).bind(code_hash(code)).fetch_optional(&self.inner.pool);
        let found: Option<(i64, Option<i64>, String)> =
            query.await.map_err(self.failed("reading invitations"))?;
        let person = match found {
            None => return Err(Error::NoInvitation),
            Some((_, Some(_), _)) => return Err(Error::InvitationUsed),
            Some((until, None, _)) if until <= now => return Err(Error::InvitationExpired),
            Some((_, None, person)) => person,
        };
        let person = self.person(&person).await?.filter(|person| person.revoked.is_none());
        person.ok_or(Error::NoInvitation)
    }

    /// Sets the password by the code, which is used up by that, and lets the person in on a device of this name. Every
    /// device and code of the person from before is shut out: who forgot a password may have lost more.
    ///
    /// # Errors
    /// As [`Store::person_invited`], a name that cannot be, or the disk fails.
    pub async fn set_password(
        &self,
        code: &str,
        password: &str,
        device: &str,
        now: i64,
        expires: i64,
    ) -> Result<Joined, Error> {
        let name = fine_device(device)?;
        let person = self.person_invited(code, now).await?;
        let (joined, add) = new_device(name, &person.role, &person.id, now, expires)?;
        let by = Actor { person: &person.id, device: &joined.device };
        let statements = vec![
            Statement {
                sql: "UPDATE invitations SET used = $2 WHERE code_hash = $1 AND used IS NULL AND expires > $2",
                values: vec![text(&code_hash(code)), Value::Number(now)],
                must: Some(1),
            },
            Statement {
                sql: "UPDATE invitations SET used = $2 WHERE person = $1 AND used IS NULL",
                values: vec![text(&person.id), Value::Number(now)],
                must: None,
            },
            Statement {
                sql: "UPDATE devices SET revoked = COALESCE(revoked, $2) WHERE person = $1",
                values: vec![text(&person.id), Value::Number(now)],
                must: None,
            },
            Statement {
                sql: "UPDATE persons SET password = $2 WHERE person = $1 AND revoked IS NULL",
                values: vec![text(&person.id), text(password)],
                must: Some(1),
            },
            add,
            line(Act::PasswordSet, by, &person.id, now),
        ];
        let set = self.write_told(statements, Elsewhere::Access).await?;
        if set { Ok(joined) } else { Err(Error::InvitationUsed) }
    }

    /// Changes the password of a person who knows the one that holds. All other devices of the person go.
    ///
    /// # Errors
    /// The person has another password by now or was shut out, or the disk fails.
    pub async fn change_password(
        &self,
        person: &Person,
        password: &str,
        by: Actor<'_>,
        now: i64,
    ) -> Result<(), Error> {
        let statements = vec![
            Statement {
                sql: "UPDATE persons SET password = $2 WHERE person = $1 AND password = $3 AND revoked IS NULL",
                values: vec![text(&person.id), text(password), text(&person.password)],
                must: Some(1),
            },
            Statement {
                sql: "UPDATE devices SET revoked = COALESCE(revoked, $3) WHERE person = $1 AND device <> $2",
                values: vec![text(&person.id), text(by.device), Value::Number(now)],
                must: None,
            },
            Statement {
                sql: "UPDATE invitations SET used = $2 WHERE person = $1 AND used IS NULL",
                values: vec![text(&person.id), Value::Number(now)],
                must: None,
            },
            line(Act::PasswordSet, by, &person.id, now),
        ];
        self.must_find(statements, &person.id).await
    }

    /// Lets a person whose password was right in on a device of this name, with a secret that nobody knew before.
    /// The device `instead` of the same browser goes.
    ///
    /// # Errors
    /// A name that cannot be, the person was shut out or has another password by now, or the disk fails.
    pub async fn sign_in(
        &self,
        person: &Person,
        device: &str,
        instead: Option<&str>,
        now: i64,
        expires: i64,
    ) -> Result<Joined, Error> {
        let name = fine_device(device)?;
        let (joined, add) = new_device(name, &person.role, &person.id, now, expires)?;
        let by = Actor { person: &person.id, device: &joined.device };
        let still = Statement {
            sql: "UPDATE persons SET password = password WHERE person = $1 AND password = $2 AND revoked IS NULL",
            values: vec![text(&person.id), text(&person.password)],
            must: Some(1),
        };
        let mut statements = vec![still, add];
        if let Some(instead) = instead {
            statements.push(Statement {
                sql: "UPDATE devices SET revoked = COALESCE(revoked, $2) WHERE device = $1",
                values: vec![text(instead), Value::Number(now)],
                must: None,
            });
        }
        statements.push(line(Act::SignedIn, by, &joined.device, now));
        let signed = self.write_told(statements, Elsewhere::Access).await?;
        if signed { Ok(joined) } else { Err(Error::NoPerson { person: person.id.clone() }) }
    }

    /// Shuts a person out, with every device and code.
    ///
    /// # Errors
    /// There is no such person, or the disk fails.
    pub async fn revoke_person(&self, person: &str, by: Actor<'_>, now: i64) -> Result<(), Error> {
        let own = |sql, must| Statement { sql, values: vec![text(person), Value::Number(now)], must };
        let statements = vec![
            own("UPDATE persons SET revoked = COALESCE(revoked, $2) WHERE person = $1", Some(1)),
            own("UPDATE devices SET revoked = COALESCE(revoked, $2) WHERE person = $1", None),
            own("UPDATE invitations SET used = $2 WHERE person = $1 AND used IS NULL", None),
            line(Act::RevokedPerson, by, person, now),
        ];
        self.must_find(statements, person).await
    }

    /// Lets a person in again who was shut out. Devices stay out: the person signs in afresh.
    ///
    /// # Errors
    /// There is no such person, or the disk fails.
    pub async fn restore_person(&self, person: &str, by: Actor<'_>, now: i64) -> Result<(), Error> {
        let restore = Statement {
            sql: "UPDATE persons SET revoked = NULL WHERE person = $1",
            values: vec![text(person)],
            must: Some(1),
        };
        self.must_find(vec![restore, line(Act::RestoredPerson, by, person, now)], person).await
    }

    /// Gives a person another role; it counts on every device from the next request on.
    ///
    /// # Errors
    /// There is no such person, or the disk fails.
    pub async fn change_role(&self, person: &str, role: &str, by: Actor<'_>, now: i64) -> Result<(), Error> {
        let change = Statement {
            sql: "UPDATE persons SET role = $2 WHERE person = $1",
            values: vec![text(person), text(role)],
            must: Some(1),
        };
        self.must_find(vec![change, line(Act::ChangedRole, by, person, now)], person).await
    }

    /// A person by id.
    ///
    /// # Errors
    /// The database fails.
    pub async fn person(&self, person: &str) -> Result<Option<Person>, Error> {
        let sql = "SELECT person, name, role, password, made, revoked FROM persons WHERE person = $1";
        let query = sqlx::query_as(sql).bind(person).fetch_optional(&self.inner.pool);
        let row: Option<Row> = query.await.map_err(self.failed("reading persons"))?;
        Ok(row.map(of_row))
    }

    /// A person by name, however it is typed.
    ///
    /// # Errors
    /// The database fails.
    pub async fn person_named(&self, name: &str) -> Result<Option<Person>, Error> {
        let sql = "SELECT person, name, role, password, made, revoked FROM persons WHERE sought = $1";
        let query = sqlx::query_as(sql).bind(sought(name)).fetch_optional(&self.inner.pool);
        let row: Option<Row> = query.await.map_err(self.failed("reading persons"))?;
        Ok(row.map(of_row))
    }

    /// All persons, by name.
    ///
    /// # Errors
    /// The database fails.
    pub async fn persons(&self) -> Result<Vec<Person>, Error> {
        let sql = "SELECT person, name, role, password, made, revoked FROM persons ORDER BY sought";
        let rows: Vec<Row> =
            sqlx::query_as(sql).fetch_all(&self.inner.pool).await.map_err(self.failed("reading persons"))?;
        Ok(rows.into_iter().map(of_row).collect())
    }

    async fn must_find(&self, statements: Vec<Statement>, person: &str) -> Result<(), Error> {
        let found = self.write_told(statements, Elsewhere::Access).await?;
        if found { Ok(()) } else { Err(Error::NoPerson { person: person.to_owned() }) }
    }
}

fn of_row((id, name, role, password, made, revoked): Row) -> Person {
    Person { id, name, role, password, made, revoked }
}

fn invitation(person: &str, role: &str, now: i64, expires: i64) -> Result<(Invitation, Statement), Error> {
    // Valid for days, so twice as long as a code that is valid for minutes: 100 bits.
    let letters = hash::random_code::<20>()?;
    let invite = Statement {
        sql: "INSERT INTO invitations (code_hash, made, expires, role, person) VALUES ($1, $2, $3, $4, $5)",
        values: vec![
            text(&code_hash(&letters)),
            Value::Number(now),
            Value::Number(expires),
            text(role),
            text(person),
        ],
        must: Some(1),
    };
    let groups: Vec<&str> = (0..4).filter_map(|group| letters.get(group * 5..group * 5 + 5)).collect();
    Ok((Invitation { code: groups.join("-"), expires }, invite))
}

/// A name as it is looked for: `J.  Doe` and `j. doe` are the same person.
fn sought(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

fn fine_name(name: &str) -> Result<&str, Error> {
    let name = name.trim();
    if is_fine(name) { Ok(name) } else { Err(Error::PersonName { name: name.to_owned(), max: NAME_MAX }) }
}

fn fine_device(name: &str) -> Result<&str, Error> {
    let name = name.trim();
    if is_fine(name) { Ok(name) } else { Err(Error::DeviceName { name: name.to_owned(), max: NAME_MAX }) }
}

fn is_fine(name: &str) -> bool {
    !name.is_empty() && name.chars().count() <= NAME_MAX && !name.chars().any(char::is_control)
}
