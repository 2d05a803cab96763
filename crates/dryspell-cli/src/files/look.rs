//! Whether files have changed since they were last looked at.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// Up to this size a file is read at each look: a save within the same tick of the file system's clock is seen as well.
const SMALL_BYTES: u64 = 1 << 20;

/// What a file was at one look; `None` where there is none, or none that can be read.
type Seen = Option<Stamp>;

#[derive(Debug, Clone)]
struct Stamp {
    modified: Option<SystemTime>,
    bytes: u64,
    sha256: String,
}

/// Files at one look.
#[derive(Debug, Clone, Default)]
pub(crate) struct Look(BTreeMap<PathBuf, Seen>);

impl Look {
    /// Looks at files. What is large and has neither size nor time of another is taken to be what it was.
    pub(crate) fn at(paths: impl IntoIterator<Item = PathBuf>, before: &Self) -> Self {
        let seen = |path: PathBuf| {
            let was = before.0.get(&path).cloned().flatten();
            let is = stamp(&path, was);
            (path, is)
        };
        Self(paths.into_iter().map(seen).collect())
    }

    /// This look, and of another those files alone that are in it: a file in both is as it is here, one that is here alone is
    /// watched no more.
    pub(crate) fn with(self, other: Self) -> Self {
        let mut files = other.0;
        for (path, seen) in self.0 {
            if let Some(later) = files.get_mut(&path) {
                *later = seen;
            }
        }
        Self(files)
    }

    /// Whether a file of either look has other content in the other.
    pub(crate) fn differs(&self, other: &Self) -> bool {
        let content = |look: &Self| -> Vec<(PathBuf, Option<String>)> {
            look.0
                .iter()
                .map(|(path, seen)| (path.clone(), seen.as_ref().map(|s| s.sha256.clone())))
                .collect()
        };
        content(self) != content(other)
    }
}

fn stamp(path: &Path, was: Seen) -> Seen {
    let about = std::fs::metadata(path).ok().filter(std::fs::Metadata::is_file)?;
    let (modified, bytes) = (about.modified().ok(), about.len());
    match was {
        Some(was) if bytes > SMALL_BYTES && was.bytes == bytes && was.modified == modified => Some(was),
        _ => Some(Stamp { modified, bytes, sha256: dryspell_report::hash(&std::fs::read(path).ok()?) }),
    }
}
