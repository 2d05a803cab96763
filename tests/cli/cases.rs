//! The cases of a sweep: tables, keys that go together, laws, and columns with types.

use crate::program::Desk;
use crate::support::data;
use crate::sweep::{demo, table};

/// Some cells of each row.
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
