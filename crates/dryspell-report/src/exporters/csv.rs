//! Tables of hours and days as CSV: in SI, or in US units where that is asked for, with the unit in the column's name.

use std::io::Write;

use dryspell::array::OneArray;
use dryspell::results::{COLUMNS, DAYS, Figure};
use dryspell::units::{Quantity, System, column_value};

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
        let system = report.tables;
        let names = COLUMNS.iter().map(|field| field.name.to_owned());
        let of_arrays = arrays.iter().map(|a| format!("plane_w_per_m2.{}", a.name));
        let of_tanks = run.tanks.iter().flat_map(|tank| {
            ["tank_stored_m3", "tank_from_tank_m3"].map(|name| format!("{name}.{}", tank.name))
        });
        let of_wells = run.lifts.iter().map(|well| format!("well_pumped_m3.{}", own_name(&well.name)));
        let names: Vec<String> = names.chain(of_arrays).chain(of_tanks).chain(of_wells).collect();
        let each_unit = arrays.iter().map(|_| "W/m2").chain(std::iter::repeat("m3"));
        let units: Vec<&str> =
            COLUMNS.iter().map(|field| field.unit).chain(each_unit).take(names.len()).collect();
        writer.write_record(names.iter().zip(&units).map(|(name, unit)| named(name, unit, system)))?;
        for h in 0..run.calendar.hours() {
            let listed = COLUMNS.iter().map(|field| (field.get)(run, h));
            let of_arrays = arrays.iter().map(|a| a.plane_w_per_m2[h]);
            let of_tanks = run.tanks.iter().flat_map(|t| [t.level_m3[h], t.from_tank_hourly_m3[h]]);
            let of_wells = run.lifts.iter().map(|well| well.hourly_m3[h]);
            let each = of_arrays.chain(of_tanks).chain(of_wells).map(Figure::Number);
            let figures = listed.chain(each).zip(&units);
            writer.write_record(figures.map(|(figure, unit)| told(figure, unit, system)))?;
        }
        Ok(writer.flush()?)
    }
}

/// Units of columns that differ in US tables: SI unit, what stands for it in the name, that in US units, quantity.
const US: [(&str, &str, &str, Quantity); 3] = [
    ("m3", "_m3", "_gal", Quantity::Volume),
    ("m", "_m", "_ft", Quantity::Length),
    ("degC", "_degc", "_degf", Quantity::Temperature),
];

/// The name of a column, with its unit in a system.
fn named(name: &str, unit: &str, system: System) -> String {
    let us = US.iter().find(|(si, ..)| system == System::Us && *si == unit);
    us.map_or_else(|| name.to_owned(), |(_, from, to, _)| name.replacen(from, to, 1))
}

/// A figure of a column in a system.
fn told(figure: Figure, unit: &str, system: System) -> String {
    let us = US.iter().find(|(si, ..)| system == System::Us && *si == unit);
    match (figure, us) {
        (Figure::Number(value), Some((.., quantity))) => column_value(value, *quantity, system).to_string(),
        (figure, _) => figure.to_string(),
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
        let system = report.tables;
        writer.write_record(DAYS.iter().map(|field| named(field.name, field.unit, system)))?;
        for day in 0..run.days.len() {
            writer.write_record(DAYS.iter().map(|field| told((field.get)(run, day), field.unit, system)))?;
        }
        Ok(writer.flush()?)
    }
}
