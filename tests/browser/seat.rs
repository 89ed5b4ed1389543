//! A seat at the workroom: the built program with an empty folder, a browser's driver and a browser, all
//! of them ended when the seat is left.

use std::collections::BTreeSet;
use std::io::{BufRead as _, BufReader, Read as _};
use std::net::TcpListener;
use std::panic::Location;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};
use std::{env, fs};

use base64::Engine as _;
use fantoccini::actions::{InputSource as _, KeyAction, KeyActions};
use fantoccini::key::Key;
use fantoccini::wd::WebDriverCompatibleCommand;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};
use tests::{Scratch, program, root};

/// No wait lasts longer. It is no measure of speed: a page has taken ten seconds to open on two cores that
/// twenty others shared, and only what never comes about may fail.
pub(crate) const PATIENCE: Duration = Duration::from_mins(1);

/// The folder of a seat in which the browser keeps the files that it is given.
const GIVEN: &str = "given";

/// One `DevTools` call through the driver's own door.
#[derive(Debug)]
struct DevTools(&'static str, Value);

impl WebDriverCompatibleCommand for DevTools {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!(
            "session/{}/goog/cdp/execute",
            session.unwrap_or_default()
        ))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        let body = json!({ "cmd": self.0, "params": self.1 });
        (http::Method::POST, Some(body.to_string()))
    }
}

/// What the browser's console said since it was last asked.
#[derive(Debug)]
struct Console;

impl WebDriverCompatibleCommand for Console {
    fn endpoint(
        &self,
        base: &url::Url,
        session: Option<&str>,
    ) -> Result<url::Url, url::ParseError> {
        base.join(&format!("session/{}/se/log", session.unwrap_or_default()))
    }

