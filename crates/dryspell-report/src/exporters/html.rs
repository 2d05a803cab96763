//! The document as a page of HTML.

use std::io::Write;

use crate::error::Error;
use crate::exporter::Exporter;
use crate::page::document;
use crate::report::Report;
use crate::setting::html::html;

/// The document as one HTML file.
#[derive(Debug)]
pub(super) struct Html;

impl Exporter for Html {
    fn name(&self) -> &'static str {
        "html"
    }

    fn endings(&self) -> &'static [&'static str] {
        &["html", "htm"]
    }

    fn is_document(&self) -> bool {
        true
    }

    fn write(&self, report: &Report<'_>, to: &mut (dyn Write + Send)) -> Result<(), Error> {
        let page = html(&document(report)?).map_err(Error::Setting)?;
        Ok(to.write_all(page.as_bytes())?)
    }
}
