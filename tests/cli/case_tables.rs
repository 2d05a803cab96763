//! Hours, days, months and tank years of each case of a sweep, as Parquet.

use std::fs::File;
use std::path::Path;

use dryspell_report::parquet::Cells;

use crate::program::Desk;
use crate::support::data;
use crate::sweep::{demo, table};

const VARY: [&str; 4] = ["--vary", "tank.main.capacity = 1, 6, 12 m3", "--vary", "herd.cows.count = 30, 46"];

fn sweep(desk: &Desk, more: &[&str]) -> crate::program::Answer {
    desk.run(&[&["sweep", "scheme.toml"][..], &VARY, more].concat())
}

/// Names and rows of the files of a folder in their order, as text.
fn dataset(folder: &Path) -> (Vec<String>, Vec<Vec<String>>) {
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.sort();
    let (mut names, mut rows) = (Vec::new(), Vec::new());
    for path in paths {
        let mut cells = Cells::new(File::open(path).unwrap()).unwrap();
        names = cells.names().to_vec();
        while let Some(row) = cells.next_row().unwrap() {
            rows.push(row);
        }
    }
    (names, rows)
}

/// Whether a cell of CSV and one of Parquet say the same: dates come as days, numbers with digits that read back equal.
fn same(csv: &str, parquet: &str) -> bool {
    match (csv.parse::<f64>(), parquet.parse::<f64>()) {
        (Ok(a), Ok(b)) => a.to_bits() == b.to_bits(),
        _ => csv == parquet || parquet.starts_with(csv),
    }
}

