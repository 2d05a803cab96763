//! The weather of a scheme or of a command, with what goes wrong in the words of the command line.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use dryspell::fault::Faults;
use dryspell::record::Record;
use dryspell::scheme::{Scheme, WeatherOrigin};
use dryspell_report::{Input, Role, as_written};
use dryspell_weather::synth::{Generator, Method};
use dryspell_weather::{Choice, Error, OpenError, Options, Weather, read_paths};

use crate::kinds::FileNeed;
use crate::{Failure, files};

/// A record and what it was read or made from.
pub(crate) struct Source {
    /// The record.
    pub(crate) record: Record,
    /// The files, in order.
    pub(crate) inputs: Vec<Input>,
}

/// The record that a scheme names. `folder` is the scheme's.
pub(crate) fn of_scheme(scheme: &Scheme, scheme_file: &str, folder: &Path) -> Result<Source, Failure> {
    let opened = dryspell_weather::open(scheme, folder).map_err(|error| match error {
        OpenError::File { error, in_place_of_the_file } => {
            Failure(vec![told(&error) + &instead_of(&in_place_of_the_file, scheme_file)])
        }
        OpenError::Faults(faults) => match &scheme.weather.origin {
            WeatherOrigin::Climate { file, .. } => climate_refused(&folder.join(file), scheme_file, faults),
            WeatherOrigin::Files(_) => in_file(scheme_file, faults),
        },
    })?;
    let inputs = Input::of_weather(scheme, opened.files, folder);
    Ok(Source { record: opened.record, inputs })
}

/// Says that the scheme's own place stood in for the file's.
fn instead_of(choices: &[Choice], scheme_file: &str) -> String {
    if choices.is_empty() {
        return String::new();
    }
    let keys = choices.iter().map(|c| c.name()).collect::<Vec<_>>().join(", ");
    format!("; or correct {keys} under [weather] of {scheme_file}, used in place of the file's own")
}

/// Reads files of one place, or one folder of them.
pub(crate) fn read(paths: &[PathBuf], options: &Options) -> Result<Weather, Failure> {
    read_paths(paths, options).map_err(|error| Failure(vec![told(&error)]))
}

/// The line of a weather file that was refused: a file of another kind is named for what it is.
fn told(error: &Error) -> String {
    let file = &error.at().file;
    files::beginning(Path::new(file))
        .and_then(|bytes| FileNeed::Weather.refusal(file, &bytes))
        .unwrap_or_else(|| error.told(&flags_and_keys))
}

/// How options of reading are given: as flags of `dryspell weather`, or under `[weather]` in a scheme. Both are named
/// after the option.
fn flags_and_keys(choices: &[Choice]) -> String {
    let list = |word: &dyn Fn(&Choice) -> String| choices.iter().map(word).collect::<Vec<_>>().join(", ");
    let flags = list(&|c| format!("`--{}`", c.name().replace('_', "-")));
    let keys = list(&|c| format!("`{}{}`", c.name(), if c.is_flag() { " = true" } else { "" }));
    format!("{flags} of dryspell weather, {keys} under [weather] of a scheme")
}

/// Years made from a climate file.
pub(crate) fn made(path: &Path, method: Method, seed: u64, years: usize) -> Result<Record, Failure> {
    match dryspell_weather::made(path, method, seed, years) {
        Ok(opened) => Ok(opened.record),
        Err(OpenError::File { error, .. }) => Err(Failure(vec![told(&error)])),
        Err(OpenError::Faults(faults)) => {
            let name = path.display().to_string();
            Err(climate_refused(path, &name, faults))
        }
    }
}

/// Years like those of weather files.
pub(crate) fn made_like(files: &[PathBuf], seed: u64, years: usize) -> Result<Record, Failure> {
    let record = read(files, &Options::default())?.record;
    let names: Vec<String> = files.iter().map(|file| file.display().to_string()).collect();
    let named = |faults: Faults| in_file(&names.join(", "), faults);
    let threads = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let generator = Generator::like(&record, seed).map_err(named)?;
    let mut made = generator.record(years, threads).map_err(|fault| named(fault.into()))?;
    made.source.files = names;
    Ok(made)
}

/// The lines of a climate that was refused: a file of another kind is named for what it is.
fn climate_refused(path: &Path, asked_in: &str, faults: Faults) -> Failure {
    let name = path.display().to_string();
    let refused = files::beginning(path).and_then(|bytes| FileNeed::Climate.refusal(&name, &bytes));
    refused.map_or_else(|| in_file(asked_in, faults), |line| Failure(vec![line]))
}

/// Faults with the file's name in front, a line each.
pub(crate) fn in_file(name: &str, faults: Faults) -> Failure {
    let lines = faults
        .into_iter()
        .map(|mut fault| {
            fault.location.file.get_or_insert_with(|| name.to_owned());
            fault.to_string()
        })
        .collect();
    Failure(lines)
}

/// A file of weather or climate as an input.
pub(crate) fn input(role: Role, path: &Path, folder: &Path) -> Result<Input, Failure> {
    let bytes = std::fs::read(path).map_err(|e| {
        Failure(vec![format!("{}: {e}; a file that stays readable; run it again", path.display())])
    })?;
    Ok(Input::of(role, as_written(path, folder), &bytes))
}

/// The files behind a path of weather: itself, or those in it.
pub(crate) fn weather_files(path: &Path) -> Vec<PathBuf> {
    let Ok(folder) = std::fs::read_dir(path) else { return vec![path.to_owned()] };
    let known = |e: &std::ffi::OsStr| e.eq_ignore_ascii_case("csv") || e.eq_ignore_ascii_case("epw");
    let mut files: Vec<PathBuf> = folder.flatten().map(|entry| entry.path()).collect();
    files.retain(|file| file.is_file() && file.extension().is_some_and(known));
    files.sort();
    files
}
