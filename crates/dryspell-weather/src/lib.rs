//! Weather files in, [`dryspell::record::Record`]s out, or a refusal that says what to do.
//!
//! [`open()`] goes the whole way from what a scheme says under `[weather]` to its record. Below it,
//! [`read_file`] recognises a file by its content, reads it, puts it on the clock of local standard time and returns
//! a [`Weather`]: the record and what the reader decided on the way. Whatever is wrong is an [`Error`] that names
//! file, line, column, what was found, what is accepted and the way out.
//!
//! ```
//! use dryspell_weather::{Options, read_bytes};
//!
//! let mut text = "# place: Dry Creek\n# latitude: 45\n# longitude: -110\n# elevation: 1500 m\n".to_owned();
//! text += "# utc offset: -7\n# stamps: start\n# kind: synthetic\ntime,ghi_w_per_m2,air_degc\n";
//! for day in 1..=2 {
//!     for hour in 0..24 {
//!         let ghi = if (8..16).contains(&hour) { 300 } else { 0 };
//!         text += &format!("2001-01-0{day}T{hour:02}:00,{ghi},-3.5\n");
//!     }
//! }
//! let options = Options { part_of_year: true, ..Options::default() };
//! let weather = read_bytes("creek.csv", text.as_bytes(), &options)?;
//! assert_eq!(weather.record.hours(), 48);
//! assert_eq!(weather.record.ghi_w_per_m2.iter().sum::<f64>(), 2.0 * 8.0 * 300.0);
//! # Ok::<(), dryspell_weather::Error>(())
//! ```

mod admit;
mod closure;
mod error;
mod file;
mod finish;
pub mod forecast;
pub mod formats;
mod gaps;
mod hours;
mod input;
mod join;
mod open;
mod options;
mod place;
mod quality;
mod quantity;
mod recognise;
pub mod report;
mod scenario;
mod snow;
mod spells;
mod sunlight;
pub mod synth;
mod table;
mod timing;

use dryspell::record::Record;
use std::io::Read;
use std::path::Path;

pub use closure::Closure;
pub use error::{At, Error, ErrorKind};
pub use file::{FileRead, MOST_BYTES};
pub use gaps::{Fill, How};
pub use join::{read_files, read_folder, read_paths};
pub use open::{OpenError, SchemeWeather, made, open};
pub use options::{Choice, Options, PlaceOptions, Stamps};
pub use quantity::Quantity;
pub use recognise::format_of;
pub use report::Report;

/// A record of weather and what the reader did to get it.
#[derive(Debug, Clone, PartialEq)]
pub struct Weather {
    /// Hourly weather in local standard time.
    pub record: Record,
    /// What there is to say about it.
    pub report: Report,
    /// The files behind it, in the order of their time, with the hash of the bytes that were read.
    pub files: Vec<FileRead>,
}

/// Reads a weather file of any known format.
///
/// # Errors
/// An [`Error`] for whatever keeps the file from being a trustworthy record.
pub fn read_file(path: impl AsRef<Path>, options: &Options) -> Result<Weather, Error> {
    read_files(&[path], options)
}

/// Reads weather from bytes; `name` stands for the file in messages and in the record's source.
///
/// # Errors
/// An [`Error`] for whatever keeps the bytes from being a trustworthy record.
pub fn read_bytes(name: &str, bytes: &[u8], options: &Options) -> Result<Weather, Error> {
    read_from(name, bytes, options)
}

/// Reads weather from a stream, in pieces and no further than needed to refuse it.
///
/// # Errors
/// An [`Error`] for whatever keeps the stream from being a trustworthy record.
pub fn read_from(name: &str, source: impl Read, options: &Options) -> Result<Weather, Error> {
    let mut source = file::HashReader::new(source, MOST_BYTES);
    let table = table(name, &mut source, options)?;
    finish::finish(table, options, || Ok(vec![source.finish_weather(name)?]))
}

/// Recognises and reads a file's rows.
fn table(name: &str, source: impl Read, options: &Options) -> Result<table::Table, Error> {
    let (input, head) = input::Input::new(name, source)?;
    let format = recognise::recognise(name, &head)?;
    let mut table = (format.read)(input, options)?;
    table.scenario = scenario::named_in(&head);
    Ok(table)
}
