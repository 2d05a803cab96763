//! A scheme file opened: read, given its weather, run.

use std::path::{Path, PathBuf};

use dryspell::fault::Fault;
use dryspell::record::Record;
use dryspell::scheme::{Scheme, WeatherOrigin};
use dryspell::simulate::{Run, simulate};

use crate::kinds::Wanted;
use crate::source::{self, Source, in_file};
use crate::{Failure, files};

/// A scheme without faults, and where it came from.
pub(crate) struct Job {
    /// The file as typed.
    pub(crate) file: String,
    /// Its text.
    pub(crate) text: String,
    /// What it says.
    pub(crate) scheme: Scheme,
}

impl Job {
    /// Reads a scheme file.
    pub(crate) fn open(path: &Path) -> Result<Self, Failure> {
        let text = files::read_text(path, Wanted::Scheme)?;
        let file = path.display().to_string();
        let folder = path.parent().unwrap_or(Path::new(""));
        let scheme = Scheme::from_toml_with(&text, &|name| beside(folder, name))
            .map_err(|faults| in_file(&file, faults))?;
        Ok(Self { file, text, scheme })
    }

    /// The files that it reads: the scheme itself and its weather.
    pub(crate) fn inputs(&self) -> Vec<PathBuf> {
        let folder = Path::new(&self.file).parent().unwrap_or(Path::new(""));
        let weather: Vec<PathBuf> = match &self.scheme.weather.origin {
            WeatherOrigin::Files(files) => files.iter().map(|file| folder.join(file)).collect(),
            WeatherOrigin::Climate { file, .. } => vec![folder.join(file)],
        };
        std::iter::once(PathBuf::from(&self.file)).chain(weather).collect()
    }

    /// The weather that it names, from its own folder.
    pub(crate) fn weather(&self) -> Result<Source, Failure> {
        let folder = Path::new(&self.file).parent().unwrap_or(Path::new(""));
        source::of_scheme(&self.scheme, &self.file, folder)
    }

    /// Runs it; a fault found on the way carries the line that caused it.
    pub(crate) fn run(&self, record: &Record) -> Result<Run, Failure> {
        simulate(&self.scheme.plan(), record).map_err(|faults| self.located(faults))
    }

    /// Faults found on the way, with the line that caused each.
    pub(crate) fn located(&self, faults: Vec<Fault>) -> Failure {
        in_file(&self.file, faults.into_iter().map(|fault| self.scheme.locate(fault)).collect())
    }
}

/// The text of a file that a scheme in a folder names, or what is wrong with it.
pub(crate) fn beside(folder: &Path, name: &str) -> Result<String, String> {
    files::read_text(&folder.join(name), Wanted::Beside).map_err(|failure| failure.0.join("; "))
}
