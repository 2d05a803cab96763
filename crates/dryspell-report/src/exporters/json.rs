//! The headlines, months and years as JSON.

use std::io::Write;

use crate::error::Error;
use crate::exporter::Exporter;
use crate::report::Report;
use crate::results::results;

/// The headlines, months and years as one JSON document.
#[derive(Debug)]
pub(super) struct Json;

impl Exporter for Json {
    fn name(&self) -> &'static str {
        "json"
    }

    fn endings(&self) -> &'static [&'static str] {
        &["json"]
    }

    fn write(&self, report: &Report<'_>, to: &mut (dyn Write + Send)) -> Result<(), Error> {
        let mut text = serde_json::to_string_pretty(&results(report)?)?;
        text.push('\n');
        Ok(to.write_all(text.as_bytes())?)
    }
}
