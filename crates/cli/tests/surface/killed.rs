//! The serving program is killed while facts arrive: what was acknowledged is there, once, and the folder is whole.

use crate::program::{CASES, arg, command, folder, root, run};
use serde_json::Value;
use std::collections::BTreeMap;
use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

/// Senders at once.
const SENDERS: usize = 4;

/// Kills until a further job is taken, so that no job gets longer than real ones are.
const KILLS_A_JOB: usize = 10;

/// A bench that is being served by the program.
pub(crate) struct Serving {
    pub(crate) child: Child,
    pub(crate) told: Value,
}

impl Serving {
    /// Serves a folder to this machine on a free port.
    pub(crate) fn of(data: &Path) -> Serving {
        let args =
            ["serve", "--data", arg(data), "--host", "127.0.0.1", "--port", "0", "--json", "--sweeps", "20"];
        Serving::by(&args)
    }

    pub(crate) fn by(args: &[&str]) -> Serving {
        let mut child = command(args)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut line = String::new();
        let mut out = BufReader::new(child.stdout.take().expect("a pipe was asked for"));
        out.read_line(&mut line).expect("it says where it is");
        let mut why = String::new();
        if line.is_empty() {
            child.stderr.take().expect("a pipe").read_to_string(&mut why).expect("text");
        }
        assert!(!line.is_empty(), "it was not served: {why}");
        Serving { child, told: serde_json::from_str(&line).expect("JSON") }
    }

    pub(crate) fn address(&self) -> String {
        let here = self.told["here"].as_str().expect("an address");
        let address = here.trim_start_matches("http://").split('/').next().expect("a host");
        address.replace("localhost", "127.0.0.1")
    }

    /// Joins and gives cookie and token.
    pub(crate) fn join(&self, name: &str) -> (String, String) {
        let address = self.address();
        let code = self.told["code"].as_str().expect("a code");
        let head = "content-type: application/x-www-form-urlencoded\r\n";
        let joined =
            ask(&address, "POST", "/join", head, &format!("code={code}&name={name}")).expect("an answer");
        assert!(joined.contains("bench="), "not joined: {joined}");
        let start = joined.find("bench=").expect("it is in there");
        let cookie = joined[start..].split(';').next().expect("a value").to_owned();
        let token = ask(&address, "GET", "/token", &format!("cookie: {cookie}\r\n"), "").expect("an answer");
        let json: Value =
            serde_json::from_str(token.split("\r\n\r\n").nth(1).expect("a body")).expect("JSON");
        (cookie, json["csrf"].as_str().expect("a token").to_owned())
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// One request; `None` where the other side is gone.
pub(crate) fn ask(address: &str, method: &str, path: &str, head: &str, body: &str) -> Option<String> {
    let mut stream = TcpStream::connect(address).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(60))).ok()?;
    let length = body.len();
    let request = format!(
        "{method} {path} HTTP/1.1\r\nhost: localhost\r\nconnection: close\r\n{head}content-length: {length}\r\n\r\n{body}"
    );
    stream.write_all(request.as_bytes()).ok()?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer).ok()?;
    (!answer.is_empty()).then_some(answer)
}

/// Entries of a sender: the one that is not acknowledged yet, and those that are.
#[derive(Default)]
struct Sender {
    n: usize,
    acknowledged: Vec<String>,
}

impl Sender {
    /// Sends until the other side is gone. The entry that got no answer is the first one of the next time.
    fn send(&mut self, who: usize, job: &str, address: &str, cookie: &str, csrf: &str, n_done: &AtomicUsize) {
        loop {
            let (n, entry) = (self.n, format!("s{who}-{}", self.n));
            let (hour, minute, second) = (n / 3600 % 24, n / 60 % 60, n % 60);
            let form = format!(
                "entry={entry}&at=2025-11-{:02}T{hour:02}:{minute:02}:{second:02}&place=main%2F{}&feel=warm",
                1 + who,
                13 + n % 12
            );
            let head = format!(
                "cookie: {cookie}\r\nx-bench: 1\r\nx-csrf: {csrf}\r\ncontent-type: application/x-www-form-urlencoded\r\n"
            );
            let Some(answer) = ask(address, "POST", &format!("/jobs/{job}/enter/touch"), &head, &form) else {
                return;
            };
            // An answer that was cut off is none.
            let Some(body) = answer.split("\r\n\r\n").nth(1) else { return };
            let Ok(json) = serde_json::from_str::<Value>(body) else { return };
            assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
            assert_eq!(json["stored"], 1, "{answer}");
            self.acknowledged.push(format!("{job}/{entry}"));
            self.n += 1;
            n_done.fetch_add(1, Ordering::Relaxed);
        }
    }
}

