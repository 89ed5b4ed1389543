//! Opening the workroom, through the built program: ports, folders, a second start, an end in the
//! middle, and what is said when something stands in the way.

use std::fs;
use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use tests::{Ran, Scratch, ellwand, program};

const PATIENCE: Duration = Duration::from_mins(1);

/// The program, running; killed when dropped.
struct Open {
    child: Child,
    /// `127.0.0.1:45123`
    host: String,
    way_in: String,
}

impl Drop for Open {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The program with these words, not yet started.
fn words(data: &Path, more: &[&str]) -> Command {
    let mut command = Command::new(program());
    command
        .args(["--no-open", "--data"])
        .arg(data)
        .args(more)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

fn open(data: &Path, more: &[&str]) -> Open {
    opened(words(data, more))
}

fn opened(mut command: Command) -> Open {
    let mut child = command.spawn().expect("the program starts");
    let out = child.stdout.take().expect("standard output is piped");
    let mut lines = BufReader::new(out).lines().map_while(Result::ok);
    let way_in = lines.by_ref().find_map(|line| address_in(&line));
    let Some(way_in) = way_in else {
        let mut err = String::new();
        let _ = child.stderr.take().expect("piped").read_to_string(&mut err);
        panic!("it shows no address: {err}");
    };
    std::thread::spawn(move || lines.for_each(drop));
    let host = way_in["http://".len()..]
        .split('/')
        .next()
        .unwrap_or_default()
        .to_owned();
    Open {
        child,
        host,
        way_in,
    }
}

fn address_in(line: &str) -> Option<String> {
    let at = line.find("http://")?;
    line[at..].split_whitespace().next().map(str::to_owned)
}

/// One request: the whole answer.
fn ask(host: &str, method: &str, path: &str, cookie: &str) -> String {
    let mut stream = TcpStream::connect(host).expect("it answers");
    stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
    let text = format!(
        "{method} {path} HTTP/1.1\r\nHost: {host}\r\nCookie: {cookie}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n"
    );
    stream.write_all(text.as_bytes()).expect("it is sent");
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    String::from_utf8_lossy(&answer).into_owned()
}

/// Comes in by a start-up address, and gives the cookie.
fn come_in(open: &Open, way_in: &str) -> String {
    let path = &way_in[way_in.find("/start").expect("a start-up address")..];
    let answer = ask(&open.host, "GET", path, "");
    assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");
    let cookie = answer
        .lines()
        .find_map(|l| l.strip_prefix("set-cookie: "))
        .expect("a cookie");
    cookie.split(';').next().unwrap_or_default().to_owned()
}

/// Waits until the program has ended: how.
fn ended(mut open: Open) -> Ran {
    let end = Instant::now() + PATIENCE;
    let status = loop {
        if let Some(status) = open.child.try_wait().expect("it can be asked") {
            break status;
        }
        assert!(Instant::now() < end, "it did not end");
        std::thread::sleep(Duration::from_millis(20));
    };
    let mut err = String::new();
    if let Some(mut pipe) = open.child.stderr.take() {
        let _ = pipe.read_to_string(&mut err);
    }
    Ran {
        code: status.code().unwrap_or(-1),
        out: String::new(),
        err,
    }
}

/// A start that is expected to end by itself with a fault: what it said.
fn refused(data: &Path, more: &[&str]) -> String {
    let output = words(data, more).output().expect("it ends");
    let err = String::from_utf8_lossy(&output.stderr).into_owned();
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert!(output.stdout.is_empty(), "an address was shown");
    err
}

#[test]
fn it_opens_on_this_computer_only_and_ends_whole() {
    let place = Scratch::new();
    let data = place.path().join("data");
    for signal in ["-INT", "-TERM"] {
        let running = open(&data, &["--port", "0"]);
        let cookie = come_in(&running, &running.way_in);
        assert!(ask(&running.host, "GET", "/", &cookie).starts_with("HTTP/1.1 200"));
        assert!(ask(&running.host, "GET", "/", "").starts_with("HTTP/1.1 401"));
        // The system's own list of listeners: this computer's addresses, and no others.
        let pid = running.child.id();
        let listeners = listeners_of(pid);
        assert!(!listeners.is_empty());
        for at in &listeners {
            assert!(
                at.starts_with("127.0.0.1:") || at.starts_with("[::1]:"),
                "it listens at {at}"
            );
        }
        let sent = Command::new("kill")
            .args([signal, &pid.to_string()])
            .status();
        assert!(sent.is_ok_and(|s| s.success()));
        assert_eq!(ended(running).code, 0, "{signal}");
        // What a second copy looks at is gone, and the log of changes is written back.
        assert!(!data.join("running.json").exists());
        assert!(data.join("book.db").exists());
    }
}

/// Would catch a whole copy of every client that stays on this computer when the workroom is shut while a
/// backup that was sent still waits for its word (a form with a file: RFC 7578).
#[test]
fn a_backup_that_waits_ends_with_the_workroom() {
    let place = Scratch::new();
    let data = place.path().join("data");
    let running = open(&data, &["--port", "0"]);
    let cookie = come_in(&running, &running.way_in);
    let copies = || -> Vec<_> {
        let all = fs::read_dir(data.join("backups")).expect("the backups");
        all.flatten().map(|entry| entry.path()).collect()
    };
    let before = copies();
    assert_eq!(before.len(), 1, "the backup of the day: {before:?}");
    let mut body =
        b"--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"x\"\r\n\r\n".to_vec();
    body.extend(fs::read(&before[0]).expect("the backup"));
    body.extend(b"\r\n--edge--\r\n");
    let head = format!(
        "POST /settings/restore HTTP/1.1\r\nHost: {}\r\nCookie: {cookie}\r\nContent-Type: multipart/form-data; boundary=edge\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
        running.host,
        body.len()
    );
    let mut stream = TcpStream::connect(&running.host).expect("it answers");
    stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
    stream.write_all(head.as_bytes()).expect("it is sent");
    stream.write_all(&body).expect("it is sent");
    let mut answer = String::new();
    let _ = stream.read_to_string(&mut answer);
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert_eq!(copies().len(), 2, "it waits beside the book");
    let pid = running.child.id().to_string();
    let sent = Command::new("kill").args(["-INT", &pid]).status();
    assert!(sent.is_ok_and(|s| s.success()));
    assert_eq!(ended(running).code, 0);
    assert_eq!(copies(), before);
}

/// The addresses at which a process listens, from /proc: as `ss` shows them.
fn listeners_of(pid: u32) -> Vec<String> {
    let mut sockets = Vec::new();
    let folder = format!("/proc/{pid}/fd");
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        if let Ok(target) = fs::read_link(entry.path())
            && let Some(inode) = target
                .to_string_lossy()
                .strip_prefix("socket:[")
                .and_then(|t| t.strip_suffix(']'))
        {
            sockets.push(inode.to_owned());
        }
    }
    let mut found = Vec::new();
    for table in ["tcp", "tcp6"] {
        let text = fs::read_to_string(format!("/proc/{pid}/net/{table}")).unwrap_or_default();
        for line in text.lines().skip(1) {
            let parts: Vec<&str> = line.split_whitespace().collect();
            let (Some(at), Some(&"0A"), Some(inode)) = (parts.get(1), parts.get(3), parts.get(9))
            else {
                continue;
            };
            if sockets.iter().any(|s| s == inode) {
                found.push(readable(at));
            }
        }
    }
    found
}

/// `0100007F:1F90` as `127.0.0.1:8080`.
fn readable(at: &str) -> String {
    let (ip, port) = at.split_once(':').unwrap_or((at, "0"));
    let port = u16::from_str_radix(port, 16).unwrap_or_default();
    match ip {
        "0100007F" => format!("127.0.0.1:{port}"),
        "00000000000000000000000001000000" => format!("[::1]:{port}"),
        other => format!("{other}:{port}"),
    }
}

#[test]
fn a_second_start_opens_the_first_one_s_page() {
    let place = Scratch::new();
    let data = place.path().join("data");
    let first = open(&data, &["--port", "0"]);
    let second = words(&data, &[]).output().expect("it ends");
    assert_eq!(second.status.code(), Some(0));
    let out = String::from_utf8_lossy(&second.stdout).into_owned();
    let way_in = out.lines().find_map(address_in).expect("an address");
    assert!(way_in.contains(&first.host), "{out}");
    assert_ne!(way_in, first.way_in);
    let cookie = come_in(&first, &way_in);
    assert!(ask(&first.host, "GET", "/", &cookie).starts_with("HTTP/1.1 200"));
    // Both ways in are spent on their own.
    let cookie = come_in(&first, &first.way_in);
    assert!(ask(&first.host, "GET", "/", &cookie).starts_with("HTTP/1.1 200"));
}

#[test]
fn a_taken_port_is_told_or_passed_over() {
    let place = Scratch::new();
    let taken = TcpListener::bind(("127.0.0.1", 0)).expect("a port");
    let port = taken.local_addr().expect("a port").port().to_string();
    let said = refused(&place.path().join("a"), &["--port", &port]);
    assert!(said.contains(&format!("Port {port} is taken")), "{said}");
    // Without a wish the usual port, or the next: two workrooms with folders of their own.
    let one = open(&place.path().join("b"), &[]);
    let two = open(&place.path().join("c"), &[]);
    assert_ne!(one.host, two.host);
}

#[test]
fn a_folder_that_cannot_be_used_is_told() {
    let place = Scratch::new();
    let file = place.file("a-file", "not a folder");
    let said = refused(Path::new(&file), &["--port", "0"]);
    assert!(
        said.contains("is a file") && said.contains("--data"),
        "{said}"
    );
    let said = refused(Path::new("/proc/ellwand"), &["--port", "0"]);
    assert!(said.contains("--data"), "{said}");
}

#[test]
fn a_database_of_a_newer_program_is_left_as_it_is() {
    let place = Scratch::new();
    let data = place.path().join("data");
    drop(open(&data, &["--port", "0"]));
    settle(&data);
    let file = data.join("book.db");
    // The edition stands at byte 60 of the file (the database file format of SQLite, 1.3).
    let mut bytes = fs::read(&file).expect("the file");
    bytes[60..64].copy_from_slice(&9999_u32.to_be_bytes());
    fs::write(&file, &bytes).expect("written");
    let said = refused(&data, &["--port", "0"]);
    assert!(
        said.contains("newer Ellwand") && said.contains("9999"),
        "{said}"
    );
    assert_eq!(fs::read(&file).expect("the file"), bytes);
}

/// Opens and shuts the workroom once in peace, so that everything stands in the one file.
fn settle(data: &Path) {
    let running = open(data, &["--port", "0"]);
    let pid = running.child.id().to_string();
    let _ = Command::new("kill").args(["-TERM", &pid]).status();
    assert_eq!(ended(running).code, 0);
}

#[test]
fn damaged_records_are_shown_to_read_and_the_last_good_backup_offered() {
    let place = Scratch::new();
    let data = place.path().join("data");
    settle(&data);
    // A backup as the program makes it lies there after a start; a page in the middle is damaged.
    let file = data.join("book.db");
    let mut bytes = fs::read(&file).expect("the file");
    let page = 4096;
    assert!(bytes.len() > 6 * page);
    for at in 2..bytes.len() / page {
        bytes[at * page..at * page + 64].fill(0xA5);
    }
    fs::write(&file, &bytes).expect("written");
    let running = open(&data, &["--port", "0"]);
    let cookie = come_in(&running, &running.way_in);
    let page = ask(&running.host, "GET", "/records", &cookie);
    assert!(page.starts_with("HTTP/1.1 200"), "{page}");
    assert!(page.contains("is damaged"), "{page}");
    let same = fs::read(&file).expect("the file");
    assert_eq!(same, bytes, "a damaged file was written to");
    if page.contains("Put the backup in its place") {
        let answer = ask(&running.host, "POST", "/records/restore", &cookie);
        assert!(answer.starts_with("HTTP/1.1 303"), "{answer}");
        let page = ask(&running.host, "GET", "/records", &cookie);
        assert!(page.contains("Your records are whole"), "{page}");
        assert!(ask(&running.host, "GET", "/", &cookie).starts_with("HTTP/1.1 200"));
        drop(running);
        // And it stays mended.
        settle(&data);
    } else {
        panic!("no backup is offered: {page}");
    }
}

#[test]
fn the_folder_and_its_files_are_hers_alone() {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let place = Scratch::new();
        let data = place.path().join("data");
        let running = open(&data, &["--port", "0"]);
        let cookie = come_in(&running, &running.way_in);
        ask(&running.host, "GET", "/", &cookie);
        let mode = |p: &Path| fs::metadata(p).expect("it is there").permissions().mode() & 0o777;
        assert_eq!(mode(&data), 0o700);
        let mut seen = 0;
        for entry in fs::read_dir(&data).expect("the folder").flatten() {
            let wanted = if entry.path().is_dir() { 0o700 } else { 0o600 };
            assert_eq!(mode(&entry.path()), wanted, "{}", entry.path().display());
            seen += 1;
        }
        assert!(seen >= 4, "book.db, its log, its index and the lock");
    }
}

