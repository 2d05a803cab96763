//! Files that are still being written: under a name of their own, and gone if the program is stopped.

use std::collections::BTreeSet;
use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use super::identity::folder_of;
use super::target::cannot_write;
use crate::Failure;

/// Temporary files that are there now.
static LIVE: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

fn live() -> MutexGuard<'static, BTreeSet<PathBuf>> {
    // A set of names is sound whatever happened to the thread that held it.
    LIVE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Ends the program; temporary files go first, and none can come after.
pub(crate) fn end_with(code: i32) -> ! {
    let live = live();
    for path in live.iter() {
        // What cannot be removed stays; there is nobody left to tell.
        let _ = std::fs::remove_file(path);
    }
    std::process::exit(code)
}

/// A file under a name of its own beside the one that it will be; it is gone when it is dropped.
#[derive(Debug)]
pub(crate) struct Temporary(tempfile::NamedTempFile);

impl Temporary {
    /// Makes it in the folder of `path`, with the permissions that a new file has there.
    pub(crate) fn beside(path: &Path) -> Result<Self, Failure> {
        let folder = folder_of(path);
        if !folder.is_dir() {
            let why = if folder.exists() { "is not a folder" } else { "does not exist" };
            return Err(cannot_write(path, &format!("{} {why}", folder.display())));
        }
        let mut builder = tempfile::Builder::new();
        builder.prefix(".dryspell-");
        // What may be read of a result is the user's choice (umask); by itself a temporary file would be private.
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
        let mut live = live();
        let file = builder.tempfile_in(folder).map_err(|e| {
            // Without the name of the temporary file, which says nothing to the user.
            cannot_write(path, &format!("folder {}: {}", folder.display(), e.kind()))
        })?;
        live.insert(file.path().to_owned());
        Ok(Self(file))
    }

    /// The open file.
    pub(crate) fn file(&mut self) -> &mut File {
        self.0.as_file_mut()
    }

    /// Gives it its name, in place of what has it, whole; the open file.
    pub(crate) fn persist(mut self, path: &Path) -> std::io::Result<File> {
        let mut live = live();
        let own = self.0.path().to_owned();
        // A handle of its own stays with the value, which is dropped below.
        let handle = self.0.as_file_mut().try_clone()?;
        std::fs::rename(&own, path)?;
        live.remove(&own);
        drop(live);
        Ok(handle)
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        let mut live = live();
        // After a rename nothing is there under this name any more.
        let _ = std::fs::remove_file(self.0.path());
        live.remove(self.0.path());
    }
}

/// Whether a folder is there, or can be made; nothing is left behind.
pub(crate) fn folder_can_be(path: &Path) -> Result<(), Failure> {
    if path.is_dir() {
        return Temporary::beside(&path.join("-")).map(drop);
    }
    if path.exists() {
        return Err(Failure(vec![format!(
            "{}: a file; a folder is needed here, or a name that is free; choose another name",
            path.display()
        )]));
    }
    Temporary::beside(path).map(drop)
}
