//! Sweeps: rows equal single runs, killing loses nothing, parts in any order join to the same table.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::program::{Desk, run_in};
use crate::support::data;

const CAPACITY: &str = "tank.main.capacity = 6 to 15 by 0.5 m3";
const COUNT: &str = "herd.cows.count = 30, 46";

/// A folder with the demo.
fn demo() -> Desk {
    let desk = Desk::new();
    for name in ["scheme.toml", "weather.csv", "climate.toml"] {
        std::fs::copy(data("demo").join(name), desk.path(name)).unwrap();
    }
    desk
}

fn table(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head = reader.headers().unwrap().iter().map(ToOwned::to_owned).collect();
    (head, reader.records().map(|r| r.unwrap().iter().map(ToOwned::to_owned).collect()).collect())
}

#[test]
fn every_row_is_the_run_of_its_own_scheme() {
    let desk = demo();
    let answer = desk.run(&["sweep", "scheme.toml", "--vary", CAPACITY, "--vary", COUNT, "--out", "s.csv"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{}", answer.out);
    assert_eq!(answer.out, "38 cases in s.csv\n");
    assert_eq!(
        desk.files(),
        ["climate.toml", "s.csv", "scheme.toml", "weather.csv"],
        "nothing is left behind"
    );
    let (head, rows) = table(&desk.read("s.csv"));
    assert_eq!(rows.len(), 38);
    let at = |name: &str| head.iter().position(|h| h == name).unwrap_or_else(|| panic!("{name}"));
    assert_eq!(head[..3], ["case", "herd.cows.count", "tank.main.capacity_m3"], "tanks run fastest");
    for (case, row) in rows.iter().enumerate() {
        assert_eq!(row[0], case.to_string());
        assert_eq!(row[at("fault")], "");
    }
    // Case 25: 46 cows, 6 + 6 × 0.5 m³; the float keeps 10.5 of 11 m³, and starts at 9 of 11.
    let row = &rows[25];
    assert_eq!((row[1].as_str(), row[2].as_str()), ("46", "9"));
    let text = desk.read("scheme.toml");
    let share = |level: f64| format!("\"{} m3\"", level * (9.0 / 11.0));
    let own = text
        .replace("capacity = \"11 m3\"", "capacity = \"9 m3\"")
        .replace("float_stop = \"10.5 m3\"", &format!("float_stop = {}", share(10.5)))
        .replace("float_start = \"9 m3\"", &format!("float_start = {}", share(9.0)));
    desk.write("own.toml", &own);
    assert_eq!(desk.run(&["run", "own.toml", "--json", "own.json"]).code, 0);
    let json: serde_json::Value = serde_json::from_str(&desk.read("own.json")).unwrap();
    assert_eq!(json["case_hash"], row[at("case_hash")].as_str(), "equal cases, equal hash");
    assert_eq!(row[at("latitude_deg")], "47.1");
    let mut compared = 0;
    for (name, found) in head.iter().zip(row).skip(at("schema")) {
        let mut value = &json;
        for part in name.split('.') {
            value = &value[part];
        }
        let expected = match value {
            serde_json::Value::Null => String::new(),
            serde_json::Value::String(s) => s.clone(),
            serde_json::Value::Array(list) => list
                .iter()
                .map(|v| if v.is_null() { String::new() } else { v.to_string() })
                .collect::<Vec<_>>()
                .join(" "),
            other => other.to_string(),
        };
        let equal = expected == *found
            || expected.parse::<f64>().ok().zip(found.parse::<f64>().ok()).is_some_and(|(a, b)| a == b)
            || name.ends_with("by_month");
        assert!(equal, "{name}: {found} in the sweep, {expected} by itself");
        compared += 1;
    }
    assert!(compared > 60, "{compared}");
}

#[test]
fn parts_in_any_order_and_processes_of_their_own_join_to_the_same_table() {
    let desk = demo();
    let base = ["sweep", "scheme.toml", "--vary", CAPACITY, "--vary", COUNT, "--out"];
    let run = |more: &[&str]| desk.run(&[&base[..], more].concat());
    assert_eq!(run(&["whole.csv"]).code, 0);
    for k in [3, 1, 2] {
        let answer = run(&["p.csv", "--part", &format!("{k}/3")]);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    }
    let parts = ["p.csv.part-2-of-3", "p.csv.part-3-of-3", "p.csv.part-1-of-3"];
    let answer = desk.run(&[&["gather", "--out", "joined.csv"][..], &parts].concat());
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    assert_eq!(desk.read("joined.csv"), desk.read("whole.csv"));

    let refused = |args: &[&str], part: &str| {
        let answer = desk.run(&[&["gather", "--out", "no.csv"][..], args].concat());
        assert!(answer.code == 2 && answer.err.contains(part), "{part}: {}", answer.err);
        assert!(!desk.path("no.csv").exists());
    };
    refused(&parts[..2], "part 1 of 3: not given");
    refused(&[parts[0], parts[0], parts[1]], "the same part");
    refused(&["whole.csv", parts[0]], "whole.csv: is not a sweep");
    assert_eq!(run(&["q.csv", "--part", "1/2"]).code, 0);
    refused(&[parts[0], parts[1], parts[2], "q.csv.part-1-of-2"], "another sweep");
    // A part that was cut short is named; its own command mends it.
    let bytes = std::fs::read(desk.path(parts[0])).unwrap();
    std::fs::write(desk.path(parts[0]), &bytes[..bytes.len() - 5]).unwrap();
    refused(&parts, "pieces are missing");
    assert_eq!(run(&["p.csv", "--part", "2/3"]).code, 0);
    assert_eq!(std::fs::read(desk.path(parts[0])).unwrap(), bytes);
}

/// Kills with SIGKILL at moments from a seeded generator, the replacing of the table included, and goes on each time.
#[test]
fn twenty_kills_lose_nothing() {
    let desk = demo();
    // A piece for each of 8 arrays.
    let (tanks, arrays) = ("tank.main.capacity = 6 to 26.8 by 0.08 m3", "array.shed.soiling = 0 to 7 by 1 %");
    let args = ["sweep", "scheme.toml", "--vary", tanks, "--vary", arrays, "--out"];
    let whole = std::time::Instant::now();
    assert_eq!(desk.run(&[&args[..], &["whole.csv"]].concat()).code, 0);
    let whole_ms = u64::try_from(whole.elapsed().as_millis()).unwrap().max(40);
    let expected = desk.read("whole.csv");
    let mut seed = 20_261_125_u64;
    let mut random = move |below: u64| {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (seed >> 33) % below
    };
    let (mut kills, mut rounds) = (0, 0);
    let mut resumed = false;
    while kills < 20 {
        rounds += 1;
        assert!(rounds < 200, "only {kills} kills in {rounds} rounds");
        let mut child = start(desk.path("").as_path(), &[&args[..], &["s.csv"]].concat());
        std::thread::sleep(Duration::from_millis(random(whole_ms * 11 / 10)));
        let ended = child.try_wait().unwrap();
        let _ = child.kill();
        let output = child.wait_with_output().unwrap();
        resumed |= String::from_utf8_lossy(&output.stderr).contains("resuming");
        match ended {
            None => kills += 1,
            Some(status) => {
                assert!(status.success(), "{}", String::from_utf8_lossy(&output.stderr));
                assert_eq!(desk.read("s.csv"), expected);
                std::fs::remove_file(desk.path("s.csv")).unwrap();
            }
        }
        if let Ok(text) = std::fs::read_to_string(desk.path("s.csv")) {
            assert_eq!(text, expected, "a table that is there is whole");
        }
    }
    assert!(resumed, "some round went on from what was kept");
    assert_eq!(desk.run(&[&args[..], &["s.csv"]].concat()).code, 0);
    assert_eq!(desk.read("s.csv"), expected);
    // Hidden temporary files of killed rounds may stay; nothing else does.
    assert!(desk.files().iter().all(|f| !f.contains("partial")), "{:?}", desk.files());
}

fn start(folder: &Path, args: &[&str]) -> std::process::Child {
    Command::new(env!("CARGO_BIN_EXE_dryspell"))
        .args(args)
        .current_dir(folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap()
}

#[cfg(unix)]
#[test]
fn control_c_keeps_what_is_finished_and_says_so() {
    let desk = demo();
    let vary = "tank.main.capacity = 6 to 206 by 0.02 m3";
    let args = ["sweep", "scheme.toml", "--vary", vary, "--out", "s.csv"];
    let child = start(desk.path("").as_path(), &args);
    let pid = child.id().to_string();
    std::thread::sleep(Duration::from_millis(400));
    assert!(Command::new("kill").args(["-INT", &pid]).status().unwrap().success());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(130), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(
        String::from_utf8_lossy(&output.stderr)
            .contains("finished pieces of up to 100 cases are kept in s.csv.partial")
    );
    assert!(desk.path("s.csv.partial").exists() && !desk.path("s.csv").exists());
}

/// The ends of these axes are one scheme; what lies between is not.
#[test]
fn an_axis_whose_ends_are_equal_is_worked_out_value_by_value() {
    let desk = demo();
    for (vary, between) in [
        ("array.shed.azimuth = south, north, 180 deg", ("azimuth = \"south\"", "azimuth = \"north\"")),
        ("tank.main.inlet_height = 6, 20, 6 m", ("inlet_height = \"6 m\"", "inlet_height = \"20 m\"")),
    ] {
        let answer = desk.run(&["sweep", "scheme.toml", "--vary", vary, "--out", "s.csv"]);
        assert_eq!(answer.code, 0, "{}", answer.err);
        let (head, rows) = table(&desk.read("s.csv"));
        let days = head.iter().position(|name| name == "shortfall_days").unwrap();
        let text = desk.read("scheme.toml");
        assert!(text.contains(between.0));
        desk.write("between.toml", &text.replace(between.0, between.1));
        let alone = desk.run(&["run", "between.toml", "--json", "-"]);
        let alone: serde_json::Value = serde_json::from_str(&alone.out).unwrap();
        assert_eq!(rows[1][days], alone["shortfall_days"].to_string(), "{vary}");
        assert!(rows[0][days] == rows[2][days] && rows[0][days] != rows[1][days], "{vary}");
    }
}

#[test]
fn weather_is_an_axis_and_a_case_that_cannot_run_says_why() {
    let desk = demo();
    std::fs::copy(data("weather").join("723170TYA.CSV"), desk.path("south.csv")).unwrap();
    let answer = desk.run(&[
        "sweep",
        "scheme.toml",
        "--vary",
        "weather.file = weather.csv, south.csv",
        "--vary",
        "well.static_level = 20, 90 m",
        "--out",
        "s.csv",
    ]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let (head, rows) = table(&desk.read("s.csv"));
    let at = |name: &str| head.iter().position(|h| h == name).unwrap();
    let fault: Vec<bool> = rows.iter().map(|r| !r[at("fault")].is_empty()).collect();
    assert_eq!(fault, [false, true, false, true], "the pump's table ends at 50 m");
    assert!(rows[1][at("fault")].contains("pump.duty"), "{}", rows[1][at("fault")]);
    assert_eq!(rows[1][at("shortfall_days")], "", "unknown is empty, not 0");
    assert_ne!(rows[0][at("weather_sha256")], rows[2][at("weather_sha256")]);
    assert_ne!(rows[0][at("shortfall_days")], rows[2][at("shortfall_days")]);
}

#[test]
fn what_cannot_be_swept_is_refused() {
    let desk = demo();
    let refused = |args: &[&str], part: &str| {
        let answer = desk.run(&[&["sweep", "scheme.toml"][..], args].concat());
        assert!(answer.code == 2 && answer.err.contains(part), "{part}: {}", answer.err);
        assert!(answer.err.lines().all(|l| l.matches("; ").count() >= 2), "{}", answer.err);
    };
    let out = ["--out", "s.csv"];
    refused(
        &[&["--vary", "tank.main.capasity = 2, 3 m3"][..], &out].concat(),
        "did you mean tank.main.capacity?",
    );
    refused(&[&["--vary", "tank.main.capacity = 3 to 2 by 1 m3"][..], &out].concat(), "no step of 1");
    refused(
        &[
            &["--vary", "tank.main.capacity = 1 to 1e6 by 1 m3", "--vary", "herd.cows.count = 1 to 1e6 by 1"]
                [..],
            &out,
        ]
        .concat(),
        "1.000e12 cases",
    );
    refused(&[&["--vary", CAPACITY][..], &["--out", "nowhere/s.csv"]].concat(), "nowhere/s.csv");
    refused(&[&["--vary", CAPACITY][..], &["--out", "weather.csv"]].concat(), "this file is an input");
    refused(&[&["--vary", CAPACITY, "--part", "4/3"][..], &out].concat(), "--part 4/3");
    // What another sweep has begun is left alone.
    let answer = desk.run(&["sweep", "scheme.toml", "--vary", CAPACITY, "--out", "s.csv", "--part", "1/2"]);
    assert_eq!(answer.code, 0);
    std::fs::rename(desk.path("s.csv.part-1-of-2"), desk.path("s.csv.partial")).unwrap();
    let before = std::fs::read(desk.path("s.csv.partial")).unwrap();
    refused(&[&["--vary", CAPACITY][..], &out].concat(), "part 1 of 2");
    assert_eq!(std::fs::read(desk.path("s.csv.partial")).unwrap(), before);
    let unknown = run_in(desk.path("").as_path(), &["sweep", "scheme.toml", "--out", "s.csv"]);
    assert_eq!(unknown.code, 2);
}

#[test]
fn a_sweep_is_drawn_and_written_as_parquet() {
    let desk = demo();
    let vary = ["--vary", "tank.main.capacity = 6, 12, 24 m3", "--vary", "herd.cows.count = 30, 60"];
    let run = |more: &[&str]| desk.run(&[&["sweep", "scheme.toml"][..], &vary, more].concat());
    assert_eq!(run(&["--out", "s.csv", "--plot", "s.svg"]).code, 0);
    let answer = run(&["--out", "s.parquet"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let (head, rows) = table(&desk.read("s.csv"));
    let days_at = head.iter().position(|h| h == "shortfall_days").unwrap();
    let days: Vec<&str> = rows.iter().map(|r| r[days_at].as_str()).collect();

    // Every number of the table stands in the picture, and its title says the finding.
    let svg = desk.read("s.svg");
    let none = days.iter().filter(|d| **d == "0").count();
    assert!(svg.contains(&format!("{none} of 6 sizes have no day of shortfall")), "{svg}");
    assert!(svg.contains("role=\"img\" aria-label="), "{svg}");
    let texts: Vec<&str> = svg
        .split("<text")
        .skip(1)
        .filter_map(|t| Some(t.split_once('>')?.1.split_once("</text>")?.0.trim()))
        .collect();
    for day in &days {
        assert!(texts.contains(day), "no {day} among {texts:?}");
    }
    assert!(texts.contains(&"herd.cows.count; darker: more days of shortfall, white: none"), "{texts:?}");

    // Parquet: the marks of the format, and the meaning of a column.
    let bytes = std::fs::read(desk.path("s.parquet")).unwrap();
    assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
    let meaning = b"days with stock draw whose shortage exceeds the tolerance";
    assert!(bytes.windows(meaning.len()).any(|w| w == meaning));
    assert!(run(&["--out", "t.csv", "--plot", "weather.csv"]).err.contains("this file is an input"));
}

#[test]
fn a_second_sweep_on_one_out_is_refused_while_the_first_works() {
    let desk = demo();
    let tanks = "tank.main.capacity = 6 to 26.8 by 0.08 m3";
    let arrays = "array.shed.soiling = 0 to 19 by 1 %";
    let args = ["sweep", "scheme.toml", "--vary", tanks, "--vary", arrays, "--out"];
    assert_eq!(desk.run(&[&args[..], &["whole.csv"]].concat()).code, 0);
    let first = start(desk.path("").as_path(), &[&args[..], &["s.csv"]].concat());
    let mut refused = 0;
    while !desk.path("s.csv").exists() {
        if desk.path("s.csv.partial").exists() {
            let second = desk.run(&["sweep", "scheme.toml", "--vary", CAPACITY, "--out", "s.csv"]);
            if second.err.contains("another program is working on this file") {
                assert!(second.code == 2 && second.err.contains("s.csv.partial: "), "{}", second.err);
                refused += 1;
            }
            break;
        }
        std::thread::sleep(Duration::from_millis(5));
    }
    let output = first.wait_with_output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(refused, 1);
    assert_eq!(desk.read("s.csv"), desk.read("whole.csv"));
}

#[test]
fn a_long_axis_costs_no_finished_case() {
    let desk = demo();
    // The first line of the file would once have been longer than what was read of it.
    let vary = "tank.main.capacity = 1 to 5001 by 0.001 m3";
    let args = ["sweep", "scheme.toml", "--vary", vary, "--out", "s.csv", "--part", "1/50000"];
    let answer = desk.run(&args);
    assert_eq!(answer.code, 0, "{}", answer.err);
    let before = std::fs::read(desk.path("s.csv.part-1-of-50000")).unwrap();
    let again = desk.run(&args);
    assert!(again.code == 0 && again.err.contains("100 of 100 cases are done"), "{}", again.err);
    assert_eq!(std::fs::read(desk.path("s.csv.part-1-of-50000")).unwrap(), before);
}

#[test]
fn a_site_that_cannot_be_read_is_a_fault_of_its_cases_and_all_faults_are_refused() {
    let desk = demo();
    desk.write("broken.csv", "nothing in particular\n");
    let sweep = |files: &str, out: &str| {
        desk.run(&["sweep", "scheme.toml", "--vary", &format!("weather.file = {files}"), "--out", out])
    };
    let answer = sweep("weather.csv, gone.csv, broken.csv", "s.csv");
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let (head, rows) = table(&desk.read("s.csv"));
    let fault = head.iter().position(|h| h == "fault").unwrap();
    assert_eq!(rows[0][fault], "");
    assert!(rows[1][fault].contains("gone.csv: no such file"), "{}", rows[1][fault]);
    assert!(rows[2][fault].contains("broken.csv"), "{}", rows[2][fault]);

    let answer = sweep("gone.csv, broken.csv", "t.csv");
    assert!(answer.code == 2 && answer.err.contains("each of the 2 cases has a fault"), "{}", answer.err);
    assert_eq!(table(&desk.read("t.csv")).1.len(), 2, "the table tells why");
    assert!(!desk.path("t.csv.partial").exists());
}

#[cfg(unix)]
#[test]
fn a_partial_removed_while_the_sweep_runs_is_written_anew() {
    let desk = demo();
    let tanks = "tank.main.capacity = 6 to 26.8 by 0.08 m3";
    let arrays = "array.shed.soiling = 0 to 19 by 1 %";
    let args = ["sweep", "scheme.toml", "--vary", tanks, "--vary", arrays, "--out"];
    assert_eq!(desk.run(&[&args[..], &["whole.csv"]].concat()).code, 0);
    // On a busy machine the partial may be seen only as the sweep ends, which then has nothing to write anew: once more.
    let mut told = false;
    for _ in 0..8 {
        let mut child = start(desk.path("").as_path(), &[&args[..], &["s.csv"]].concat());
        while std::fs::remove_file(desk.path("s.csv.partial")).is_err() {
            if child.try_wait().unwrap().is_some() {
                break;
            }
            std::thread::sleep(Duration::from_millis(1));
        }
        let output = child.wait_with_output().unwrap();
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{err}");
        assert_eq!(desk.read("s.csv"), desk.read("whole.csv"));
        told = err.contains("was removed while the sweep ran");
        if told {
            break;
        }
        std::fs::remove_file(desk.path("s.csv")).unwrap();
    }
    assert!(told);
    assert!(!desk.path("s.csv.partial").exists());
}

/// Days of shortfall of each row, and some other cells.
fn cells(text: &str, names: &[&str]) -> Vec<Vec<String>> {
    let (head, rows) = table(text);
    let at: Vec<usize> = names
        .iter()
        .map(|name| head.iter().position(|h| h == name).unwrap_or_else(|| panic!("{name} in {head:?}")))
        .collect();
    rows.iter().map(|row| at.iter().map(|i| row[*i].clone()).collect()).collect()
}

const CASES: &str = "case,tank.main.capacity_m3,herd.cows.count,array.shed.soiling,snow.covered\n\
    a,8,40,3 %,\"[\"\"12-18 to 12-19\"\"]\"\n\
    b,9,40,3 %,\"[\"\"12-18 to 12-19\"\"]\"\n\
    c,,60,,\n\
    d,-3,60,,\n\
    e,9,40,3 %,12-18 to 12-19\n\
    f,-3,60,,\n";

/// Each row is the run of the scheme so written; an empty cell leaves the scheme's value; a table of results is one of cases.
#[test]
fn a_table_of_cases_is_run_row_by_row() {
    let desk = demo();
    desk.write("cases.csv", CASES);
    let answer = desk.run(&["sweep", "scheme.toml", "--cases", "cases.csv", "--out", "s.csv"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let text = desk.read("s.csv");
    let names = [
        "tank.main.capacity_m3",
        "herd.cows.count",
        "array.shed.soiling_percent",
        "shortfall_days",
        "case_hash",
    ];
    let found = cells(&text, &names);
    assert_eq!(found[0][..3], ["8", "40", "3"]);
    assert_eq!(found[2][..3], ["", "60", ""]);
    for (row, set) in [
        (
            0,
            &[
                "tank.main.capacity = 8 m3",
                "herd.cows.count = 40",
                "array.shed.soiling = 3 %",
                "snow.covered = [\"12-18 to 12-19\"]",
            ][..],
        ),
        (2, &["herd.cows.count = 60"][..]),
    ] {
        let mut args = vec!["run", "scheme.toml", "--json", "-"];
        // A tank's float keeps its share of the capacity in a sweep.
        let own = [
            format!("tank.main.float_stop = {} m3", 8.0 / 11.0 * 10.5),
            format!("tank.main.float_start = {} m3", 8.0 / 11.0 * 9.0),
        ];
        set.iter().for_each(|s| args.extend(["--set", s]));
        if row == 0 {
            own.iter().for_each(|s| args.extend(["--set", s.as_str()]));
        }
        let json: serde_json::Value = serde_json::from_str(&desk.run(&args).out).unwrap();
        assert_eq!(json["shortfall_days"].to_string(), found[row][3], "{set:?}");
        assert_eq!(json["case_hash"], found[row][4].as_str(), "{set:?}");
    }
    let faults = cells(&text, &["fault"]);
    assert!(faults[3][0].contains("tank.main.capacity") && faults[2][0].is_empty(), "{faults:?}");
    // Cases that are equal, however they are written.
    assert_eq!(found[1][4], found[4][4]);

    // As Parquet, and its own table again as cases.
    let run = |args: &[&str]| {
        let answer = desk.run(&[&["sweep", "scheme.toml"][..], args].concat());
        assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    };
    desk.write("sound.csv", &CASES.replace("d,-3,60,,\n", "").replace("f,-3,60,,\n", ""));
    run(&["--cases", "sound.csv", "--out", "one.parquet"]);
    run(&["--cases", "one.parquet", "--out", "two.csv"]);
    assert!(faults[5][0].contains("out of range"), "the last row is a case like others: {faults:?}");
    let two: Vec<Vec<String>> = cells(&desk.read("two.csv"), &names[3..]);
    let one: Vec<Vec<String>> = [0, 1, 2, 4].map(|i| found[i][3..].to_vec()).to_vec();
    assert_eq!(two, one);
    // Parts of a table, joined as Parquet, are the table.
    for k in ["1/2", "2/2"] {
        run(&["--cases", "sound.csv", "--out", "p.parquet", "--part", k]);
    }
    let parts = ["p.parquet.part-1-of-2", "p.parquet.part-2-of-2"];
    assert_eq!(desk.run(&[&["gather", "--out", "p.parquet"][..], &parts].concat()).code, 0);
    assert_eq!(
        std::fs::read(desk.path("p.parquet")).unwrap(),
        std::fs::read(desk.path("one.parquet")).unwrap()
    );
}

/// Rows that differ in the tank alone go side by side, and come to what each comes to alone.
#[test]
fn rows_of_a_table_in_any_order_come_to_the_same() {
    let desk = demo();
    let rows: Vec<String> =
        (0..40).map(|i| format!("{},{}", 5 + i % 20, if i < 20 { 40 } else { 60 })).collect();
    let other: Vec<String> = (0..40).map(|i| rows[i * 7 % 40].clone()).collect();
    let run = |rows: &[String]| {
        desk.write("cases.csv", &format!("tank.main.capacity_m3,herd.cows.count\n{}\n", rows.join("\n")));
        assert_eq!(desk.run(&["sweep", "scheme.toml", "--cases", "cases.csv", "--out", "s.csv"]).code, 0);
        let text = desk.read("s.csv");
        let names: Vec<String> =
            table(&text).0.into_iter().filter(|n| n != "case" && n != "inputs_hash").collect();
        cells(&text, &names.iter().map(String::as_str).collect::<Vec<_>>())
    };
    let (together, apart) = (run(&rows), run(&other));
    for (i, row) in apart.iter().enumerate() {
        assert_eq!(*row, together[i * 7 % 40], "row {i}");
    }
}

#[test]
fn keys_go_together_and_are_drawn() {
    let desk = demo();
    let run = |args: &[&str]| {
        let answer = desk.run(&[&["sweep", "scheme.toml", "--out", "s.csv"][..], args].concat());
        assert_eq!((answer.code, answer.err.as_str()), (0, ""));
        desk.read("s.csv")
    };
    let zipped = run(&[
        "--vary",
        "array.shed.tilt = 50, 60 deg; array.shed.azimuth = 170, 190",
        "--vary",
        "tank.main.capacity = 6, 9 m3",
    ]);
    let names = ["array.shed.tilt_deg", "array.shed.azimuth_deg", "tank.main.capacity_m3"];
    assert_eq!(
        cells(&zipped, &names),
        [["50", "170", "6"], ["50", "170", "9"], ["60", "190", "6"], ["60", "190", "9"]]
    );

    let laws =
        ["--draw", "array.shed.soiling ~ uniform(1 %, 6 %)", "--draw", "herd.cows.count ~ normal(46, 4)"];
    let drawn = |more: &[&str]| run(&[&laws[..], more].concat());
    let names = ["array.shed.soiling_percent", "herd.cows.count", "shortfall_days"];
    let three = cells(&drawn(&["--draws", "3", "--seed", "7"]), &names);
    let five = cells(&drawn(&["--draws", "5", "--seed", "7"]), &names);
    assert_eq!(five[..3], three[..], "more draws leave the first as they were");
    assert_ne!(cells(&drawn(&["--draws", "3", "--seed", "8"]), &names), three);
    for row in &five {
        let set = [format!("array.shed.soiling = {} %", row[0]), format!("herd.cows.count = {}", row[1])];
        let json = desk.run(&["run", "scheme.toml", "--json", "-", "--set", &set[0], "--set", &set[1]]);
        let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
        assert_eq!(json["shortfall_days"].to_string(), row[2], "{row:?}");
    }
}

#[test]
fn tables_and_laws_that_cannot_be_read_are_told_in_a_line() {
    let desk = demo();
    let refused = |args: &[&str], part: &str| {
        let answer = desk.run(&[&["sweep", "scheme.toml", "--out", "s.csv"][..], args].concat());
        assert!(answer.code == 2 && answer.err.contains(part), "{part}: {}", answer.err);
        assert!(!desk.path("s.csv").exists());
    };
    desk.write("slip.csv", "tank.main.capacity_m3,herd.cows.cout\n8,40\n");
    refused(&["--cases", "slip.csv"], "did you mean herd.cows.count?");
    desk.write("short.csv", "tank.main.capacity_m3,herd.cows.count\n8\n");
    refused(&["--cases", "short.csv"], "line: 2");
    desk.write("none.csv", "tank.main.capacity_m3\n");
    refused(&["--cases", "none.csv"], "without rows");
    refused(&["--cases", "nosuch.csv"], "nosuch.csv");
    desk.write("no.parquet", "PAR1");
    refused(&["--cases", "no.parquet"], "a Parquet file");
    refused(
        &["--vary", "array.shed.tilt = 50, 60 deg; herd.cows.count = 1, 2, 3"],
        "3 values of herd.cows.count beside 2",
    );
    refused(&["--draw", "herd.cows.count ~ uniform(60, 40)", "--draws", "3"], "rising order");
    refused(&["--draw", "herd.cows.count ~ uniform(40, 60)"], "--draws");
    desk.write("cases.csv", CASES);
    let answer = desk.run(&["sweep", "scheme.toml", "--cases", "cases.csv", "--out", "cases.csv"]);
    assert!(answer.code == 2 && answer.err.contains("this file is an input"), "{}", answer.err);
}

/// Parquet has one type a column: the one that the list tells must be that of every figure.
#[test]
fn headlines_are_of_the_content_that_the_list_tells() {
    use dryspell::results::{Content, HEADLINES, content};
    let desk = Desk::new();
    for file in std::fs::read_dir(data("demo")).unwrap() {
        let path = file.unwrap().path();
        if !path.is_file() {
            continue;
        }
        std::fs::copy(&path, desk.path(path.file_name().unwrap().to_str().unwrap())).unwrap();
    }
    let mut seen = 0;
    for name in desk.files().iter().filter(|name| name.ends_with(".toml")) {
        let answer = desk.run(&["run", name, "--no-mends", "--json", "-"]);
        let Ok(json) = serde_json::from_str::<serde_json::Value>(&answer.out) else { continue };
        seen += 1;
        for headline in HEADLINES {
            let value = headline.name.split('.').fold(&json, |value, part| &value[part]);
            let content = content(headline);
            let fits = match value {
                serde_json::Value::Null => true,
                serde_json::Value::Bool(_) => content == Content::Flag,
                serde_json::Value::Number(n) => {
                    content == if n.is_f64() { Content::Number } else { Content::Count }
                }
                serde_json::Value::String(text) => {
                    let date = text.len() == 10 && text.as_bytes()[4] == b'-' && text.as_bytes()[7] == b'-';
                    content == if date { Content::Date } else { Content::Text }
                }
                _ => content == Content::Text,
            };
            assert!(fits, "{name}: {} is {value}, told as {content:?}", headline.name);
        }
    }
    assert!(seen >= 6, "{seen}");
}