#[test]
fn killed_while_facts_arrive_it_loses_none_that_was_acknowledged() {
    let kills: usize = if std::env::var_os("RUN_SLOW").is_some() { 200 } else { 20 };
    if kills < 200 {
        println!("{kills} kills; RUN_SLOW=1 makes them 200");
    }
    let folder = folder("killed");
    let data = folder.join("data");
    let case = fs::read_to_string(root().join(CASES[0])).expect("the case is there");
    for job in 0..kills.div_ceil(KILLS_A_JOB) {
        let file = folder.join(format!("K-{job}.toml"));
        fs::write(&file, case.replace("Q-0117", &format!("K-{job}"))).expect("a file");
        let import = run(&["import", arg(&file), "--data", arg(&data), "--day", "2025-12-01"]);
        assert_eq!(import.code, 0, "{}{}", import.out, import.err);
    }
    let (cookie, csrf) = Serving::of(&data).join("phone");
    let mut senders: Vec<Sender> = (0..SENDERS).map(|_| Sender::default()).collect();
    let mut chance = 88_172_645_463_325_252_u64;
    for kill in 0..kills {
        let job = format!("K-{}", kill / KILLS_A_JOB);
        let mut serving = Serving::of(&data);
        let address = serving.address();
        let n_done = AtomicUsize::new(0);
        thread::scope(|scope| {
            for (who, sender) in senders.iter_mut().enumerate() {
                let (job, address, cookie, csrf, n_done) = (&job, &address, &cookie, &csrf, &n_done);
                scope.spawn(move || sender.send(who, job, address, cookie, csrf, n_done));
            }
            let since = Instant::now();
            while n_done.load(Ordering::Relaxed) == 0 && since.elapsed() < Duration::from_secs(60) {
                thread::sleep(Duration::from_millis(1));
            }
            chance ^= chance << 13;
            chance ^= chance >> 7;
            chance ^= chance << 17;
            thread::sleep(Duration::from_millis(chance % 150));
            serving.child.kill().expect("it runs");
            serving.child.wait().expect("it is gone");
        });
        assert!(0 < n_done.load(Ordering::Relaxed), "kill {kill}: nothing was acknowledged in a minute");
    }
    let stored = stored(&data, kills.div_ceil(KILLS_A_JOB));
    let mut n_acknowledged = 0;
    for entry in senders.iter().flat_map(|sender| &sender.acknowledged) {
        assert_eq!(stored.get(entry), Some(&1), "{entry} was acknowledged");
        n_acknowledged += 1;
    }
    assert!(stored.values().all(|n| *n == 1), "each entry is there once");
    // What was stored without its acknowledgement was sent again; at most the last ones have none.
    assert!(stored.len() <= n_acknowledged + SENDERS * 2 * kills.div_ceil(KILLS_A_JOB));
    println!("{kills} kills, {n_acknowledged} acknowledged entries, each there once");
}

/// How often each entry of a sender is in the folder. Opening it verifies the database.
fn stored(data: &Path, jobs: usize) -> BTreeMap<String, usize> {
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    runtime.block_on(async {
        let store = store::Store::open(data).await.expect("the folder is whole");
        let mut entries = BTreeMap::new();
        for job in (0..jobs).map(|job| format!("K-{job}")) {
            for stored in store.stored_after(&job, 0).await.expect("facts") {
                if let Some((entry, _)) =
                    stored.entry.split_once('.').filter(|(entry, _)| entry.starts_with('s'))
                {
                    *entries.entry(format!("{job}/{entry}")).or_insert(0) += 1;
                }
            }
        }
        store.close().await;
        entries
    })
}
