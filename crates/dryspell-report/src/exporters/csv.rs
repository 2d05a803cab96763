//! Tables of hours and days as CSV.

use std::io::Write;

use dryspell::array::OneArray;
use dryspell::results::{COLUMNS, DAYS};

use crate::error::Error;
use crate::exporter::Exporter;
use crate::report::Report;

/// Every hour: the listed columns; where there are several arrays, tanks or wells, those of each beside them.
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
        let of_arrays = arrays.iter().map(|a| format!("plane_w_per_m2.{}", a.name));
        let of_tanks = run.tanks.iter().flat_map(|tank| {
            ["tank_stored_m3", "tank_from_tank_m3"].map(|name| format!("{name}.{}", tank.name))
        });
        let of_wells = run.lifts.iter().map(|well| format!("well_pumped_m3.{}", own_name(&well.name)));
        writer.write_record(names.chain(of_arrays).chain(of_tanks).chain(of_wells))?;
        for h in 0..run.calendar.hours() {
            let listed = COLUMNS.iter().map(|field| (field.get)(run, h).to_string());
            let of_arrays = arrays.iter().map(|a| a.plane_w_per_m2[h]);
            let of_tanks = run.tanks.iter().flat_map(|t| [t.level_m3[h], t.from_tank_hourly_m3[h]]);
            let of_wells = run.lifts.iter().map(|well| well.hourly_m3[h]);
            let each = of_arrays.chain(of_tanks).chain(of_wells).map(|value| value.to_string());
            writer.write_record(listed.chain(each))?;
        }
        Ok(writer.flush()?)
    }
}

/// The name of a well: the scheme's first has none of its own.
fn own_name(name: &str) -> &str {
    if name.is_empty() { "first" } else { name }
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