#[test]
fn it_works_where_there_is_no_network_at_all() {
    // Nothing goes out: in a network of its own, with nothing but its own loopback, all of it works.
    let can = Command::new("unshare")
        .args(["--map-root-user", "--net", "true"])
        .status()
        .is_ok_and(|s| s.success());
    if !can {
        eprintln!(
            "this system gives no network of its own; the source holds no client that could send"
        );
        return;
    }
    let place = Scratch::new();
    let script = place.file(
        "alone.sh",
        "set -eu\n\
         ip link set lo up 2>/dev/null || true\n\
         \"$1\" --no-open --port 0 --data \"$2\" >\"$3\" 2>&1 &\n\
         pid=$!\n\
         for _ in $(seq 200); do grep -q http:// \"$3\" && break; sleep 0.1; done\n\
         kill -TERM $pid\n\
         wait $pid\n",
    );
    let said = place.path().join("said");
    let done = Command::new("unshare")
        .args(["--map-root-user", "--net", "sh", &script])
        .arg(program())
        .arg(place.path().join("data"))
        .arg(&said)
        .status()
        .expect("it ran");
    let said = fs::read_to_string(said).unwrap_or_default();
    assert!(done.success(), "{said}");
    assert!(said.contains("http://127.0.0.1:"), "{said}");
}