    fn method_and_body(&self, _: &url::Url) -> (http::Method, Option<String>) {
        (http::Method::POST, Some(r#"{"type":"browser"}"#.to_owned()))
    }
}

/// A program that was started for a seat, ended with all that it started.
struct Started(Child);

impl Drop for Started {
    fn drop(&mut self) {
        // It leads a group of its own, so that the browser ends with its driver.
        let group = format!("-{}", self.0.id());
        let _ = Command::new("kill").args(["-KILL", "--", &group]).status();
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// Starts a program as the leader of its own group.
fn start(command: &mut Command, what: &str) -> Started {
    #[cfg(unix)]
    std::os::unix::process::CommandExt::process_group(command, 0);
    match command.spawn() {
        Ok(child) => Started(child),
        Err(fault) => {
            panic!("{what} could not be started ({fault}); ./test installs what is needed")
        }
    }
}

/// The workroom, running.
pub(crate) struct Workroom {
    started: Started,
    /// `http://127.0.0.1:45123`
    pub(crate) address: String,
    /// The start-up address with its token, good once.
    pub(crate) way_in: String,
}

impl Workroom {
    /// Opens the workroom on a folder, with more words for its command line.
    pub(crate) fn open(data: &Path, more: &[&str]) -> Self {
        let mut command = Command::new(program());
        command
            .arg("--data")
            .arg(data)
            .args(["--no-open", "--port", "0"])
            .args(more)
            .env("ELLWAND_TODAY", "2026-11-25")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::inherit());
        let mut started = start(&mut command, "the program");
        let out = started.0.stdout.take().expect("standard output is piped");
        let mut lines = BufReader::new(out).lines();
        let way_in = lines
            .by_ref()
            .map_while(Result::ok)
            .find_map(|line| {
                let at = line.find("http://")?;
                line[at..].split_whitespace().next().map(str::to_owned)
            })
            .expect("the program shows its address");
        // What it says later is read on, so that it never waits for a reader.
        std::thread::spawn(move || lines.for_each(drop));
        let address = way_in.split("/start").next().unwrap_or_default().to_owned();
        Self {
            started,
            address,
            way_in,
        }
    }

    /// Ends it, as a computer that is switched off does.
    pub(crate) fn end(&self) {
        let id = self.started.0.id().to_string();
        let _ = Command::new("kill").args(["-KILL", &id]).status();
    }
}

/// A seat at the workroom.
pub(crate) struct Seat {
    pub(crate) browser: Client,
    pub(crate) workroom: Workroom,
    _driver: Started,
    folder: Scratch,
}

impl Seat {
    /// A seat with an empty folder, and a browser that has come in.
    pub(crate) async fn new() -> Self {
        Self::with(&[]).await
    }

    /// The same, with more words for the program's command line.
    pub(crate) async fn with(more: &[&str]) -> Self {
        let folder = Scratch::new();
        let data = folder.path().join("data");
        let workroom = Workroom::open(&data, more);
        let (driver, browser) = open_browser(folder.path()).await;
        let seat = Self {
            browser,
            workroom,
            _driver: driver,
            folder,
        };
        seat.goto(&seat.workroom.way_in).await;
        seat
    }

    /// Opens an address: a path of the workroom, or a whole one.
    pub(crate) async fn goto(&self, address: &str) {
        let whole = if address.starts_with("http") {
            address.to_owned()
        } else {
            format!("{}{address}", self.workroom.address)
        };
        within(self.browser.goto(&whole))
            .await
            .expect("the page opens");
    }

    /// The path of the page that is open.
    pub(crate) async fn path(&self) -> String {
        let url = within(self.browser.current_url())
            .await
            .expect("an address");
        url.path().to_owned()
    }

    /// Works out an expression in the page.
    pub(crate) async fn js(&self, expression: &str) -> Value {
        let script = format!("return ({expression});");
        within(self.browser.execute(&script, Vec::new()))
            .await
            .expect("the expression holds")
    }

    /// The text of what a selector finds first, waited for.
    pub(crate) async fn text(&self, selector: &str) -> String {
        let found = within(self.browser.wait().for_element(Locator::Css(selector))).await;
        let found = found.unwrap_or_else(|e| panic!("{selector}: {e}"));
        within(found.text()).await.expect("a text")
    }

    /// Waits until what a selector finds first says these words: a page that was just asked for may not
    /// be there yet.
    pub(crate) async fn says(&self, selector: &str, words: &str) {
        let end = Instant::now() + PATIENCE;
        let mut last = String::new();
        loop {
            // Between two pages nothing can be found: that is no fault.
            if let Ok(found) = within(self.browser.find(Locator::Css(selector))).await
                && let Ok(text) = within(found.text()).await
            {
                if text.contains(words) {
                    return;
                }
                last = text;
            }
            assert!(
                Instant::now() < end,
                "{selector} says {last:?}, and never {words:?}"
            );
            tokio::time::sleep(Duration::from_millis(40)).await;
        }
    }

    /// Waits until the page of this path is open.
    pub(crate) async fn arrives(&self, path: &str) {
        let end = Instant::now() + PATIENCE;
        while self.path().await != path {
            assert!(
                Instant::now() < end,
                "{} is open, and never {path}",
                self.path().await
            );
            tokio::time::sleep(Duration::from_millis(40)).await;
        }
    }

    /// Waits until an expression holds in the page.
    pub(crate) async fn until(&self, expression: &str) {
        let end = Instant::now() + PATIENCE;
        while self.js(&format!("!!({expression})")).await != true {
            if Instant::now() >= end {
                self.picture("given-up").await;
                panic!(
                    "it never came about: {expression}\non the page {}",
                    self.js(PAGE).await
                );
            }
            tokio::time::sleep(Duration::from_millis(40)).await;
        }
    }

    /// Presses keys, one after another.
    pub(crate) async fn keys(&self, keys: &[char]) {
        let mut actions = KeyActions::new("keyboard".to_owned());
        for key in keys {
            actions = actions
                .then(KeyAction::Down { value: *key })
                .then(KeyAction::Up { value: *key });
        }
        within(self.browser.perform_actions(actions))
            .await
            .expect("keys are pressed");
    }

    /// Types a text where the focus is.
    pub(crate) async fn types(&self, text: &str) {
        let keys: Vec<char> = text.chars().collect();
        self.keys(&keys).await;
    }

    /// The file with this ending that the browser was given to keep, waited for until it is whole.
    pub(crate) async fn given(&self, ending: &str) -> PathBuf {
        let end = Instant::now() + PATIENCE;
        loop {
            let kept = fs::read_dir(self.folder.path().join(GIVEN));
            let mut files = kept.into_iter().flatten().flatten().map(|f| f.path());
            if let Some(file) = files.find(|f| f.extension().is_some_and(|e| e == ending)) {
                return file;
            }
            assert!(Instant::now() < end, "no file ending in {ending} was given");
            tokio::time::sleep(Duration::from_millis(40)).await;
        }
    }

    /// Comes to a box for a file by Tab, and chooses one. The window that asks for it is the system's own:
    /// the driver answers it.
    pub(crate) async fn choose(&self, selector: &str, file: &Path) {
        self.tab_to(selector).await;
        let found = within(self.browser.find(Locator::Css(selector))).await;
        let found = found.unwrap_or_else(|e| panic!("{selector}: {e}"));
        within(found.send_keys(&file.display().to_string()))
            .await
            .expect("the file is chosen");
    }

    /// Presses Tab until the focus is on what a selector finds.
    pub(crate) async fn tab_to(&self, selector: &str) {
        for _ in 0..200 {
            self.keys(&[char::from(Key::Tab)]).await;
            let there =
                format!("!!document.activeElement && document.activeElement.matches({selector:?})");
            if self.js(&there).await == true {
                return;
            }
        }
        panic!("Tab never comes to {selector}");
    }

    /// Shows pages at this size, as a phone does when it is narrow.
    pub(crate) async fn size(&self, width: u32, height: u32) {
        let narrow = width < 600;
        self.devtools(
            "Emulation.setDeviceMetricsOverride",
            json!({ "width": width, "height": height, "deviceScaleFactor": if narrow { 2 } else { 1 }, "mobile": narrow }),
        )
        .await;
    }

    /// By day, or by lamp.
    pub(crate) async fn lamp(&self, lit: bool) {
        let scheme = if lit { "dark" } else { "light" };
        self.devtools(
            "Emulation.setEmulatedMedia",
            json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] }),
        )
        .await;
    }

