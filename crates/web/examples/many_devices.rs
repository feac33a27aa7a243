//! Many devices at one bench: how long an entry takes until it is acknowledged, over HTTP with kept connections.
//!
//! Starts itself a second time as the server, so that clients and server share no runtime. Every device joins, holds
//! the stream of changes of its job open, and sends entries one after the other; each is answered when it is on the
//! disk. Jobs are judged meanwhile, as always.
//!
//! ```sh
//! cargo run --release -p web --example many_devices -- --devices 50 --seconds 60 --pause-ms 1000 --jobs 5
//! ```

use std::error::Error;
use std::io::{BufRead, BufReader, Write as _};
use std::net::{IpAddr, SocketAddr};
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;

type Fallible<T> = Result<T, Box<dyn Error + Send + Sync>>;

/// A job of the demo; everything in it is invented.
const CASE: &str = include_str!("../../../cases/1-burnt-stabs.toml");
const CASE_JOB: &str = "Q-0117";
const DAY: model::Date = model::Date::constant(2025, 12, 1);

fn main() -> Fallible<()> {
    let args: Vec<String> = std::env::args().collect();
    let number = |name: &str, usual: u64| {
        let at = args.iter().position(|arg| arg == name);
        at.and_then(|at| args.get(at + 1)?.parse().ok()).unwrap_or(usual)
    };
    let (devices, jobs) = (number("--devices", 50), number("--jobs", 5));
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    if args.iter().any(|arg| arg == "--serve") {
        return runtime.block_on(serve(devices, jobs));
    }
    let (seconds, pause) = (number("--seconds", 60), Duration::from_millis(number("--pause-ms", 1000)));
    let mut server = Server::start(devices, jobs)?;
    let codes = server.codes.split_off(0);
    let (address, until) = (server.address, Duration::from_secs(seconds));
    let tallies = runtime.block_on(async move {
        let mut tasks = Vec::new();
        for (n, code) in codes.into_iter().enumerate() {
            let device = Device::join(address, &code, n, jobs as usize).await?;
            tasks.push(device);
        }
        println!("{} devices have joined; sending for {seconds} s", tasks.len());
        let start = Instant::now();
        let running: Vec<_> =
            tasks.into_iter().map(|device| tokio::spawn(device.run(start, until, pause))).collect();
        let mut tallies = Vec::new();
        for task in running {
            tallies.push(task.await?);
        }
        Ok::<_, Box<dyn Error + Send + Sync>>(tallies)
    })?;
    drop(server);
    report(tallies, seconds);
    Ok(())
}

fn report(tallies: Vec<Tally>, seconds: u64) {
    let errors: usize = tallies.iter().map(|tally| tally.errors).sum();
    let events: usize = tallies.iter().map(|tally| tally.events).sum();
    let mut times: Vec<Duration> = tallies.into_iter().flat_map(|tally| tally.times).collect();
    times.sort();
    let at = |share: f64| {
        let idx = (times.len() as f64 * share) as usize;
        times.get(idx.min(times.len().saturating_sub(1))).copied().unwrap_or_default().as_secs_f64() * 1000.0
    };
    println!(
        "acknowledged {} entries, {:.0} a second; errors {errors}",
        times.len(),
        times.len() as f64 / seconds as f64
    );
    println!(
        "p50 {:.1} ms   p90 {:.1} ms   p99 {:.1} ms   longest {:.1} ms",
        at(0.5),
        at(0.9),
        at(0.99),
        at(1.0)
    );
    println!("events received on streams: {events}");
}

/// The server, in a process of its own.
struct Server {
    child: Child,
    address: SocketAddr,
    codes: Vec<String>,
}

