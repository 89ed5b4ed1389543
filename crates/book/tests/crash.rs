//! What a kill, a stop at any moment, a full disk and a read-only disk leave of the book.
#![cfg(target_os = "linux")]
#![allow(
    clippy::print_stdout,
    reason = "a test says what it tried, and what it could not try"
)]
#![allow(
    clippy::unwrap_used,
    reason = "a test that can't go on says so best by stopping"
)]

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use book::{About, Book, CardHead, CardNo, ClientNo, NewReading, Stamp, Trouble, Unit};
use measure::Date;

const FOLDER: &str = "BOOK_CHILD";
const WRITERS: usize = 3;

fn reading(measure: &str, text: &str) -> NewReading {
    NewReading {
        measure: measure.to_owned(),
        turn: 1,
        text: text.to_owned(),
        unit: "in".to_owned(),
        mm: None,
    }
}

fn begin(folder: &Path) -> Book {
    let mut book = Book::open(folder, Stamp::now).unwrap();
    let about = About {
        name: "Odile".to_owned(),
        ..About::default()
    };
    let client = book.new_client(&about, false).unwrap();
    let head = CardHead::new(Date::read("2026-11-25").unwrap(), Unit::Inch);
    book.new_card(client, &head).unwrap();
    book
}

fn card(book: &Book) -> book::Id {
    book.card(ClientNo(1), CardNo(1)).unwrap().id
}

/// The texts of one writer, in the order in which they were written.
fn written(book: &Book, writer: usize) -> Vec<usize> {
    let history = book.reading_history(card(book)).unwrap();
    let name = writer.to_string();
    let mine = history.iter().filter(|r| r.measure == name);
    mine.map(|r| r.text.trim_end_matches('.').parse().unwrap())
        .collect()
}

/// Not a test by itself: the child of the others, which writes until it is killed, and says each change
/// after it was answered.
#[test]
fn child_that_writes() {
    let Some(folder) = std::env::var_os(FOLDER) else {
        return;
    };
    let book = Book::open(Path::new(&folder), Stamp::now).unwrap();
    let card = card(&book);
    let book = Mutex::new(book);
    thread::scope(|all| {
        for writer in 0..WRITERS {
            let book = &book;
            all.spawn(move || {
                let mut next = written(&book.lock().unwrap(), writer).len() + 1;
                loop {
                    // Now and then one that fills several pages.
                    let long = if next.is_multiple_of(7) {
                        ".".repeat(20_000)
                    } else {
                        String::new()
                    };
                    let new = reading(&writer.to_string(), &format!("{next}{long}"));
                    book.lock()
                        .unwrap()
                        .write_readings(card, None, &[new], "here")
                        .unwrap();
                    let mut out = std::io::stdout().lock();
                    writeln!(out, "\nack {writer} {next}").unwrap();
                    out.flush().unwrap();
                    next += 1;
                }
            });
        }
    });
}

struct Writing {
    child: Child,
    acknowledged: Arc<[AtomicUsize; WRITERS]>,
    listener: Option<thread::JoinHandle<()>>,
}

fn start(folder: &Path) -> Writing {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "child_that_writes",
            "--nocapture",
            "--test-threads=1",
        ])
        .env(FOLDER, folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let acknowledged: Arc<[AtomicUsize; WRITERS]> = Arc::default();
    let out = BufReader::new(child.stdout.take().unwrap());
    let heard = Arc::clone(&acknowledged);
    let listener = thread::spawn(move || {
        for line in out.lines().map_while(Result::ok) {
            let mut words = line.split(' ');
            if words.next() == Some("ack") {
                let numbers: Vec<usize> = words.filter_map(|w| w.parse().ok()).collect();
                heard[numbers[0]].store(numbers[1], Ordering::SeqCst);
            }
        }
    });
    Writing {
        child,
        acknowledged,
        listener: Some(listener),
    }
}

impl Writing {
    fn acknowledged(&self) -> [usize; WRITERS] {
        std::array::from_fn(|i| self.acknowledged[i].load(Ordering::SeqCst))
    }

    /// Waits for the first answer, at most ten seconds.
    fn wait(&self) {
        for _ in 0..10_000 {
            if self.acknowledged().iter().sum::<usize>() > 0 {
                return;
            }
            thread::sleep(Duration::from_millis(1));
        }
    }

    /// Kills it at once (`kill -9`), and answers everything that it had acknowledged.
    fn kill(mut self) -> [usize; WRITERS] {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
        self.listener.take().unwrap().join().unwrap();
        self.acknowledged()
    }
}

