//! A full disk: told, nothing half-stored, and all goes on when there is room again.

use crate::data::{decided, photo, run};
use crate::mount::Mounted;
use std::path::Path;
use store::{Error, Form, Options, Store};

/// An entry of three long facts; a third of them must never be found alone.
fn entry(n: usize) -> Vec<record::Fact> {
    (0..3).map(|part| decided(&format!("{n}-{part} {}", "wait ".repeat(700)), part)).collect()
}

/// Appends until the disk is full; returns how many entries were acknowledged.
async fn fill(store: &Store, folder: &Path) -> usize {
    for n in 0..10_000 {
        match store.append("a", &format!("e{n}"), None, &entry(n)).await {
            Ok(appended) => assert_eq!(appended.new, 3),
            Err(Error::DiskFull { path }) => {
                assert_eq!(path, folder);
                return n;
            }
            other => assert!(other.is_ok(), "not what a full disk should say: {other:?}"),
        }
    }
    unreachable!("the disk never got full")
}

async fn holds_exactly(store: &Store, n_entries: usize) {
    let facts = store.facts("a").await.expect("read");
    let wanted: Vec<record::Fact> = (0..n_entries).flat_map(entry).collect();
    assert!(facts == wanted, "{} facts of {n_entries} entries", facts.len());
}

#[test]
fn a_full_disk_keeps_what_was_acknowledged_and_nothing_else() {
    let Some(disk) = Mounted::of_size(3_000) else { return };
    let folder = disk.path().join("data");
    std::fs::write(disk.path().join("ballast"), vec![1; 1_500_000]).expect("written");
    run(async {
        let store = Store::open(&folder).await.expect("it opens");
        let n = fill(&store, &folder).await;
        assert!(2 < n, "some entries fit: {n}");
        holds_exactly(&store, n).await;
        let told = store.put_photo("a", "image/jpeg", photo(1, 2_000_000)).await.expect_err("no room");
        assert!(matches!(told, Error::DiskFull { .. }), "{told:?}");
        assert!(store.photos("a").await.expect("read").is_empty());
        let told = store.backup(disk.path().join("backup.zip")).await.expect_err("no room");
        assert!(matches!(told, Error::DiskFull { .. }), "{told:?}");
        let left: Vec<_> = std::fs::read_dir(disk.path()).expect("a folder").collect();
        assert_eq!(left.len(), 2, "no half backup is left: {left:?}");

        std::fs::remove_file(disk.path().join("ballast")).expect("removed");
        let again = store.append("a", &format!("e{n}"), None, &entry(n)).await.expect("there is room");
        assert_eq!((again.new, again.already), (3, false));
        let put = store.put_photo("a", "image/jpeg", photo(1, 500_000)).await.expect("there is room");
        store.photo("a", &put.sha256, Form::Original).await.expect("there");
        holds_exactly(&store, n + 1).await;
        store.close().await;
        let store = Store::open(&folder).await.expect("whole");
        holds_exactly(&store, n + 1).await;
        store.close().await;
    });
}

#[test]
fn a_disk_that_is_full_at_the_start_is_told() {
    let Some(disk) = Mounted::of_size(200) else { return };
    let full = std::fs::write(disk.path().join("ballast"), vec![1; 400_000]);
    assert!(full.is_err(), "the ballast fills the disk");
    run(async {
        let told = Store::open(disk.path().join("data")).await.expect_err("no room");
        assert!(matches!(told, Error::DiskFull { .. }), "{told:?}");
    });
}

#[test]
fn a_quota_is_as_a_full_disk() {
    let folder = tempfile::tempdir().expect("a folder");
    run(async {
        let options = Options { max_pages: Some(120), ..Options::default() };
        let store = Store::open_as(folder.path(), options).await.expect("it opens");
        let n = fill(&store, folder.path()).await;
        assert!(2 < n, "some entries fit: {n}");
        holds_exactly(&store, n).await;
        // An entry that fits is not refused for the sake of one beside it that does not.
        let large = [decided(&"wait ".repeat(100_000), 1)];
        let small = entry(0);
        let (refused, stored) =
            tokio::join!(store.append("b", "large", None, &large), store.append("a", "e0", None, &small));
        assert!(matches!(refused, Err(Error::DiskFull { .. })), "{refused:?}");
        assert!(stored.expect("known").already);
        assert_eq!(store.revision("b").await.expect("read"), None);
        store.close().await;

        let store = Store::open(folder.path()).await.expect("without a quota");
        holds_exactly(&store, n).await;
        store.append("a", &format!("e{n}"), None, &entry(n)).await.expect("there is room");
        store.close().await;
    });
}

#[test]
fn a_restore_that_finds_no_room_leaves_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("backup.zip");
    run(async {
        let store = Store::open(folder.path().join("data")).await.expect("it opens");
        store.append("a", "e0", None, &entry(0)).await.expect("stored");
        store.put_photo("a", "image/jpeg", photo(1, 900_000)).await.expect("put");
        store.backup(&file).await.expect("written");
        store.close().await;
    });
    // Too small for the database, and too small for the photo only.
    for kilobytes in [60, 600] {
        let Some(disk) = Mounted::of_size(kilobytes) else { return };
        let target = disk.path().join("back");
        let told = run(store::restore(&file, &target)).expect_err("no room");
        assert!(matches!(&told, Error::DiskFull { path } if *path == target), "{told:?}");
        assert!(!target.exists(), "{kilobytes} kB");
    }
}
