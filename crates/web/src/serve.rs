//! Serving: listeners, what is told about them, and an end in good order.

use crate::authority::{self, Identity};
use crate::bench::{Bench, Setup};
use crate::clock;
use crate::guard::machine_addresses;
use crate::plain::plain_router;
use crate::qr;
use crate::router::router;
use axum_server::Handle;
use axum_server::tls_rustls::RustlsConfig;
use jiff::civil::DateTime;
use model::Date;
use std::io;
use std::net::{IpAddr, SocketAddr, TcpListener};
use std::path::PathBuf;
use std::time::Duration;
use store::Store;
use study::Settings;
use tokio::task::JoinHandle;

/// Longest wait for the next request of a connection, and for its head to arrive.
const HEAD: Duration = Duration::from_secs(75);

/// Longest wait for requests that are being answered when the bench closes.
const FAREWELL: Duration = Duration::from_secs(5);

/// How the bench is served.
#[derive(Debug, Clone)]
pub struct Config {
    /// The data folder.
    pub data: PathBuf,
    /// Address to listen on; unspecified for all networks of this machine.
    pub host: IpAddr,
    /// Port; 0 for any that is free.
    pub port: u16,
    /// Over HTTPS, with an authority of the bench's own?
    pub https: bool,
    /// Names under which the bench answers, besides the machine's addresses.
    pub names: Vec<String>,
    /// What judgements are asked with.
    pub settings: Settings,
    /// The day to judge for; without one the machine's own.
    pub day: Option<Date>,
}

/// What there is to tell once the bench is served.
#[derive(Debug, Clone)]
pub struct Announcement {
    /// Address for this machine, with the code for a browser on it.
    pub here: String,
    /// Address for phones, without a code; the same as for this machine where only that is served.
    pub address: String,
    /// Address for phones with the code.
    pub join: String,
    /// The code, for typing.
    pub code: String,
    /// Until when the codes may be used.
    pub expires: DateTime,
    /// [`Announcement::join`] as a QR code for a terminal.
    pub qr: String,
    /// Where a phone gets the certificate of the authority, under HTTPS.
    pub authority: Option<String>,
    /// Can other devices reach it?
    pub reachable: bool,
}

/// Why the bench cannot be served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// Something else listens there.
    #[error(
        "{address} is in use: another program listens there, perhaps another bench; choose another --port"
    )]
    InUse {
        /// The address.
        address: SocketAddr,
    },
    /// The address cannot be listened on.
    #[error("{address} cannot be listened on: {source}")]
    Listen {
        /// The address.
        address: SocketAddr,
        /// Why.
        source: io::Error,
    },
    /// The store cannot be used.
    #[error("{}; {}", .0, .0.hint())]
    Store(#[from] store::Error),
    /// Files of the authority.
    #[error("{} cannot be read or written: {source}", .path.display())]
    Authority {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The authority was made without this name.
    #[error(
        "the authority in {} was made without the name {name}; delete that folder, and install the new certificate on \
         the phones again",
        .folder.display()
    )]
    ForeignName {
        /// The name.
        name: String,
        /// Folder of the authority.
        folder: PathBuf,
    },
    /// A certificate cannot be made.
    #[error(
        "a certificate cannot be made: {0}; delete the folder `authority` in the data folder if it is damaged"
    )]
    Certificate(#[from] rcgen::Error),
    /// TLS refuses the certificate.
    #[error("HTTPS cannot be set up: {0}")]
    Tls(#[from] rustls::Error),
    /// Threads, sockets.
    #[error("the bench cannot be served: {0}")]
    Io(#[from] io::Error),
}

/// A bench that is being served.
#[derive(Debug)]
pub struct Served {
    bench: Bench,
    address: SocketAddr,
    handles: Vec<Handle<SocketAddr>>,
    tasks: Vec<JoinHandle<io::Result<()>>>,
    reachable: bool,
    plain: Option<u16>,
}

/// Opens the store and listens. Must be called within a Tokio runtime.
///
/// # Errors
/// The store or the address cannot be used.
pub async fn start(config: Config) -> Result<Served, ServeError> {
    // The port first: where it is taken the data folder is not touched.
    let listener = listen(config.host, config.port)?;
    let address = listener.local_addr()?;
    let store = Store::open(&config.data).await?;
    let addresses = machine_addresses();
    let reachable = !address.ip().is_loopback();
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
    let setup = Setup {
        settings: config.settings,
        day: config.day,
        names: config.names,
        address: format!("http{}://{for_phones}:{}", if config.https { "s" } else { "" }, address.port()),
        https: config.https,
        authority: identity.as_ref().map(|identity| identity.authority.clone()),
    };
    let bench = Bench::new(store, setup)?;
    let mut served =
        Served { bench, address, handles: Vec::new(), tasks: Vec::new(), reachable, plain: None };
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

    /// What there is to tell; makes two invitations, for this machine and for a phone.
    ///
    /// # Errors
    /// The store fails.
    pub async fn announce(&self) -> Result<Announcement, store::Error> {
        let (own, phone) = (self.bench.invite().await?, self.bench.invite().await?);
        let setup = &self.bench.inner.setup;
        let scheme = if setup.https { "https" } else { "http" };
        let local = match self.address.ip() {
            ip if ip.is_loopback() || ip.is_unspecified() => "localhost".to_owned(),
            ip => in_address(&ip),
        };
        Ok(Announcement {
            here: format!("{scheme}://{local}:{}/join?code={}", self.address.port(), own.code),
            address: setup.address.clone(),
            qr: qr::for_terminal(&phone.address).unwrap_or_default(),
            join: phone.address,
            code: phone.code,
            expires: phone.expires,
            authority: self.plain.map(|port| {
                let host = setup.address.trim_start_matches("https://");
                let host = host.rsplit_once(':').map_or(host, |(host, _)| host);
                format!("http://{host}:{port}/authority.crt")
            }),
            reachable: self.reachable,
        })
    }

    /// Waits until the program is told to stop, by Ctrl-C or by the system, and stops in good order.
    ///
    /// # Errors
    /// A listener failed.
    pub async fn until_told_to_stop(mut self) -> Result<(), ServeError> {
        let mut tasks = std::mem::take(&mut self.tasks);
        let failed = tokio::select! {
            () = told_to_stop() => None,
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

fn in_address(ip: &IpAddr) -> String {
    if ip.is_ipv6() { format!("[{ip}]") } else { ip.to_string() }
}

async fn told_to_stop() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut terminate) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = tokio::signal::ctrl_c() => return,
                _ = terminate.recv() => return,
            }
        }
    }
    let _ = tokio::signal::ctrl_c().await;
}
