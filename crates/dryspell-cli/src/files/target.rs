//! Where results go.

use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::identity::behind_links;
use super::{Identity, Temporary, print};
use crate::Failure;

/// What a file of results holds; its name ends accordingly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Format {
    /// Comma-separated text.
    Csv,
    /// JSON.
    Json,
    /// Columns in binary.
    Parquet,
    /// A picture.
    Svg,
    /// A page.
    Html,
    /// Pages on paper.
    Pdf,
}

impl Format {
    /// Endings of names, the usual one first.
    const fn endings(self) -> &'static [&'static str] {
        match self {
            Self::Csv => &["csv"],
            Self::Json => &["json"],
            Self::Parquet => &["parquet"],
            Self::Svg => &["svg"],
            Self::Html => &["html", "htm"],
            Self::Pdf => &["pdf"],
        }
    }

    /// The one of these that a name ends in.
    fn of(path: &Path, accepted: &[Self]) -> Option<Self> {
        let ending = path.extension()?.to_str()?;
        accepted.iter().copied().find(|f| f.endings().iter().any(|e| e.eq_ignore_ascii_case(ending)))
    }
}

/// Names of standard output.
const STDOUT: [&str; 4] = ["-", "/dev/stdout", "/dev/fd/1", "/proc/self/fd/1"];

/// Outputs of one command, kept apart from what it reads and from each other: by what the files are, not by how they are
/// spelled.
#[derive(Debug, Default)]
pub(crate) struct Outputs {
    taken: Vec<Identity>,
    stdout: bool,
}

impl Outputs {
    /// No outputs yet; files that are read.
    pub(crate) fn apart_from<P: AsRef<Path>>(read: impl IntoIterator<Item = P>) -> Self {
        let mut outputs = Self::default();
        for path in read {
            outputs.keep_from(path.as_ref());
        }
        outputs
    }

    /// Those of another list as well.
    pub(crate) fn join(&mut self, other: Self) {
        self.taken.extend(other.taken);
        self.stdout |= other.stdout;
    }

    /// One more file that is read; of a folder all the files in it.
    pub(crate) fn keep_from(&mut self, path: &Path) {
        self.taken.push(Identity::of(path));
        for entry in std::fs::read_dir(path).into_iter().flatten().flatten() {
            self.taken.push(Identity::of(&entry.path()));
        }
    }

    /// Prepares to write `path`, which an option names and which holds one of the formats accepted. A device or a pipe
    /// without such an ending gets the first of them.
    pub(crate) fn open(&mut self, option: &str, path: &Path, accepted: &[Format]) -> Result<Target, Failure> {
        let target = Target::open(path)?;
        match &target.place {
            Place::Stdout if std::mem::replace(&mut self.stdout, true) => {
                return Err(Failure(vec![format!(
                    "{option} {}: standard output is taken by another output; it takes one of them; name a file",
                    path.display()
                )]));
            }
            Place::Stdout => {}
            // A device such as /dev/null takes any number of outputs.
            Place::Through(_) if !is_pipe(path) && !path.is_file() => {}
            Place::File(_) | Place::Through(_) => {
                let identity = Identity::of(path);
                if self.taken.contains(&identity) {
                    return Err(Failure(vec![format!(
                        "{}: this file is an input, or another output; each output needs its own file; choose another \
                         name",
                        path.display()
                    )]));
                }
                self.taken.push(identity);
            }
        }
        let format = Format::of(path, accepted);
        if matches!(target.place, Place::File(_)) && format.is_none() {
            let endings: Vec<String> =
                accepted.iter().flat_map(|f| f.endings()).map(|e| format!(".{e}")).collect();
            return Err(Failure(vec![format!(
                "{option} {}: not a format that is written here; a name that ends in {}; such as {}",
                path.display(),
                endings.join(" or "),
                path.with_extension(&endings[0][1..]).display()
            )]));
        }
        Ok(Target { format: format.or(accepted.first().copied()), ..target })
    }
}

/// Whether a path names what this program was handed open, such as `/dev/fd/3`: it is written through, whatever it is.
fn is_open_already(path: &Path) -> bool {
    ["/dev/fd", "/proc"].iter().any(|folder| path.starts_with(folder))
}