/// Would catch a change that was answered and is lost, one that is half there, and a file that a kill
/// leaves damaged: killed 12 times (`BOOK_KILLS=200`: as many) under three writers, the book always opens with every change that was
/// answered, in order, and at most the one more that was under way.
#[test]
fn killed_under_writes_nothing_answered_is_lost() {
    let place = tempfile::tempdir().unwrap();
    drop(begin(place.path()));
    let mut total = 0;
    let kills: u64 = std::env::var("BOOK_KILLS").map_or(12, |n| n.parse().unwrap());
    for round in 0..kills {
        let writing = start(place.path());
        writing.wait();
        thread::sleep(Duration::from_millis(round * 37 % 160));
        let acknowledged = writing.kill();
        let book = Book::open(place.path(), Stamp::now).unwrap();
        for (writer, acknowledged) in acknowledged.into_iter().enumerate() {
            let there = written(&book, writer);
            assert!(
                there.iter().copied().eq(1..=there.len()),
                "writer {writer}: a hole"
            );
            if acknowledged > 0 {
                let more = there.len() - acknowledged;
                assert!(
                    more <= 1,
                    "writer {writer}: {acknowledged} answered, {} there",
                    there.len()
                );
            }
        }
        let now: usize = (0..WRITERS).map(|w| written(&book, w).len()).sum();
        assert!(now >= total);
        total = now;
        // Copied, it is looked through closely.
        book.backup_to(&place.path().join("copy.db")).unwrap();
    }
    println!("{total} changes answered under {kills} kills, none lost");
    assert!(total > 50, "only {total} changes: nothing was tried");
}

fn signal(child: &Child, name: &str) {
    let sent = Command::new("kill")
        .args([name, &child.id().to_string()])
        .status()
        .unwrap();
    assert!(sent.success());
}

fn stopped(child: &Child) -> bool {
    let stat = fs::read_to_string(format!("/proc/{}/stat", child.id())).unwrap_or_default();
    stat.rsplit(')')
        .next()
        .is_some_and(|rest| rest.trim_start().starts_with('T'))
}

/// How much of what waits beside the file is being carried over into it, or was: SQLite has brought that
/// to the disk before it begins to, so a power cut can't take it away.
///
/// Where the counts stand: <https://www.sqlite.org/walformat.html>, section 2.3.
fn carried_over(shm: &[u8]) -> usize {
    let count = |at: usize| {
        let bytes = shm.get(at..at + 4).and_then(|b| b.try_into().ok());
        bytes.map_or(0, |b| u32::from_ne_bytes(b) as usize)
    };
    let frames = count(96).max(count(128));
    if frames == 0 {
        0
    } else {
        32 + frames * (24 + 4096)
    }
}

/// The power goes: what the disk holds at any moment, also with the end of what waits beside the file not
/// written any more, opens whole and holds an unbroken past. Not tried: a disk that writes out of order.
#[test]
fn stopped_at_any_moment_the_files_hold_a_whole_past() {
    let place = tempfile::tempdir().unwrap();
    drop(begin(place.path()));
    let writing = start(place.path());
    writing.wait();
    let mut moments = Vec::new();
    for round in 0..10_usize {
        thread::sleep(Duration::from_millis(15 + round as u64 * 7 % 40));
        let answered: usize = writing.acknowledged().iter().sum();
        signal(&writing.child, "-STOP");
        while !stopped(&writing.child) {
            thread::yield_now();
        }
        let db = fs::read(place.path().join("book.db")).unwrap();
        let wal = fs::read(place.path().join("book.db-wal")).unwrap_or_default();
        let shm = fs::read(place.path().join("book.db-shm")).unwrap_or_default();
        signal(&writing.child, "-CONT");
        let safe = carried_over(&shm).min(wal.len());
        moments.push((answered, db, wal, safe));
    }
    let answered: usize = writing.kill().iter().sum();
    let (mut copies, mut torn) = (0, 0);
    for (round, (answered, db, wal, safe)) in moments.into_iter().enumerate() {
        for cut in [
            wal.len(),
            wal.len() * 9 / 10,
            wal.len() / 2 + round * 1013 % 4096,
            0,
        ] {
            let cut = cut.max(safe).min(wal.len());
            torn += usize::from(cut < wal.len());
            let copy = tempfile::tempdir().unwrap();
            fs::write(copy.path().join("book.db"), &db).unwrap();
            fs::write(copy.path().join("book.db-wal"), &wal[..cut]).unwrap();
            let book = Book::open(copy.path(), Stamp::now).unwrap();
            let history = book.reading_history(card(&book)).unwrap();
            let places: Vec<u64> = history.iter().map(|r| r.at).collect();
            assert!(
                places.iter().copied().eq(1..=places.len() as u64),
                "a hole in the past"
            );
            for writer in 0..WRITERS {
                let there = written(&book, writer);
                assert!(
                    there.iter().copied().eq(1..=there.len()),
                    "writer {writer}: a hole"
                );
            }
            if cut == wal.len() {
                assert!(
                    places.len() >= answered,
                    "{answered} answered, {} there",
                    places.len()
                );
            }
            book.backup_to(&copy.path().join("copy.db")).unwrap();
            copies += 1;
        }
    }
    println!("{copies} copies under {answered} changes, each whole; {torn} without their end");
    assert!(torn > 0, "nothing was cut off");
    assert!(answered > 20, "only {answered} changes: nothing was tried");
}

