//! Backup and restore: all of it or nothing.

use crate::data::{decided, opened, photo, run};
use object_store::ObjectStore;
use object_store::memory::InMemory;
use std::path::Path;
use std::sync::Arc;
use store::{Error, Form, Options, Store, restore, restore_as};

async fn filled(folder: &Path) -> Store {
    let store = Store::open(folder).await.expect("it opens");
    store.append("a", "e1", Some("phone"), &[opened("a"), decided("wait", 1)]).await.expect("stored");
    store.append("b", "e1", None, &[opened("b")]).await.expect("stored");
    let name = store.put_photo("a", "image/jpeg", photo(1, 3_000)).await.expect("put").sha256;
    store.put_form(&name, Form::Thumb, "image/jpeg", photo(2, 300)).await.expect("put");
    store.put_photo("b", "image/png", photo(3, 700)).await.expect("put");
    store
}

async fn is_as_filled(store: &Store) {
    assert_eq!(store.facts("a").await.expect("read"), [opened("a"), decided("wait", 1)]);
    assert_eq!(store.facts("b").await.expect("read"), [opened("b")]);
    let line = &store.photos("a").await.expect("read")[0];
    assert_eq!(store.photo("a", &line.sha256, Form::Original).await.expect("there").bytes, photo(1, 3_000));
    assert_eq!(store.photo("a", &line.sha256, Form::Thumb).await.expect("there").bytes, photo(2, 300));
    let again =
        store.append("a", "e1", Some("phone"), &[opened("a"), decided("wait", 1)]).await.expect("known");
    assert!(again.already, "receipts are in the backup too");
}

#[test]
fn a_backup_comes_back_as_it_was() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("backup.zip");
    let back = folder.path().join("back");
    run(async {
        let store = filled(&folder.path().join("data")).await;
        let backup = store.backup(&file).await.expect("written");
        assert_eq!((backup.n_photos, backup.lacking.as_slice()), (3, [].as_slice()));
        assert_eq!(backup.bytes, std::fs::metadata(&file).expect("there").len());
        // What came after it is not in it.
        store.append("a", "e2", None, &[decided("go on", 2)]).await.expect("stored");
        assert!(
            matches!(store.backup(&file).await, Err(Error::FileExists { .. })),
            "nothing is written over"
        );
        let reader = Store::open_reading(store.folder(), Options::default()).await.expect("it reads");
        reader.backup(folder.path().join("other.zip")).await.expect("beside a program that writes");
        reader.close().await;
        store.close().await;

        let restored = restore(&file, &back).await.expect("restored");
        assert_eq!((restored.n_photos, restored.lacking.len()), (3, 0));
        let store = Store::open(&back).await.expect("it opens");
        is_as_filled(&store).await;
        store.close().await;
        assert!(
            matches!(restore(&file, &back).await, Err(Error::NotEmpty { .. })),
            "nothing is written over"
        );

        let bucket: Arc<dyn ObjectStore> = Arc::new(InMemory::new());
        let options = Options { photos: Some(bucket), ..Options::default() };
        let other = folder.path().join("other");
        restore_as(&file, &other, options.clone()).await.expect("restored");
        let store = Store::open_as(&other, options).await.expect("it opens");
        is_as_filled(&store).await;
        store.close().await;
        assert!(!other.join("photos").exists());
    });
    let names: Vec<_> = std::fs::read_dir(folder.path()).expect("a folder").collect();
    assert_eq!(names.len(), 5, "two backups, three folders, nothing else: {names:?}");
}

#[test]
fn one_changed_byte_is_found_or_changes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("backup.zip");
    let sound = run(async {
        let store = filled(&folder.path().join("data")).await;
        store.backup(&file).await.expect("written");
        store.close().await;
        std::fs::read(&file).expect("readable")
    });
    let changed = folder.path().join("changed.zip");
    let target = folder.path().join("back");
    let (mut n_found, mut n_named) = (0, 0);
    // Every 23rd byte, so that every part is met: members, their heads, the list, the directory of the file.
    for at in (0..sound.len()).step_by(23) {
        let mut bytes = sound.clone();
        bytes[at] ^= 0x20;
        std::fs::write(&changed, &bytes).expect("written");
        run(async {
            match restore(&changed, &target).await {
                Ok(_) => {
                    let store = Store::open(&target).await.expect("it opens");
                    is_as_filled(&store).await;
                    store.close().await;
                    std::fs::remove_dir_all(&target).expect("removed");
                }
                Err(told) => {
                    n_found += 1;
                    n_named += usize::from(matches!(&told, Error::MemberDamaged { .. }));
                    assert!(!target.exists(), "byte {at}: something was left behind: {told}");
                }
            }
        });
    }
    let n = sound.len().div_ceil(23);
    println!("{n} backups with one changed byte: {n_found} refused, {n_named} of them name the member");
    assert!(n * 9 / 10 < n_found, "most bytes matter");
    assert!(n * 8 / 10 < n_named, "and most belong to a member");
}

#[test]
fn a_cut_backup_and_a_foreign_file_are_refused() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("backup.zip");
    let target = folder.path().join("back");
    run(async {
        let store = filled(&folder.path().join("data")).await;
        store.backup(&file).await.expect("written");
        store.export_job("a", store::Give::Originals, folder.path().join("job.zip")).await.expect("written");
        store.close().await;
        let bytes = std::fs::read(&file).expect("readable");
        std::fs::write(&file, &bytes[..bytes.len() / 2]).expect("written");
        assert!(matches!(restore(&file, &target).await, Err(Error::NotAnArchive { .. })));
        let told = restore(folder.path().join("job.zip"), &target).await.expect_err("a job is no backup");
        assert!(told.to_string().ends_with("it is an exported job of this program"), "{told}");
        assert!(matches!(restore(folder.path().join("none"), &target).await, Err(Error::File { .. })));
    });
    assert!(!target.exists());
}

#[test]
fn photos_that_are_gone_do_not_keep_a_backup_from_being_made() {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("backup.zip");
    run(async {
        let store = filled(&folder.path().join("data")).await;
        let name = store::sha256(&photo(3, 700));
        let lost = format!("original/{}/{name}", &name[..2]);
        std::fs::remove_file(store.folder().join("photos").join(&lost)).expect("removed");
        let backup = store.backup(&file).await.expect("written");
        assert_eq!(backup.lacking, [format!("photos/{lost}")]);
        store.close().await;
        let restored = restore(&file, folder.path().join("back")).await.expect("restored");
        assert_eq!(restored.lacking, backup.lacking);
        let store = Store::open(folder.path().join("back")).await.expect("it opens");
        is_as_filled(&store).await;
        assert!(matches!(store.photo("b", &name, Form::Original).await, Err(Error::PhotoGone { .. })));
        store.close().await;
    });
}

#[test]
fn a_folder_with_half_a_backup_does_not_open() {
    let folder = tempfile::tempdir().expect("a folder");
    // As a restore leaves it that lost its power.
    std::fs::create_dir_all(folder.path().join("restoring")).expect("made");
    run(async {
        let told = Store::open(folder.path()).await.expect_err("half a backup");
        assert!(matches!(told, Error::HalfRestored { .. }), "{told:?}");
    });
    assert!(!folder.path().join("panelwright.sqlite").exists());
}
