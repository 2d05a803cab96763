//! The goal of a scheme: one judgement on every page.

use serde_json::Value;

use crate::odds::demo_years;
use crate::program::{Desk, run_in};
use crate::support::{data, root};

/// The demo with a goal of these keys.
fn demo(goal: &str) -> Desk {
    let desk = Desk::new();
    std::fs::copy(data("demo/weather.csv"), desk.path("weather.csv")).unwrap();
    ask(&desk, &std::fs::read_to_string(data("demo/scheme.toml")).unwrap(), goal);
    desk
}

fn ask(desk: &Desk, scheme: &str, goal: &str) {
    desk.write("scheme.toml", &format!("{scheme}\n[goal]\n{goal}\n"));
}

fn json(desk: &Desk) -> Value {
    let answer = desk.run(&["run", "scheme.toml", "--json", "-"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    serde_json::from_str(&answer.out).unwrap()
}

/// The block of a page that begins with `GOAL`, up to the next empty line.
fn block(page: &str) -> String {
    let at = page.find("\nGOAL ").unwrap_or_else(|| panic!("no goal in\n{page}")) + 1;
    page[at..].split("\n\n").next().unwrap().trim_end().to_owned()
}

#[test]
fn the_demo_is_held_against_each_thing_asked() {
    // By the run without a goal: 7 days of shortfall, 41 dry hours in a row, empty, 5.1 days of a full tank.
    let desk = demo(
        "short_days = 7\ndry_hours_in_a_row = 40\nlowest_level = \"0 L\"\nautonomy = \"5 days\"\ndry_years_in_ten = 10",
    );
    let page = desk.run(&["run", "scheme.toml"]);
    let block_of_run = block(&page.out);
    for part in [
        "GOAL NOT MET",
        "days of shortfall a year   at most 7 days     7 days      0 days   MET",
        "at most 40 h       41 h        +1 h   NOT MET",
        "at least 0 L        0 L         0 L   MET",
        "+0.11 days   MET",
        "-   cannot be told from this record",
        "nobody\n  measured those of this record.",
    ] {
        assert!(block_of_run.contains(part), "no {part:?} in\n{block_of_run}");
    }
    let found = json(&desk);
    assert_eq!(found["goal_met"], false);
    let rows = found["goal"].as_array().unwrap();
    let verdicts: Vec<&str> = rows.iter().map(|row| row["verdict"].as_str().unwrap()).collect();
    assert_eq!(verdicts, ["MET", "NOT MET", "MET", "MET", "cannot be told from this record"]);
    assert_eq!((rows[1]["asked"].as_f64(), rows[1]["margin"].as_f64()), (Some(40.0), Some(1.0)));
    assert!(rows[4]["found"].is_null() && rows[4]["measured_years"].is_null());
    // The same lines in odds, the same verdict in the document.
    let odds = desk.run(&["odds", "scheme.toml", "--made-years", "0"]);
    assert_eq!(block(&odds.out), block_of_run);
    assert_eq!(desk.run(&["summary", "scheme.toml", "-o", "s.html", "--made-years", "0"]).code, 0);
    let document = crate::document::plain(&desk.read("s.html"));
    for part in ["GOAL NOT MET", "dry hours in a row at most 40 h 41 h +1 h NOT MET"] {
        assert!(document.contains(part), "no {part:?} in the document");
    }
}

#[test]
fn fail_if_short_goes_by_the_goal_where_there_is_one() {
    let code = |desk: &Desk, args: &[&str]| desk.run(&[&["run", "scheme.toml"], args].concat()).code;
    let met = demo("short_days = 7");
    assert_eq!((code(&met, &[]), code(&met, &["--fail-if-short"])), (0, 0));
    let not_met = demo("short_days = 6");
    assert_eq!((code(&not_met, &[]), code(&not_met, &["--fail-if-short"])), (0, 1));
    let untold = demo("dry_years_in_ten = 10");
    assert_eq!((code(&untold, &[]), code(&untold, &["--fail-if-short"])), (0, 1));
    // Without a goal any day of shortfall is one too many.
    assert_eq!(run_in(&root(), &["run", "data/demo/scheme.toml", "--fail-if-short"]).code, 1);
}

/// A sweep's lanes, the sizes and single runs judge alike, the lowest level, too.
#[test]
fn sweep_size_and_run_judge_alike() {
    let desk = demo("short_days = 1\nlowest_level = \"500 L\"");
    let tanks = "15 to 22 by 1 m3";
    let vary = format!("tank.main.capacity = {tanks}");
    let swept = desk.run(&["sweep", "scheme.toml", "--vary", &vary, "--out", "s.csv"]);
    assert_eq!(swept.code, 0, "{}", swept.err);
    let mut rows = csv::Reader::from_path(desk.path("s.csv")).unwrap();
    let head = rows.headers().unwrap().clone();
    let at = |name: &str| head.iter().position(|h| h == name).unwrap();
    let (size, met) = (at("tank.main.capacity_m3"), at("goal_met"));
    let rows: Vec<(String, String)> =
        rows.records().map(Result::unwrap).map(|r| (r[size].to_owned(), r[met].to_owned())).collect();
    assert_eq!(rows.len(), 8);
    let first = rows.iter().rposition(|(_, met)| met == "false").unwrap() + 1;
    assert!(first > 0 && first < rows.len(), "{rows:?}");
    let sized = desk.run(&["size", "scheme.toml", "--tank", tanks, "--array", "array.shed.series = 2"]);
    assert_eq!(sized.code, 0, "{}", sized.err);
    assert!(sized.out.contains(&format!("smallest tank is {}", rows[first].0)), "{rows:?}\n{}", sized.out);
    assert!(sized.out.contains("the scheme's goal: at most 1 day of shortfall in a mean year;"));
    // Sizes below it that are short on no more days fail by their level alone.
    let scheme = desk.read("scheme.toml");
    for (size, met) in [&rows[first], &rows[first - 1]] {
        let m3: f64 = size.split(' ').next().unwrap().parse().unwrap();
        // The float keeps its share of the capacity.
        let text = scheme
            .replace("\"11 m3\"", &format!("\"{m3} m3\""))
            .replace("\"10.5 m3\"", &format!("\"{} m3\"", m3 * 10.5 / 11.0))
            .replace("\"9 m3\"", &format!("\"{} m3\"", m3 * 9.0 / 11.0));
        desk.write("scheme.toml", &text);
        assert_eq!(json(&desk)["goal_met"].to_string(), *met, "{size}");
    }
}

#[test]
fn ten_measured_years_tell_and_nine_do_not() {
    // Twelve years hold eleven whole tank years, ten of them nine.
    let many = demo_years("calendar", "12");
    let scheme = many.read("scheme.toml");
    ask(&many, &scheme, "dry_years_in_ten = 10");
    let found = json(&many);
    let row = &found["goal"][0];
    let number = |name: &str| row[name].as_f64().unwrap();
    assert_eq!(found["goal_met"], true);
    assert_eq!(number("measured_years"), 11.0);
    let dry = found["years"].as_array().unwrap().iter();
    let dry = dry.filter(|y| y["whole"] == true && y["shortfall_days"].as_u64() != Some(0)).count();
    assert_eq!(number("found"), 10.0 * dry as f64 / 11.0);
    assert!(row["interval"]["low"].as_f64().unwrap() <= number("found"));
    // The interval is that of odds, there in percent.
    let odds = many.run(&["odds", "scheme.toml", "--made-years", "0"]);
    let low = 10.0 * row["interval"]["low"].as_f64().unwrap();
    assert!(odds.out.contains(&format!("95 %: {low:.1} %")), "{low}: {}", odds.out);
    assert!(block(&odds.out).contains(&format!("Dry years: {dry} of 11 whole measured tank years")));
    // Asked for fewer than there are, it is not met.
    ask(&many, &scheme, &format!("dry_years_in_ten = {}", number("found") - 0.5));
    assert_eq!(json(&many)["goal"][0]["verdict"], "NOT MET");

    let few = demo_years("calendar", "10");
    ask(&few, &few.read("scheme.toml"), "dry_years_in_ten = 10");
    let found = json(&few);
    assert_eq!(found["goal"][0]["verdict"], "cannot be told from this record");
    assert_eq!(
        (&found["goal_met"], found["goal"][0]["measured_years"].as_u64()),
        (&Value::Bool(false), Some(9))
    );

    // Years that were made are no evidence, however many.
    let made = demo_years("synthetic", "12");
    ask(&made, &made.read("scheme.toml"), "dry_years_in_ten = 10");
    assert_eq!(json(&made)["goal"][0]["verdict"], "cannot be told from this record");
    let sized = made.run(&["size", "scheme.toml"]);
    assert_eq!(sized.code, 2);
    assert!(
        sized.err.contains("goal.dry_years_in_ten: nobody measured the years of this record;"),
        "{}",
        sized.err
    );
    assert_eq!(sized.err.lines().count(), 1);
}

#[test]
fn a_target_stands_in_the_place_of_the_goal_and_size_needs_one_of_them() {
    let desk = demo("short_days = 0");
    let sizes = ["--tank", "11, 18 m3", "--array", "array.shed.series = 2"];
    let with = desk.run(&[&["size", "scheme.toml", "--target", "days=7"][..], &sizes].concat());
    assert!(with.out.contains("smallest tank tried is 11 m3"), "{}", with.out);
    assert!(with.out.contains("goal     of the scheme, not asked here, since --target stands in its place:"));
    let without = desk.run(&[&["size", "scheme.toml"][..], &sizes].concat());
    assert!(without.out.contains("smallest tank is 18 m3"), "{}", without.out);
    let neither = run_in(&root(), &["size", "data/demo/scheme.toml"]);
    assert_eq!(neither.code, 2);
    assert!(
        neither.err.starts_with("dryspell: --target: nothing says what a size must meet;"),
        "{}",
        neither.err
    );
    assert_eq!(neither.err.lines().count(), 1);
}

/// A backup mends what is short, and mends no goal.
#[test]
fn a_backup_meets_no_goal() {
    let desk = demo("short_days = 6");
    let scheme = desk.read("scheme.toml");
    let backup = "[backup]\nload = \"6 m3\"\nstarts_below = \"4 m3\"\nstops_at = \"10.4 m3\"\n";
    desk.write("scheme.toml", &format!("{scheme}\n{backup}"));
    let found = json(&desk);
    assert_eq!((&found["goal_met"], &found["goal"][0]["verdict"]), (&Value::Bool(false), &"NOT MET".into()));
    assert!(
        found["shortfall_days_with_backup"].as_f64().unwrap() <= 6.0,
        "{}",
        found["shortfall_days_with_backup"]
    );
    assert!(block(&desk.run(&["run", "scheme.toml"]).out).contains("Judged without the backup."));
}

/// The smallest tank of the document's worksheet is that of `size`, without a goal and with one.
#[test]
fn size_and_worksheet_find_one_tank() {
    let shipped = ["scheme", "roomy", "brushed", "five_herds"];
    let goal = "\n[goal]\nshort_days = 1\nlowest_level = \"150 L\"\n";
    for (name, goal) in shipped.iter().flat_map(|name| [(name, ""), (name, goal)]) {
        let desk = Desk::new();
        std::fs::copy(data("demo/weather.csv"), desk.path("weather.csv")).unwrap();
        std::fs::copy(data("demo/climate.toml"), desk.path("climate.toml")).unwrap();
        let scheme = std::fs::read_to_string(data(&format!("demo/{name}.toml"))).unwrap();
        desk.write("scheme.toml", &(scheme + goal));
        let found = json(&desk)["worksheet"]["enough_tank_m3"].as_f64();
        let target: &[&str] = if goal.is_empty() { &["--target", "days=0"] } else { &[] };
        let page = desk.run(&[&["size", "scheme.toml"], target].concat()).out;
        let said = page.split_whitespace().collect::<Vec<_>>().join(" ");
        let size =
            said.split("own array the smallest tank is ").nth(1).and_then(|rest| rest.split(';').next());
        let sized = size.map(|text| dryspell::units::parse(text, dryspell::units::Quantity::Volume).unwrap());
        match (found, sized) {
            (Some(found), Some(sized)) => {
                assert!((found - sized).abs() < 1e-6, "{name} {goal}: {found} {sized}")
            }
            (None, None) => {}
            other => panic!("{name} {goal}: {other:?}\n{page}"),
        }
    }
}

#[test]
fn a_tank_is_sized_for_its_lowest_level_and_for_no_dry_hour() {
    let desk = demo("short_days = 0");
    let page = desk.run(&[
        "size",
        "scheme.toml",
        "--target",
        "lowest-level=2 m3",
        "--target",
        "dry-hours-in-a-row=0",
    ]);
    assert_eq!(page.code, 0, "{}", page.out);
    assert!(page.out.contains("lowest") && page.out.contains("in a row"), "{}", page.out);
    let said = page.out.split_whitespace().collect::<Vec<_>>().join(" ");
    let size = said.split("own array the smallest tank is ").nth(1).unwrap().split(';').next().unwrap();
    // With it the level is that high; with one step less it is not.
    let lowest = |tank: &str| {
        let set = format!("tank.main.capacity = {tank}");
        // The float stays at its share of the capacity.
        let m3: f64 = tank.trim_end_matches(" m3").parse().unwrap();
        let stop = format!("tank.main.float_stop = {} m3", m3 * 10.5 / 11.0);
        let start = format!("tank.main.float_start = {} m3", m3 * 9.0 / 11.0);
        let args = ["run", "scheme.toml", "--json", "-", "--set", &set, "--set", &stop, "--set", &start];
        let json: Value = serde_json::from_str(&desk.run(&args).out).unwrap();
        let months = json["months"].as_array().unwrap().iter();
        months.map(|month| month["lowest_m3"].as_f64().unwrap()).fold(f64::INFINITY, f64::min)
    };
    assert!(lowest(size) >= 2.0, "{size}");
    let m3: f64 = size.trim_end_matches(" m3").parse().unwrap();
    assert!(lowest(&format!("{} m3", m3 - 1.0)) < 2.0, "{size}");
}
