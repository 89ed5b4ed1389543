//! A second start: it asks the first one for a way in, opens its page, and is done.

use std::time::Duration;

use book::Running;
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::TcpStream;

use super::listen::say;
use super::{browser, start};

/// The first one answers at once, or not at all.
const PATIENCE: Duration = Duration::from_secs(5);

/// Opens the page of the copy that runs already.
///
/// # Errors
/// When that one does not answer; in a sentence.
pub(crate) async fn open_the_first(running: &Running, no_open: bool) -> Result<(), String> {
    let silent = || {
        format!(
            "The workroom is already open at {}, but does not answer. End that one, then start again.",
            running.address
        )
    };
    let path = tokio::time::timeout(PATIENCE, ask(running))
        .await
        .ok()
        .flatten()
        .ok_or_else(silent)?;
    let address = format!("{}{path}", running.address);
    say(&format!(
        "The workroom is already open. Its page, good once for one browser:\n\n  {address}\n"
    ));
    if !no_open && let Err(sentence) = browser::open(&address) {
        say(&format!("{sentence}\n"));
    }
    Ok(())
}

/// Asks for a start-up address: one request by hand, so that no client library is needed.
async fn ask(running: &Running) -> Option<String> {
    let host = running.address.strip_prefix("http://")?;
    // Only this computer is asked, whatever the file says.
    if !host.starts_with("127.0.0.1:") || running.secret.contains(['\r', '\n']) {
        return None;
    }
    let mut stream = TcpStream::connect(host).await.ok()?;
    let request = format!(
        "POST /start/again HTTP/1.1\r\nHost: {host}\r\n{}: {}\r\nContent-Length: 0\r\nConnection: close\r\n\r\n",
        start::AGAIN,
        running.secret
    );
    stream.write_all(request.as_bytes()).await.ok()?;
    let mut answer = Vec::new();
    stream.take(16 * 1024).read_to_end(&mut answer).await.ok()?;
    let answer = String::from_utf8(answer).ok()?;
    let (head, body) = answer.split_once("\r\n\r\n")?;
    let path = body.trim();
    let fits = head.starts_with("HTTP/1.1 200")
        && path
            .strip_prefix("/start?key=")
            .is_some_and(|key| !key.is_empty() && key.bytes().all(|b| b.is_ascii_hexdigit()));
    fits.then(|| path.to_owned())
}
