//! Persons, their devices, links and the audit trail, on both databases.

use crate::data::{opened, run};
use crate::ground::{Ground, each};
use sqlx::{AnyConnection, Connection, Executor};
use store::{Act, Actor, Error, Store};

const HOUR: i64 = 3_600_000;
const BY: Actor<'static> = Actor { person: "", device: "d0" };

/// Text that means something to SQL, to pages or to neither; all of it is only text.
const AWKWARD: [&str; 8] = [
    "'; DROP TABLE persons; --",
    "\" OR \"\"=\"",
    "Robert\\'); DELETE FROM audit; /*",
    "$1 %s {} ?1 :name",
    "100% _ [a-z]* \\ \\\\ \\'",
    "<script>alert(1)</script>",
    "ÄÖß İı ﷽ 𝄞 e\u{301}",
    "NULL",
];

#[test]
fn a_person_sets_a_password_once_and_signs_in_on_a_second_device() {
    each(|ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            let (person, code) = store.add_person("J. Doe", "office", BY, 0, HOUR).await.expect("added");
            let same = store.add_person(" j.  DOE ", "reader", BY, 0, HOUR).await;
            assert!(matches!(same, Err(Error::PersonThere { .. })), "{same:?}");
            // The code of a person is none of a device, and the other way round.
            assert!(matches!(store.join(&code.code, "phone", 1, HOUR).await, Err(Error::NoInvitation)));
            let device = store.invite(0, HOUR).await.expect("made");
            assert!(matches!(store.person_invited(&device.code, 1).await, Err(Error::NoInvitation)));
            assert!(matches!(store.person_invited(&code.code, HOUR).await, Err(Error::InvitationExpired)));

            let sloppy = code.code.to_lowercase();
            let (one, other) = tokio::join!(
                store.set_password(&code.code, "hash 1", "phone", 1, 9 * HOUR),
                store.set_password(&sloppy, "hash 2", "thief", 1, 9 * HOUR)
            );
            assert!(one.is_ok() != other.is_ok(), "once: {one:?} {other:?}");
            let phone = one.or(other).expect("one of them");
            let known = store.person_named("J. DOE").await.expect("read").expect("there");
            assert!(!known.password.is_empty());

            let laptop = store.sign_in(&known, "laptop", None, 2, 9 * HOUR).await.expect("in");
            let seen = store.device_by_token(&laptop.token, 3).await.expect("read").expect("known");
            assert_eq!((seen.person_name.as_str(), seen.role.as_str()), ("J. Doe", "office"));
            // Rights are the person's, on all devices at once.
            store.change_role(&person.id, "reader", BY, 3).await.expect("changed");
            for token in [&phone.token, &laptop.token] {
                let seen = store.device_by_token(token, 4).await.expect("read").expect("known");
                assert_eq!(seen.role, "reader");
            }
            // A browser that signs in again leaves its old secret behind.
            let again = store.sign_in(&known, "laptop", Some(&laptop.device), 5, 9 * HOUR).await.expect("in");
            assert_ne!(again.token, laptop.token);
            assert_eq!(store.device_by_token(&laptop.token, 6).await.expect("read"), None);

            store.revoke_person(&person.id, BY, 7).await.expect("out");
            for token in [&phone.token, &again.token] {
                assert_eq!(store.device_by_token(token, 8).await.expect("read"), None);
            }
            let late = store.sign_in(&known, "laptop", None, 8, 9 * HOUR).await;
            assert!(matches!(late, Err(Error::NoPerson { .. })), "{late:?}");
            assert!(store.invite_person(&person.id, BY, 8, HOUR).await.is_err());
            store.restore_person(&person.id, BY, 9).await.expect("in again");
            assert_eq!(store.device_by_token(&again.token, 9).await.expect("read"), None, "devices stay out");
            let signed = store.sign_in(&known, "laptop", None, 10, 9 * HOUR).await.expect("in");

            // A new password shuts out what was there, and makes a sign-in with the old hash fail.
            let code = store.invite_person(&person.id, BY, 11, HOUR).await.expect("made").code;
            store.set_password(&code, "hash 3", "new phone", 12, 9 * HOUR).await.expect("set");
            assert_eq!(store.device_by_token(&signed.token, 13).await.expect("read"), None);
            assert!(store.sign_in(&known, "laptop", None, 13, 9 * HOUR).await.is_err(), "the old hash");
            store.close().await;
        });
    });
}

