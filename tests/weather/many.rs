//! Several files into one record.

use crate::help::{read, text};
use crate::support::data;
use dryspell::record::YearKind;
use dryspell_weather::{ErrorKind, Options, read_files, read_folder};
use std::path::PathBuf;

/// A folder of its own for each test, below the target folder.
fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder).unwrap();
    }
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// Greensboro's typical year as the calendar year given, with 29 February left out.
fn year(year: i32) -> String {
    text("723170TYA.CSV")
        .lines()
        .enumerate()
        .map(|(n, l)| if n < 2 { l.to_owned() + "\n" } else { format!("{}{year}{}\n", &l[..6], &l[10..]) })
        .collect()
}

#[test]
fn a_folder() {
    let folder = folder("years");
    std::fs::write(folder.join("b.csv"), year(2019)).unwrap();
    std::fs::write(folder.join("a.CSV"), year(2021)).unwrap();
    std::fs::write(folder.join("c.csv"), year(2020)).unwrap();
    std::fs::write(folder.join("notes.txt"), "not weather").unwrap();
    let weather = read_folder(&folder, &Options::default()).unwrap();
    let r = &weather.record;
    assert_eq!((r.kind, r.hours()), (YearKind::Calendar, 3 * 8760));
    assert_eq!(weather.report.years, [2019, 2020, 2021]);
    assert_eq!(
        (weather.report.first.as_str(), weather.report.last.as_str()),
        ("2019-01-01T00:00", "2021-12-31T23:00")
    );
    assert_eq!(r.ghi_w_per_m2[..8760], r.ghi_w_per_m2[2 * 8760..]);
    let names: Vec<&str> = r.source.files.iter().map(|f| f.rsplit(['/', '\\']).next().unwrap()).collect();
    assert_eq!(names, ["b.csv", "c.csv", "a.CSV"]);
    assert!(r.source.notes.contains(&"29 February is missing from the file and left out: 2020".to_owned()));
    // Twelve months from July, twice; the first and last half years are no whole winters.
    assert_eq!(weather.report.cold.freezing_index.len(), 2);

    let empty = self::folder("empty");
    let error = read_folder(&empty, &Options::default()).unwrap_err();
    assert!(matches!(error.kind(), ErrorKind::NoFiles));
    assert!(error.to_string().ends_with(
        "empty: no CSV or EPW file in this folder; a folder of weather files is needed; check the name of the folder"
    ));
}

#[test]
fn years_in_one_file_read_like_years_in_several() {
    let both = year(2018) + &year(2019).lines().skip(2).fold(String::new(), |t, l| t + l + "\n");
    let one = read(&both, &Options::default()).unwrap().record;
    let folder = folder("pair");
    let (a, b) = (folder.join("a.csv"), folder.join("b.csv"));
    std::fs::write(&a, year(2018)).unwrap();
    std::fs::write(&b, year(2019)).unwrap();
    let two = read_files(&[&b, &a], &Options::default()).unwrap().record;
    assert_eq!((one.kind, one.hours()), (YearKind::Calendar, 17520));
    assert_eq!((&one.ghi_w_per_m2, &one.calendar), (&two.ghi_w_per_m2, &two.calendar));
}

#[test]
fn a_single_file_in_a_list_may_be_typical() {
    let weather = read_files(&[data("weather/723170TYA.CSV")], &Options::default()).unwrap();
    assert_eq!(weather.record.kind, YearKind::Typical);
}

#[test]
fn an_error_names_the_file_that_has_it() {
    let folder = folder("broken");
    let (a, b) = (folder.join("a.csv"), folder.join("b.csv"));
    std::fs::write(&a, year(2018)).unwrap();
    let bad = year(2019).replacen("03/02/2019,10:00", "03/02/2019,10:20", 1);
    std::fs::write(&b, &bad).unwrap();
    let error = read_files(&[&a, &b], &Options::default()).unwrap_err();
    assert_eq!(error.at().file, b.display().to_string());
    assert_eq!(error.at().line, Some(2 + 60 * 24 + 10));
    assert!(matches!(error.kind(), ErrorKind::OffTheGrid { .. }));
}

#[test]
fn files_that_do_not_belong_together() {
    let folder = folder("strangers");
    let write = |name: &str, text: &str| {
        let path = folder.join(name);
        std::fs::write(&path, text).unwrap();
        path
    };
    let error = |paths: &[&PathBuf]| {
        let error = read_files(paths, &Options::default()).unwrap_err();
        error.to_string().replace(&format!("{}/", folder.display()), "")
    };
    let a = write("a.csv", &year(2018));
    let elsewhere = write("elsewhere.csv", &year(2019).replacen("36.100", "36.500", 1));
    assert_eq!(
        error(&[&a, &elsewhere]),
        "elsewhere.csv: a different place from the file before; all files must be for the place of a.csv; give files \
         for one place"
    );
    let again = write("again.csv", &year(2018));
    assert_eq!(
        error(&[&a, &again]),
        "again.csv: line 3: 2018-01-01 01:00 is in a.csv too; each time must appear once; leave one of the two files \
         out"
    );
    let typical = data("weather/723170TYA.CSV");
    assert!(error(&[&a, &typical]).ends_with(
        "723170TYA.CSV: not a calendar year; several files make one record only if they hold calendar years; give this \
         file alone"
    ));
    let later = write("later.csv", &year(2020));
    assert_eq!(
        error(&[&a, &later]),
        "a.csv: rows are missing for 8760 h from 2019-01-01T00:00; gaps up to 3 h are bridged; fill the gap from \
         another source, or allow filling from neighbouring days (option fill_long_gaps)"
    );
}
