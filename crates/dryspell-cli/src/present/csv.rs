//! Tables as CSV.

use dryspell::array::OneArray;
use dryspell::results::{COLUMNS, DAYS};
use dryspell::simulate::Run;

use crate::Failure;

/// Every hour: the listed columns; where there are several arrays, the plane of each beside them.
pub(crate) fn hourly(run: &Run) -> Result<String, Failure> {
    let arrays: &[OneArray] = if run.array.each.len() > 1 { &run.array.each } else { &[] };
    let mut writer = csv::Writer::from_writer(Vec::new());
    let names = COLUMNS.iter().map(|field| field.name.to_owned());
    writer.write_record(names.chain(arrays.iter().map(|a| format!("plane_w_per_m2.{}", a.name))))?;
    for h in 0..run.calendar.hours() {
        let listed = COLUMNS.iter().map(|field| (field.get)(run, h).to_string());
        writer.write_record(listed.chain(arrays.iter().map(|a| a.plane_w_per_m2[h].to_string())))?;
    }
    text(writer)
}

/// Every day.
pub(crate) fn daily(run: &Run) -> Result<String, Failure> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(DAYS.iter().map(|field| field.name))?;
    for day in 0..run.days.len() {
        writer.write_record(DAYS.iter().map(|field| (field.get)(run, day).to_string()))?;
    }
    text(writer)
}

fn text(writer: csv::Writer<Vec<u8>>) -> Result<String, Failure> {
    Ok(String::from_utf8(writer.into_inner().map_err(|e| e.to_string())?)?)
}
