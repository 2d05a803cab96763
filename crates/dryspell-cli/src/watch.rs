//! `--watch`: a command done anew whenever a file that it reads is saved.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread::sleep;
use std::time::Duration;

use dryspell_report::changes::State;

use crate::files::{self, Look};
use crate::job::Job;
use crate::kinds::FileNeed;
use crate::tables::Tables;
use crate::{Failure, Verdict, source, stop};

/// From one look at the files to the next. Some files that are small: looking costs less than the eye notices, works on any file
/// system, shared folders too, and sees editors that save under another name and rename.
const BETWEEN_LOOKS: Duration = Duration::from_millis(500);
/// A file that changes is looked at again after this time, until it stays as it is: an editor may still be writing it.
const UNTIL_STILL: Duration = Duration::from_millis(100);

/// What is watched.
#[derive(Debug)]
pub(crate) struct Watched {
    scheme: PathBuf,
    /// The files beside it that were asked for last, whether they could be read or not.
    tables: Arc<Tables>,
    /// Paths of its weather, as last known.
    weather: Vec<PathBuf>,
}

impl Watched {
    /// Opens the scheme as it is now, and notes what it names.
    pub(crate) fn open(&mut self, settings: &[String]) -> Result<Job, Failure> {
        self.tables = Arc::new(Tables::beside(&self.scheme));
        let job = Job::open_with(&self.scheme, settings, &self.tables)?;
        self.weather = job.weather_paths(&job.scheme);
        Ok(job)
    }

    fn paths(&self) -> Vec<PathBuf> {
        let weather = self.weather.iter().flat_map(|path| source::weather_files(path));
        std::iter::once(self.scheme.clone()).chain(self.tables.asked()).chain(weather).collect()
    }

    /// Waits until a file is another than at the look given.
    fn wait(&self, seen: &Look) {
        loop {
            sleep(BETWEEN_LOOKS);
            let mut now = Look::at(self.paths(), seen);
            if !now.differs(seen) {
                continue;
            }
            loop {
                sleep(UNTIL_STILL);
                let then = Look::at(self.paths(), &now);
                if !then.differs(&now) {
                    break;
                }
                now = then;
            }
            // A file that was away for a moment and is back as it was has not changed.
            if now.differs(seen) {
                return;
            }
        }
    }
}

/// Does `round` now and whenever a file that the scheme names is saved. The round gets the state of the last sound one. Faults of
/// a scheme that is being edited are told, and the watch goes on.
pub(crate) fn watch(
    scheme: &Path,
    mut round: impl FnMut(&mut Watched, Option<&State>) -> Result<State, Failure>,
) -> Result<Verdict, Failure> {
    // What cannot be read at all is no scheme that is being edited.
    if scheme.exists() && !scheme.is_file() {
        return Err(Failure(vec![format!(
            "{}: not a file; --watch needs one that can be saved again; name the file, or leave --watch out",
            scheme.display()
        )]));
    }
    files::read_text(scheme, FileNeed::Scheme)?;
    stop::interrupt_is_the_end();
    let mut watched =
        Watched { scheme: scheme.to_owned(), tables: Arc::new(Tables::beside(scheme)), weather: Vec::new() };
    let mut before = None;
    loop {
        // Seen before it is read: what is saved meanwhile is another file.
        let known = Look::at(watched.paths(), &Look::default());
        match round(&mut watched, before.as_ref()) {
            Ok(state) => before = Some(state),
            Err(Failure(lines)) => lines.iter().for_each(|line| files::say(&format!("dryspell: {line}"))),
        }
        if files::nobody_reads() {
            return Ok(Verdict::Answered);
        }
        let names: Vec<String> = watched.paths().iter().map(|path| files::name_of(path)).collect();
        files::say(&format!("dryspell: watching {}; Ctrl-C ends", names.join(", ")));
        let named_anew = Look::at(watched.paths(), &Look::default());
        watched.wait(&known.with(named_anew));
    }
}
