//! The cases of a sweep: tables, laws and lists of values.

use std::path::Path;

use dryspell::fault::Faults;
use dryspell::sweep::{Axis, CaseTable, axes_together};

use super::sites;
use crate::Failure;
use crate::args::SweepArgs;

/// All axes; those of a list go together. Patterns of weather files are looked for in the scheme's folder.
pub(crate) fn together(args: &SweepArgs, folder: &Path) -> Result<Vec<Vec<Axis>>, Failure> {
    let vary = args.vary.iter().map(|text| sites::listed(text, folder)).collect::<Result<Vec<_>, _>>()?;
    let table = args.cases.as_deref().map(of_table).transpose()?;
    let draws = (args.draws.unwrap_or(0), args.seed);
    axes_together(table, &args.draw, draws, &vary)
        .map_err(|faults| Failure(faults.iter().map(ToString::to_string).collect()))
}

/// A table of cases, read row by row.
fn of_table(path: &Path) -> Result<CaseTable, Failure> {
    let told =
        |faults: Faults| Failure(faults.iter().map(|fault| format!("{}: {fault}", path.display())).collect());
    let is_parquet = path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("parquet"));
    if is_parquet { of_parquet(path, &told) } else { of_csv(path, &told) }
}

fn of_csv(path: &Path, told: &dyn Fn(Faults) -> Failure) -> Result<CaseTable, Failure> {
    let unread = |e: &dyn std::fmt::Display| {
        Failure(vec![format!(
            "{}: {e}; a CSV file with a column for each key and as many cells in each row; check the path and the row",
            path.display()
        )])
    };
    let mut reader =
        csv::ReaderBuilder::new().trim(csv::Trim::All).from_path(path).map_err(|e| unread(&e))?;
    let names = reader.headers().map_err(|e| unread(&e))?.clone();
    // A file that a spreadsheet wrote may begin with a mark of its encoding.
    let names: Vec<&str> = names.iter().map(|name| name.trim_start_matches('\u{feff}')).collect();
    let mut table = CaseTable::new(&names).map_err(told)?;
    let mut row = csv::StringRecord::new();
    while reader.read_record(&mut row).map_err(|e| unread(&e))? {
        table.add(&row.iter().collect::<Vec<_>>());
    }
    Ok(table)
}

#[cfg(feature = "parquet")]
fn of_parquet(path: &Path, told: &dyn Fn(Faults) -> Failure) -> Result<CaseTable, Failure> {
    let unread = |e: &dyn std::fmt::Display| {
        Failure(vec![format!(
            "{}: {e}; a Parquet file with a column for each key; check the path, or write the table as CSV",
            path.display()
        )])
    };
    let file = std::fs::File::open(path).map_err(|e| unread(&e))?;
    let mut rows = dryspell_report::parquet::Cells::new(file).map_err(|e| unread(&e))?;
    let names = rows.names().to_vec();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    let mut table = CaseTable::new(&names).map_err(told)?;
    while let Some(row) = rows.next_row().map_err(|e| unread(&e))? {
        table.add(&row.iter().map(String::as_str).collect::<Vec<_>>());
    }
    Ok(table)
}

#[cfg(not(feature = "parquet"))]
fn of_parquet(path: &Path, _: &dyn Fn(Faults) -> Failure) -> Result<CaseTable, Failure> {
    Err(Failure(vec![format!(
        "{}: this program was built without Parquet; a build with --features parquet; build it so, or write the table as CSV",
        path.display()
    )]))
}