/// Not a test by itself: opens a book, writes, makes a backup, and leaves the files for the parent to see.
#[test]
fn child_that_opens() {
    if let Some(folder) = std::env::var_os("BOOK_OPENS") {
        let folder = Path::new(&folder);
        let mut book = begin(folder);
        book.set("unit", "in").unwrap();
        book.back_up().unwrap();
        let running = book::Running {
            address: "http://127.0.0.1:1".to_owned(),
            secret: "x".to_owned(),
        };
        book.announce(&running).unwrap();
        // Closed only by the end of the process, so that what lies beside the file stays.
        std::process::exit(0);
    }
}

/// Would catch a file that another account can read, whatever the habit of this account: with `umask` 000
/// everybody could read what a program makes, with 777 not even its owner.
#[test]
fn only_the_owner_reads_it_whatever_the_habit() {
    use std::os::unix::fs::PermissionsExt;
    for habit in ["000", "022", "777"] {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("records");
        let ended = Command::new("sh")
            .args([
                "-c",
                &format!("umask {habit}; exec \"$0\" --exact child_that_opens"),
            ])
            .arg(std::env::current_exe().unwrap())
            .env("BOOK_OPENS", &folder)
            .stdout(Stdio::null())
            .status()
            .unwrap();
        assert!(ended.success());
        let mut seen = Vec::new();
        let mut look = |path: &Path, wanted: u32| {
            let mode = fs::metadata(path).unwrap().permissions().mode() & 0o777;
            assert_eq!(mode, wanted, "umask {habit}: {}", path.display());
            seen.push(path.file_name().unwrap().to_str().unwrap().to_owned());
        };
        look(&folder, 0o700);
        look(&folder.join("backups"), 0o700);
        for place in [folder.clone(), folder.join("backups")] {
            for entry in fs::read_dir(place)
                .unwrap()
                .flatten()
                .filter(|e| e.path().is_file())
            {
                look(&entry.path(), 0o600);
            }
        }
        for name in [
            "book.db",
            "book.db-wal",
            "book.db-shm",
            "running.json",
            "running.lock",
        ] {
            assert!(seen.iter().any(|s| s == name), "{name} not among {seen:?}");
        }
        assert!(
            seen.iter().any(|s| s.starts_with("book-00001-")),
            "{seen:?}"
        );
    }
}

/// A small disk of its own, taken away at the end; `None` where this account may not make one.
struct Disk(
    PathBuf,
    #[expect(dead_code, reason = "holds the place")] tempfile::TempDir,
);

impl Disk {
    fn new(size: &str) -> Option<Self> {
        let place = tempfile::tempdir().unwrap();
        let made = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &format!("size={size}"), "tmpfs"])
            .arg(place.path())
            .stderr(Stdio::null())
            .status();
        if made.is_ok_and(|s| s.success()) {
            Some(Self(place.path().to_owned(), place))
        } else {
            println!("not tried: this account may not make a small disk");
            None
        }
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

/// Would catch a change that is half kept on a full disk, a book that is of no use afterwards, and a
/// trouble that is not named.
#[test]
fn a_full_disk_keeps_what_was_kept() {
    let Some(disk) = Disk::new("3m") else { return };
    let folder = disk.0.join("book");
    let mut book = begin(&folder);
    let filler = disk.0.join("filler");
    fs::write(&filler, vec![1_u8; 1 << 20]).unwrap();
    let card = card(&book);
    let mut kept = 0;
    let trouble = loop {
        let text = format!("{}{}", kept + 1, ".".repeat(30_000));
        match book.write_readings(card, None, &[reading("0", &text)], "here") {
            Ok(_) => kept += 1,
            Err(trouble) => break trouble,
        }
    };
    assert!(matches!(trouble, Trouble::Full), "{trouble:?}");
    assert!(kept > 3, "{kept}");
    assert_eq!(written(&book, 0).len(), kept, "it is read as before");
    let backup = book.backup_to(&disk.0.join("backup.db"));
    assert!(matches!(backup, Err(Trouble::Full)), "{backup:?}");
    assert!(!disk.0.join("backup.db").exists() && !disk.0.join("backup.db.new").exists());
    fs::remove_file(&filler).unwrap();
    book.write_readings(card, None, &[reading("0", &(kept + 1).to_string())], "here")
        .unwrap();
    drop(book);
    let book = Book::open(&folder, Stamp::now).unwrap();
    assert_eq!(written(&book, 0).len(), kept + 1);
}

