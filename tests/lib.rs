//! Whole jobs through the built program, and checks of the house itself.
//!
//! This file is what the tests share: the built program, run with words as she would type them, and
//! folders to work in. The jobs bring their own method and card (`data/`), so that no shipped method
//! is needed for them to pass.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::{env, fs};

use serde_json::Value;

/// The root of the repository.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent().unwrap_or(here).to_path_buf()
}

/// A file of the tests' own data.
pub fn data(name: &str) -> PathBuf {
    root().join("tests/data").join(name)
}

/// The built program: the one that `ELLWAND` names, if it is set; else the first call builds it, with the
/// settings of the tests.
///
/// # Panics
/// When it can't be built.
pub fn program() -> &'static Path {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(|| {
        if let Some(named) = env::var_os("ELLWAND") {
            return PathBuf::from(named);
        }
        let this = env::current_exe().unwrap_or_default();
        // target/debug/deps/jobs-0123: the program stands two folders up.
        let folder = this.ancestors().nth(2).unwrap_or(Path::new("."));
        let release = folder.file_name().is_some_and(|n| n == "release");
        let profile = if release { "release" } else { "test" };
        let cargo = env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let built = Command::new(cargo)
            .current_dir(root())
            .args(["build", "--quiet", "-p", "workroom", "--bin", "ellwand"])
            .args(["--profile", profile, "--target-dir"])
            .arg(folder.parent().unwrap_or(folder))
            .status();
        assert!(
            built.is_ok_and(|s| s.success()),
            "the program does not build"
        );
        folder.join(format!("ellwand{}", env::consts::EXE_SUFFIX))
    })
}

/// What the program answered.
#[derive(Debug)]
pub struct Ran {
    /// How it ended; -1 when it was killed.
    pub code: i32,
    /// Its standard output.
    pub out: String,
    /// Its standard error.
    pub err: String,
}

impl Ran {
    fn of(output: &Output) -> Self {
        Self {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8_lossy(&output.stdout).into_owned(),
            err: String::from_utf8_lossy(&output.stderr).into_owned(),
        }
    }

    /// Its standard output as JSON.
    ///
    /// # Panics
    /// When it is none.
    pub fn json(&self) -> Value {
        match serde_json::from_str(&self.out) {
            Ok(value) => value,
            Err(fault) => panic!("{fault} in {self:?}"),
        }
    }
}

/// Runs the program in the root of the repository.
///
/// # Panics
/// When it can't be started.
pub fn ellwand<S: AsRef<std::ffi::OsStr>>(words: &[S]) -> Ran {
    match Command::new(program())
        .current_dir(root())
        .args(words)
        .stdin(Stdio::null())
        .output()
    {
        Ok(output) => Ran::of(&output),
        Err(fault) => panic!("the program does not start: {fault}"),
    }
}

/// A folder to work in, taken away when dropped.
#[derive(Debug)]
pub struct Scratch(PathBuf);

impl Scratch {
    /// A new folder.
    ///
    /// # Panics
    /// When it can't be made.
    pub fn new() -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let n = COUNT.fetch_add(1, Ordering::Relaxed);
        let folder = env::temp_dir().join(format!("ellwand-tests-{}-{n}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        match fs::create_dir_all(&folder) {
            Ok(()) => Self(folder),
            Err(fault) => panic!("no folder to work in: {fault}"),
        }
    }

    /// Its place.
    pub fn path(&self) -> &Path {
        &self.0
    }

    /// A place in it, as a word for the command line.
    pub fn word(&self, name: &str) -> String {
        self.0.join(name).to_string_lossy().into_owned()
    }

    /// A file in it with a text.
    ///
    /// # Panics
    /// When it can't be written.
    pub fn file(&self, name: &str, text: impl AsRef<[u8]>) -> String {
        let place = self.0.join(name);
        if let Err(fault) = fs::write(&place, text) {
            panic!("{}: {fault}", place.display());
        }
        self.word(name)
    }
}

impl Default for Scratch {
    fn default() -> Self {
        Self::new()
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

/// The names of everything in a folder, hidden things too, in order.
pub fn names_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .map(|all| {
            all.filter_map(Result::ok)
                .map(|e| e.file_name().to_string_lossy().into_owned())
                .collect()
        })
        .unwrap_or_default();
    names.sort();
    names
}

/// Every file under a folder that a test of the house looks at, in order: tracked files when this is a
/// clone, else all but build output.
pub fn files_under(folder: &str) -> Vec<PathBuf> {
    let base = root();
    let tracked = Command::new("git")
        .current_dir(&base)
        .args([
            "ls-files",
            "-z",
            "--cached",
            "--others",
            "--exclude-standard",
            "--",
        ])
        .arg(folder)
        .output();
    let mut files: Vec<PathBuf> = match tracked {
        Ok(output) if output.status.success() && !output.stdout.is_empty() => {
            String::from_utf8_lossy(&output.stdout)
                .split('\0')
                .filter(|f| !f.is_empty())
                .map(|f| base.join(f))
                .filter(|f| f.is_file())
                .collect()
        }
        _ => walk(&base.join(folder)),
    };
    files.sort();
    files
}

fn walk(place: &Path) -> Vec<PathBuf> {
    if place.is_file() {
        return vec![place.to_path_buf()];
    }
    let skipped = ["target", ".git", ".venv", "out"];
    let Ok(all) = fs::read_dir(place) else {
        return Vec::new();
    };
    all.filter_map(Result::ok)
        .map(|e| e.path())
        .filter(|p| {
            !p.file_name()
                .is_some_and(|n| skipped.iter().any(|s| n == *s))
        })
        .flat_map(|p| walk(&p))
        .collect()
}
