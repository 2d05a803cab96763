//! The broken files of `bad/`: each is refused with its exact message, and no kind of error is left out.
//!
//! `bad/expected.csv` holds the messages. It is written anew only on purpose, with `WRITE_EXPECTED=1 cargo test corpus`,
//! and then read line by line before it is kept.

use crate::support::root;
use dryspell::record::YearKind;
use dryspell_weather::{Error, Options, read_file};
use std::collections::{BTreeMap, BTreeSet};

/// Kinds that no file of the corpus can show, and the tests that show them.
const ELSEWHERE: [(&str, &str); 12] = [
    ("CannotOpen", "broken::a_missing_file_and_a_folder"),
    ("CannotRead", "endless::a_reader_that_fails"),
    ("LineTooLong", "endless::garbage_without_line_ends_is_refused_early"),
    ("HeaderTooLong", "endless::a_gigabyte_of_garbage_is_refused_early"),
    ("ClockMovesWithTheSeasons", "stamps::a_clock_that_was_put_forward_in_summer"),
    ("TooManyRows", "endless::rows_without_end"),
    ("FileTooLarge", "bounds::a_file_beyond_a_gibibyte_is_refused_with_the_limit_before_it_is_read"),
    ("OtherPlace", "many::files_that_do_not_belong_together"),
    ("NotACalendarYear", "many::files_that_do_not_belong_together"),
    ("TimeInTwoFiles", "many::files_that_do_not_belong_together"),
    ("NoFiles", "many::a_folder"),
    // The record's own check finds nothing that this reader lets through.
    ("Record", "none: it would be an error of the reader"),
];

/// Kinds that can occur only in some formats. All others occur in each.
const ONLY_IN: [(&str, &[&str]); 21] = [
    ("Empty", &["any"]),
    ("Utf16", &["any"]),
    ("NotText", &["any"]),
    ("NotRecognised", &["any"]),
    // The other formats are recognised by a line that is the last of their head.
    ("HeaderCutShort", &["psm", "epw", "plain"]),
    // TMY3 and EPW have their place in fixed fields: one that is missing is a wrong value.
    ("NotSaid", &["psm", "pvgis_tmy", "pvgis_series", "plain"]),
    // PVGIS files are in UTC; their local clock follows from the longitude.
    ("ClockFarFromLongitude", &["tmy3", "psm", "epw", "plain"]),
    // EPW has no names of columns.
    ("MissingColumn", &["tmy3", "psm", "pvgis_tmy", "pvgis_series", "plain"]),
    ("DuplicateColumn", &["tmy3", "psm", "pvgis_tmy", "pvgis_series", "plain"]),
    ("MissingTimeColumn", &["psm", "plain"]),
    ("UnknownColumn", &["plain"]),
    ("WrongUnit", &["tmy3", "psm"]),
    ("ClockChanges", &["plain"]),
    // Hourly EPW rows have no minute.
    ("OffTheGrid", &["tmy3", "psm", "pvgis_tmy", "pvgis_series", "plain"]),
    ("TiltedPlane", &["pvgis_series"]),
    // Rows in UTC do not follow a clock that is put forward.
    ("DaylightSaving", &["tmy3", "psm", "epw", "plain"]),
    // A series has no direct normal radiation to test with.
    ("StampsOff", &["tmy3", "psm", "pvgis_tmy", "epw", "plain"]),
    // Needs a file without diffuse radiation: the others always have it, and their stamps are tested first.
    ("BeamAtNight", &["tmy3", "psm", "plain"]),
    // A typical year always begins with its first of January.
    ("NotWholeDays", &["tmy3", "psm", "pvgis_series", "epw", "plain"]),
    ("WrongHourCount", &["tmy3", "psm", "pvgis_tmy", "pvgis_series", "epw", "plain"]),
    ("MissingRows", &["tmy3", "psm", "pvgis_tmy", "pvgis_series", "epw", "plain"]),
];

const FORMATS: [&str; 6] = ["tmy3", "psm", "pvgis_tmy", "pvgis_series", "epw", "plain"];

