//! `dryspell choose`: pumps of a folder, in order.

use serde_json::Value;

use crate::program::{Answer, Desk};
use crate::support::data;

/// The shipped pumps beside the demo with prices.
fn desk() -> Desk {
    let desk = Desk::new();
    std::fs::copy(data("demo/weather.csv"), desk.path("weather.csv")).unwrap();
    let scheme = std::fs::read_to_string(data("demo/scheme.toml")).unwrap();
    desk.write(
        "scheme.toml",
        &format!("{scheme}\n[price]\nmodule = 180\ntracker = 420\ncurrent_booster = 190\n"),
    );
    std::fs::create_dir(desk.path("pumps")).unwrap();
    for entry in std::fs::read_dir(data("demo/jobs/six_pumps")).unwrap() {
        let path = entry.unwrap().path();
        std::fs::copy(&path, desk.path("pumps").join(path.file_name().unwrap())).unwrap();
    }
    desk
}

const SERIES: [&str; 2] = ["--array", "array.shed.series = 1 to 4 by 1"];

fn choose(desk: &Desk, more: &[&str]) -> Answer {
    desk.run(&[&["choose", "scheme.toml", "--pumps", "pumps"], &SERIES[..], more].concat())
}

/// A row of the CSV: pump, coupling, series, days, cost.
type Row = (String, String, u32, f64, Option<f64>);

/// All that ran, in the order in which they were tried.
fn rows(desk: &Desk, more: &[&str]) -> Vec<Row> {
    let answer = choose(desk, &[&["--csv", "all.csv"], more].concat());
    assert_eq!(answer.err, "");
    let text = desk.read("all.csv");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows = reader.records().map(|row| {
        let row = row.unwrap();
        let cell = |at: usize| row.get(at).unwrap().to_owned();
        (cell(0), cell(1), cell(2).parse().unwrap(), cell(4).parse().unwrap(), cell(7).parse().ok())
    });
    rows.collect()
}

/// The table on the screen: pump and coupling, days short, of priced ones the cost.
fn shown(page: &str) -> Vec<(String, f64, f64)> {
    let table = page.split("CHOICES").nth(1).unwrap().split("LEFT OUT").next().unwrap();
    let couplings = ["maximum power tracking", "linear current booster", "direct"];
    let row = |line: &str| {
        let coupling = couplings.into_iter().find(|kind| line.contains(kind))?;
        let (pump, rest) = line.split_once(coupling).unwrap();
        let cells: Vec<&str> = rest.split_whitespace().collect();
        Some((
            format!("{} {coupling}", pump.trim()),
            cells[2].parse().unwrap(),
            cells.last().unwrap().parse().unwrap_or(f64::NAN),
        ))
    };
    table.lines().filter_map(row).collect()
}

