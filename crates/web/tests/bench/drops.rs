//! A poor line: everything that goes through it is slowed, and all of it is cut every so often.

use std::collections::BTreeMap;
use std::net::SocketAddr;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch;
use tokio::task::JoinHandle;

/// A line to a server.
pub(crate) struct PoorLine {
    pub(crate) address: SocketAddr,
    pub(crate) n_cuts: Arc<AtomicU64>,
    /// How often each photo was sent or begun to be: by the head of the request, as it went over the line.
    pub(crate) photos: Arc<Mutex<BTreeMap<String, u32>>>,
    tasks: Vec<JoinHandle<()>>,
}

impl PoorLine {
    /// Cuts every so often, and lets so many bytes a second through each way.
    pub(crate) async fn to(server: SocketAddr, every: Duration, bytes_a_second: u64) -> PoorLine {
        let listener = TcpListener::bind("127.0.0.1:0").await.expect("a port");
        let address = listener.local_addr().expect("bound");
        let (cut, cuts) = watch::channel(0_u64);
        let (n_cuts, photos) = (Arc::new(AtomicU64::new(0)), Arc::new(Mutex::new(BTreeMap::new())));
        let (told, seen) = (Arc::clone(&n_cuts), Arc::clone(&photos));
        let accept = tokio::spawn(async move {
            while let Ok((near, _)) = listener.accept().await {
                let Ok(far) = TcpStream::connect(server).await else { continue };
                let (mut cuts, told, seen) = (cuts.clone(), Arc::clone(&told), Arc::clone(&seen));
                cuts.mark_unchanged();
                tokio::spawn(async move {
                    let (near_in, near_out) = near.into_split();
                    let (far_in, far_out) = far.into_split();
                    tokio::select! {
                        () = slow(near_in, far_out, bytes_a_second, Some(&seen)) => {}
                        () = slow(far_in, near_out, bytes_a_second, None) => {}
                        _ = cuts.changed() => { told.fetch_add(1, Ordering::Relaxed); }
                    }
                });
            }
        });
        let cutting = tokio::spawn(async move {
            loop {
                tokio::time::sleep(every).await;
                cut.send_modify(|n| *n += 1);
            }
        });
        PoorLine { address, n_cuts, photos, tasks: vec![accept, cutting] }
    }
}

impl Drop for PoorLine {
    fn drop(&mut self) {
        self.tasks.iter().for_each(JoinHandle::abort);
    }
}

async fn slow(
    mut from: tokio::net::tcp::OwnedReadHalf,
    mut to: tokio::net::tcp::OwnedWriteHalf,
    bytes_a_second: u64,
    photos: Option<&Mutex<BTreeMap<String, u32>>>,
) {
    let mut bytes = vec![0; 8 * 1024];
    loop {
        let n = match from.read(&mut bytes).await {
            Ok(0) | Err(_) => return,
            Ok(n) => n,
        };
        if let Some(photos) = photos {
            note(&bytes[..n], photos);
        }
        if to.write_all(&bytes[..n]).await.is_err() {
            return;
        }
        tokio::time::sleep(Duration::from_micros(n as u64 * 1_000_000 / bytes_a_second)).await;
    }
}

/// A head begins a read of its own: the client waits for each answer before it asks further.
fn note(bytes: &[u8], photos: &Mutex<BTreeMap<String, u32>>) {
    let Some(line) =
        bytes.starts_with(b"POST /exchange/photo?").then(|| bytes.split(|b| *b == b'\r').next()).flatten()
    else {
        return;
    };
    let line = String::from_utf8_lossy(line);
    let Some(photo) = line.split("photo=").nth(1) else { return };
    let photo = photo.get(..64).unwrap_or_default().to_owned();
    *photos.lock().expect("not poisoned").entry(photo).or_default() += 1;
}
