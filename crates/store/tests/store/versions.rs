//! Every released version of the database opens, with all that was in it.

use crate::data::{decided, opened, run};
use sqlx::{AnyConnection, Connection, Executor};
use store::Store;

/// What is in every fixture: see the statements beside this file.
async fn holds_what_it_held(store: &Store) {
    assert_eq!(store.facts("a").await.expect("read"), [opened("a"), decided("wait", 1)]);
    let facts = [opened("a"), decided("wait", 1)];
    let again = store.append("a", "e1", Some("phone"), &facts).await.expect("known");
    assert_eq!((again.new, again.revision, again.already), (2, 2, true), "receipts hold");
    let photos = store.photos("a").await.expect("read");
    assert_eq!((photos.len(), photos[0].forms.len()), (1, 2));
    let devices = store.devices().await.expect("read");
    assert_eq!((devices.len(), devices[0].name.as_str(), devices[0].joined), (1, "phone of JD", 1));
    let known = store.device_by_token("an invented token", 5).await.expect("read");
    assert_eq!(known.expect("known").id, "d1");
    let new = store.append("a", "e2", None, &[decided("go on", 2)]).await.expect("stored");
    assert_eq!(new.revision, 3);
}

#[test]
fn version_1_opens() {
    let folder = tempfile::tempdir().expect("a folder");
    run(async {
        sqlx::any::install_default_drivers();
        let url = format!("sqlite:{}?mode=rwc", folder.path().join("panelwright.sqlite").display());
        let mut connection = AnyConnection::connect(&url).await.expect("it connects");
        connection.execute(include_str!("version-1.sql")).await.expect("the statements of version 1");
        connection.close().await.expect("closed");
        let store = Store::open(folder.path()).await.expect("it opens");
        holds_what_it_held(&store).await;
        store.close().await;
        let store = Store::open(folder.path()).await.expect("it opens again");
        assert_eq!(store.revision("a").await.expect("read"), Some(3));
        store.close().await;
    });
}