#[test]
fn what_stands_in_the_house_is_opened_only_when_asked_and_only_there() {
    let place = Scratch::new();
    let data = place.path().join("data");
    // 127.0.0.2 stands for the house: another address that leads here.
    let running = open(&data, &["--port", "0", "--house=127.0.0.2"]);
    let port = running
        .host
        .rsplit(':')
        .next()
        .unwrap_or_default()
        .to_owned();
    let house = format!("127.0.0.2:{port}");
    let end = Instant::now() + PATIENCE;
    while TcpStream::connect(&house).is_err() {
        assert!(Instant::now() < end, "the house is not open");
        std::thread::sleep(Duration::from_millis(50));
    }
    assert!(ask(&house, "GET", "/", "").starts_with("HTTP/1.1 401"));
    assert!(ask(&house, "GET", "/pair", "").contains("Pair this phone"));
    let cookie = come_in(&running, &running.way_in);
    assert!(ask(&running.host, "GET", "/settings/phones", &cookie).contains(&house));
    // Her own cookie opens nothing from there, and she shuts the door in a tap.
    assert!(ask(&house, "GET", "/", &cookie).starts_with("HTTP/1.1 401"));
    let shut = ask(&running.host, "POST", "/settings/phones/shut", &cookie);
    assert!(shut.starts_with("HTTP/1.1 303"), "{shut}");
    let end = Instant::now() + PATIENCE;
    while TcpStream::connect(&house).is_ok() {
        assert!(Instant::now() < end, "the house is still open");
        std::thread::sleep(Duration::from_millis(50));
    }
    // An address that the whole world reaches is refused, in words, and the workroom opens all the same.
    let other = place.path().join("other");
    let running = open(&other, &["--port", "0", "--house=8.8.8.8"]);
    assert!(ask(&running.host, "GET", "/", "").starts_with("HTTP/1.1 401"));
}

