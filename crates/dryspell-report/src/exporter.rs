//! What an output of a run is.

use std::io::Write;

use crate::error::Error;
use crate::report::Report;

/// An output of a run.
pub trait Exporter: Sync {
    /// What it is called, such as `hourly`.
    fn name(&self) -> &'static str;

    /// Endings of its files, without the dot.
    fn endings(&self) -> &'static [&'static str];

    /// Whether it is the document, which is a work of its own beside the run.
    fn is_document(&self) -> bool {
        false
    }

    /// Writes it.
    ///
    /// # Errors
    /// What keeps it from being made or written.
    fn write(&self, report: &Report<'_>, to: &mut (dyn Write + Send)) -> Result<(), Error>;
}
