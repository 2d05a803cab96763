//! The document as PDF.

use std::io::Write;

use dryspell::units::System;

use crate::error::Error;
use crate::exporter::Exporter;
use crate::model::Paper;
use crate::page::document;
use crate::report::Report;
use crate::setting::pdf::{Fonts, pdf};

/// The document as a PDF.
#[derive(Debug)]
pub(super) struct Pdf;

impl Exporter for Pdf {
    fn name(&self) -> &'static str {
        "pdf"
    }

    fn endings(&self) -> &'static [&'static str] {
        &["pdf"]
    }

    fn is_document(&self) -> bool {
        true
    }

    fn write(&self, report: &Report<'_>, to: &mut (dyn Write + Send)) -> Result<(), Error> {
        let settings = report.document;
        let usual = if report.system == System::Us { Paper::Letter } else { Paper::A4 };
        let document = document(report)?;
        let fonts = Fonts::new(settings.fonts.to_vec()).map_err(Error::Setting)?;
        let bytes = pdf(&document, settings.paper.unwrap_or(usual), &fonts).map_err(Error::Setting)?;
        Ok(to.write_all(&bytes)?)
    }
}
