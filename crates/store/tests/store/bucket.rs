//! Photos in a bucket: a server of the S3 protocol in this process, over a folder, with keys of its own.

use crate::data::{photo, run};
use hyper_util::rt::{TokioExecutor, TokioIo};
use s3s::auth::SimpleAuth;
use s3s::service::S3ServiceBuilder;
use s3s_fs::FileSystem;
use std::time::Duration;
use store::{Bucket, Error, Form, Options, Place, Store, Transferred, restore, transfer};
use tempfile::TempDir;
use tokio::net::TcpListener;

const KEY: &str = "INVENTEDKEY";
const SECRET: &str = "an invented secret";

/// A server with one bucket; gives its address. It ends with the runtime.
async fn server(folder: &TempDir) -> String {
    std::fs::create_dir(folder.path().join("bench")).expect("a bucket");
    let mut builder = S3ServiceBuilder::new(FileSystem::new(folder.path()).expect("a folder"));
    builder.set_auth(SimpleAuth::from_single(KEY, SECRET));
    let service = builder.build();
    let listener = TcpListener::bind("127.0.0.1:0").await.expect("a port");
    let address = listener.local_addr().expect("an address");
    tokio::spawn(async move {
        while let Ok((line, _)) = listener.accept().await {
            let service = service.clone();
            tokio::spawn(async move {
                let server = hyper_util::server::conn::auto::Builder::new(TokioExecutor::new());
                let _ = server.serve_connection(TokioIo::new(line), service).await;
            });
        }
    });
    format!("http://{address}")
}

fn bucket(address: &str, server: &str, secret: &str) -> Bucket {
    let settings = [
        ("AWS_ACCESS_KEY_ID", KEY),
        ("AWS_SECRET_ACCESS_KEY", secret),
        ("AWS_ENDPOINT_URL", server),
        ("AWS_REGION", "us-east-1"),
        ("AWS_ALLOW_HTTP", "true"),
    ];
    Bucket::new(address, settings)
}

async fn open(data: &TempDir, bucket: Bucket) -> Result<Store, Error> {
    Store::open_as(data.path(), Options { bucket: Some(bucket), ..Options::default() }).await
}

fn files(folder: &std::path::Path) -> Vec<std::path::PathBuf> {
    let Ok(all) = std::fs::read_dir(folder) else { return Vec::new() };
    let paths = all.filter_map(|one| Some(one.ok()?.path()));
    paths.flat_map(|path| if path.is_dir() { files(&path) } else { vec![path] }).collect()
}

#[test]
fn photos_lie_in_a_bucket_and_come_back_as_they_were() {
    run(async {
        let (there, data) = (TempDir::new().expect("a folder"), TempDir::new().expect("a folder"));
        let server = server(&there).await;
        let store = open(&data, bucket("s3://bench/photos/", &server, SECRET)).await.expect("opened");
        let bytes = photo(1, 300_000);
        let (one, other) = tokio::join!(
            store.put_photo("a", "image/jpeg", bytes.clone()),
            store.put_photo("a", "image/jpeg", bytes.clone())
        );
        let (one, other) = (one.expect("put"), other.expect("put"));
        assert_eq!(one.sha256, other.sha256);
        assert!(store.put_photo("a", "image/jpeg", bytes.clone()).await.expect("put").already);
        store.put_form(&one.sha256, Form::Thumb, "image/png", photo(2, 400)).await.expect("put");
        let back = store.photo("a", &one.sha256, Form::Original).await.expect("there");
        assert_eq!(back.bytes, bytes);

        // By its hash, under the prefix, and nowhere in the data folder.
        let name = format!("original/{}/{}", &one.sha256[..2], one.sha256);
        let file = there.path().join("bench/photos").join(&name);
        assert_eq!(std::fs::read(&file).expect("in the bucket"), bytes);
        assert!(files(&data.path().join("photos")).is_empty());

        // Damage is told, and sending the photo again mends it; what is gone is told, too.
        std::fs::write(&file, b"something else").expect("written");
        let damaged = store.photo("a", &one.sha256, Form::Original).await.expect_err("damaged");
        assert!(matches!(damaged, Error::PhotoDamaged { .. }), "{damaged}");
        store.put_photo("a", "image/jpeg", bytes.clone()).await.expect("put");
        assert_eq!(store.photo("a", &one.sha256, Form::Original).await.expect("there").bytes, bytes);

        // A backup takes the photos out of the bucket, and is restored into a folder.
        let file_of = data.path().join("b.backup");
        store.backup(&file_of).await.expect("a backup");
        store.close().await;
        let again = TempDir::new().expect("a folder");
        let folder = again.path().join("data");
        restore(&file_of, &folder).await.expect("restored");
        let restored = Store::open(&folder).await.expect("opened");
        assert_eq!(restored.photo("a", &one.sha256, Form::Original).await.expect("there").bytes, bytes);
        restored.close().await;

        // Opened again, the photos are still there; taken away behind its back, it says so.
        let store = open(&data, bucket("s3://bench/photos", &server, SECRET)).await.expect("opened");
        assert_eq!(store.photo("a", &one.sha256, Form::Thumb).await.expect("there").bytes, photo(2, 400));
        std::fs::remove_file(&file).expect("removed");
        let gone = store.photo("a", &one.sha256, Form::Original).await.expect_err("gone");
        assert!(matches!(gone, Error::PhotoGone { .. }), "{gone}");
        store.close().await;
    });
}