#[test]
fn a_link_opens_by_its_secret_until_its_day_or_until_it_is_taken_back() {
    each(|ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            store.append("a", "e1", None, &[opened("a")]).await.expect("stored");
            assert!(matches!(
                store.make_link("none", "", "owner", BY, 0, HOUR).await,
                Err(Error::NoJob { .. })
            ));
            let (link, token) = store.make_link("a", "letter", "owner", BY, 0, HOUR).await.expect("made");
            assert_eq!(token.len(), 64);
            assert_eq!(store.link_by_token(&token, 1).await.expect("read"), Some(link.clone()));
            for wrong in [link.id.as_str(), "", &token.to_uppercase(), &token[..63]] {
                assert_eq!(store.link_by_token(wrong, 1).await.expect("read"), None, "{wrong}");
            }
            assert_eq!(store.link_by_token(&token, HOUR).await.expect("read"), None, "run out");
            assert!(store.revoke_link("b", &link.id, BY, 2).await.is_err(), "of another job");
            store.revoke_link("a", &link.id, BY, 2).await.expect("taken back");
            assert_eq!(store.link_by_token(&token, 3).await.expect("read"), None);
            assert_eq!(store.links("a").await.expect("read").len(), 1, "it stays in the list");
            store.close().await;
            if ground.database().is_none() {
                let bytes = std::fs::read(ground.path().join("panelwright.sqlite")).expect("readable");
                let found = bytes.windows(token.len()).any(|window| window == token.as_bytes());
                assert!(!found, "the secret of a link lies in the file");
            }
        });
    });
}

async fn acts(store: &Store) -> Vec<(String, String)> {
    let lines = store.audit(None, 100).await.expect("read");
    let numbers: Vec<i64> = lines.iter().map(|line| line.number).collect();
    assert_eq!(numbers, (1..=lines.len() as i64).rev().collect::<Vec<_>>(), "without a gap, newest first");
    lines.into_iter().rev().map(|line| (line.act, line.object)).collect()
}

#[test]
fn what_was_done_is_in_the_trail_and_stays_there() {
    each(|ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            store.append("a", "e1", None, &[opened("a")]).await.expect("stored");
            let (person, code) = store.add_person("J. Doe", "office", BY, 0, HOUR).await.expect("added");
            store.set_password(&code.code, "hash", "phone", 1, HOUR).await.expect("set");
            let (link, _) = store.make_link("a", "", "owner", BY, 2, HOUR).await.expect("made");
            store.put_policy("", Some("d0"), 3).await.expect("put");
            store.note(Act::Exported, BY, &store::job_digest("a"), 4).await.expect("noted");
            assert!(store.change_role("nobody", "reader", BY, 5).await.is_err());
            let wanted = [
                ("invited-person", person.id.as_str()),
                ("password-set", &person.id),
                ("made-link", &link.id),
                ("changed-policy", ""),
                ("exported", &store::job_digest("a")),
            ];
            let wanted: Vec<_> = wanted.map(|(act, object)| (act.to_owned(), object.to_owned())).into();
            assert_eq!(acts(&store).await, wanted, "what failed is not in it");
            store.close().await;

            // Nobody who has the database changes it in passing.
            for statement in ["UPDATE audit SET act = 'x'", "DELETE FROM audit WHERE number = 1"] {
                assert!(refused(ground, statement).await, "{statement}");
            }
            let store = ground.open().await.expect("it opens again");
            assert_eq!(acts(&store).await, wanted);
            store.close().await;
        });
    });
}

