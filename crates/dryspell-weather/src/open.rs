//! From what a scheme says under `[weather]` to its record.

use crate::error::{Error, ErrorKind};
use crate::file::{self, FileRead};
use crate::join::read_paths;
use crate::options::{Choice, Options, PlaceOptions, Stamps};
use crate::report::Report;
use crate::synth::{Climate, Generator, Method};
use dryspell::fault::{Fault, FaultKind, Faults, Location};
use dryspell::record::Record;
use dryspell::scheme::{Scheme, StampedAt, WeatherEntry, WeatherOrigin};
use std::fmt;
use std::io::Read;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

/// Most bytes of a climate file: 4 MiB, as of a scheme.
const MOST_CLIMATE_BYTES: u64 = 4 << 20;

/// The weather of a scheme.
#[derive(Debug, Clone, PartialEq)]
pub struct SchemeWeather {
    /// Hourly weather in local standard time.
    pub record: Record,
    /// How the files were read; `None` where the years were made from a climate.
    pub report: Option<Report>,
    /// Every file that was read for it, with the hash of the bytes.
    pub files: Vec<FileRead>,
}

/// Why a scheme has no weather.
#[derive(Debug, Clone, PartialEq)]
pub enum OpenError {
    /// A weather file was refused.
    File {
        /// Why.
        error: Error,
        /// Keys of the scheme that stood in for the file's own place: a wrong one shows in the weather's rows.
        in_place_of_the_file: Vec<Choice>,
    },
    /// The scheme names what cannot be read, or a climate has faults. Faults of the scheme carry no file: whoever opened it
    /// knows its name.
    Faults(Faults),
}

impl fmt::Display for OpenError {
    /// A line for each fault; options are told as keys of the scheme.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File { error, in_place_of_the_file } => {
                f.write_str(&error.told(&|choices| format!("{} under [weather]", as_keys(choices))))?;
                if !in_place_of_the_file.is_empty() {
                    let keys = names(in_place_of_the_file);
                    write!(f, "; or correct {keys} under [weather], used in place of the file's own")?;
                }
                Ok(())
            }
            Self::Faults(faults) => faults.fmt(f),
        }
    }
}

impl std::error::Error for OpenError {}

/// Options as keys of a scheme.
fn as_keys(choices: &[Choice]) -> String {
    let key = |c: &Choice| format!("`{}{}`", c.name(), if c.is_flag() { " = true" } else { "" });
    choices.iter().map(key).collect::<Vec<_>>().join(", ")
}

/// Names of options.
fn names(choices: &[Choice]) -> String {
    choices.iter().map(|c| c.name()).collect::<Vec<_>>().join(", ")
}

