//! Every file below `tests/` and `benches/` is compiled: named in a manifest, or a module of a suite.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::support::root;

/// All Rust files below a folder.
fn rust_files(folder: &Path, found: &mut BTreeSet<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|e| e == "rs") {
            found.insert(path.canonicalize().unwrap());
        }
    }
}

/// The files that a file's `mod` lines name, and theirs.
fn modules(file: &Path, found: &mut BTreeSet<PathBuf>) {
    if !found.insert(file.canonicalize().unwrap()) {
        return;
    }
    let text = fs::read_to_string(file).unwrap();
    let name = file.file_stem().unwrap();
    let beside = file.parent().unwrap();
    let folder = if name == "main" || name == "mod" { beside.to_owned() } else { beside.join(name) };
    let mut path = None;
    for line in text.lines() {
        let line = line.trim();
        if let Some(p) = line.strip_prefix("#[path = \"").and_then(|l| l.strip_suffix("\"]")) {
            path = Some(beside.join(p));
        } else if let Some(module) = line
            .strip_prefix("mod ")
            .or_else(|| line.strip_prefix("pub mod "))
            .and_then(|l| l.strip_suffix(';'))
        {
            let file = path.take().unwrap_or_else(|| {
                let flat = folder.join(format!("{module}.rs"));
                if flat.exists() { flat } else { folder.join(module).join("mod.rs") }
            });
            modules(&file, found);
        }
    }
}

#[test]
fn no_test_or_bench_is_left_uncompiled() {
    let mut all = BTreeSet::new();
    rust_files(&root().join("tests"), &mut all);
    rust_files(&root().join("benches"), &mut all);
    let mut compiled = BTreeSet::new();
    for krate in fs::read_dir(root().join("crates")).unwrap() {
        let krate = krate.unwrap().path();
        let manifest = fs::read_to_string(krate.join("Cargo.toml")).unwrap();
        for path in manifest.lines().filter_map(|l| l.strip_prefix("path = \"../../")?.strip_suffix('"')) {
            modules(&root().join(path), &mut compiled);
        }
    }
    let orphans: Vec<_> = all.difference(&compiled).collect();
    assert!(orphans.is_empty(), "never compiled: {orphans:#?}");
    assert!(all.len() > 10);
}

#[test]
fn the_top_level_holds_only_what_belongs_there() {
    let expected = [
        "CHANGELOG.md",
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE-APACHE",
        "LICENSE-MIT",
        "README.md",
    ];
    for file in expected {
        assert!(root().join(file).is_file(), "{file} is missing");
    }
}
