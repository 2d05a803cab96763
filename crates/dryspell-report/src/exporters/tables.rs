//! Tables of hours and days, as CSV and as Parquet: in SI, or in US units where that is asked for, with the unit in the column's name.

use std::io::Write;

use dryspell::array::OneArray;
use dryspell::results::{Content, DAY_TABLE, Figure, HOUR_TABLE, RunTable};
use dryspell::units::{Quantity, System, column_value};

use crate::error::Error;
use crate::exporter::Exporter;
use crate::report::Report;

/// A column in the system of units that is asked for.
struct Head {
    name: String,
    /// Unit of the figure, in SI.
    unit: &'static str,
    #[cfg_attr(not(feature = "parquet"), expect(dead_code, reason = "CSV has no types"))]
    content: Content,
    #[cfg_attr(not(feature = "parquet"), expect(dead_code, reason = "CSV has no place for it"))]
    meaning: &'static str,
}

/// A table on its way into a file, row by row.
struct Rows<'a> {
    heads: Vec<Head>,
    count: usize,
    row: Box<dyn Fn(usize) -> Vec<Figure> + 'a>,
    system: System,
}

impl<'a> Rows<'a> {
    /// The listed columns of a table of the run.
    fn listed(report: &Report<'a>, table: RunTable) -> Self {
        let run = report.run;
        let contents = table.contents().into_iter();
        let heads = table.fields.iter().zip(contents).map(|(field, content)| Head {
            name: field.name.to_owned(),
            unit: field.unit,
            content,
            meaning: field.meaning,
        });
        Self {
            heads: heads.collect(),
            count: table.rows(run),
            row: Box::new(move |row| table.fields.iter().map(|field| (field.get)(run, row)).collect()),
            system: report.tables,
        }
    }

    fn of_days(report: &Report<'a>) -> Self {
        Self::listed(report, DAY_TABLE)
    }

    /// Every hour: the listed columns; where there are several arrays, tanks or wells, those of each beside them.
    fn of_hours(report: &Report<'a>) -> Self {
        let run = report.run;
        let mut rows = Self::listed(report, HOUR_TABLE);
        let arrays: &[OneArray] = if run.array.each.len() > 1 { &run.array.each } else { &[] };
        let mut add = |name: String, unit, meaning| {
            rows.heads.push(Head { name, unit, content: Content::Number, meaning });
        };
        for array in arrays {
            add(format!("plane_w_per_m2.{}", array.name), "W/m2", "irradiance on the plane of this array");
        }
        for tank in run.tanks.iter() {
            add(format!("tank_stored_m3.{}", tank.name), "m3", "usable water in this tank at the hour's end");
            add(format!("tank_from_tank_m3.{}", tank.name), "m3", "into this tank from another");
        }
        for well in run.lifts.iter() {
            add(format!("well_pumped_m3.{}", own_name(&well.name)), "m3", "pumped from this well");
        }
        rows.row = Box::new(move |h| {
            let listed = HOUR_TABLE.fields.iter().map(|field| (field.get)(run, h));
            let of_arrays = arrays.iter().map(|a| a.plane_w_per_m2[h]);
            let of_tanks = run.tanks.iter().flat_map(|t| [t.level_m3[h], t.from_tank_hourly_m3[h]]);
            let of_wells = run.lifts.iter().map(|well| well.hourly_m3[h]);
            listed.chain(of_arrays.chain(of_tanks).chain(of_wells).map(Figure::Number)).collect()
        });
        rows
    }

    fn names(&self) -> impl Iterator<Item = String> + '_ {
        self.heads.iter().map(|head| named(&head.name, head.unit, self.system))
    }

    /// The figures of a row in the system asked for.
    fn figures(&self, row: usize) -> impl Iterator<Item = Figure> + '_ {
        (self.row)(row)
            .into_iter()
            .zip(&self.heads)
            .map(|(figure, head)| told(figure, head.unit, self.system))
    }

    fn write_csv(&self, to: &mut dyn Write) -> Result<(), Error> {
        let mut writer = csv::Writer::from_writer(to);
        writer.write_record(self.names())?;
        for row in 0..self.count {
            writer.write_record(self.figures(row).map(|figure| figure.to_string()))?;
        }
        Ok(writer.flush()?)
    }

    #[cfg(feature = "parquet")]
    fn write_parquet(&self, to: &mut (dyn Write + Send)) -> Result<(), Error> {
        use crate::parquet::{Column, Table};
        let columns: Vec<Column> = self
            .heads
            .iter()
            .zip(self.names())
            .map(|(head, name)| Column {
                name,
                content: head.content,
                unit: us_of(head.unit, self.system).map_or(head.unit, |us| us.unit).to_owned(),
                meaning: head.meaning.to_owned(),
            })
            .collect();
        let mut table = Table::new(to, &columns)?;
        for row in 0..self.count {
            table.add_figures(self.figures(row))?;
        }
        table.finish()?;
        Ok(())
    }
}

/// A unit of columns that differs in US tables.
struct Us {
    si: &'static str,
    /// What stands for it in the name, and what for the US one.
    names: [&'static str; 2],
    #[cfg_attr(not(feature = "parquet"), expect(dead_code, reason = "the name says it"))]
    unit: &'static str,
    quantity: Quantity,
}

const US: [Us; 3] = [
    Us { si: "m3", names: ["_m3", "_gal"], unit: "gal", quantity: Quantity::Volume },
    Us { si: "m", names: ["_m", "_ft"], unit: "ft", quantity: Quantity::Length },
    Us { si: "degC", names: ["_degc", "_degf"], unit: "degF", quantity: Quantity::Temperature },
];

fn us_of(unit: &str, system: System) -> Option<&'static Us> {
    US.iter().find(|us| system == System::Us && us.si == unit)
}

/// The name of a column, with its unit in a system.
fn named(name: &str, unit: &str, system: System) -> String {
    us_of(unit, system).map_or_else(|| name.to_owned(), |us| name.replacen(us.names[0], us.names[1], 1))
}

/// A figure of a column in a system.
fn told(figure: Figure, unit: &str, system: System) -> Figure {
    match (figure, us_of(unit, system)) {
        (Figure::Number(value), Some(us)) => Figure::Number(column_value(value, us.quantity, system)),
        (figure, _) => figure,
    }
}

/// The name of a well: the scheme's first has none of its own.
fn own_name(name: &str) -> &str {
    if name.is_empty() { "first" } else { name }
}

/// A table of the run in a format.
macro_rules! table {
    ($(#[$about:meta])* $type:ident, $name:literal, $ending:literal, $rows:expr, $write:ident) => {
        $(#[$about])*
        #[derive(Debug)]
        pub(super) struct $type;

        impl Exporter for $type {
            fn name(&self) -> &'static str {
                $name
            }

            fn endings(&self) -> &'static [&'static str] {
                &[$ending]
            }

            fn write(&self, report: &Report<'_>, to: &mut (dyn Write + Send)) -> Result<(), Error> {
                $rows(report).$write(to)
            }
        }
    };
}

table!(
    /// Every hour as CSV.
    Hourly, "hourly", "csv", Rows::of_hours, write_csv
);
table!(
    /// Every day as CSV.
    Daily, "daily", "csv", Rows::of_days, write_csv
);
#[cfg(feature = "parquet")]
table!(
    /// Every hour as Parquet.
    HourlyParquet, "hourly parquet", "parquet", Rows::of_hours, write_parquet
);
#[cfg(feature = "parquet")]
table!(
    /// Every day as Parquet.
    DailyParquet, "daily parquet", "parquet", Rows::of_days, write_parquet
);
