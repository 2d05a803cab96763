//! Many schemes, a row each.

use serde_json::Value;

use crate::document::{plain, words};
use crate::program::{Desk, run_in};
use crate::support::root;

const DEMOS: [&str; 3] = ["data/demo/scheme.toml", "data/demo/roomy.toml", "data/demo/jobs/us_grant.toml"];

fn told(args: &[&str]) -> Value {
    let answer = run_in(&root(), &[&["review"][..], args, &["--json", "-"]].concat());
    serde_json::from_str(&answer.out).unwrap_or_else(|e| panic!("{e}: {}{}", answer.out, answer.err))
}

#[test]
fn each_row_is_what_the_run_of_its_scheme_says() {
    let found = told(&DEMOS);
    let schemes = found["schemes"].as_array().unwrap();
    assert_eq!(schemes.len(), 3);
    for (file, row) in DEMOS.iter().zip(schemes) {
        let run: Value = serde_json::from_str(&run_in(&root(), &["run", file, "--json", "-"]).out).unwrap();
        let years = run["years_in_record"].as_f64().unwrap();
        let row = &row["found"];
        assert_eq!(
            row["short_days_a_year"].as_f64(),
            run["shortfall_days"].as_f64().map(|days| days / years)
        );
        let months = run["months"].as_array().unwrap().iter().filter_map(|month| month["lowest_m3"].as_f64());
        assert_eq!(row["lowest_m3"].as_f64(), months.reduce(f64::min));
        assert_eq!(row["full_tank_days"], run["full_tank_autonomy_days"]["worst"]);
        let screen = run_in(&root(), &["run", file, "--units", "si"]).out;
        assert!(words(&screen).contains(&words(row["answer"].as_str().unwrap())), "{file}");
    }
    assert_eq!(schemes[2]["found"]["goal_met"], true);
    assert_eq!(schemes[0]["found"]["goal_met"], Value::Null);
    // Three days of the peak month's draw, by the worksheet that stands in the document.
    let margin = schemes[0]["found"]["rule_margin_m3"].as_f64().unwrap();
    assert!(margin > 4.0 && margin < 6.0, "{margin}");
    // The tank holds 10.5 m³; the run says how many days of that draw these are.
    let run: Value = serde_json::from_str(&run_in(&root(), &["run", DEMOS[0], "--json", "-"]).out).unwrap();
    let days = run["rule_sheet_storage_days"].as_f64().unwrap();
    assert!((margin - 10.5 * (1.0 - 3.0 / days)).abs() < 1e-6, "{margin}");
}

#[test]
fn a_scheme_that_cannot_be_run_is_a_row_with_its_faults_and_stops_no_other() {
    let desk = Desk::new();
    desk.write("bad.toml", "name = \"x\"\n[tank.main]\ncapcity = \"10 m3\"\n");
    let bad = desk.path("bad.toml");
    let bad = bad.to_str().unwrap();
    let args = ["review", bad, DEMOS[0], "none.toml"];
    let answer = run_in(&root(), &args);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    assert!(answer.out.starts_with("Of 3 schemes, 1 goes short on some day; 2 cannot be run as written."));
    for part in ["did you mean capacity?", "none.toml: no such file", " 1 - cannot run - "] {
        assert!(words(&answer.out).contains(part), "{part}: {}", answer.out);
    }
}

#[test]
fn the_page_says_what_the_screen_says() {
    let desk = Desk::new();
    for name in ["pile.html", "pile.pdf"] {
        let out = desk.path(name);
        let answer = run_in(&root(), &[&["review"][..], &DEMOS, &["-o", out.to_str().unwrap()]].concat());
        assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{name}");
        let bytes = std::fs::read(&out).unwrap();
        if name.ends_with("pdf") {
            assert!(bytes.starts_with(b"%PDF-"));
            continue;
        }
        let page = plain(&String::from_utf8(bytes).unwrap());
        let first = answer.out.lines().next().unwrap();
        assert!(words(&page).contains(first), "{name}: {first}");
        assert!(words(&page).contains("+4.88"), "{name}");
    }
    // A scheme is never written over.
    let over = run_in(&root(), &["review", DEMOS[0], "-o", DEMOS[0]]);
    assert_eq!(over.code, 2);
}
