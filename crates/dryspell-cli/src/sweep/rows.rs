//! The rows of a sweep.

use dryspell::results::HEADLINES;
use dryspell::sweep::{CaseResult, Sweep};

use crate::Failure;

/// What stands in every row of a group of cases.
#[derive(Debug, Clone, Default)]
pub(crate) struct Constants {
    /// SHA-256 of the weather, several files joined by `+`.
    pub(crate) weather_sha256: String,
    /// Seed of made years, where there are any.
    pub(crate) seed: Option<u32>,
}

/// The names of the columns.
pub(crate) fn columns(axes: &[&str]) -> Vec<String> {
    let mut names = vec!["case".to_owned()];
    names.extend(axes.iter().map(|a| (*a).to_owned()));
    names.extend(["scheme_sha256", "weather_sha256", "seed", "fault"].map(str::to_owned));
    names.extend(HEADLINES.iter().map(|f| f.name.to_owned()));
    names
}

/// What there is to say about a case.
#[derive(Clone, Copy)]
pub(crate) enum Case<'a> {
    /// What it came to.
    Worked(&'a CaseResult),
    /// Its weather could not be read, and why.
    Unread(&'a [String]),
}

/// Rows on their way into a table.
pub(crate) struct Rows<'a> {
    sweep: &'a Sweep<'a>,
    scheme_sha256: &'a str,
    writer: csv::Writer<Vec<u8>>,
    /// Room for one field.
    field: String,
    /// Cases with a fault.
    faults: u64,
}

impl<'a> Rows<'a> {
    /// None so far.
    pub(crate) fn new(sweep: &'a Sweep<'a>, scheme_sha256: &'a str) -> Self {
        let writer = csv::WriterBuilder::new().has_headers(false).from_writer(Vec::new());
        Self { sweep, scheme_sha256, writer, field: String::new(), faults: 0 }
    }

    fn field(&mut self, value: impl std::fmt::Display) -> Result<(), Failure> {
        use std::fmt::Write;
        self.field.clear();
        write!(self.field, "{value}").map_err(|e| Failure(vec![e.to_string()]))?;
        Ok(self.writer.write_field(&self.field)?)
    }

    /// One row: the case, what each axis is set to, where it comes from, and all headlines; or the fault that kept it from
    /// running, and nothing else. A case whose scheme cannot be read has no weather.
    pub(crate) fn add(&mut self, case: u64, constants: &Constants, found: Case<'_>) -> Result<(), Failure> {
        self.field(case)?;
        for value in self.sweep.values(case) {
            self.writer.write_field(value)?;
        }
        self.writer.write_field(self.scheme_sha256)?;
        let read = matches!(found, Case::Worked(Ok(_)));
        self.writer.write_field(if read { constants.weather_sha256.as_str() } else { "" })?;
        match constants.seed.filter(|_| read) {
            Some(seed) => self.field(seed)?,
            None => self.writer.write_field("")?,
        }
        match found {
            Case::Worked(Ok(Ok(found))) => {
                self.writer.write_field("")?;
                for headline in HEADLINES {
                    self.field((headline.get)(found, 0))?;
                }
            }
            Case::Worked(Err(faults) | Ok(Err(faults))) => {
                self.fault(&faults.iter().map(ToString::to_string).collect::<Vec<_>>())?;
            }
            Case::Unread(lines) => self.fault(lines)?,
        }
        Ok(self.writer.write_record(None::<&[u8]>)?)
    }

    /// A fault in place of all headlines.
    fn fault(&mut self, lines: &[String]) -> Result<(), Failure> {
        self.faults += 1;
        self.field(lines.join(" | "))?;
        for _ in HEADLINES {
            self.writer.write_field("")?;
        }
        Ok(())
    }

    /// All rows, and how many of them are faults.
    pub(crate) fn finish(self) -> Result<(Vec<u8>, u64), Failure> {
        let rows = self.writer.into_inner().map_err(|e| Failure(vec![e.to_string()]))?;
        Ok((rows, self.faults))
    }
}
