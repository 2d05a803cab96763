//! Files and the terminal: the only place that reads, writes or prints.

use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

use crate::Failure;
use crate::kinds::Wanted;

/// Prints a line to standard error.
#[allow(clippy::print_stderr, reason = "this is the one place that speaks on standard error")]
pub(crate) fn say(line: &str) {
    eprintln!("{line}");
}

/// Writes to standard output. A reader that has gone away is no error.
pub(crate) fn print(text: &str) -> Result<(), Failure> {
    let mut out = io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
        Err(e) => Err(Failure(vec![format!("standard output: {e}; the text could not be written")])),
        Ok(()) => Ok(()),
    }
}

/// Reads a file of the user's as text.
pub(crate) fn read_text(path: &Path, wanted: Wanted) -> Result<String, Failure> {
    let name = path.display().to_string();
    let what = wanted.what();
    let bytes = std::fs::read(path).map_err(|e| match e.kind() {
        io::ErrorKind::NotFound => {
            Failure(vec![format!("{name}: no such file; {what} is needed here; {}", wanted.way_out())])
        }
        _ => Failure(vec![format!(
            "{name}: {e}; {what} that can be read is needed here; check the name and its permissions"
        )]),
    })?;
    if let Some(line) = wanted.refusal(&name, &bytes) {
        return Err(Failure(vec![line]));
    }
    String::from_utf8(bytes).map_err(|e| {
        let upto = e.utf8_error().valid_up_to();
        let line = e.as_bytes()[..upto].iter().filter(|b| **b == b'\n').count() + 1;
        Failure(vec![format!(
            "{name}: line {line}: bytes that are not UTF-8; {what} is UTF-8 text; save it again as UTF-8"
        )])
    })
}

/// The beginning of an ordinary file, enough to tell what kind of file it is; `None` where it cannot be read.
pub(crate) fn beginning(path: &Path) -> Option<Vec<u8>> {
    let file = std::fs::File::open(path).ok()?;
    // A pipe has been read already and has nothing left to tell.
    if !file.metadata().ok()?.is_file() {
        return None;
    }
    let mut bytes = Vec::new();
    file.take(64 * 1024).read_to_end(&mut bytes).ok()?;
    Some(bytes)
}

/// The folder in which a file lies.
fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

fn cannot_write(path: &Path, why: &str) -> Failure {
    Failure(vec![format!(
        "{}: cannot be written: {why}; a file in a folder that exists and can be written; check the path",
        path.display()
    )])
}

/// A file under a name of its own beside `path`; it is gone when it is dropped.
fn temporary(path: &Path) -> Result<tempfile::NamedTempFile, Failure> {
    let folder = folder_of(path);
    if !folder.is_dir() {
        let why = if folder.exists() { "is no folder" } else { "does not exist" };
        return Err(cannot_write(path, &format!("{} {why}", folder.display())));
    }
    tempfile::Builder::new().prefix(".dryspell-").tempfile_in(folder).map_err(|e| {
        // Without the name of the temporary file, which says nothing to the user.
        cannot_write(path, &format!("folder {}: {}", folder.display(), e.kind()))
    })
}

/// Whether a folder is there, or can be made; nothing is left behind.
pub(crate) fn folder_can_be(path: &Path) -> Result<(), Failure> {
    if path.is_dir() {
        return temporary(&path.join("-")).map(drop);
    }
    if path.exists() {
        return Err(Failure(vec![format!(
            "{}: a file; a folder is needed here, or a name that is free; choose another name",
            path.display()
        )]));
    }
    temporary(path).map(drop)
}

/// Where a file of results goes, opened before anything long is done, so that a path that cannot be written fails at
/// once. It appears under its name whole or not at all.
#[derive(Debug)]
pub(crate) enum Target {
    /// Standard output.
    Stdout,
    /// A file, written first under another name beside it.
    File { path: PathBuf },
}

impl Target {
    /// Prepares to write `path`; `-` is standard output.
    pub(crate) fn open(path: &Path) -> Result<Self, Failure> {
        if path == Path::new("-") {
            return Ok(Self::Stdout);
        }
        if path.is_dir() {
            return Err(cannot_write(path, "it is a folder"));
        }
        // Tried and taken away again: a run that is broken off leaves nothing behind.
        drop(temporary(path)?);
        Ok(Self::File { path: path.to_owned() })
    }

    /// Prepares to write `path`, which is neither one of the files that are read nor one of the outputs named before.
    pub(crate) fn open_apart(path: &Path, taken: &mut Vec<PathBuf>) -> Result<Self, Failure> {
        let target = Self::open(path)?;
        if let Self::File { path, .. } = &target {
            let same = |other: &PathBuf| match (path.canonicalize(), other.canonicalize()) {
                (Ok(a), Ok(b)) => a == b,
                _ => path == other,
            };
            if taken.iter().any(same) {
                return Err(Failure(vec![format!(
                    "{}: this file is read here, or is another output; each output goes to a file of its own; choose another \
                     name",
                    path.display()
                )]));
            }
            taken.push(path.clone());
        }
        Ok(target)
    }

    /// Whether this is standard output.
    pub(crate) fn is_stdout(&self) -> bool {
        matches!(self, Self::Stdout)
    }

    /// Writes the whole text and puts it in its place.
    pub(crate) fn write(self, text: &str) -> Result<(), Failure> {
        match self {
            Self::Stdout => print(text),
            file @ Self::File { .. } => file.write_with(|out| out.write_all(text.as_bytes())),
        }
    }

    /// Lets `write` fill the file, then puts it in its place.
    pub(crate) fn write_with(
        self,
        write: impl FnOnce(&mut (dyn Write + Send)) -> io::Result<()>,
    ) -> Result<(), Failure> {
        match self {
            Self::Stdout => {
                let mut text = Vec::new();
                write(&mut text)?;
                print(&String::from_utf8(text)?)
            }
            Self::File { path } => {
                let mut temporary = temporary(&path)?;
                let cannot = |e: &dyn std::fmt::Display| {
                    Failure(vec![format!(
                        "{}: cannot be written: {e}; what was there before is untouched; free some space or choose \
                         another place",
                        path.display()
                    )])
                };
                let mut out = io::BufWriter::new(temporary.as_file_mut());
                write(&mut out).and_then(|()| out.flush()).map_err(|e| cannot(&e))?;
                drop(out);
                temporary.as_file().sync_all().map_err(|e| cannot(&e))?;
                // A temporary file is private; a result is an ordinary file.
                #[cfg(unix)]
                {
                    use std::os::unix::fs::PermissionsExt;
                    let mode = std::fs::metadata(&path).map_or(0o644, |m| m.permissions().mode() & 0o777);
                    temporary
                        .as_file()
                        .set_permissions(std::fs::Permissions::from_mode(mode))
                        .map_err(|e| cannot(&e))?;
                }
                temporary.persist(&path).map_err(|e| cannot(&e.error))?;
                Ok(())
            }
        }
    }
}