impl From<&WeatherEntry> for Options {
    /// What a scheme states about its weather files.
    fn from(entry: &WeatherEntry) -> Self {
        Self {
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
}

/// Opens the weather that a scheme names, with all that it says under `[weather]`: files read, or years made from its
/// climate. `folder` is the scheme's own.
///
/// # Errors
/// Whatever keeps it from being a trustworthy record.
///
/// # Example
///
/// ```
/// use dryspell::scheme::Scheme;
/// use std::path::Path;
///
/// let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
/// let scheme = Scheme::from_toml(&std::fs::read_to_string(folder.join("scheme.toml"))?).map_err(|f| f[0].clone())?;
/// let weather = dryspell_weather::open(&scheme, &folder)?;
/// assert_eq!(weather.record.hours(), 8760);
/// assert!(weather.files[0].name.ends_with("weather.csv"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn open(scheme: &Scheme, folder: &Path) -> Result<SchemeWeather, OpenError> {
    let entry = &scheme.weather;
    let there = |key: &str, path: &Path| match std::fs::metadata(path) {
        Ok(_) => Ok(()),
        Err(e) => Err(OpenError::Faults(vec![scheme.locate(not_there(key, path, &e))].into())),
    };
    match &entry.origin {
        WeatherOrigin::Files(files) => {
            let paths: Vec<PathBuf> = files.iter().map(|f| folder.join(f)).collect();
            for path in &paths {
                there("weather.file", path)?;
            }
            let weather = read_paths(&paths, &Options::from(entry))
                .map_err(|error| OpenError::File { error, in_place_of_the_file: stated_place(entry) })?;
            Ok(SchemeWeather { record: weather.record, report: Some(weather.report), files: weather.files })
        }
        WeatherOrigin::Climate { file, seed, years } => {
            let path = folder.join(file);
            there("weather.climate", &path)?;
            made(&path, Method::Free, u64::from(*seed), *years as usize)
        }
    }
}

/// Keys of the place that the scheme states itself.
fn stated_place(entry: &WeatherEntry) -> Vec<Choice> {
    [
        (Choice::Latitude, entry.latitude_deg),
        (Choice::Longitude, entry.longitude_deg),
        (Choice::Elevation, entry.elevation_m),
        (Choice::UtcOffset, entry.utc_offset_h),
    ]
    .into_iter()
    .filter_map(|(key, value)| value.map(|_| key))
    .collect()
}

/// Years made from a climate file.
///
/// # Errors
/// Faults of the file, each with its line, or of the count of years.
pub fn made(path: &Path, method: Method, seed: u64, years: usize) -> Result<SchemeWeather, OpenError> {
    let name = path.display().to_string();
    let named = |faults: Faults| {
        let named = |mut fault: Fault| {
            fault.location.file.get_or_insert_with(|| name.clone());
            fault
        };
        OpenError::Faults(faults.into_iter().map(named).collect())
    };
    let (text, read) = climate_text(path, &name).map_err(|fault| named(fault.into()))?;
    let climate = Climate::from_toml(&text, &name).map_err(named)?;
    let generator = Generator::new(climate, method, seed).map_err(named)?;
    let threads = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let mut record = generator.record(years, threads).map_err(|fault| named(fault.into()))?;
    record.source.files = vec![name];
    Ok(SchemeWeather { record, report: None, files: vec![read] })
}

/// The text of a climate file, or what is wrong with it.
fn climate_text(path: &Path, name: &str) -> Result<(String, FileRead), Fault> {
    const WANTED: &str = "a climate file (twelve monthly means in TOML) is needed here";
    const WAY_OUT: &str = "check the name, or begin with a copy of data/demo/climate.toml";
    let fault = |line, found: String, accepted: String, way_out: &str| Fault {
        location: Location { line, ..Location::default() },
        kind: FaultKind::Weather,
        found,
        accepted,
        way_out: way_out.to_owned(),
    };
    let unread = |e: std::io::Error| match file::why(&e) {
        ErrorKind::FileTooLarge { limit_bytes } => fault(
            None,
            format!("larger than {} MiB", limit_bytes >> 20),
            format!("climate files of at most {} MiB ({limit_bytes} bytes) are accepted", limit_bytes >> 20),
            WAY_OUT,
        ),
        _ if e.kind() == std::io::ErrorKind::NotFound => {
            fault(None, "no such file".into(), WANTED.into(), WAY_OUT)
        }
        _ => fault(None, e.to_string(), WANTED.into(), WAY_OUT),
    };
    let mut source = file::open(path, MOST_CLIMATE_BYTES).map_err(unread)?;
    let mut bytes = Vec::new();
    source.read_to_end(&mut bytes).map_err(unread)?;
    let read = source.finish(name).map_err(unread)?;
    let text = String::from_utf8(bytes).map_err(|e| {
        let good = &e.as_bytes()[..e.utf8_error().valid_up_to()];
        let line = good.iter().filter(|b| **b == b'\n').count() + 1;
        fault(
            Some(line),
            "bytes that are not UTF-8".into(),
            "a climate file is UTF-8 text".into(),
            "save it again as UTF-8",
        )
    })?;
    Ok((text, read))
}

fn not_there(key: &str, path: &Path, e: &std::io::Error) -> Fault {
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
