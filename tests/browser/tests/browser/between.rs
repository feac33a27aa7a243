//! Somebody on the line between a phone and the bench: hands everything on, and gives another version of the program, whole
//! or broken off half-way, where a test wants it.

use std::net::SocketAddr;
use std::sync::{Arc, Mutex, PoisonError};
use tokio::io::{AsyncReadExt, AsyncWriteExt, copy_bidirectional};
use tokio::net::{TcpListener, TcpStream};

/// What is done to what the bench answers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Line {
    /// Nothing.
    Clear,
    /// A newer module is announced, but arrives only by half before the line breaks.
    HalfModule,
    /// A newer module is announced and arrives whole, but is none: a portal sent something else.
    WrongModule,
    /// A module is announced and arrives whole, and this browser cannot run it.
    StrangeModule,
    /// A newer module is announced and arrives.
    NewModule,
    /// Newer scripts of the service worker arrive by half.
    HalfScripts,
    /// Newer scripts of the service worker arrive.
    NewScripts,
}

/// What is no module, and the beginning of its hash (SHA-256).
const STRANGE: &[u8] = b"<p>whole, and nothing that this browser runs</p>";
const STRANGE_HASH: &str = "fa00e8bda8489b1e";

/// The line.
pub(crate) struct Between {
    here: SocketAddr,
    line: Arc<Mutex<(Line, bool)>>,
}

impl Between {
    /// Lays a line to a bench of this machine; `there` is its address.
    pub(crate) async fn lay(there: &str) -> Between {
        let port = there.rsplit(':').next().and_then(|port| port.parse().ok()).expect("a port");
        let there = SocketAddr::from(([127, 0, 0, 1], port));
        let listener = TcpListener::bind(("127.0.0.1", 0)).await.expect("a port");
        let here = listener.local_addr().expect("an address");
        let line = Arc::new(Mutex::new((Line::Clear, false)));
        let shared = Arc::clone(&line);
        tokio::spawn(async move {
            while let Ok((stream, _)) = listener.accept().await {
                let shared = Arc::clone(&shared);
                tokio::spawn(async move { hand_on(stream, there, &shared).await });
            }
        });
        Between { here, line }
    }

    pub(crate) fn here(&self) -> String {
        format!("http://{}", self.here)
    }

    pub(crate) fn is(&self, line: Line) {
        self.line.lock().unwrap_or_else(PoisonError::into_inner).0 = line;
    }

    /// From now on only what a version consists of gets through, or everything again.
    pub(crate) fn cut(&self, away: bool) {
        self.line.lock().unwrap_or_else(PoisonError::into_inner).1 = away;
    }
}

/// Hands one request on, and its answer back. One a connection, so that each is seen.
async fn hand_on(mut phone: TcpStream, there: SocketAddr, line: &Mutex<(Line, bool)>) -> Option<()> {
    let mut asked = Vec::new();
    while !asked.windows(4).any(|four| four == b"\r\n\r\n") {
        if phone.read_buf(&mut asked).await.ok()? == 0 {
            return None;
        }
    }
    let end = asked.windows(4).position(|four| four == b"\r\n\r\n")?;
    let head = String::from_utf8_lossy(&asked[..end]).into_owned();
    let path = head.split(' ').nth(1)?.to_owned();
    let mut lines: Vec<&str> =
        head.lines().filter(|line| !is_header(line, &["connection", "accept-encoding"])).collect();
    // Plain answers, so that they can be changed; a fresh one each time.
    let (line, cut) = *line.lock().unwrap_or_else(PoisonError::into_inner);
    let name = path.split('?').next()?;
    let of_version = ["/phone.json", "/phone.wasm", "/sw.js", "/phone.js", "/stored.js"].contains(&name);
    if cut && !of_version {
        return None;
    }
    let touched = of_version && line != Line::Clear;
    if touched {
        lines.retain(|line| !is_header(line, &["if-none-match"]));
    }
    let mut bench = TcpStream::connect(there).await.ok()?;
    bench.write_all(format!("{}\r\nconnection: close\r\n\r\n", lines.join("\r\n")).as_bytes()).await.ok()?;
    bench.write_all(&asked[end + 4..]).await.ok()?;
    if !touched {
        copy_bidirectional(&mut phone, &mut bench).await.ok()?;
        return Some(());
    }
    let mut answer = Vec::new();
    bench.read_to_end(&mut answer).await.ok()?;
    let end = answer.windows(4).position(|four| four == b"\r\n\r\n")?;
    let (head, body) = (String::from_utf8_lossy(&answer[..end]).into_owned(), &answer[end + 4..]);
    let (body, sent) = changed(line, name, body);
    let kept: Vec<&str> = head
        .lines()
        .filter(|line| !is_header(line, &["content-length", "transfer-encoding", "connection", "etag"]))
        .collect();
    let head =
        format!("{}\r\ncontent-length: {}\r\nconnection: close\r\n\r\n", kept.join("\r\n"), body.len());
    phone.write_all(head.as_bytes()).await.ok()?;
    phone.write_all(&body[..sent]).await.ok()?;
    phone.shutdown().await.ok()
}

fn is_header(line: &str, names: &[&str]) -> bool {
    line.split_once(':').is_some_and(|(name, _)| names.iter().any(|one| name.eq_ignore_ascii_case(one)))
}

/// The body as the phone is told it, and how much of it arrives.
fn changed(line: Line, name: &str, body: &[u8]) -> (Vec<u8>, usize) {
    let text = || String::from_utf8_lossy(body).into_owned();
    let whole = |body: Vec<u8>| (body.len(), body);
    let (sent, body) = match (line, name) {
        (Line::HalfModule | Line::WrongModule | Line::NewModule, "/phone.json") => {
            whole(text().replace("/phone.wasm?", "/phone.wasm?newer-").into_bytes())
        }
        (Line::StrangeModule, "/phone.json") => {
            let (before, after) =
                text().split_once("/phone.wasm?").map_or_else(Default::default, |(before, after)| {
                    (
                        before.to_owned(),
                        after.trim_start_matches(|letter: char| letter.is_ascii_hexdigit()).to_owned(),
                    )
                });
            whole(format!("{before}/phone.wasm?{STRANGE_HASH}{after}").into_bytes())
        }
        (Line::StrangeModule, "/phone.wasm") => whole(STRANGE.to_vec()),
        (Line::HalfModule, "/phone.wasm") => (body.len() / 2, body.to_vec()),
        (Line::WrongModule, "/phone.wasm") => whole(b"<h1>Welcome to the guest network</h1>".to_vec()),
        (Line::HalfScripts, "/phone.js") => (body.len() / 2, body.to_vec()),
        (Line::HalfScripts | Line::NewScripts, "/sw.js") => {
            whole(format!("{}\n// newer\n", text()).into_bytes())
        }
        (Line::NewScripts, "/phone.js") => whole(format!("{}\n// newer\n", text()).into_bytes()),
        _ => whole(body.to_vec()),
    };
    (body, sent)
}
