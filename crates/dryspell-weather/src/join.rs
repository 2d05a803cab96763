//! Several files of one place → one record.

use crate::error::{Error, ErrorKind};
use crate::finish::{finish, layout_kind};
use crate::options::Options;
use crate::quantity::Quantity;
use crate::table::Table;
use crate::timing::{kind_of, time_text};
use crate::{Weather, file, table};
use dryspell::record::YearKind;
use std::path::{Path, PathBuf};

/// How far places may lie apart and still be one, degrees (a kilometre or two).
const SAME_PLACE_DEG: f64 = 0.02;

/// Reads calendar years from several files into one record; a single file is read as by [`crate::read_file`].
///
/// # Errors
/// An [`Error`] for whatever keeps the files from being one trustworthy record.
pub fn read_files<P: AsRef<Path>>(paths: &[P], options: &Options) -> Result<Weather, Error> {
    let mut read = Vec::with_capacity(paths.len());
    for path in paths {
        let (name, mut source) = file::open_weather(path.as_ref())?;
        let table = table(&name, &mut source, options)?;
        read.push((table, source.finish_weather(&name)?));
    }
    read.sort_by_key(|(table, _)| table.rows.stamps.first().copied());
    let (tables, files) = read.into_iter().unzip();
    finish(join(tables, options)?, options, || Ok(files))
}

/// Reads what a scheme names or a user types: files, or the one folder that holds them.
///
/// # Errors
/// As [`read_files`] and [`read_folder`].
pub fn read_paths<P: AsRef<Path>>(paths: &[P], options: &Options) -> Result<Weather, Error> {
    match paths {
        [folder] if folder.as_ref().is_dir() => read_folder(folder, options),
        _ => read_files(paths, options),
    }
}

/// Reads all `.csv` and `.epw` files of a folder into one record.
///
/// # Errors
/// As [`read_files`], and when the folder cannot be read or has none.
pub fn read_folder(folder: impl AsRef<Path>, options: &Options) -> Result<Weather, Error> {
    let folder = folder.as_ref();
    let name = folder.display().to_string();
    let cannot = |e: std::io::Error| Error::new(&name, ErrorKind::CannotOpen { reason: e.kind() });
    let mut paths: Vec<PathBuf> = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(cannot)? {
        let path = entry.map_err(cannot)?.path();
        let known = |e: &std::ffi::OsStr| e.eq_ignore_ascii_case("csv") || e.eq_ignore_ascii_case("epw");
        if path.is_file() && path.extension().is_some_and(known) {
            paths.push(path);
        }
    }
    if paths.is_empty() {
        return Err(Error::new(&name, ErrorKind::NoFiles));
    }
    paths.sort();
    read_files(&paths, options)
}

/// Puts tables together that are in the order of their time.
fn join(tables: Vec<Table>, options: &Options) -> Result<Table, Error> {
    if tables.len() > 1 {
        for table in &tables {
            let middles: Vec<i64> = table.rows.stamps.iter().map(|s| s * 60).collect();
            let kind = layout_kind(options.kind, table.kind).unwrap_or_else(|| kind_of(&middles));
            if kind == YearKind::Typical {
                return Err(table.rows.error(ErrorKind::NotACalendarYear));
            }
        }
    }
    let mut tables = tables.into_iter();
    let Some(mut all) = tables.next() else {
        return Err(Error::new("", ErrorKind::NoFiles));
    };
    for table in tables {
        add(&mut all, table)?;
        // Known from each file; the dates of all together may leave out years.
        all.kind = all.kind.or(Some(YearKind::Calendar));
    }
    Ok(all)
}

fn add(all: &mut Table, table: Table) -> Result<(), Error> {
    let apart =
        |a: Option<f64>, b: Option<f64>| a.zip(b).is_some_and(|(a, b)| (a - b).abs() > SAME_PLACE_DEG);
    let (p, q) = (&all.place, &table.place);
    let clocks = all.rows_offset_h != table.rows_offset_h || p.utc_offset_h != q.utc_offset_h;
    if apart(p.latitude_deg, q.latitude_deg) || apart(p.longitude_deg, q.longitude_deg) || clocks {
        let first = all.rows.file().to_owned();
        return Err(table.rows.error(ErrorKind::OtherPlace { first }));
    }
    let rows = all.rows.stamps.len();
    if let (Some(last), Some(first)) = (all.rows.stamps.last(), table.rows.stamps.first())
        && first <= last
    {
        let other = all.rows.files.last().map_or_else(String::new, |(_, name)| name.clone());
        return Err(table.rows.error_at(0, ErrorKind::TimeInTwoFiles { time: time_text(*first), other }));
    }
    for q in Quantity::ALL {
        let added = table.rows.columns.get(q);
        let nothing = |n: usize| vec![f64::NAN; n];
        match (all.rows.columns.get_mut(q), added) {
            (Some(column), Some(more)) => column.extend(more),
            (Some(column), None) => column.extend(nothing(table.rows.stamps.len())),
            (none, Some(more)) => {
                let mut column = nothing(rows);
                column.extend(more);
                *none = Some(column);
            }
            (None, None) => {}
        }
    }
    all.rows.files.extend(table.rows.files.into_iter().map(|(first, name)| (first + rows, name)));
    all.rows.stamps.extend(table.rows.stamps);
    all.rows.lines.extend(table.rows.lines);
    all.rows.mended.negatives += table.rows.mended.negatives;
    all.scenario = all.scenario.take().or(table.scenario);
    for note in table.notes {
        if !all.notes.contains(&note) {
            all.notes.push(note);
        }
    }
    Ok(())
}
