//! Lists the shipped methods, whatever files are there, so that the program holds their texts.
//!
//! No method is named here or in any other Rust code: take the folder away and the program builds.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::{env, fs};

fn main() -> std::io::Result<()> {
    let root = PathBuf::from(env::var_os("CARGO_MANIFEST_DIR").unwrap_or_default());
    let folder = root.join("../../methods");
    println!("cargo::rerun-if-changed={}", folder.display());
    let mut files: Vec<PathBuf> = fs::read_dir(&folder)
        .map(|all| all.filter_map(|e| Some(e.ok()?.path())).collect())
        .unwrap_or_default();
    files.retain(|f| f.extension().is_some_and(|e| e == "method"));
    files.sort();
    let mut list = String::from("&[\n");
    for file in &files {
        println!("cargo::rerun-if-changed={}", file.display());
        let name = file.file_stem().unwrap_or_default().to_string_lossy();
        let full = fs::canonicalize(file)?;
        let full = full.to_string_lossy();
        let _ = writeln!(list, "    ({name:?}, include_str!({full:?})),");
    }
    list.push_str("]\n");
    let out = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    write_if_changed(&out.join("shipped.rs"), &list)
}

fn write_if_changed(file: &Path, text: &str) -> std::io::Result<()> {
    if fs::read_to_string(file).is_ok_and(|old| old == text) {
        return Ok(());
    }
    fs::write(file, text)
}
