//! The outputs of a run: one file each, listed here.
//!
//! Weather files, sizes, odds, comparisons, sweeps and single hours are no runs: their pages are functions.

#[cfg(feature = "setting")]
mod html;
mod json;
#[cfg(feature = "pdf")]
mod pdf;
mod tables;
mod terminal;

use crate::exporter::Exporter;

/// Every output.
pub const EXPORTERS: &[&dyn Exporter] = &[
    &terminal::Terminal,
    &tables::Hourly,
    &tables::Daily,
    #[cfg(feature = "parquet")]
    &tables::HourlyParquet,
    #[cfg(feature = "parquet")]
    &tables::DailyParquet,
    &json::Json,
    #[cfg(feature = "setting")]
    &html::Html,
    #[cfg(feature = "pdf")]
    &pdf::Pdf,
];

/// The output of this name.
#[must_use]
pub fn exporter(name: &str) -> Option<&'static dyn Exporter> {
    EXPORTERS.iter().copied().find(|exporter| exporter.name() == name)
}
