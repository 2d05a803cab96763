//! The weather of a scheme: files read, or years made.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use dryspell::fault::{Fault, FaultKind};
use dryspell::record::Record;
use dryspell::scheme::{Scheme, StampedAt, WeatherOrigin};
use dryspell_weather::synth::{Climate, Generator, Method};
use dryspell_weather::{Choice, Options, PlaceOptions, Stamps, Weather, read_files, read_folder};
use sha2::{Digest, Sha256};

use crate::inputs::{Input, Role, as_written};
use crate::kinds::Wanted;
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
    match &scheme.weather.origin {
        WeatherOrigin::Files(files) => {
            let paths: Vec<PathBuf> = files.iter().map(|f| folder.join(f)).collect();
            for path in &paths {
                if let Err(e) = std::fs::metadata(path) {
                    let fault = cannot_read("weather.file", path, &e);
                    return Err(in_file(scheme_file, vec![scheme.locate(fault)]));
                }
            }
            let weather =
                read(&paths, &options(scheme)).map_err(|failure| placed_by(failure, scheme, scheme_file))?;
            let inputs = weather
                .record
                .source
                .files
                .iter()
                .map(|f| input(Role::Weather, Path::new(f), folder))
                .collect::<Result<_, _>>()?;
            Ok(Source { record: weather.record, inputs })
        }
        WeatherOrigin::Climate { file, seed, years } => {
            let path = folder.join(file);
            if let Err(e) = std::fs::metadata(&path) {
                let fault = cannot_read("weather.climate", &path, &e);
                return Err(in_file(scheme_file, vec![scheme.locate(fault)]));
            }
            let record = made(&path, Method::Free, u64::from(*seed), *years as usize)?;
            Ok(Source { record, inputs: vec![input(Role::Climate, &path, folder)?] })
        }
    }
}

/// Says that the scheme's own place stood in for the file's: a wrong one shows in the weather's rows.
fn placed_by(failure: Failure, scheme: &Scheme, scheme_file: &str) -> Failure {
    let entry = &scheme.weather;
    let given: Vec<&str> = [
        ("latitude", entry.latitude_deg),
        ("longitude", entry.longitude_deg),
        ("elevation", entry.elevation_m),
        ("utc_offset", entry.utc_offset_h),
    ]
    .into_iter()
    .filter_map(|(key, value)| value.map(|_| key))
    .collect();
    if given.is_empty() {
        return failure;
    }
    let keys = given.join(", ");
    Failure(
        failure
            .0
            .into_iter()
            .map(|line| {
                format!("{line}; or mend {keys} under [weather] of {scheme_file}, taken in place of the file's own")
            })
            .collect(),
    )
}

/// Reads files of one place, or one folder of them.
pub(crate) fn read(paths: &[PathBuf], options: &Options) -> Result<Weather, Failure> {
    let read = match paths {
        [folder] if folder.is_dir() => read_folder(folder, options),
        _ => read_files(paths, options),
    };
    read.map_err(|error| {
        let file = &error.at().file;
        let refused =
            files::beginning(Path::new(file)).and_then(|bytes| Wanted::Weather.refusal(file, &bytes));
        Failure(vec![refused.unwrap_or_else(|| error.told(&flags_and_keys))])
    })
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
    let name = path.display().to_string();
    let text = files::read_text(path, Wanted::Climate)?;
    let climate = Climate::from_toml(&text, &name).map_err(|faults| in_file(&name, faults))?;
    let generator = Generator::new(climate, method, seed).map_err(|faults| in_file(&name, faults))?;
    let threads = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let mut record = generator.record(years, threads).map_err(|fault| in_file(&name, vec![fault]))?;
    record.source.files = vec![name];
    Ok(record)
}

fn options(scheme: &Scheme) -> Options {
    let entry = &scheme.weather;
    Options {
        place: PlaceOptions {
            name: None,
            latitude_deg: entry.latitude_deg,
            longitude_deg: entry.longitude_deg,
            elevation_m: entry.elevation_m,
            utc_offset_h: entry.utc_offset_h,
        },
        kind: entry.years,
        stamps: entry.stamps.map(|s| match s {
            StampedAt::Start => Stamps::Start,
            StampedAt::Middle => Stamps::Middle,
            StampedAt::End => Stamps::End,
        }),
        accept_shift: entry.accept_shift,
        fill_long_gaps: entry.fill_long_gaps,
        part_of_year: entry.part_of_year,
    }
}

fn cannot_read(key: &str, path: &Path, e: &std::io::Error) -> Fault {
    let found = match e.kind() {
        std::io::ErrorKind::NotFound => format!("{}: no such file", path.display()),
        _ => format!("{}: {e}", path.display()),
    };
    Fault::at_key(
        key,
        FaultKind::Weather,
        found,
        "a file that can be read, named from the scheme's own folder",
        "check the name",
    )
}

/// Faults with the file's name in front, a line each.
pub(crate) fn in_file(name: &str, faults: Vec<Fault>) -> Failure {
    let lines = faults
        .into_iter()
        .map(|mut fault| {
            fault.location.file.get_or_insert_with(|| name.to_owned());
            fault.to_string()
        })
        .collect();
    Failure(lines)
}

/// SHA-256 as hexadecimal digits.
pub(crate) fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A file of weather or climate as an input.
pub(crate) fn input(role: Role, path: &Path, folder: &Path) -> Result<Input, Failure> {
    let bytes = std::fs::read(path).map_err(|e| {
        Failure(vec![format!("{}: {e}; a file that stays readable; run again", path.display())])
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
