//! How long the server takes while a choice slides, beside a redraw by the engine alone; and fifty
//! slides at once. The built program is asked as a browser asks it.
//!
//! Run: `cargo build --release -p workroom && cargo run --release -p benches --bin live`
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a bench prints what it measured, and stops where it fails"
)]

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use measure::fraction::Shown;

/// The method of the demo's first order.
const METHOD: &str = "methods/mermaid-two.method";
/// The demo's card with a method of its own: the figures of examples/cards/demo.toml.
const CARD: &str = include_str!("../../../examples/cards/demo.toml");

/// The workroom, ended on drop.
struct Room {
    child: Child,
    port: u16,
    cookie: String,
}

impl Drop for Room {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// One exchange: head, body, and how long it took.
fn ask(port: u16, head: &str, body: &str) -> (String, Vec<u8>, Duration) {
    let began = Instant::now();
    let mut socket = TcpStream::connect(("127.0.0.1", port)).unwrap();
    socket.set_nodelay(true).unwrap();
    let text = format!(
        "{head}\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\nConnection: close\r\nContent-Length: {}\r\n\r\n{body}",
        body.len()
    );
    socket.write_all(text.as_bytes()).unwrap();
    let mut all = Vec::new();
    socket.read_to_end(&mut all).unwrap();
    let took = began.elapsed();
    let cut = all.windows(4).position(|w| w == b"\r\n\r\n").unwrap();
    let head = String::from_utf8_lossy(&all[..cut]).into_owned();
    (head, all[cut + 4..].to_vec(), took)
}

fn open(program: &str, data: &str) -> Room {
    let mut child = Command::new(program)
        .args(["--no-open", "--port", "0", "--data", data])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let out = child.stdout.take().unwrap();
    let address = BufReader::new(out)
        .lines()
        .map_while(Result::ok)
        .find_map(|l| {
            l.split_whitespace()
                .find(|w| w.starts_with("http"))
                .map(str::to_owned)
        })
        .unwrap();
    let rest = address.strip_prefix("http://127.0.0.1:").unwrap();
    let (port, path) = rest.split_once('/').unwrap();
    let port: u16 = port.parse().unwrap();
    let (head, _, _) = ask(port, &format!("GET /{path} HTTP/1.1"), "");
    let cookie = head
        .lines()
        .find_map(|l| {
            l.to_lowercase()
                .starts_with("set-cookie:")
                .then(|| l["set-cookie:".len()..].trim().to_owned())
        })
        .unwrap();
    let cookie = cookie.split(';').next().unwrap().to_owned();
    Room {
        child,
        port,
        cookie,
    }
}

impl Room {
    fn slide(&self, value: usize) -> (usize, Duration) {
        let eighths = value % 32;
        let head = format!(
            "POST /orders/9001/draft/live HTTP/1.1\r\nCookie: {}\r\nContent-Type: application/x-www-form-urlencoded",
            self.cookie
        );
        let body = format!(
            "choice=tightening&kind=length&value={}",
            f64::from(u32::try_from(eighths).unwrap()) / 8.0
        );
        let (head, body, took) = ask(self.port, &head, &body);
        assert!(head.starts_with("HTTP/1.1 200"), "{head}");
        (body.len(), took)
    }
}

fn median(mut all: Vec<Duration>) -> Duration {
    all.sort();
    all[all.len() / 2]
}

fn engine() -> Duration {
    let library = draft::Library::default();
    let text = std::fs::read_to_string(METHOD).unwrap();
    let reading = draft::read(&text);
    let notes = draft::check(&reading, &library);
    let card = measure::card::read(CARD, &[]).unwrap();
    let all = (0..200)
        .map(|i| {
            let set = vec![(
                "tightening".to_owned(),
                format!("{} in", f64::from(i % 32) / 8.0),
            )];
            let wish = draft::Wish {
                card: &card,
                set: &set,
                predict: true,
                untrued: false,
                shown: Shown::inches(),
                corrections: &[],
            };
            let began = Instant::now();
            let worked = draft::redraw(&reading, notes.clone(), &library, &wish);
            let took = began.elapsed();
            assert!(!worked.pieces.is_empty());
            took
        })
        .collect();
    median(all)
}

fn main() {
    let program = std::env::args()
        .nth(1)
        .unwrap_or_else(|| "target/release/ellwand".into());
    let data = std::env::temp_dir().join(format!("ellwand-live-{}", std::process::id()));
    let room = open(&program, &data.to_string_lossy());
    let _warm: Vec<_> = (0..20).map(|i| room.slide(i)).collect();
    // Side by side: a round of the engine, a round of the server, in turn.
    let (mut engines, mut servers, mut bytes) = (Vec::new(), Vec::new(), 0);
    for _ in 0..5 {
        engines.push(engine());
        let round: Vec<_> = (0..60).map(|i| room.slide(i)).collect();
        bytes = round.iter().map(|r| r.0).max().unwrap_or(0);
        servers.push(median(round.into_iter().map(|r| r.1).collect()));
    }
    let (engine, server) = (median(engines), median(servers));
    println!(
        "a redraw by the engine   {:8.3} ms",
        engine.as_secs_f64() * 1e3
    );
    println!(
        "the server's answer      {:8.3} ms   {:.2} times, {} bytes",
        server.as_secs_f64() * 1e3,
        server.as_secs_f64() / engine.as_secs_f64(),
        bytes
    );
    // Fifty slides at once, ten moves each.
    let room = &room;
    let all: Vec<Duration> = std::thread::scope(|scope| {
        let threads: Vec<_> = (0..50)
            .map(|n| scope.spawn(move || (0..10).map(|i| room.slide(n + i).1).collect::<Vec<_>>()))
            .collect();
        threads
            .into_iter()
            .flat_map(|t| t.join().unwrap())
            .collect()
    });
    let slowest = all.iter().max().copied().unwrap_or_default();
    println!(
        "fifty slides at once     {:8.3} ms at the slowest of {}   {:.0} times a single one; no error",
        slowest.as_secs_f64() * 1e3,
        all.len(),
        slowest.as_secs_f64() / server.as_secs_f64()
    );
    let _ = std::fs::remove_dir_all(&data);
}
