//! The formats, one file each. A new one is a new file and a line in `FORMATS`.

pub(crate) mod epw;
pub mod plain;
mod plain_columns;
pub(crate) mod psm;
pub(crate) mod pvgis_series;
pub(crate) mod pvgis_tmy;
pub(crate) mod solar_columns;
pub(crate) mod tmy3;

use crate::error::Error;
use crate::input::Input;
use crate::options::Options;
use crate::recognise::Head;
use crate::table::Table;

/// A format of weather file.
#[derive(Debug)]
pub(crate) struct Format {
    /// Name, as messages and records give it.
    pub(crate) name: &'static str,
    /// Whether the first lines carry its marks.
    pub(crate) matches: fn(&Head) -> bool,
    /// Reads it.
    pub(crate) read: fn(Input<'_>, &Options) -> Result<Table, Error>,
}

/// All formats, in the order in which they are tried.
pub(crate) const FORMATS: &[&Format] = &[
    &tmy3::FORMAT,
    &epw::FORMAT,
    &pvgis_tmy::FORMAT,
    &pvgis_series::FORMAT,
    &psm::FORMAT,
    &solar_columns::FORMAT,
    &plain::FORMAT,
];

/// Names of all formats, for messages.
pub(crate) fn names() -> String {
    let names: Vec<&str> = FORMATS.iter().map(|f| f.name).collect();
    names.join(", ")
}
