//! Sums, means and best time shift against pvlib's own readers (`data/reference/weather_files.py`).

use crate::help::colorado;
use crate::support::data;
use dryspell::record::YearKind;
use dryspell_weather::{Options, read_file};

/// Minutes from stamp to the time at which radiation is taken to stand, by format: what pvlib's shift must agree with.
fn presumed_min(file: &str) -> f64 {
    if file.starts_with("tmy_") {
        10.566
    } else if file.starts_with('7') {
        -30.0
    } else {
        0.0
    }
}

#[test]
fn every_real_file_has_the_sums_and_the_clock_that_pvlib_finds() {
    let mut reader =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_path(data("reference/weather_files.csv")).unwrap();
    let mut files = 0;
    for row in reader.records() {
        let row = row.unwrap();
        let number = |n: usize| row[n].parse::<f64>().unwrap();
        let file = &row[0];
        let mut options = Options { part_of_year: true, ..Options::default() };
        if file.starts_with("test_psm") {
            options = Options { part_of_year: true, ..colorado() };
        }
        if file.ends_with(".epw") {
            // A month of a typical year.
            options.kind = Some(YearKind::Calendar);
        }
        let weather = read_file(data("weather").join(file), &options).unwrap_or_else(|e| panic!("{e}"));
        let r = &weather.record;
        assert_eq!(weather.report.reading.rows as f64, number(1), "{file}");
        // Snapshots that were made into hours keep the sum but for the light around sunrise; one with the sun down
        // loses its beam.
        let made = weather.report.reading.stamps.contains("averaged over")
            || weather.report.reading.beam_at_night > 0;
        let tolerance = if made { 1e-3 } else { 1e-9 };
        let mean = |column: &[f64]| column.iter().sum::<f64>() / column.len() as f64;
        let same = |what: &str, found: f64, expected: f64, tolerance: f64| {
            assert!(
                (found - expected).abs() <= tolerance * expected.abs(),
                "{file}: {what} {found}, pvlib {expected}"
            );
        };
        same("global", mean(&r.ghi_w_per_m2), number(2), tolerance);
        // Between sunrise and the first snapshot beam is a guess: half a percent with one snapshot an hour.
        same("direct", mean(r.dni_w_per_m2.as_ref().unwrap()), number(3), 5.0 * tolerance);
        same("diffuse", mean(r.dhi_w_per_m2.as_ref().unwrap()), number(4), 3.0 * tolerance);
        same("air", mean(&r.air_degc), number(5), if made { 1e-3 } else { 1e-9 });
        let closure = &weather.report.reading.closure;
        let best = presumed_min(file) + closure.best_shift_min.unwrap();
        assert!((best - number(6)).abs() <= 1.0, "{file}: best {best}, pvlib {}", number(6));
        // The residual of 400 spread hours against that of all.
        assert!((closure.residual_w_per_m2.unwrap() - number(7)).abs() < 0.25, "{file}: {closure:?}");
        files += 1;
    }
    assert_eq!(files, 9);
}

#[test]
fn the_list_of_files_names_each_and_no_other() {
    let list = std::fs::read_to_string(data("weather/README.md")).unwrap();
    for entry in std::fs::read_dir(data("weather")).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(name == "README.md" || list.contains(&format!("| `{name}` |")), "{name} is not in the list");
    }
    let listed = list.lines().filter(|l| l.starts_with("| `")).count();
    assert_eq!(listed, std::fs::read_dir(data("weather")).unwrap().count() - 1);
}