/// The files of a folder in which a text stands.
fn stands_in(folder: &Path, text: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(stands_in(&path, text));
        } else {
            let bytes = fs::read(&path).unwrap();
            if bytes.windows(text.len()).any(|w| w == text.as_bytes()) {
                found.push(path);
            }
        }
    }
    found
}

/// Would catch somebody who is erased while the disk is nearly full, and stays in the backups for ever or
/// between the rows, and a trouble that does not say so.
#[test]
fn an_erasing_on_a_full_disk_is_told_and_finished_when_there_is_room() {
    const NAME: &str = "Philomena Quartermaine";
    let Some(disk) = Disk::new("32m") else { return };
    let folder = disk.0.join("book");
    let mut book = begin(&folder);
    // What stays is large, she is small: her rows go, but the file can't be written once more.
    let odile = card(&book);
    for n in 0..60 {
        let text = format!("{n}{}", ".".repeat(30_000));
        book.write_readings(odile, None, &[reading("0", &text)], "here")
            .unwrap();
    }
    let about = About {
        name: NAME.to_owned(),
        ..About::default()
    };
    let her = book.new_client(&about, false).unwrap();
    drop(book);
    let mut book = Book::open(&folder, Stamp::now).unwrap();
    let backup = book.back_up().unwrap();
    let filler = disk.0.join("filler");
    let mut fills = fs::File::create(&filler).unwrap();
    while fills.write_all(&[1; 4096]).is_ok() {}
    let length = fills.metadata().unwrap().len();
    fills.set_len(length - 500 * 1024).unwrap();
    // What is removed while it is open takes its room until it is shut.
    drop(fills);
    let told = book.erase_client_everywhere(her).unwrap();
    let Some(Trouble::Unswept(why)) = &told.unswept else {
        panic!("{told:?}")
    };
    assert!(matches!(**why, Trouble::Full), "{why:?}");
    assert_eq!(told.backups.cleaned, 0);
    let [left] = told.backups.left.as_slice() else {
        panic!("{told:?}")
    };
    assert_eq!(left.path, backup.path);
    assert!(
        matches!(left.why, Trouble::Full) && left.may_pass(),
        "{left:?}"
    );
    assert!(matches!(book.client(her), Err(Trouble::Missing(_))));
    assert!(!stands_in(&folder, NAME).is_empty());
    assert_eq!(Book::last_good_backup(&folder), Some(backup.path.clone()));
    drop(book);
    fs::remove_file(&filler).unwrap();
    let book = Book::open(&folder, Stamp::now).unwrap();
    let traces = stands_in(&folder, NAME);
    assert!(traces.is_empty(), "{traces:?}");
    assert_eq!(Book::last_good_backup(&folder), Some(backup.path));
    assert_eq!(written(&book, 0).len(), 60);
}

/// Would catch a read-only disk that is told as something else, or from which nothing can be read.
#[test]
fn a_read_only_disk_is_said_and_can_be_read() {
    let Some(disk) = Disk::new("8m") else { return };
    let folder = disk.0.join("book");
    drop(begin(&folder));
    let remounted = Command::new("mount")
        .args(["-o", "remount,ro"])
        .arg(&disk.0)
        .status()
        .unwrap();
    assert!(remounted.success());
    let opened = Book::open(&folder, Stamp::now);
    assert!(matches!(opened, Err(Trouble::ReadOnly)), "{opened:?}");
    let missing = Book::open(&disk.0.join("elsewhere"), Stamp::now);
    assert!(matches!(missing, Err(Trouble::ReadOnly)), "{missing:?}");
    let mut book = Book::open_to_read(&folder, Stamp::now).unwrap();
    assert_eq!(book.client(ClientNo(1)).unwrap().about.name, "Odile");
    assert!(matches!(book.set("unit", "cm"), Err(Trouble::ReadOnly)));
}