    /// Turns the pages' scripts off or on.
    pub(crate) async fn scripts(&self, on: bool) {
        self.devtools(
            "Emulation.setScriptExecutionDisabled",
            json!({ "value": !on }),
        )
        .await;
    }

    /// One `DevTools` call.
    pub(crate) async fn devtools(&self, command: &'static str, with: Value) -> Value {
        within(self.browser.issue_cmd(DevTools(command, with)))
            .await
            .unwrap_or_else(|e| panic!("{command}: {e}"))
    }

    /// What the console said since it was last asked.
    pub(crate) async fn console(&self) -> Vec<String> {
        let said = within(self.browser.issue_cmd(Console))
            .await
            .expect("the console");
        said.as_array()
            .map(|all| {
                all.iter()
                    .filter_map(|line| line["message"].as_str().map(str::to_owned))
                    .collect()
            })
            .unwrap_or_default()
    }

    /// Controls of the open page that have no name for those who hear it.
    pub(crate) async fn nameless(&self) -> Vec<String> {
        let tree = self
            .devtools("Accessibility.getFullAXTree", json!({}))
            .await;
        let controls: BTreeSet<&str> = [
            "button",
            "checkbox",
            "combobox",
            "DisclosureTriangle",
            "link",
            "listbox",
            "menuitem",
            "radio",
            "searchbox",
            "slider",
            "spinbutton",
            "switch",
            "tab",
            "textbox",
        ]
        .into();
        let mut nameless = Vec::new();
        for node in tree["nodes"].as_array().into_iter().flatten() {
            let role = node["role"]["value"].as_str().unwrap_or_default();
            let name = node["name"]["value"].as_str().unwrap_or_default();
            if node["ignored"] != true && controls.contains(role) && name.trim().is_empty() {
                nameless.push(role.to_owned());
            }
        }
        nameless
    }

    /// What axe-core finds wrong with the open page (WCAG 2.2 AA and best practice): rule and place.
    pub(crate) async fn axe(&self) -> Vec<String> {
        let text = axe_text();
        let script = format!(
            "const done = arguments[arguments.length - 1];\n{text}\n\
             axe.run(document, {{ runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'], resultTypes: ['violations'] }})\
             .then(r => done(r.violations.map(v => v.id + ' at ' + v.nodes.map(n => n.target.join(' ') + ' [' + n.html.slice(0, 120) + ']').join(' | '))))\
             .catch(e => done(['axe itself: ' + e]));"
        );
        let found = within(self.browser.execute_async(&script, Vec::new()))
            .await
            .expect("axe runs");
        found
            .as_array()
            .into_iter()
            .flatten()
            .map(|v| v.as_str().unwrap_or_default().to_owned())
            .collect()
    }

    /// How far the page can be scrolled sideways, in pixels.
    pub(crate) async fn sideways(&self) -> i64 {
        let over = "document.documentElement.scrollWidth - document.documentElement.clientWidth";
        self.js(over).await.as_i64().unwrap_or(i64::MAX)
    }