#[test]
fn the_tables_of_a_case_are_those_of_its_run() {
    let desk = demo();
    let answer = sweep(&desk, &["--out", "s.csv", "--hours", "--days", "--months", "--years"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let (head, rows) = table(&desk.read("s.csv"));
    let fault = head.iter().position(|name| name == "fault").unwrap();
    assert!(rows.iter().all(|row| row[fault].is_empty()));
    // Case 4: 46 cows with a tank of 6 m3.
    let set = ["run", "scheme.toml", "--set", "herd.cows.count = 46", "--set", "tank.main.capacity = 6 m3"];
    // The float keeps its share of the capacity, which --set leaves where it stands.
    let floats = [6.0 / 11.0 * 10.5, 6.0 / 11.0 * 9.0];
    let floats = ["float_stop", "float_start"].into_iter().zip(floats);
    let floats: Vec<String> = floats.map(|(key, m3)| format!("tank.main.{key} = {m3} m3")).collect();
    let set = [&set[..], &["--set", &floats[0], "--set", &floats[1]]].concat();
    for (option, folder, each) in [("--hourly", "s.hours", 8760), ("--daily", "s.days", 365)] {
        let (names, found) = dataset(&desk.path(folder));
        let (own, expected) = table(&desk.run(&[&set[..], &[option, "-"]].concat()).out);
        assert_eq!(names[0], "case");
        assert_eq!(names[1..], own);
        assert_eq!(found.len(), 6 * each);
        let mine: Vec<_> = found.iter().filter(|row| row[0] == "4").collect();
        assert_eq!(mine.len(), expected.len());
        for (row, expected) in mine.iter().zip(&expected) {
            for ((cell, expected), name) in row[1..].iter().zip(expected).zip(&own) {
                assert!(same(expected, cell), "{name}: {cell}, not {expected}");
            }
        }
    }
    let (names, months) = dataset(&desk.path("s.months"));
    let days = names.iter().position(|name| name == "shortfall_days").unwrap();
    let all = head.iter().position(|name| name == "shortfall_days").unwrap();
    for (case, row) in rows.iter().enumerate() {
        let of_case = months.iter().filter(|month| month[0] == case.to_string());
        let sum: f64 = of_case.map(|month| month[days].parse::<f64>().unwrap()).sum();
        assert_eq!(sum, row[all].parse::<f64>().unwrap());
    }
    assert_eq!(dataset(&desk.path("s.years")).1.len(), 6);
}

#[test]
fn parts_write_into_one_folder_what_the_whole_writes() {
    let (desk, parts) = (demo(), demo());
    // 200 cases of the tank alone go in two pieces.
    let run = |desk: &Desk, more: &[&str]| {
        let vary = ["sweep", "scheme.toml", "--vary", "tank.main.capacity = 4 to 23.9 by 0.1 m3", "--years"];
        desk.run(&[&vary[..], more].concat())
    };
    assert_eq!(run(&desk, &["--out", "s.csv"]).code, 0);
    for part in ["2/2", "1/2"] {
        let answer = run(&parts, &["--out", "s.csv", "--part", part]);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    }
    let whole = dataset(&desk.path("s.years"));
    assert_eq!((whole.1.len(), &dataset(&parts.path("s.years"))), (200, &whole));
    let files = std::fs::read_dir(desk.path("s.years")).unwrap().count();
    assert_eq!(files, 2);
    // A finished part whose tables are gone says so.
    std::fs::remove_dir_all(parts.path("s.years")).unwrap();
    let gone = run(&parts, &["--out", "s.csv", "--part", "1/2"]);
    assert_eq!(gone.code, 2);
    assert!(gone.err.contains("holds finished cases whose years are not in s.years"), "{}", gone.err);
}

#[test]
fn a_folder_of_another_sweep_and_a_table_too_large_are_refused_before_the_work() {
    let desk = demo();
    assert_eq!(sweep(&desk, &["--out", "s.csv", "--days"]).code, 0);
    let before = desk.files();
    let other = desk.run(&[
        "sweep",
        "scheme.toml",
        "--vary",
        "tank.main.capacity = 6, 7 m3",
        "--out",
        "s.csv",
        "--days",
    ]);
    assert_eq!(other.code, 2);
    let strange = "s.days holds cases-0000000000-0000000005.parquet, which is not of this sweep";
    assert!(other.err.contains(strange), "{}", other.err);
    let many = [
        "sweep",
        "scheme.toml",
        "--vary",
        "tank.main.capacity = 4 to 24 by 0.001 m3",
        "--vary",
        "herd.cows.count = 20 to 80 by 1",
    ];
    let large = desk.run(&[&many[..], &["--out", "t.csv", "--hours"]].concat());
    assert_eq!(large.code, 2);
    assert!(
        large.err.contains("GB for 1220061 cases") && large.err.contains("--over-10-gb"),
        "{}",
        large.err
    );
    assert_eq!(desk.files(), before, "nothing is left of a sweep that did not begin");
    // The same sweep once more takes the place of its own tables.
    assert_eq!(sweep(&desk, &["--out", "s.csv", "--days"]).code, 0);
}

/// Hours and days of a run as Parquet are those of its CSV, to the last bit, in either system of units.
#[test]
fn a_runs_own_tables_are_the_same_in_both_formats() {
    for (scheme, units) in [("scheme.toml", "si"), ("three_tanks.toml", "us")] {
        let desk = Desk::new();
        let scheme = data("demo").join(scheme);
        for (option, name) in [("--hourly", "hours"), ("--daily", "days")] {
            for ending in ["csv", "parquet"] {
                let file = format!("{name}.{ending}");
                let answer = desk.run(&[
                    "run",
                    scheme.to_str().unwrap(),
                    "--no-mends",
                    "--units",
                    units,
                    option,
                    &file,
                ]);
                assert_eq!((answer.code, answer.err.as_str()), (0, ""));
            }
            let (head, rows) = table(&desk.read(&format!("{name}.csv")));
            let mut cells = Cells::new(File::open(desk.path(&format!("{name}.parquet"))).unwrap()).unwrap();
            assert_eq!(cells.names(), head);
            for expected in &rows {
                let row = cells.next_row().unwrap().unwrap();
                for ((cell, expected), name) in row.iter().zip(expected).zip(&head) {
                    assert!(same(expected, cell), "{name}: {cell}, not {expected}");
                }
            }
            assert_eq!(cells.next_row().unwrap(), None);
        }
    }
}