fn kind_of(error: &Error) -> String {
    format!("{:?}", error.kind()).chars().take_while(char::is_ascii_alphanumeric).collect()
}

fn format_of(file: &str) -> &'static str {
    FORMATS.into_iter().find(|f| file.starts_with(f)).unwrap_or("any")
}

/// The corpus is of days, not years.
fn options(file: &str) -> Options {
    // A part of a typical year is read as calendar days where the year itself is not what is wrong.
    let kind = (file.starts_with("pvgis_tmy") && !file.contains("no_rows")).then_some(YearKind::Calendar);
    Options { part_of_year: true, kind, ..Options::default() }
}

/// Files and the messages that they give.
fn corpus() -> BTreeMap<String, Error> {
    let mut errors = BTreeMap::new();
    for entry in std::fs::read_dir(root().join("tests/weather/bad")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        if name == "make.py" || name == "expected.csv" {
            continue;
        }
        match read_file(&path, &options(&name)) {
            Ok(weather) => panic!("{name} is read: {:?}", weather.record.source.notes),
            Err(error) => assert!(errors.insert(name, error).is_none()),
        }
    }
    errors
}

#[test]
fn each_file_gives_its_exact_message_on_one_line() {
    let mut expected = BTreeMap::new();
    let list = root().join("tests/weather/bad/expected.csv");
    let folder = format!("{}/", root().join("tests/weather/bad").display());
    let errors = corpus();
    if std::env::var_os("WRITE_EXPECTED").is_some() {
        let mut out = csv::Writer::from_path(&list).unwrap();
        out.write_record(["file", "kind", "message"]).unwrap();
        for (file, error) in &errors {
            out.write_record([file, &kind_of(error), &error.to_string().replace(&folder, "")]).unwrap();
        }
        out.flush().unwrap();
    }
    for row in csv::Reader::from_path(list).unwrap().records() {
        let row = row.unwrap();
        assert!(expected.insert(row[0].to_owned(), (row[1].to_owned(), row[2].to_owned())).is_none());
    }
    let mut wrong = Vec::new();
    for (file, error) in &errors {
        let found = (kind_of(error), error.to_string().replace(&folder, ""));
        assert!(!found.1.contains('\n'), "{found:?}");
        match expected.remove(file) {
            Some(expected) if expected == found => {}
            expected => wrong.push(format!("{file}:\n  found    {found:?}\n  expected {expected:?}")),
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(expected.is_empty(), "expected.csv lists files that are not there: {expected:?}");
    let kinds: BTreeSet<String> = errors.values().map(kind_of).collect();
    assert!(kinds.len() >= 25, "{} kinds", kinds.len());
}

/// Names of the error enum's variants, read from its source so that none can be forgotten.
fn all_kinds() -> Vec<String> {
    let source = std::fs::read_to_string(root().join("crates/dryspell-weather/src/error/kind.rs")).unwrap();
    let body = source.split("pub enum ErrorKind {").nth(1).unwrap().split("\n}").next().unwrap();
    body.lines()
        .filter_map(|l| l.strip_prefix("    "))
        .filter(|l| l.starts_with(|c: char| c.is_ascii_uppercase()))
        .map(|l| l.chars().take_while(char::is_ascii_alphanumeric).collect())
        .collect()
}

#[test]
fn every_kind_is_shown_in_every_format_where_it_can_occur() {
    let shown: BTreeSet<(String, &str)> = corpus().iter().map(|(f, e)| (kind_of(e), format_of(f))).collect();
    let kinds = all_kinds();
    assert!(kinds.len() > 35, "{kinds:?}");
    let mut missing = Vec::new();
    for kind in &kinds {
        if ELSEWHERE.iter().any(|(k, _)| k == kind) {
            continue;
        }
        let formats = ONLY_IN.iter().find(|(k, _)| k == kind).map_or(&FORMATS[..], |(_, f)| f);
        missing.extend(formats.iter().filter(|f| !shown.contains(&(kind.clone(), **f))).map(|f| (kind, *f)));
    }
    assert!(missing.is_empty(), "not shown: {missing:?}");
    for (kind, _) in &shown {
        assert!(kinds.contains(kind));
    }
}
