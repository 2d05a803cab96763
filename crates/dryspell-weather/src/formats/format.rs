//! What a format is: a name, its marks, and the way from its rows to a table.

use crate::error::Error;
use crate::input::{Head, Input};
use crate::options::Options;
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