#[test]
fn help_tells_how_the_workroom_is_opened() {
    let help = ellwand(&["--help"]);
    for word in ["--port", "--data", "--no-open", "--house", "7643"] {
        assert!(help.out.contains(word), "{word}");
    }
    // They belong to the workroom, not to a command.
    assert_eq!(ellwand(&["methods", "--port", "1"]).code, 2);
    assert_eq!(ellwand(&["--port", "1", "methods"]).code, 2);
}

#[test]
fn a_head_that_never_ends_is_let_go() {
    // Catches a server that a handful of half-sent requests can hold up.
    let place = Scratch::new();
    let running = open(&place.path().join("data"), &["--port", "0"]);
    let mut stream = TcpStream::connect(&running.host).expect("it answers");
    stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
    stream
        .write_all(b"GET / HTTP/1.1\r\nHost: ")
        .expect("it is sent");
    let begun = Instant::now();
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    assert!(begun.elapsed() >= Duration::from_secs(8), "{begun:?}");
    assert!(begun.elapsed() < PATIENCE, "it waits on");
    assert!(ask(&running.host, "GET", "/", "").starts_with("HTTP/1.1 401"));
}

#[test]
fn what_the_program_says_holds_no_names() {
    // All that it writes while it runs, with names and measures in what is asked of it.
    let place = Scratch::new();
    let said = place.path().join("said");
    let out = fs::File::create(&said).expect("a file");
    let err = out.try_clone().expect("the same file");
    let mut command = words(&place.path().join("data"), &["--port", "0"]);
    command.stdout(out).stderr(err);
    let child = command.spawn().expect("it starts");
    let end = Instant::now() + PATIENCE;
    let way_in = loop {
        let text = fs::read_to_string(&said).unwrap_or_default();
        if let Some(way_in) = text.lines().find_map(address_in) {
            break way_in;
        }
        assert!(Instant::now() < end, "it shows no address");
        std::thread::sleep(Duration::from_millis(20));
    };
    let host = way_in["http://".len()..]
        .split('/')
        .next()
        .unwrap_or_default();
    let running = Open {
        child,
        host: host.to_owned(),
        way_in: way_in.clone(),
    };
    let before = fs::read_to_string(&said).unwrap_or_default();
    let cookie = come_in(&running, &way_in);
    for path in [
        "/search?q=Halloway",
        "/clients/Halloway",
        "/clients/1?waist=27%203/8",
        "/orders/1/draft",
        "/nowhere/Halloway",
    ] {
        ask(&running.host, "GET", path, &cookie);
        ask(&running.host, "POST", path, &cookie);
    }
    std::thread::sleep(Duration::from_millis(200));
    let after = fs::read_to_string(&said).unwrap_or_default();
    assert_eq!(before, after, "it says more while it runs");
}

#[test]
fn a_read_only_or_full_disk_is_told() {
    let can = Command::new("unshare")
        .args(["--map-root-user", "--mount", "true"])
        .status()
        .is_ok_and(|s| s.success());
    if !can {
        eprintln!("this system gives no disks of its own; the tests of `book` try the same");
        return;
    }
    let place = Scratch::new();
    let disk = place.path().join("disk");
    fs::create_dir(&disk).expect("a folder");
    let script = place.file(
        "disk.sh",
        "mount -t tmpfs -o \"$1\" none \"$2\" && exec \"$3\" --no-open --port 0 --data \"$2\"\n",
    );
    for (kind, words) in [
        ("ro", ["read-only", "--data"]),
        ("size=64k", ["disk is full", "Make room"]),
    ] {
        let output = Command::new("unshare")
            .args(["--map-root-user", "--mount", "sh", &script, kind])
            .arg(&disk)
            .arg(program())
            .output()
            .expect("it ends");
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{kind}: {said}");
        for word in words {
            assert!(said.contains(word), "{kind}: {said}");
        }
    }
}
