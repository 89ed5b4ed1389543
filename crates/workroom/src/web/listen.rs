//! The server itself: its port, its connections, and how it ends.

use std::io::{self, Write as _};
use std::net::{IpAddr, Ipv4Addr, Ipv6Addr};
use std::pin::pin;
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::{Extension, Router};
use book::{Book, Stamp};
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use hyper_util::service::TowerToHyperService;
use tokio::net::TcpListener;
use tokio::sync::{Semaphore, mpsc, watch};
use tokio::task::JoinHandle;

use super::house::{self, Call};
use super::records::Ill;
use super::room::{Door, Room};
use super::{Serve, again, browser, calm_lock, demo, limits, place, room, routes};
use crate::STACK;
use crate::answer::{Answer, calm};
use crate::ending::End;

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
    let (book, ill) = match Book::open(&folder, Stamp::now) {
        Ok(mut book) => {
            demo::lay_out(&mut book, room::today()).map_err(|t| t.says)?;
            if let Err(trouble) = book.back_up_if_due() {
                say(&format!("No backup could be made: {trouble}\n"));
            }
            (book, None)
        }
        Err(book::Trouble::Damaged { backup }) => {
            let (book, ill) = Ill::open(&folder, backup)?;
            (book, Some(ill))
        }
        Err(book::Trouble::Busy(Some(running))) => {
            return again::open_the_first(&running, ask.no_open).await;
        }
        Err(trouble) => return Err(trouble.to_string()),
    };
    let mut end =
        End::listened_for().map_err(|e| format!("The workroom could not be opened: {e}."))?;
    let (port, listeners) = doors(ask.port).await?;
    let room = Arc::new(Room::new(port, book)?);
    match ill {
        Some(ill) => {
            say(
                "The file with your records is damaged. Nothing was changed in it; the page says what can be done.\n\n",
            );
            room.fell_ill(ill);
        }
        None => calm_lock(&room.shelf())
            .announce(&room.running())
            .map_err(|e| e.to_string())?,
    }
    let address = format!(
        "{}/start?key={}",
        room.running().address,
        room.keys.token()?.text()
    );
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
    let mut porter = Porter {
        room,
        pages,
        port,
        standing: None,
    };
    if let Some(wanted) = &ask.house {
        match porter.open_as_asked(wanted).await {
            Ok(at) => say(&format!(
                "\nIt is open to the house network too, for four hours, at {at}\n\
                 A phone is paired in Settings, Phones at the table. What goes over your Wi-Fi can be listened to:\n\
                 do this in your own house only.\n"
            )),
            Err(sentence) => say(&format!("\n{sentence}\n")),
        }
    }
    let backups = tokio::spawn(daily(Arc::clone(&porter.room)));
    porter.until(end.comes()).await;
    porter.shut().await;
    backups.abort();
    let _ = stop.send(true);
    for door in open {
        let _ = door.await;
    }
    // A backup that was sent and not restored is a whole copy of everybody: it does not outlast the program.
    porter.room.waiting.clear();
    Ok(())
}

/// Makes the day's backup, at the start and whenever a new day has begun.
async fn daily(room: Arc<Room>) {
    loop {
        // When it can't be made (a full disk) the next try is in an hour; her work is not disturbed.
        let _ = room
            .book(|book| {
                if !book.only_to_read() && book.folder().is_some() {
                    book.back_up_if_due()?;
                }
                Ok(())
            })
            .await;
        tokio::time::sleep(Duration::from_hours(1)).await;
    }
}

/// Opens and shuts the door to the house.
struct Porter {
    room: Arc<Room>,
    pages: Router,
    port: u16,
    standing: Option<(watch::Sender<bool>, JoinHandle<()>)>,
}

impl Porter {
    /// Attends to the door until the house is shut.
    async fn until(&mut self, end: impl Future<Output = ()>) {
        let (bell, mut calls) = mpsc::channel(4);
        self.room.house.hang_bell(bell);
        let mut end = pin!(end);
        loop {
            let open = self.room.house.standing(Instant::now());
            let over = async {
                match open {
                    Some(standing) => tokio::time::sleep_until(standing.until.into()).await,
                    None => std::future::pending().await,
                }
            };
            tokio::select! {
                () = &mut end => return,
                () = over => self.shut().await,
                call = calls.recv() => match call {
                    Some(Call::Open(at, told)) => { let _ = told.send(self.open(at).await); }
                    Some(Call::Shut) => self.shut().await,
                    None => return,
                },
            }
        }
    }

    async fn open_as_asked(&mut self, wanted: &str) -> Result<String, String> {
        let at = if wanted.is_empty() {
            house::own_address().ok_or(
                "This computer is in no house network just now, so the workroom is open on this computer only.",
            )?
        } else {
            wanted.parse().map_err(|_| {
                format!("`{}` is no address, like 192.168.1.20; the workroom is open on this computer only.", calm(wanted))
            })?
        };
        self.open(at).await?;
        Ok(self.room.house_address(at))
    }

    async fn open(&mut self, at: IpAddr) -> Result<(), String> {
        if !house::is_of_the_house(at) {
            return Err(format!(
                "{at} is no address of a house network, so the workroom is open on this computer only."
            ));
        }
        self.shut().await;
        let listener = TcpListener::bind((at, self.port)).await.map_err(|e| {
            format!(
                "The workroom could not be opened to the house at {at}, port {}: {e}.",
                self.port
            )
        })?;
        let (stop, stopped) = watch::channel(false);
        let door = tokio::spawn(attend(listener, Door::House, self.pages.clone(), stopped));
        self.standing = Some((stop, door));
        self.room.house.opened(at, Instant::now());
        Ok(())
    }

    async fn shut(&mut self) {
        self.room.house.shut();
        if let Some((stop, door)) = self.standing.take() {
            let _ = stop.send(true);
            let _ = door.await;
        }
    }
}

/// Says something on standard output. A reader who has gone away is no fault.
pub(crate) fn say(words: &str) {
    let mut out = io::stdout().lock();
    let _ = out.write_all(words.as_bytes()).and_then(|()| out.flush());
}

/// The doors of this computer: 127.0.0.1, and `::1` where it is free.
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