impl Server {
    fn start(devices: u64, jobs: u64) -> Fallible<Server> {
        let mut child = Command::new(std::env::current_exe()?)
            .args(["--serve", "--devices", &devices.to_string(), "--jobs", &jobs.to_string()])
            .stdout(Stdio::piped())
            .spawn()?;
        let mut lines = BufReader::new(child.stdout.take().ok_or("no output")?).lines();
        let mut next = || -> Fallible<String> { Ok(lines.next().ok_or("the server ended")??) };
        let address = next()?.parse()?;
        let codes = (0..devices).map(|_| next()).collect::<Fallible<Vec<_>>>()?;
        Ok(Server { child, address, codes })
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

async fn serve(devices: u64, jobs: u64) -> Fallible<()> {
    let folder = tempfile::tempdir()?;
    let config = web::Config {
        database: None,
        photos: None,
        data: folder.path().to_owned(),
        host: IpAddr::from([127, 0, 0, 1]),
        port: 0,
        https: false,
        names: Vec::new(),
        settings: study::Settings::on(DAY),
        day: Some(DAY),
        watching: web::Watching::default(),
    };
    let served = web::start(config).await?;
    for n in 0..jobs {
        let facts = record::read_job("case", &CASE.replace(CASE_JOB, &name_of(n as usize)), DAY).facts;
        served.bench().store().append(&name_of(n as usize), "case", None, &facts).await?;
    }
    println!("{}", served.address());
    for _ in 0..devices {
        println!("{}", served.bench().invite().await?.code);
    }
    std::io::stdout().flush()?;
    served.until_told_to_stop().await?;
    Ok(())
}

fn name_of(job: usize) -> String {
    format!("M-{job:04}")
}

/// What one device met.
#[derive(Default)]
struct Tally {
    times: Vec<Duration>,
    errors: usize,
    events: usize,
}

struct Device {
    connection: Connection,
    stream: TcpStream,
    cookie: String,
    csrf: String,
    n: usize,
    job: String,
}

impl Device {
    async fn join(address: SocketAddr, code: &str, n: usize, jobs: usize) -> Fallible<Device> {
        let mut connection = Connection::open(address).await?;
        let form = format!("code={code}&name=device+{n}");
        let joined = connection.post("/join", "", "x", &form).await?;
        let head = joined.0;
        let start = head.find("bench=").ok_or_else(|| format!("not joined: {head}"))?;
        let cookie = head[start..].split(';').next().unwrap_or_default().to_owned();
        let (_, token) = connection.get("/token", &cookie).await?;
        let start = token.find("\"csrf\":\"").ok_or("no token")? + 8;
        let csrf = token[start..].split('"').next().unwrap_or_default().to_owned();
        let job = name_of(n % jobs.max(1));
        let mut stream = TcpStream::connect(address).await?;
        let request = format!("GET /jobs/{job}/live HTTP/1.1\r\nhost: localhost\r\ncookie: {cookie}\r\n\r\n");
        stream.write_all(request.as_bytes()).await?;
        Ok(Device { connection, stream, cookie, csrf, n, job })
    }

    async fn run(mut self, start: Instant, until: Duration, pause: Duration) -> Tally {
        let mut tally = Tally::default();
        let mut stream = self.stream;
        let events = Arc::new(AtomicUsize::new(0));
        let counter = Arc::clone(&events);
        let listening = tokio::spawn(async move {
            let mut bytes = [0_u8; 4096];
            while let Ok(n @ 1..) = stream.read(&mut bytes).await {
                let n_events = String::from_utf8_lossy(&bytes[..n]).matches("event: change").count();
                counter.fetch_add(n_events, Ordering::Relaxed);
            }
        });
        // Spread over the first pause, as people are.
        tokio::time::sleep(pause * u32::try_from(self.n % 50).unwrap_or(0) / 50).await;
        let path = format!("/jobs/{}/enter/touch", self.job);
        let mut k = 0_usize;
        while start.elapsed() < until {
            let (space, second) = (13 + (self.n + k) % 12, k % 60);
            let (hour, minute) = (k / 3600 % 24, k / 60 % 60);
            let form = format!(
                "entry=d{}-{k}&at=2025-11-{:02}T{hour:02}:{minute:02}:{second:02}&place=main%2F{space}&feel=warm",
                self.n,
                1 + self.n % 28
            );
            let sent = Instant::now();
            let answer = self.connection.post(&path, &self.cookie, &self.csrf, &form).await;
            match answer {
                Ok((head, body))
                    if head.starts_with("HTTP/1.1 200") && body.contains("\"already\":false") =>
                {
                    tally.times.push(sent.elapsed());
                }
                other => {
                    if tally.errors == 0 {
                        eprintln!("device {}: {other:?}", self.n);
                    }
                    tally.errors += 1;
                }
            }
            k += 1;
            tokio::time::sleep(pause.saturating_sub(sent.elapsed())).await;
        }
        listening.abort();
        tally.events = events.load(Ordering::Relaxed);
        tally
    }
}

/// A kept connection; just as much of HTTP/1.1 as the bench answers with.
struct Connection(TcpStream);

impl Connection {
    async fn open(address: SocketAddr) -> Fallible<Connection> {
        let stream = TcpStream::connect(address).await?;
        stream.set_nodelay(true)?;
        Ok(Connection(stream))
    }

    async fn get(&mut self, path: &str, cookie: &str) -> Fallible<(String, String)> {
        self.ask(&format!("GET {path} HTTP/1.1\r\nhost: localhost\r\ncookie: {cookie}\r\n\r\n")).await
    }

    async fn post(&mut self, path: &str, cookie: &str, csrf: &str, form: &str) -> Fallible<(String, String)> {
        let length = form.len();
        self.ask(&format!(
            "POST {path} HTTP/1.1\r\nhost: localhost\r\ncookie: {cookie}\r\nx-bench: 1\r\nx-csrf: {csrf}\r\n\
             content-type: application/x-www-form-urlencoded\r\ncontent-length: {length}\r\n\r\n{form}"
        ))
        .await
    }

    async fn ask(&mut self, request: &str) -> Fallible<(String, String)> {
        self.0.write_all(request.as_bytes()).await?;
        let (mut bytes, mut chunk) = (Vec::new(), [0_u8; 8192]);
        loop {
            let n = self.0.read(&mut chunk).await?;
            if n == 0 {
                return Err("the connection was closed".into());
            }
            bytes.extend_from_slice(&chunk[..n]);
            let text = String::from_utf8_lossy(&bytes);
            let Some((head, body)) = text.split_once("\r\n\r\n") else { continue };
            let length = head
                .lines()
                .find_map(|line| line.to_lowercase().strip_prefix("content-length: ")?.parse().ok());
            if length.unwrap_or(0_usize) <= body.len() {
                return Ok((head.to_owned(), body.to_owned()));
            }
        }
    }
}
