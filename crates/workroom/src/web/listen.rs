//! The server itself: its port, its connections, and how it ends.

use std::io::{self, Write as _};
use std::net::{Ipv4Addr, Ipv6Addr};
use std::sync::Arc;
use std::time::Duration;

use axum::{Extension, Router};
use book::{Book, Running, Stamp};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::sync::{Semaphore, watch};

use super::room::{Door, Room};
use super::{Serve, again, browser, calm_lock, limits, place, routes};
use crate::STACK;
use crate::answer::Answer;

/// The usual port: nothing well known lives there.
const PORT: u16 = 7643;
/// So many ports after it are tried when it is taken.
const NEXT: u16 = 20;
/// Drafts are worked on so many threads at most; each has a deep stack, used only as far as it is needed.
const THREADS: usize = 24;

/// Opens the workroom and serves it until she ends it.
///
/// # Errors
/// When it can't be opened; in a sentence.
pub(crate) fn serve(ask: &Serve) -> Result<Answer, String> {
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(THREADS)
        .thread_stack_size(STACK)
        .enable_all()
        .build()
        .map_err(|e| format!("The workroom could not be opened: {e}."))?;
    let done = runtime.block_on(open(ask));
    runtime.shutdown_timeout(Duration::from_secs(5));
    done.map(|()| Answer::default())
}

async fn open(ask: &Serve) -> Result<(), String> {
    let folder = match &ask.data {
        Some(folder) => folder.clone(),
        None => place::usual()?,
    };
    let book = match Book::open(&folder, Stamp::now) {
        Ok(book) => book,
        Err(book::Trouble::Busy(Some(running))) => {
            return again::open_the_first(&running, ask.no_open).await;
        }
        Err(trouble) => return Err(trouble.to_string()),
    };
    let (port, listeners) = doors(ask.port).await?;
    let room = Arc::new(Room::new(port, book)?);
    let here = format!("http://127.0.0.1:{port}");
    calm_lock(&room.shelf())
        .announce(&Running {
            address: here.clone(),
            secret: room.again.text().to_owned(),
        })
        .map_err(|e| e.to_string())?;
    let address = format!("{here}/start?key={}", room.keys.token()?.text());
    say(&format!(
        "The workroom is open. Its page, good once for one browser:\n\n  {address}\n\nCtrl-C shuts it.\n"
    ));
    if !ask.no_open
        && let Err(sentence) = browser::open(&address)
    {
        say(&format!("{sentence}\n"));
    }
    let (stop, stopped) = watch::channel(false);
    let pages = routes::house(&room);
    let open: Vec<_> = listeners
        .into_iter()
        .map(|l| tokio::spawn(attend(l, Door::Here, pages.clone(), stopped.clone())))
        .collect();
    ended().await;
    let _ = stop.send(true);
    for door in open {
        let _ = door.await;
    }
    Ok(())
}

/// Says something on standard output. A reader who has gone away is no fault.
pub(crate) fn say(words: &str) {
    let mut out = io::stdout().lock();
    let _ = out.write_all(words.as_bytes()).and_then(|()| out.flush());
}

/// The doors of this computer: 127.0.0.1, and ::1 where it is free.
async fn doors(wanted: Option<u16>) -> Result<(u16, Vec<TcpListener>), String> {
    let tries: Vec<u16> = match wanted {
        Some(port) => vec![port],
        None => (PORT..=PORT + NEXT).collect(),
    };
    let mut last = None;
    for port in tries {
        match TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await {
            Ok(first) => {
                let port = first.local_addr().map_or(port, |a| a.port());
                let mut all = vec![first];
                all.extend(TcpListener::bind((Ipv6Addr::LOCALHOST, port)).await.ok());
                return Ok((port, all));
            }
            Err(fault) => last = Some((port, fault)),
        }
    }
    Err(match (wanted, last) {
        (Some(port), Some((_, fault))) if fault.kind() == io::ErrorKind::AddrInUse => format!(
            "Port {port} is taken by another program. Name another with --port, or leave it out: \
             then Ellwand looks for a free one."
        ),
        (Some(port), Some((_, fault))) if fault.kind() == io::ErrorKind::PermissionDenied => {
            format!("Port {port} is not for everyone on this computer. Name one above 1023.")
        }
        (_, Some((port, fault))) => {
            format!("The workroom could not be opened at port {port}: {fault}.")
        }
        (_, None) => "The workroom could not be opened.".to_owned(),
    })
}

/// Attends to one door until the house is shut.
async fn attend(
    listener: TcpListener,
    door: Door,
    pages: Router,
    mut stopped: watch::Receiver<bool>,
) {
    let pages = pages.layer(Extension(door));
    let room_for = Arc::new(Semaphore::new(limits::CONNECTIONS));
    let ending = GracefulShutdown::new();
    loop {
        let Ok(place) = Arc::clone(&room_for).acquire_owned().await else {
            break;
        };
        let taken = tokio::select! {
            // It changes once, when the house is shut.
            _ = stopped.changed() => break,
            taken = listener.accept() => taken,
        };
        let Ok((stream, _)) = taken else {
            // Out of handles, most likely: others are let go first.
            tokio::time::sleep(Duration::from_millis(50)).await;
            continue;
        };
        let _ = stream.set_nodelay(true);
        let service = TowerToHyperService::new(pages.clone());
        let talk = http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(limits::HEAD)
            .max_headers(100)
            .serve_connection(TokioIo::new(stream), service);
        let talk = ending.watch(talk);
        tokio::spawn(async move {
            // A browser that went away in the middle is no fault.
            let _ = talk.await;
            drop(place);
        });
    }
    drop(listener);
    let _ = tokio::time::timeout(Duration::from_secs(3), ending.shutdown()).await;
}

/// Comes back when she ends it: Ctrl-C, or a signal to end.
async fn ended() {
    let key = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        match signal(SignalKind::terminate()) {
            Ok(mut end) => tokio::select! {
                () = key => {}
                _ = end.recv() => {}
            },
            Err(_) => key.await,
        }
    }
    #[cfg(not(unix))]
    key.await;
}