#[test]
fn what_cannot_be_a_bucket_is_told_and_its_keys_are_not() {
    run(async {
        let (there, data) = (TempDir::new().expect("a folder"), TempDir::new().expect("a folder"));
        let server = server(&there).await;
        for (address, word) in
            [("bench", "s3://"), ("s3:///photos", "name of a bucket"), ("s3://Bench", "name of a bucket")]
        {
            let error = open(&data, bucket(address, &server, SECRET)).await.expect_err(address);
            assert!(error.to_string().contains(word), "{error}");
        }
        let bare = Bucket::new("s3://bench", [("AWS_ACCESS_KEY_ID", KEY)]);
        let error = open(&data, bare).await.expect_err("no secret");
        assert!(error.to_string().contains("AWS_SECRET_ACCESS_KEY is not set"), "{error}");

        let wrong = bucket("s3://bench", &server, "another secret");
        assert!(!format!("{wrong:?}").contains("another"), "{wrong:?}");
        let store = open(&data, wrong).await.expect("nothing is asked yet");
        let refused = store.put_photo("a", "image/jpeg", photo(1, 900)).await.expect_err("wrong secret");
        assert!(matches!(refused, Error::Photos { .. }), "{refused}");
        assert!(store.photos("a").await.expect("read").is_empty(), "a photo that is nowhere is not known of");
        store.close().await;
    });
}

/// Moves between places that were let go. A program that another test is just starting holds every lock of this one until it is
/// under way, so it is tried for a second.
async fn moved_to(from: &Place, to: &Place, mut tell: impl FnMut(usize, usize)) -> Transferred {
    let mut tried = transfer(from, to, &mut tell).await;
    for _ in 0..50 {
        if !matches!(tried, Err(Error::Locked { .. })) {
            break;
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
        tried = transfer(from, to, &mut tell).await;
    }
    tried.expect("moved")
}

#[test]
fn photos_move_into_a_bucket_and_back_and_go_on_where_it_broke_off() {
    run(async {
        let (there, data) = (TempDir::new().expect("a folder"), TempDir::new().expect("a folder"));
        let server = server(&there).await;
        let of_bucket = || bucket("s3://bench/photos", &server, SECRET);
        let store = Store::open(data.path()).await.expect("opened");
        let mut names = Vec::new();
        for seed in 0..5_u8 {
            let put = store.put_photo("a", "image/jpeg", photo(seed, 2_000 + usize::from(seed))).await;
            names.push(put.expect("put").sha256);
        }
        store.put_form(&names[0], Form::Thumb, "image/jpeg", photo(9, 300)).await.expect("put");
        store.close().await;
        let in_folder = Place { folder: data.path().to_owned(), database: None, bucket: None };
        let in_bucket = Place { bucket: Some(of_bucket()), ..in_folder.clone() };

        // The rows stay where they are; after two forms the bucket is gone.
        let (bench, away) = (there.path().join("bench"), there.path().join("away"));
        let breaks = |done, of| {
            assert_eq!(of, 6);
            if done == 2 {
                std::fs::rename(&bench, &away).expect("taken away");
                // A folder would be made again.
                std::fs::write(&bench, b"no folder").expect("in its place");
            }
        };
        let told = transfer(&in_folder, &in_bucket, breaks).await.expect_err("it broke off");
        assert!(matches!(told, Error::Photos { .. }), "{told}");
        std::fs::remove_file(&bench).expect("removed");
        std::fs::rename(&away, &bench).expect("put back");
        assert_eq!(files(&bench.join("photos")).len(), 2);

        let mut heard = Vec::new();
        let moved = moved_to(&in_folder, &in_bucket, |done, of| heard.push((done, of))).await;
        assert!(moved.rows.is_empty(), "the same rows");
        let photos = moved.photos.expect("another place");
        assert_eq!((photos.n_copied, photos.n_there, photos.lacking.len()), (4, 2, 0));
        assert_eq!(heard.last(), Some(&(6, 6)));

        // Again nothing is copied but what was damaged since; and nothing to do is told.
        let name = format!("original/{}/{}", &names[1][..2], names[1]);
        std::fs::write(bench.join("photos").join(&name), b"something else").expect("written");
        let photos = moved_to(&in_folder, &in_bucket, |_, _| {}).await.photos.expect("moved");
        assert_eq!((photos.n_copied, photos.n_there), (1, 5));
        let told = transfer(&in_bucket, &in_bucket.clone(), |_, _| {}).await.expect_err("nothing to do");
        assert!(matches!(told, Error::SamePlace), "{told}");

        // Served out of the bucket alone, and moved out of it into a new folder with all rows.
        std::fs::remove_dir_all(data.path().join("photos")).expect("removed");
        let out = TempDir::new().expect("a folder");
        let to = Place { folder: out.path().join("data"), database: None, bucket: None };
        let moved = moved_to(&in_bucket, &to, |_, _| {}).await;
        assert!(moved.rows.contains(&("photos", 5)), "{moved:?}");
        assert_eq!(moved.photos.expect("moved").n_copied, 6);
        let store = Store::open(&to.folder).await.expect("opened");
        for (seed, name) in (0_u8..).zip(&names) {
            let back = store.photo("a", name, Form::Original).await.expect("there");
            assert_eq!(back.bytes, photo(seed, 2_000 + usize::from(seed)));
        }
        assert_eq!(store.photo("a", &names[0], Form::Thumb).await.expect("there").bytes, photo(9, 300));
        store.close().await;
    });
}
