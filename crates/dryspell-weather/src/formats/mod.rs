//! The formats, one file each. A new one is a new file and a line in `FORMATS`.

pub(crate) mod epw;
mod format;
pub mod plain;
mod plain_columns;
pub(crate) mod psm;
pub(crate) mod pvgis_series;
pub(crate) mod pvgis_tmy;
pub(crate) mod solar_columns;
pub(crate) mod tmy3;

pub(crate) use format::Format;

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
pub(crate) fn names() -> Vec<&'static str> {
    FORMATS.iter().map(|f| f.name).collect()
}
