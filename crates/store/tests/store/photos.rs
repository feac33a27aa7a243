//! Photos by their hash: once, whole, or a clear word.

use crate::data::{photo, run};
use crate::ground::{Ground, each};
use object_store::ObjectStore;
use object_store::memory::InMemory;
use std::sync::Arc;
use store::{Error, Form, Options, Store, sha256};

async fn put_and_get(store: Store) {
    let bytes = photo(1, 70_000);
    let (one, other) = tokio::join!(
        store.put_photo("a", "image/jpeg", bytes.clone()),
        store.put_photo("a", "image/jpeg", bytes.clone())
    );
    let (one, other) = (one.expect("put"), other.expect("put"));
    assert_eq!(one.sha256, sha256(&bytes));
    assert_eq!(one.sha256, other.sha256);
    assert!(store.put_photo("a", "image/jpeg", bytes.clone()).await.expect("put").already);
    let back = store.photo("a", &one.sha256, Form::Original).await.expect("there");
    assert_eq!((back.media_type.as_str(), &back.bytes), ("image/jpeg", &bytes));

    let missing = store.photo("a", &one.sha256, Form::Thumb).await.expect_err("not made yet");
    assert!(matches!(missing, Error::NoForm { form: "thumb", .. }), "{missing}");
    for thumb in [photo(2, 400), photo(3, 500)] {
        store.put_form(&one.sha256, Form::Thumb, "image/png", thumb.clone()).await.expect("put");
        let back = store.photo("a", &one.sha256, Form::Thumb).await.expect("there");
        assert_eq!((back.media_type.as_str(), back.bytes), ("image/png", thumb));
    }
    let lines = store.photos("a").await.expect("read");
    assert_eq!(lines.len(), 1);
    assert_eq!(
        (lines[0].bytes, lines[0].forms.as_slice()),
        (70_000, [Form::Original, Form::Thumb].as_slice())
    );
    let foreign = store.photo("b", &one.sha256, Form::Original).await.expect_err("not of this job");
    assert!(matches!(foreign, Error::NoPhoto { .. }), "{foreign}");
    assert!(matches!(store.put_photo("a", "image/jpeg", vec![]).await, Err(Error::PhotoEmpty)));
    store.close().await;
}

#[test]
fn photos_lie_in_the_folder() {
    each(photos_lie_in_the_folder_on);
}

fn photos_lie_in_the_folder_on(folder: &Ground) {
    run(async { put_and_get(folder.open().await.expect("it opens")).await });
    let name = sha256(&photo(1, 70_000));
    let path = folder.path().join("photos/original").join(&name[..2]).join(&name);
    assert_eq!(std::fs::read(path).expect("a file under its hash"), photo(1, 70_000));
}

#[test]
fn photos_lie_in_a_bucket() {
    each(photos_lie_in_a_bucket_on);
}

fn photos_lie_in_a_bucket_on(folder: &Ground) {
    let bucket: Arc<dyn ObjectStore> = Arc::new(InMemory::new());
    run(async {
        put_and_get(
            Store::open_as(folder.path(), Options { photos: Some(Arc::clone(&bucket)), ..folder.options() })
                .await
                .expect("it opens"),
        )
        .await;
        let key = format!("original/{}/{}", &sha256(&photo(1, 70_000))[..2], sha256(&photo(1, 70_000)));
        let found = bucket.get_opts(&key.as_str().into(), Default::default()).await.expect("in the bucket");
        assert_eq!(found.meta.size, 70_000);
    });
    assert!(!folder.path().join("photos").exists());
}

#[test]
fn damage_is_told_and_mended_by_sending_again() {
    each(damage_is_told_and_mended_by_sending_again_on);
}

fn damage_is_told_and_mended_by_sending_again_on(folder: &Ground) {
    run(async {
        let store = folder.open().await.expect("it opens");
        let bytes = photo(1, 9_000);
        let name = store.put_photo("a", "image/jpeg", bytes.clone()).await.expect("put").sha256;
        let path = folder.path().join("photos/original").join(&name[..2]).join(&name);
        let mut damaged = bytes.clone();
        damaged[4_000] ^= 1;
        std::fs::write(&path, damaged).expect("written");
        let told = store.photo("a", &name, Form::Original).await.expect_err("damaged");
        assert!(matches!(told, Error::PhotoDamaged { .. }), "{told}");
        assert!(store.put_photo("a", "image/jpeg", bytes.clone()).await.expect("put").already);
        assert_eq!(store.photo("a", &name, Form::Original).await.expect("mended").bytes, bytes);
        std::fs::remove_file(&path).expect("removed");
        let told = store.photo("a", &name, Form::Original).await.expect_err("gone");
        assert!(matches!(told, Error::PhotoGone { .. }), "{told}");
        store.put_photo("a", "image/jpeg", bytes.clone()).await.expect("put");
        assert_eq!(store.photo("a", &name, Form::Original).await.expect("back").bytes, bytes);
        store.close().await;
    });
}
