//! Tables of hours and days as CSV.

use std::io::Write;

use dryspell::array::OneArray;
use dryspell::results::{COLUMNS, DAYS};

use crate::error::Error;
use crate::exporter::Exporter;
use crate::report::Report;

/// Every hour: the listed columns; where there are several arrays, the plane of each beside them.
#[derive(Debug)]
pub(super) struct Hourly;

impl Exporter for Hourly {
    fn name(&self) -> &'static str {
        "hourly"
    }

    fn endings(&self) -> &'static [&'static str] {
        &["csv"]
    }

    fn write(&self, report: &Report<'_>, to: &mut dyn Write) -> Result<(), Error> {
        let run = report.run;
        let arrays: &[OneArray] = if run.array.each.len() > 1 { &run.array.each } else { &[] };
        let mut writer = csv::Writer::from_writer(to);
        let names = COLUMNS.iter().map(|field| field.name.to_owned());
        writer.write_record(names.chain(arrays.iter().map(|a| format!("plane_w_per_m2.{}", a.name))))?;
        for h in 0..run.calendar.hours() {
            let listed = COLUMNS.iter().map(|field| (field.get)(run, h).to_string());
            writer.write_record(listed.chain(arrays.iter().map(|a| a.plane_w_per_m2[h].to_string())))?;
        }
        Ok(writer.flush()?)
    }
}

/// Every day.
#[derive(Debug)]
pub(super) struct Daily;

impl Exporter for Daily {
    fn name(&self) -> &'static str {
        "daily"
    }

    fn endings(&self) -> &'static [&'static str] {
        &["csv"]
    }

    fn write(&self, report: &Report<'_>, to: &mut dyn Write) -> Result<(), Error> {
        let run = report.run;
        let mut writer = csv::Writer::from_writer(to);
        writer.write_record(DAYS.iter().map(|field| field.name))?;
        for day in 0..run.days.len() {
            writer.write_record(DAYS.iter().map(|field| (field.get)(run, day).to_string()))?;
        }
        Ok(writer.flush()?)
    }
}
