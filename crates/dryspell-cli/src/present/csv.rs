//! Tables as CSV.

use dryspell::results::Field;
use dryspell::simulate::Run;

use crate::Failure;

/// The rows of a table, with a header line of the fields' names.
pub(crate) fn table(fields: &[Field], run: &Run, rows: usize) -> Result<String, Failure> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(fields.iter().map(|field| field.name))?;
    for row in 0..rows {
        writer.write_record(fields.iter().map(|field| (field.get)(run, row).to_string()))?;
    }
    let bytes = writer.into_inner().map_err(|e| Failure(vec![e.to_string()]))?;
    Ok(String::from_utf8(bytes)?)
}

/// Every hour: the listed columns, then the plane of each array where there are several.
pub(crate) fn hourly(run: &Run) -> Result<String, Failure> {
    table(dryspell::results::COLUMNS, run, run.calendar.hours())
}

/// Every day.
pub(crate) fn daily(run: &Run) -> Result<String, Failure> {
    table(dryspell::results::DAYS, run, run.days.len())
}