    /// Keeps a picture of the whole page in `target/seen/`.
    pub(crate) async fn picture(&self, name: &str) {
        let shot = self
            .devtools(
                "Page.captureScreenshot",
                json!({ "captureBeyondViewport": false }),
            )
            .await;
        let bytes = base64::engine::general_purpose::STANDARD
            .decode(shot["data"].as_str().unwrap_or_default())
            .unwrap_or_default();
        let folder = pictures();
        fs::create_dir_all(&folder).expect("a folder for pictures");
        fs::write(folder.join(format!("{name}.png")), bytes).expect("a picture is kept");
    }
}

/// Where pictures of pages are kept.
fn pictures() -> PathBuf {
    let target =
        env::var_os("CARGO_TARGET_DIR").map_or_else(|| root().join("target"), PathBuf::from);
    target.join("seen")
}

/// What a test that gives up tells of the page it stood on: its address, what has the focus, and its words.
const PAGE: &str = "[location.href, document.activeElement?.outerHTML.slice(0, 160), \
    document.querySelector('main')?.innerText.replace(/\\s+/g, ' ').slice(0, 1200)]";

/// Waits for something, but not for ever. A wait that is given up says whose it was.
#[track_caller]
pub(crate) fn within<F: Future>(work: F) -> impl Future<Output = F::Output> {
    let asked = Location::caller();
    async move {
        tokio::time::timeout(PATIENCE, work)
            .await
            .unwrap_or_else(|_| panic!("{asked}: it never came about"))
    }
}

/// axe-core, where `./test` put it.
fn axe_text() -> String {
    let file =
        env::var_os("ELLWAND_AXE").map_or_else(|| root().join(".tools/axe.min.js"), PathBuf::from);
    fs::read_to_string(&file)
        .unwrap_or_else(|e| panic!("{}: {e}. ./test fetches it once", file.display()))
}

/// A program of this name on the path, by any of its names.
fn found(names: &[&str]) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    names
        .iter()
        .flat_map(|name| env::split_paths(&path).map(move |folder| folder.join(name)))
        .find(|file| file.is_file())
}

/// Starts a driver and a browser without a window.
async fn open_browser(folder: &Path) -> (Started, Client) {
    let driver =
        found(&["chromedriver"]).expect("there is no chromedriver here; ./test installs it");
    let chromium = found(&["chromium", "chromium-browser", "google-chrome"])
        .expect("there is no chromium here; ./test installs it");
    let free = TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
    let port = free.local_addr().expect("a port").port();
    drop(free);
    let mut command = Command::new(driver);
    command
        .arg(format!("--port={port}"))
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    let started = start(&mut command, "the browser's driver");
    let end = Instant::now() + PATIENCE;
    while tokio::net::TcpStream::connect(("127.0.0.1", port))
        .await
        .is_err()
    {
        assert!(Instant::now() < end, "the browser's driver never answered");
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    let profile = folder.join("browser");
    let wanted = json!({
        "goog:chromeOptions": {
            "binary": chromium,
            "args": [
                "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
                "--disable-background-networking", "--window-size=1280,800",
                format!("--user-data-dir={}", profile.display()),
            ],
            "prefs": {
                "download.default_directory": folder.join(GIVEN),
                "download.prompt_for_download": false,
            },
        },
        "goog:loggingPrefs": { "browser": "ALL" },
        "timeouts": { "script": 60000, "pageLoad": 60000 },
    });
    let Value::Object(wanted) = wanted else {
        unreachable!("it was written as an object")
    };
    let browser = within(
        ClientBuilder::new(HttpConnector::new())
            .capabilities(wanted)
            .connect(&format!("http://127.0.0.1:{port}")),
    )
    .await
    .expect("the browser starts");
    (started, browser)
}

/// One plain request to the workroom, with headers of any kind: status, head and body.
pub(crate) fn request(address: &str, text: &str) -> (u16, String) {
    use std::io::Write as _;
    let host = address.trim_start_matches("http://");
    let mut stream = std::net::TcpStream::connect(host).expect("the workroom answers");
    stream.set_read_timeout(Some(PATIENCE)).expect("a limit");
    stream.write_all(text.as_bytes()).expect("it is sent");
    let mut answer = Vec::new();
    let _ = stream.read_to_end(&mut answer);
    let answer = String::from_utf8_lossy(&answer).into_owned();
    let status = answer
        .split(' ')
        .nth(1)
        .and_then(|s| s.parse().ok())
        .unwrap_or_default();
    (status, answer)
}