/// Does the database refuse a statement?
async fn refused(ground: &Ground, statement: &'static str) -> bool {
    sqlx::any::install_default_drivers();
    let file = format!("sqlite:{}?mode=rw", ground.path().join("panelwright.sqlite").display());
    let url = ground.database().unwrap_or(file);
    let mut connection = AnyConnection::connect(&url).await.expect("it connects");
    let said = connection.execute(statement).await.err().map(|error| error.to_string());
    connection.close().await.expect("closed");
    said.is_some_and(|said| said.contains("only added to"))
}

#[test]
fn text_that_means_something_to_sql_is_only_text() {
    each(|ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            for (at, awkward) in AWKWARD.into_iter().enumerate() {
                let job = format!("job {at} {awkward}");
                store.append(&job, &format!("e{at}"), Some(awkward), &[opened("a")]).await.expect("stored");
                let (person, code) = store.add_person(awkward, awkward, BY, 0, HOUR).await.expect(awkward);
                store.set_password(&code.code, awkward, awkward, 1, HOUR).await.expect("set");
                let found = store.person_named(awkward).await.expect("read").expect("found");
                assert_eq!(
                    (&found.id, found.name.as_str(), found.password.as_str()),
                    (&person.id, awkward, awkward)
                );
                let by = Actor { person: awkward, device: awkward };
                let (link, token) = store.make_link(&job, awkward, awkward, by, 2, HOUR).await.expect("made");
                assert_eq!(store.link_by_token(&token, 3).await.expect("read"), Some(link));
                store.put_policy(awkward, Some(awkward), 3).await.expect("put");
                assert_eq!(
                    store.policy().await.expect("read").map(|text| text.text),
                    Some(awkward.to_owned())
                );
                store.note(Act::Deleted, by, awkward, 4).await.expect("noted");
                assert_eq!(store.audit(None, 1).await.expect("read")[0].object, awkward);
                let asked = [
                    store.device_by_token(awkward, 1).await.expect("read").is_none(),
                    store.link_by_token(awkward, 1).await.expect("read").is_none(),
                    matches!(store.join(awkward, "x", 1, HOUR).await, Err(Error::NoInvitation)),
                    matches!(store.person_invited(awkward, 1).await, Err(Error::NoInvitation)),
                    store.revoke(awkward, 1).await.is_err(),
                    store.revoke_link(&job, awkward, BY, 1).await.is_err(),
                    store.revoke_person(awkward, BY, 1).await.is_err(),
                ];
                assert!(asked.iter().all(|fine| *fine), "{awkward}: {asked:?}");
            }
            assert_eq!(store.persons().await.expect("read").len(), AWKWARD.len());
            assert_eq!(store.jobs().await.expect("read").len(), AWKWARD.len());
            store.close().await;
        });
    });
}

#[test]
fn a_trail_on_a_server_is_not_emptied_either() {
    let Some(ground) = Ground::on_server() else {
        return println!("left out: no PostgreSQL server is named");
    };
    run(async {
        let store = ground.open().await.expect("it opens");
        store.note(Act::Deleted, BY, "x", 1).await.expect("noted");
        assert!(refused(&ground, "TRUNCATE audit").await);
        assert_eq!(store.audit(None, 9).await.expect("read").len(), 1);
        store.close().await;
    });
}

#[test]
fn a_forgotten_job_has_no_open_link_and_leaves_a_row_without_a_name() {
    each(|ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            store.append("a", "e1", None, &[opened("a")]).await.expect("stored");
            let (_, token) = store.make_link("a", "", "owner", BY, 0, i64::MAX).await.expect("made");
            assert!(store.link_by_token(&token, 1).await.expect("read").is_some());
            let body = record::fact::JobForgotten { words: "in writing".to_owned() }.into();
            let forgotten =
                record::Fact::new(jiff::civil::date(2026, 3, 5).at(9, 0, 0, 0), None, vec![], body);
            store.append("a", "forget", None, &[forgotten]).await.expect("forgotten");
            assert_eq!(store.link_by_token(&token, 1).await.expect("read"), None);
            let last = store.audit(None, 1).await.expect("read").remove(0);
            assert_eq!((last.act.as_str(), last.object), ("deleted", store::job_digest("a")));
            store.close().await;
        });
    });
}
