//! What is told about a folder or a database that cannot be used.

use crate::data::{decided, photo, run};
use crate::mount::Mounted;
use sqlx::{AnyConnection, Connection, Executor};
use std::path::Path;
use store::{Error, Form, Kind, Options, Store};

async fn filled(folder: &Path) {
    let store = Store::open(folder).await.expect("it opens");
    for n in 0..40 {
        store.append("a", &format!("e{n}"), None, &[decided(&"wait ".repeat(60), n)]).await.expect("stored");
    }
    store.put_photo("a", "image/jpeg", photo(1, 500)).await.expect("put");
    store.close().await;
}

#[test]
fn a_folder_that_is_none_is_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("file");
    std::fs::write(&file, "text").expect("written");
    run(async {
        for path in [file.clone(), file.join("below")] {
            let told = Store::open(&path).await.expect_err("no folder");
            assert!(matches!(told, Error::NotAFolder { .. }), "{told:?}");
            assert_eq!(told.kind(), Kind::Machine);
            assert!(!told.hint().is_empty());
        }
        let told = Store::open_reading(folder.path(), Options::default()).await.expect_err("nothing there");
        assert!(matches!(told, Error::NoDatabase { .. }), "{told:?}");
    });
}

#[test]
fn a_second_program_is_told_who_has_the_folder_and_may_still_read() {
    let folder = tempfile::tempdir().expect("a folder");
    run(async {
        let store = Store::open(folder.path()).await.expect("it opens");
        store.append("a", "e1", None, &[decided("wait", 1)]).await.expect("stored");
        let told = Store::open(folder.path()).await.expect_err("locked");
        let process = std::process::id();
        assert!(matches!(told, Error::Locked { process: Some(one), .. } if one == process), "{told:?}");
        assert!(
            told.to_string().ends_with(&format!("in use by another program (process {process})")),
            "{told}"
        );

        let reader = Store::open_reading(folder.path(), Options::default()).await.expect("it reads");
        assert_eq!(reader.facts("a").await.expect("read").len(), 1);
        store.append("a", "e2", None, &[decided("go on", 2)]).await.expect("stored");
        assert_eq!(reader.facts("a").await.expect("read").len(), 2, "the reader keeps up");
        let told = reader.append("a", "e3", None, &[]).await.expect_err("it only reads");
        assert!(matches!(told, Error::ReadingOnly), "{told:?}");
        let told = reader.put_photo("a", "image/jpeg", photo(1, 10)).await.expect_err("it only reads");
        assert!(matches!(told, Error::ReadingOnly), "{told:?}");
        reader.close().await;

        let clone = store.clone();
        store.close().await;
        let told = clone.append("a", "e3", None, &[]).await.expect_err("closed");
        assert!(matches!(told, Error::Closed), "{told:?}");
        assert!(matches!(clone.facts("a").await, Err(Error::Closed)));
        Store::open(folder.path()).await.expect("the lock is given back").close().await;
    });
}

#[test]
fn a_read_only_folder_is_told_and_nothing_is_changed() {
    let folder = tempfile::tempdir().expect("a folder");
    run(filled(folder.path()));
    let Some(mounted) = Mounted::read_only(folder.path()) else { return };
    run(async {
        let told = Store::open(mounted.path()).await.expect_err("read-only");
        assert!(matches!(&told, Error::ReadOnly { path } if path == mounted.path()), "{told:?}");
        assert!(told.to_string().contains("read-only"), "{told}");
        let told = Store::open(mounted.path().join("new")).await.expect_err("read-only");
        assert!(matches!(told, Error::ReadOnly { .. }), "{told:?}");
    });
    drop(mounted);
    run(async {
        let store = Store::open(folder.path()).await.expect("it opens");
        assert_eq!(store.facts("a").await.expect("read").len(), 40);
        store.close().await;
    });
}

#[test]
fn a_damaged_database_is_told_and_left_as_it_is() {
    for damage in ["head", "middle", "cut"] {
        let folder = tempfile::tempdir().expect("a folder");
        run(filled(folder.path()));
        let path = folder.path().join("panelwright.sqlite");
        let mut bytes = std::fs::read(&path).expect("readable");
        match damage {
            "head" => bytes[..16].fill(b'x'),
            // The page after the first holds rows or an index; its type stands in its first bytes.
            "middle" => bytes[3 * 4096..3 * 4096 + 64].fill(0xee),
            _ => bytes.truncate(bytes.len() / 2 / 4096 * 4096),
        }
        std::fs::write(&path, &bytes).expect("written");
        run(async {
            let told = Store::open(folder.path()).await.expect_err("damaged");
            assert!(matches!(told, Error::Damaged { .. }), "{damage}: {told:?}");
            assert_eq!(told.kind(), Kind::Data);
        });
        assert_eq!(std::fs::read(&path).expect("readable"), bytes, "{damage}: left as it is");
    }
}

#[test]
fn a_database_of_a_newer_program_is_refused_and_left_as_it_is() {
    let folder = tempfile::tempdir().expect("a folder");
    run(async {
        filled(folder.path()).await;
        let url = format!("sqlite:{}?mode=rw", folder.path().join("panelwright.sqlite").display());
        let mut connection = AnyConnection::connect(&url).await.expect("it connects");
        let sql = "INSERT INTO _sqlx_migrations (version, description, success, checksum, execution_time) \
                   VALUES (999, 'of the future', 1, x'00', 0)";
        connection.execute(sql).await.expect("written");
        connection.close().await.expect("closed");

        let told = Store::open(folder.path()).await.expect_err("newer");
        assert!(matches!(told, Error::Newer { found: 999, known: 4.., .. }), "{told:?}");
        let told = Store::open_reading(folder.path(), Options::default()).await.expect_err("newer");
        assert!(matches!(told, Error::Newer { found: 999, .. }), "{told:?}");
    });
}

#[test]
fn folders_of_any_name_work() {
    let folder = tempfile::tempdir().expect("a folder");
    for name in ["with space", "with ?mode=ro&x#y", "100%25", "übung", "a..b"] {
        let path = folder.path().join(name);
        run(async {
            filled(&path).await;
            let store = Store::open(&path).await.expect("it opens");
            assert_eq!(store.facts("a").await.expect("read").len(), 40, "{name}");
            let photos = store.photos("a").await.expect("read");
            store.photo("a", &photos[0].sha256, Form::Original).await.expect("there");
            store.close().await;
        });
        assert!(path.join("panelwright.sqlite").is_file(), "{name}");
    }
}
