//! Opening her browser.

use std::process::{Command, Stdio};

/// Opens the page in her browser.
///
/// # Errors
/// When this computer does not know how; in a sentence.
pub(crate) fn open(address: &str) -> Result<(), String> {
    let mut command = opener();
    command
        .arg(address)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    match command.spawn() {
        Ok(mut child) => {
            // Waited for, so that no ended process is left over.
            std::thread::spawn(move || child.wait());
            Ok(())
        }
        Err(_) => {
            Err("The browser could not be opened from here. Open the address above in it.".into())
        }
    }
}

#[cfg(target_os = "macos")]
fn opener() -> Command {
    Command::new("open")
}

#[cfg(windows)]
fn opener() -> Command {
    // Not `cmd /c start`: that would read signs of the address as its own.
    let mut command = Command::new("rundll32");
    command.arg("url.dll,FileProtocolHandler");
    command
}

#[cfg(not(any(target_os = "macos", windows)))]
fn opener() -> Command {
    Command::new("xdg-open")
}
