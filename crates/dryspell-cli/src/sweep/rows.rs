//! The rows of a sweep.

use dryspell::results::{Content, HEADLINES, content};
use dryspell::simulate::TankResult;
use dryspell::sweep::{ABOUT_A_CASE, Axis, CASE, CaseResult, Column, Sweep, columns as columns_of};
use dryspell_report::CaseHash;

use crate::Failure;

/// What stands in every row of a group of cases.
#[derive(Debug, Default)]
pub(crate) struct Constants {
    /// Name, latitude and longitude of the weather.
    pub(crate) place: Option<(String, f64, f64)>,
    /// SHA-256 of the weather, several files joined by `+`.
    pub(crate) weather_sha256: String,
    /// Seed of made years, where there are any.
    pub(crate) seed: Option<u32>,
    /// Hash of each case by its tank.
    pub(crate) case_hash: Option<CaseHash>,
}

/// What is the same in all rows.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Hashes<'a> {
    /// Of the scheme's text.
    pub(crate) scheme: &'a str,
    /// Of all that the table rests on.
    pub(crate) inputs: &'a str,
}

/// The columns of the varied keys.
pub(crate) fn of_axes(axes: &[Axis]) -> Vec<Vec<Column>> {
    axes.iter().map(columns_of).collect()
}

/// The names of all columns, and what their cells are.
pub(crate) fn columns(axes: &[Axis]) -> Vec<(String, Content)> {
    let own = of_axes(axes).into_iter().flatten().map(|column| (column.name, column.content));
    std::iter::once((CASE.name.to_owned(), CASE.content))
        .chain(own)
        .chain(ABOUT_A_CASE.map(|own| (own.name.to_owned(), own.content)))
        .chain(HEADLINES.iter().map(|headline| (headline.name.to_owned(), content(headline))))
        .collect()
}

/// A column of the table with its unit and what it means.
#[cfg(feature = "parquet")]
pub(crate) fn told(name: &str, content: Content) -> dryspell_report::parquet::Column {
    use dryspell::sweep::of_column;
    let of_key = || {
        let (key, unit) = of_column(name)?;
        Some((unit.unwrap_or(""), dryspell::keys::of_path(key)?.meaning))
    };
    let own =
        ABOUT_A_CASE.iter().chain([&CASE]).find(|own| own.name == name).map(|own| (own.unit, own.meaning));
    let headline = || HEADLINES.iter().find(|headline| headline.name == name).map(|h| (h.unit, h.meaning));
    let (unit, meaning) = own.or_else(headline).or_else(of_key).unwrap_or_default();
    dryspell_report::parquet::Column {
        name: name.to_owned(),
        content,
        unit: dryspell::units::typed(unit),
        meaning: meaning.to_owned(),
    }
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
    hashes: Hashes<'a>,
    axes: &'a [Vec<Column>],
    writer: csv::Writer<Vec<u8>>,
    /// Room for one field.
    field: String,
    /// Cases with a fault.
    faults: u64,
}

impl<'a> Rows<'a> {
    /// None so far.
    pub(crate) fn new(sweep: &'a Sweep<'a>, axes: &'a [Vec<Column>], hashes: Hashes<'a>) -> Self {
        let writer = csv::WriterBuilder::new().has_headers(false).from_writer(Vec::new());
        Self { sweep, hashes, axes, writer, field: String::new(), faults: 0 }
    }

    fn field(&mut self, value: impl std::fmt::Display) -> Result<(), Failure> {
        use std::fmt::Write;
        self.field.clear();
        write!(self.field, "{value}").map_err(|e| Failure(vec![e.to_string()]))?;
        Ok(self.writer.write_field(&self.field)?)
    }

    /// One row: the case, what each key is set to, where it comes from, and all headlines; or the fault that kept it from
    /// running, and nothing else. A case whose scheme cannot be read has no weather.
    pub(crate) fn add(&mut self, case: u64, constants: &Constants, found: Case<'_>) -> Result<(), Failure> {
        self.field(case)?;
        let (axes, picks) = (self.sweep.axes(), self.sweep.picks(case));
        for ((columns, axis), row) in self.axes.iter().zip(axes).zip(picks) {
            for column in columns {
                self.writer.write_field(column.cell(axis.literals.get(row)))?;
            }
        }
        let read = matches!(found, Case::Worked(Ok(_)));
        match constants.place.as_ref().filter(|_| read) {
            Some((name, latitude_deg, longitude_deg)) => {
                self.writer.write_field(name)?;
                self.field(latitude_deg)?;
                self.field(longitude_deg)?;
            }
            None => self.empty(3)?,
        }
        self.writer.write_field(self.hashes.scheme)?;
        self.writer.write_field(if read { constants.weather_sha256.as_str() } else { "" })?;
        self.writer.write_field(self.hashes.inputs)?;
        match (&found, &constants.case_hash) {
            (Case::Worked(Ok(Ok(found))), Some(hash)) => self.writer.write_field(hash.of(&found.plan)?)?,
            _ => self.empty(1)?,
        }
        match constants.seed.filter(|_| read) {
            Some(seed) => self.field(seed)?,
            None => self.empty(1)?,
        }
        match found {
            Case::Worked(Ok(Ok(found))) => self.headlines(found),
            Case::Worked(Err(faults) | Ok(Err(faults))) => {
                self.fault(&faults.iter().map(ToString::to_string).collect::<Vec<_>>())
            }
            Case::Unread(lines) => self.fault(lines),
        }?;
        Ok(self.writer.write_record(None::<&[u8]>)?)
    }

    fn headlines(&mut self, found: &TankResult) -> Result<(), Failure> {
        self.empty(1)?;
        for headline in HEADLINES {
            self.field((headline.get)(found, 0))?;
        }
        Ok(())
    }

    /// So many cells of which nothing is known.
    fn empty(&mut self, cells: usize) -> Result<(), Failure> {
        for _ in 0..cells {
            self.writer.write_field("")?;
        }
        Ok(())
    }

    /// A fault in place of all headlines.
    fn fault(&mut self, lines: &[String]) -> Result<(), Failure> {
        self.faults += 1;
        self.field(lines.join(" | "))?;
        self.empty(HEADLINES.len())
    }

    /// All rows, and how many of them are faults.
    pub(crate) fn finish(self) -> Result<(Vec<u8>, u64), Failure> {
        let rows = self.writer.into_inner().map_err(|e| Failure(vec![e.to_string()]))?;
        Ok((rows, self.faults))
    }
}
