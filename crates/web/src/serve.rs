//! Serving: listeners, what is told about them, and an end in good order.

use crate::authority::{self, Identity};
use crate::bench::{Bench, Setup};
use crate::clock;
use crate::config::{Config, ServeError};
use crate::guard::machine_addresses;
use crate::plain::plain_router;
use crate::router::router;
use axum_server::Handle;
use axum_server::tls_rustls::RustlsConfig;
use std::io;
use std::net::{IpAddr, SocketAddr, TcpListener};
use std::time::Duration;
use store::{Options, Store};
use study::code::Book;
use tokio::task::JoinHandle;

/// The shop's copy of the refusals, in the data folder.
const REFUSALS: &str = "refusals.toml";

/// Longest wait for the next request of a connection, and for its head to arrive.
const HEAD: Duration = Duration::from_secs(75);

/// Longest wait for requests that are being answered when the bench closes.
const FAREWELL: Duration = Duration::from_secs(5);

/// A bench that is being served.
#[derive(Debug)]
pub struct Served {
    pub(crate) bench: Bench,
    pub(crate) address: SocketAddr,
    handles: Vec<Handle<SocketAddr>>,
    tasks: Vec<JoinHandle<io::Result<()>>>,
    pub(crate) plain: Option<u16>,
    told: Told,
}

/// Opens the store and listens. Must be called within a Tokio runtime.
///
/// # Errors
/// The store or the address cannot be used.
pub async fn start(config: Config) -> Result<Served, ServeError> {
    // The port first: where it is taken the data folder is not touched.
    let listener = listen(config.host, config.port)?;
    let address = listener.local_addr()?;
    let (database, bucket) = (config.database.clone(), config.photos.clone());
    let options = Options { database, bucket, ..Options::default() };
    let store = Store::open_as(&config.data, options).await?;
    let addresses = machine_addresses();
    let named = config.names.first().cloned();
    let for_phones = match (named, address.ip()) {
        (Some(name), _) => name,
        (None, ip) if ip.is_unspecified() => addresses.first().map_or("localhost".to_owned(), in_address),
        (None, ip) if ip.is_loopback() => "localhost".to_owned(),
        (None, ip) => in_address(&ip),
    };
    let identity = match config.https {
        true => Some(authority::identity(&config.data, &config.names, &addresses, clock::today())?),
        false => None,
    };
    let book = book_of(&config.data)?;
    let setup = Setup {
        settings: config.settings,
        day: config.day,
        names: config.names,
        address: format!("http{}://{for_phones}:{}", if config.https { "s" } else { "" }, address.port()),
        https: config.https,
        authority: identity.as_ref().map(|identity| identity.authority.clone()),
    };
    let bench = Bench::with_book(store, setup, book)?;
    bench.inner.watch.set(config.watching.log, config.watching.token);
    let told = Told::listen()?;
    let mut served = Served { bench, address, handles: Vec::new(), tasks: Vec::new(), plain: None, told };
    match identity {
        None => served.serve_plain(listener, router(served.bench.clone()))?,
        Some(identity) => {
            // A phone that has not installed the certificate yet gets it and the guide over plain HTTP.
            let next = listen(config.host, if config.port == 0 { 0 } else { config.port.saturating_add(1) })?;
            served.plain = Some(next.local_addr()?.port());
            served.serve_plain(next, plain_router(served.bench.clone(), address.port()))?;
            served.serve_https(listener, &identity)?;
        }
    }
    Ok(served)
}

impl Served {
    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// The bench.
    pub fn bench(&self) -> &Bench {
        &self.bench
    }

    /// Waits until the program is told to stop, by Ctrl-C or by the system, and stops in good order.
    ///
    /// # Errors
    /// A listener failed.
    pub async fn until_told_to_stop(mut self) -> Result<(), ServeError> {
        let mut tasks = std::mem::take(&mut self.tasks);
        let failed = tokio::select! {
            () = self.told.stop_asked() => None,
            (ended, _, _) = futures_util::future::select_all(&mut tasks) => Some(ended),
        };
        self.tasks = tasks;
        self.stop().await;
        match failed {
            Some(Ok(Err(error))) => Err(ServeError::Io(error)),
            _ => Ok(()),
        }
    }

    /// Stops: open streams end, what is being answered is answered, what was stored is on the disk.
    pub async fn stop(self) {
        self.bench.close();
        for handle in &self.handles {
            handle.graceful_shutdown(Some(FAREWELL));
        }
        for task in self.tasks {
            if !task.is_finished() {
                let _ = task.await;
            }
        }
        self.bench.note_broken_exchanges(true).await;
        self.bench.store().clone().close().await;
    }

    fn serve_plain(&mut self, listener: TcpListener, router: axum::Router) -> io::Result<()> {
        let mut server = axum_server::from_tcp(listener)?.handle(self.handle());
        server.http_builder().http1().header_read_timeout(HEAD);
        let service = router.into_make_service_with_connect_info::<SocketAddr>();
        self.tasks.push(tokio::spawn(server.serve(service)));
        Ok(())
    }

    fn serve_https(&mut self, listener: TcpListener, identity: &Identity) -> io::Result<()> {
        let config = RustlsConfig::from_config(identity.config.clone());
        let mut server = axum_server::from_tcp_rustls(listener, config)?.handle(self.handle());
        server.http_builder().http1().header_read_timeout(HEAD);
        let service = router(self.bench.clone()).into_make_service_with_connect_info::<SocketAddr>();
        self.tasks.push(tokio::spawn(server.serve(service)));
        Ok(())
    }

    fn handle(&mut self) -> Handle<SocketAddr> {
        let handle = Handle::new();
        self.handles.push(handle.clone());
        handle
    }
}

fn listen(host: IpAddr, port: u16) -> Result<TcpListener, ServeError> {
    let address = SocketAddr::new(host, port);
    TcpListener::bind(address).map_err(|source| match source.kind() {
        io::ErrorKind::AddrInUse => ServeError::InUse { address },
        _ => ServeError::Listen { address, source },
    })
}

/// An IP address as it stands in an address.
pub(crate) fn in_address(ip: &IpAddr) -> String {
    if ip.is_ipv6() { format!("[{ip}]") } else { ip.to_string() }
}

/// Listens for the word to stop: from the start, so that nothing is missed between the address and the waiting for it.
#[derive(Debug)]
struct Told {
    #[cfg(unix)]
    signals: Vec<tokio::signal::unix::Signal>,
}

impl Told {
    fn listen() -> io::Result<Self> {
        #[cfg(unix)]
        {
            use tokio::signal::unix::{SignalKind, signal};
            Ok(Told { signals: vec![signal(SignalKind::terminate())?, signal(SignalKind::interrupt())?] })
        }
        #[cfg(not(unix))]
        Ok(Told {})
    }

    async fn stop_asked(&mut self) {
        #[cfg(unix)]
        futures_util::future::select_all(self.signals.iter_mut().map(|signal| Box::pin(signal.recv()))).await;
        #[cfg(not(unix))]
        let _ = tokio::signal::ctrl_c().await;
    }
}

/// The code book with the shop's own copy of the refusals, where one lies in the data folder.
fn book_of(data: &std::path::Path) -> Result<Book, ServeError> {
    let path = data.join(REFUSALS);
    let text = match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Book::built_in()),
        Err(error) => return Err(ServeError::Refusals { path, why: error.to_string() }),
    };
    Book::with_refusals(&text).map_err(|bad| {
        let why: Vec<String> = bad.iter().map(ToString::to_string).collect();
        ServeError::Refusals { path, why: why.join("; ") }
    })
}
