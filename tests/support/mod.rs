//! Shared by the test suites: where files are, and the table of outside checks.

use std::path::PathBuf;

/// The project's top folder.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A file below `data/`.
pub fn data(name: &str) -> PathBuf {
    root().join("data").join(name)
}
