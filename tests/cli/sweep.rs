//! Sweeps: rows equal single runs, killing loses nothing, parts in any order join to the same table.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::program::{Desk, run_in};
use crate::support::data;

const CAPACITY: &str = "tank.main.capacity = 6 to 15 by 0.5 m3";
const COUNT: &str = "herd.cows.count = 30, 46";

/// A folder with the demo.
pub fn demo() -> Desk {
    let desk = Desk::new();
    for name in ["scheme.toml", "weather.csv", "climate.toml"] {
        std::fs::copy(data("demo").join(name), desk.path(name)).unwrap();
    }
    desk
}

pub fn table(text: &str) -> (Vec<String>, Vec<Vec<String>>) {
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
fn sites_are_named_by_a_pattern_or_in_a_list() {
    let desk = demo();
    std::fs::create_dir(desk.path("sites")).unwrap();
    for name in ["a", "b", "c"] {
        std::fs::copy(data("demo").join("weather.csv"), desk.path(&format!("sites/{name}.csv"))).unwrap();
    }
    desk.write("sites/notes.txt", "no weather");
    desk.write("list.txt", "# the first two\r\nsites/a.csv\r\n\r\nsites/b.csv\r\n");
    let sites = |values: &str| {
        let vary = format!("weather.file = {values}");
        let answer = desk.run(&["sweep", "scheme.toml", "--vary", &vary, "--out", "s.csv"]);
        assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{values}");
        table(&desk.read("s.csv")).1.into_iter().map(|row| row[1].clone()).collect::<Vec<_>>()
    };
    assert_eq!(sites("sites/*.csv"), ["sites/a.csv", "sites/b.csv", "sites/c.csv"]);
    assert_eq!(sites("@list.txt, sites/?.csv").len(), 5);
    assert_eq!(sites("@list.txt"), ["sites/a.csv", "sites/b.csv"]);
    // From another folder the scheme's own counts.
    let path = desk.path("scheme.toml");
    let elsewhere = Desk::new();
    let args = ["sweep", path.to_str().unwrap(), "--vary", "weather.file = sites/*.csv", "--out", "s.csv"];
    assert_eq!(elsewhere.run(&args).out, "3 cases in s.csv\n");
    let tilts = "weather.file = sites/*.csv; array.shed.tilt = 50, 55, 60 deg";
    assert_eq!(
        desk.run(&["sweep", "scheme.toml", "--vary", tilts, "--out", "t.csv"]).out,
        "3 cases in t.csv\n"
    );
    for (values, expected) in [
        ("sites/*.epw", "--vary weather.file = sites/*.epw: no file; weather files"),
        ("@lost.txt", "--vary weather.file = @lost.txt: No such file"),
    ] {
        let vary = format!("weather.file = {values}");
        let answer = desk.run(&["sweep", "scheme.toml", "--vary", &vary, "--out", "u.csv"]);
        assert_eq!(answer.code, 2);
        assert!(answer.err.contains(expected), "{}", answer.err);
    }
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
