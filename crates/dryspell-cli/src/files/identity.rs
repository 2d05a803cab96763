//! Which file a path means, however it is spelled.

use std::ffi::OsString;
use std::fs::{File, Metadata};
use std::path::{Path, PathBuf};

/// What tells one file from another: device and number, or its whole path where the system has no such numbers.
#[cfg(unix)]
type Mark = (u64, u64);
#[cfg(not(unix))]
type Mark = PathBuf;

/// Which file a path means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Identity {
    /// A file that is there.
    There(Mark),
    /// A name that is free, in a folder that is there.
    Free(Mark, OsString),
    /// A path that leads nowhere, as it is spelled.
    Nowhere(PathBuf),
}

impl Identity {
    /// The file behind a path, behind links too.
    pub(crate) fn of(path: &Path) -> Self {
        if let Some(mark) = mark(path) {
            return Self::There(mark);
        }
        let path = behind_links(path);
        match (mark(folder_of(&path)), path.file_name()) {
            (Some(folder), Some(name)) => Self::Free(folder, name.to_owned()),
            _ => Self::Nowhere(path),
        }
    }

    /// An open file; `None` where the system has no numbers for it.
    pub(crate) fn of_file(file: &File) -> Option<Self> {
        file.metadata().ok().and_then(|about| number(&about)).map(Self::There)
    }
}

/// The folder in which a file lies.
pub(crate) fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// Where a chain of symbolic links ends, whether a file is there or not. A chain that is too long is left as it is: the
/// system will refuse it.
pub(crate) fn behind_links(path: &Path) -> PathBuf {
    /// As many as Linux follows.
    const MOST_LINKS: usize = 40;
    let mut at = path.to_owned();
    for _ in 0..MOST_LINKS {
        match std::fs::read_link(&at) {
            Ok(next) => at = folder_of(&at).join(next),
            Err(_) => break,
        }
    }
    at
}

#[cfg(unix)]
fn mark(path: &Path) -> Option<Mark> {
    std::fs::metadata(path).ok().and_then(|about| number(&about))
}

#[cfg(not(unix))]
fn mark(path: &Path) -> Option<Mark> {
    path.canonicalize().ok()
}

#[cfg(unix)]
#[allow(clippy::unnecessary_wraps, reason = "other systems have none")]
fn number(about: &Metadata) -> Option<Mark> {
    use std::os::unix::fs::MetadataExt;
    Some((about.dev(), about.ino()))
}

#[cfg(not(unix))]
fn number(_: &Metadata) -> Option<Mark> {
    None
}