#[test]
fn each_choice_is_the_scheme_with_that_pump() {
    let desk = desk();
    let answer = choose(&desk, &[]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{}", answer.out);
    assert!(answer.out.contains("72 tried"), "{}", answer.out);
    let rows = rows(&desk, &[]);
    assert!(rows.len() > 30, "{rows:?}");
    // By hand in the scheme's place: the pump's own table, and the coupling.
    let scheme = desk.read("scheme.toml");
    let (before, rest) = scheme.split_once("[pump]").unwrap();
    let (_, after) = rest.split_once("\n[pipe.drop]").unwrap();
    let mut held = 0;
    for (pump, coupling, series, days, _) in rows.iter().filter(|row| row.0 == "Tarn" || row.0 == "Force") {
        let own = desk.read(&format!("pumps/{}.toml", pump.to_lowercase()));
        let own = own.split_once("[pump]").unwrap().1;
        let tracks = coupling == "maximum power tracking";
        let own = if tracks { format!("{own}tracking_efficiency = 0.96\n") } else { own.to_owned() };
        let coupling = format!("[coupling]\nkind = \"{coupling}\"\n");
        desk.write("by_hand.toml", &format!("{before}[pump]{own}\n{coupling}\n[pipe.drop]{after}"));
        let set = format!("array.shed.series = {series}");
        let run = desk.run(&["run", "by_hand.toml", "--json", "-", "--set", &set]);
        assert_eq!(run.err, "", "{pump}");
        let json: Value = serde_json::from_str(&run.out).unwrap();
        assert_eq!(json["shortfall_days"].as_f64(), Some(*days), "{pump} {coupling} {series}");
        held += 1;
    }
    assert!(held >= 6, "{}", answer.out);
}

#[test]
fn what_serves_comes_first_by_cost_and_without_prices_by_modules() {
    let desk = desk();
    // Of pumps that all have a price.
    std::fs::remove_file(desk.path("pumps/fell.csv")).unwrap();
    let answer = choose(&desk, &[]);
    let priced = shown(&answer.out);
    let serving: Vec<f64> = priced.iter().filter(|row| row.1 == 0.0).map(|row| row.2).collect();
    assert!(serving.len() >= 3 && serving.windows(2).all(|pair| pair[0] <= pair[1]), "{}", answer.out);
    assert!(priced[serving.len()..].windows(2).all(|pair| pair[0].1 <= pair[1].1), "{}", answer.out);
    // Tarn, a booster, two modules: 690 + 190 + 2 x 180. Of all that serve none costs less.
    let all = rows(&desk, &[]);
    let cheapest =
        all.iter().filter(|row| row.3 == 0.0).min_by(|a, b| a.4.unwrap().total_cmp(&b.4.unwrap())).unwrap();
    assert_eq!((cheapest.0.as_str(), cheapest.2, cheapest.4), ("Tarn", 2, Some(1240.0)));
    assert_eq!(priced[0], ("Tarn linear current booster".to_owned(), 0.0, 1240.0));
    // Each pump and coupling that ran has one row.
    let mut pairs: Vec<String> = all.iter().map(|row| format!("{} {}", row.0, row.1)).collect();
    pairs.dedup();
    let mut names: Vec<String> = priced.iter().map(|row| row.0.clone()).collect();
    pairs.sort();
    names.sort();
    assert_eq!(names, pairs);
    let scheme = desk.read("scheme.toml");
    desk.write("scheme.toml", scheme.split("[price]").next().unwrap());
    let answer = choose(&desk, &["--coupling", "tracking"]);
    assert!(answer.out.contains("in order of modules"), "{}", answer.out);
    let all = rows(&desk, &["--coupling", "tracking"]);
    assert!(all.iter().all(|row| row.1 == "maximum power tracking" && row.4.is_none()));
    // With a goal that nothing meets the code is 1.
    let goal = format!("{}\n[goal]\nlowest_level = \"10 m3\"\n", scheme.split("[price]").next().unwrap());
    desk.write("scheme.toml", &goal);
    let answer = choose(&desk, &[]);
    assert_eq!(answer.code, 1);
    assert!(answer.out.starts_with("Nothing that was tried meets the goal."), "{}", answer.out);
}

#[test]
fn what_cannot_run_is_left_out_with_its_reason() {
    let page = choose(&desk(), &[]).out.split_whitespace().collect::<Vec<_>>().join(" ");
    let left = page.split("LEFT OUT").nth(1).unwrap();
    assert!(left.contains("maximum power tracking with Low: pump.duty: static head"), "{left}");
    assert!(left.contains("direct with Beck 24, Force, Low, fell: coupling.kind"), "{left}");
    assert!(!left.contains("line ") && !left.contains("column "), "{left}");
}

/// A table that a pump's own file names may have columns of any kind, and is no pump of its own.
#[test]
fn a_table_that_a_pump_names_is_no_pump() {
    let desk = desk();
    let before = rows(&desk, &[]);
    desk.write("pumps/gill.csv", "head m,flow L/min,current A\n10,9,3\n40,6,7\n");
    desk.write(
        "pumps/gill.toml",
        "[pump]\nmake = \"Gill\"\nkind = \"head-flow table\"\nvoltage = \"24 V\"\nhead_flow = \"gill.csv\"\n\
         flow_by_voltage = \"proportional\"\nprinciple = \"positive displacement\"\n",
    );
    let after = rows(&desk, &[]);
    let gill = after.iter().filter(|row| row.0 == "Gill").count();
    assert!(gill > 0 && after.len() == before.len() + gill, "{after:?}");
}

#[test]
fn slips_are_told_in_a_line_each() {
    let desk = desk();
    let refused = |args: &[&str], told: &str| {
        let answer = desk.run(args);
        assert_eq!(
            (answer.code, answer.err.lines().count()),
            (2, 1),
            "{args:?}: {}{}",
            answer.out,
            answer.err
        );
        assert!(answer.err.contains(told), "{args:?}: {}", answer.err);
    };
    refused(&["choose", "scheme.toml", "--pumps", "nowhere"], "--pumps nowhere: ");
    refused(
        &["choose", "scheme.toml", "--pumps", "pumps", "--coupling", "belt"],
        "--coupling belt: not a coupling",
    );
    refused(&["choose", "scheme.toml", "--pumps", "pumps", "--coupling", "r"], "not a coupling");
    refused(
        &["choose", "scheme.toml", "--pumps", "pumps", "--array", "series"],
        "--array: \"series\" has no =",
    );
    refused(
        &["size", "scheme.toml", "--target", "days=0", "--array", "series"],
        "--array: \"series\" has no =",
    );
    desk.write("pumps/odd.csv", "a,b\n1,2\n");
    refused(&["choose", "scheme.toml", "--pumps", "pumps"], "odd.csv: a table whose columns are");
    std::fs::remove_file(desk.path("pumps/odd.csv")).unwrap();
    desk.write("pumps/odd.toml", "price = -3\n[pump]\nduty = \"fell.csv\"\n");
    refused(&["choose", "scheme.toml", "--pumps", "pumps"], "price -3; a number, 0 or more");
    desk.write("pumps/odd.toml", "price = \n");
    refused(&["choose", "scheme.toml", "--pumps", "pumps"], "odd.toml: ");
    std::fs::create_dir(desk.path("none")).unwrap();
    refused(&["choose", "scheme.toml", "--pumps", "none"], "no pump in it");
}