/// Whether a path is a pipe: what it gives can be had only once.
#[cfg(unix)]
pub(crate) fn is_pipe(path: &Path) -> bool {
    use std::os::unix::fs::FileTypeExt;
    std::fs::metadata(path).is_ok_and(|about| about.file_type().is_fifo())
}

/// Other systems keep pipes apart from files.
#[cfg(not(unix))]
pub(crate) fn is_pipe(_: &Path) -> bool {
    false
}

/// Where a file of results goes, tried before anything long is done, so that a path that cannot be written fails at
/// once. A file appears under its name whole or not at all.
#[derive(Debug)]
pub(crate) struct Target {
    shown: PathBuf,
    place: Place,
    format: Option<Format>,
}

#[derive(Debug)]
enum Place {
    /// Standard output.
    Stdout,
    /// A file, written first under another name beside it. Links have been followed.
    File(PathBuf),
    /// A device or a pipe: written through, as it cannot be put in place whole.
    Through(PathBuf),
}

impl Target {
    /// Prepares to write `path`; `-` is standard output.
    pub(crate) fn open(path: &Path) -> Result<Self, Failure> {
        let target = |place| Self { shown: path.to_owned(), place, format: None };
        if STDOUT.iter().any(|name| path == Path::new(name)) {
            return Ok(target(Place::Stdout));
        }
        match std::fs::metadata(path) {
            Ok(about) if about.is_dir() => return Err(cannot_write(path, "it is a folder")),
            Ok(about) if !about.is_file() || is_open_already(path) => {
                return Ok(target(Place::Through(path.to_owned())));
            }
            _ => {}
        }
        let file = behind_links(path);
        // Tried and taken away again: a run that is broken off leaves nothing behind.
        drop(Temporary::beside(&file)?);
        Ok(target(Place::File(file)))
    }

    /// Whether this is standard output.
    pub(crate) fn is_stdout(&self) -> bool {
        matches!(self.place, Place::Stdout)
    }

    /// What it holds, where the option that names it told.
    pub(crate) fn format(&self) -> Option<Format> {
        self.format
    }

    /// Writes the whole text and puts it in its place.
    pub(crate) fn write(self, text: &str) -> Result<(), Failure> {
        match self.place {
            Place::Stdout => print(text),
            Place::File(_) | Place::Through(_) => self.write_with(|out| out.write_all(text.as_bytes())),
        }
    }

    /// Lets `write` fill the file, then puts it in its place.
    pub(crate) fn write_with(
        self,
        write: impl FnOnce(&mut (dyn Write + Send)) -> io::Result<()>,
    ) -> Result<(), Failure> {
        let shown = self.shown;
        let path = match self.place {
            Place::Stdout => {
                let mut text = Vec::new();
                write(&mut text)?;
                return print(&String::from_utf8(text)?);
            }
            Place::Through(path) => {
                let through = || {
                    let mut out = io::BufWriter::new(std::fs::OpenOptions::new().write(true).open(&path)?);
                    write(&mut out)?;
                    out.flush()
                };
                return match through() {
                    // A reader that has gone away is no error.
                    Err(e) if e.kind() == io::ErrorKind::BrokenPipe => Ok(()),
                    done => done.map_err(|e| cannot_write(&shown, &e.to_string())),
                };
            }
            Place::File(path) => path,
        };
        let mut temporary = Temporary::beside(&path)?;
        let cannot = |e: io::Error| {
            Failure(vec![format!(
                "{}: cannot be written: {e}; what was there before is untouched; free some space or choose another \
                 place",
                shown.display()
            )])
        };
        let mut out = io::BufWriter::new(temporary.file());
        write(&mut out).and_then(|()| out.flush()).map_err(cannot)?;
        drop(out);
        temporary.file().sync_all().map_err(cannot)?;
        // What replaces a file may be read by whoever could read it before.
        #[cfg(unix)]
        if let Ok(before) = std::fs::metadata(&path) {
            use std::os::unix::fs::PermissionsExt;
            let mode = before.permissions().mode() & 0o777;
            temporary.file().set_permissions(std::fs::Permissions::from_mode(mode)).map_err(cannot)?;
        }
        temporary.persist(&path).map(drop).map_err(cannot)
    }
}

pub(super) fn cannot_write(path: &Path, why: &str) -> Failure {
    Failure(vec![format!(
        "{}: cannot be written: {why}; a file in a folder that exists and can be written; check the path",
        path.display()
    )])
}
