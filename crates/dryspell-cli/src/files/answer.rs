//! An answer: a page on standard output, JSON in a file, or JSON on standard output alone.

use std::path::Path;

use super::print;
use super::target::{Format, Outputs, Target};
use crate::Failure;

/// Where an answer goes.
#[derive(Debug)]
pub(crate) struct Answer {
    json: Option<Target>,
}

impl Answer {
    /// Opened before the work, so that a path that cannot be written fails at once.
    pub(crate) fn open(outputs: &mut Outputs, json: Option<&Path>) -> Result<Self, Failure> {
        Ok(Self { json: json.map(|path| outputs.open("--json", path, &[Format::Json])).transpose()? })
    }

    /// Writes the JSON where it is asked for, and prints the page unless standard output is taken.
    pub(crate) fn give<E>(
        self,
        json: impl FnOnce() -> Result<String, E>,
        page: impl FnOnce() -> String,
    ) -> Result<(), Failure>
    where
        Failure: From<E>,
    {
        let Some(target) = self.json else { return print(&page()) };
        let quiet = target.is_stdout();
        target.write(&json()?)?;
        if quiet { Ok(()) } else { print(&page()) }
    }
}
