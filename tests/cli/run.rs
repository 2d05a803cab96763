//! `dryspell run` on real weather: the answer, the files, the exit codes.

use serde_json::Value;

use crate::program::{Desk, starter};

const WEATHER: &str = "723170TYA.CSV";

/// A herd too large for the tank in winter.
fn dry_scheme() -> String {
    starter(&[("count = 40", "count = 150")])
}

#[test]
fn the_starter_runs_as_written_once_weather_is_there() {
    let desk = Desk::new();
    let written = desk.run(&["new"]);
    assert_eq!((written.code, written.err.as_str()), (0, ""));
    assert_eq!(desk.read("scheme.toml"), dryspell::scheme::STARTER);
    std::fs::copy(crate::support::data("weather").join(WEATHER), desk.path("weather.csv")).unwrap();
    let answer = desk.run(&["run", "--full", "scheme.toml"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    for part in [
        "SCHEME",
        "HEAD at",
        "total dynamic head",
        "THE YEAR BY MONTH",
        "TANK LEVEL",
        "RELIABILITY",
        "days of shortfall",
        "longest run",
        "longest without drinking",
        "autonomy of a full tank",
        "autonomy in service",
        "rule-sheet storage",
        "storage needed",
        "critical spell",
        "panels covered",
        "start power, both limits",
        "WHAT LIMITED THE FLOW",
        "LEDGERS",
        "ASSUMPTIONS",
        "CAUTIONS",
        "neither a guarantee nor an approval",
        "sha256",
    ] {
        assert!(answer.out.contains(part), "no {part:?} in\n{}", answer.out);
    }
    assert!(answer.out.lines().all(|l| l.chars().count() <= 120), "a line is too wide");
}

#[test]
fn an_existing_file_is_left_alone_by_new() {
    let desk = Desk::new();
    desk.write("scheme.toml", "mine");
    let answer = desk.run(&["new"]);
    assert_eq!(answer.code, 2);
    assert_eq!(
        answer.err,
        "dryspell: scheme.toml: the file already exists; a starter is only written to a new file; choose another name \
         or move the old file\n"
    );
    assert_eq!(desk.read("scheme.toml"), "mine");
    let shown = desk.run(&["new", "-"]);
    assert_eq!((shown.code, shown.out.as_str()), (0, dryspell::scheme::STARTER));
}

#[test]
fn files_hold_what_the_report_says() {
    let desk = Desk::with(&dry_scheme(), WEATHER);
    let answer =
        desk.run(&["run", "scheme.toml", "--hourly", "h.csv", "--daily", "d.csv", "--json", "r.json"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let json: Value = serde_json::from_str(&desk.read("r.json")).unwrap();
    let number = |key: &str| json[key].as_f64().unwrap();
    let short_days = json["shortfall_days"].as_u64().unwrap();
    assert!(short_days > 10, "the case is meant to be dry: {short_days}");
    assert!(answer.out.contains(&format!("goes short on {short_days} of the 365 days")), "{}", answer.out);

    let mut hourly = csv::Reader::from_path(desk.path("h.csv")).unwrap();
    let names: Vec<String> = hourly.headers().unwrap().iter().map(str::to_owned).collect();
    let expected = "hour_of_record,source_year,start,ghi_w_per_m2,dni_w_per_m2,dhi_w_per_m2,air_degc,sun_zenith_deg,plane_w_per_m2,cell_degc,array_w,pump_w,head_m,drawdown_m,available_m3,pumped_m3,inflow_m3,demand_m3,extra_demand_m3,requested_m3,garden_demand_m3,garden_drawn_m3,drawn_m3,thirst_m3,short_m3,short_frozen_m3,short_pump_too_small_m3,short_battery_empty_m3,short_tank_empty_m3,battery_stored_wh,curtailed_m3,spilled_m3,lost_m3,stored_m3,backup_m3,stored_with_backup_m3,short_with_backup_m3,limited_by";
    assert_eq!(names.join(","), expected);
    let rows: Vec<csv::StringRecord> = hourly.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 8760);
    let sum = |name: &str| {
        let column = names.iter().position(|n| n == name).unwrap();
        rows.iter().map(|r| r[column].parse::<f64>().unwrap()).sum::<f64>()
    };
    for name in
        ["available_m3", "pumped_m3", "demand_m3", "drawn_m3", "short_m3", "curtailed_m3", "spilled_m3"]
    {
        assert!((sum(name) - number(name)).abs() < 1e-6, "{name}: {} and {}", sum(name), number(name));
    }
    let months = json["months"].as_array().unwrap();
    assert_eq!(months.len(), 12);
    let in_months: f64 = months.iter().map(|m| m["shortfall_days"].as_f64().unwrap()).sum();
    assert_eq!(in_months, short_days as f64);

    let mut daily = csv::Reader::from_path(desk.path("d.csv")).unwrap();
    let flag = daily.headers().unwrap().iter().position(|n| n == "shortfall").unwrap();
    let days = daily.records().map(Result::unwrap).filter(|r| &r[flag] == "true").count();
    assert_eq!(days as u64, short_days);
    assert_eq!(
        desk.files(),
        ["d.csv", "h.csv", "r.json", "scheme.toml", "weather.csv"],
        "nothing is left behind"
    );
}

#[test]
fn json_has_every_headline() {
    let desk = Desk::with(&dry_scheme(), WEATHER);
    let answer = desk.run(&["run", "scheme.toml", "--json", "-"]);
    assert_eq!(answer.code, 0);
    let json: Value = serde_json::from_str(&answer.out).expect("standard output is JSON alone");
    assert!(answer.out.starts_with("{\n  \"schema\": \"dryspell-run-1\""), "{}", &answer.out[..60]);
    for path in "shortfall_days spells longest_spell_days dry_hours longest_dry_hours longest_nothing_drawn_hours \
                 worst_day_short_percent days_served_percent volume_served_percent haul_m3 \
                 full_tank_autonomy_days/worst full_tank_autonomy_days/by_month/11 autonomy_in_service_days/min \
                 autonomy_in_service_days/p05 autonomy_in_service_days/median rule_sheet_storage_days \
                 storage_needed_m3 critical_spell/began critical_spell/deepest critical_spell/refilled start_m3 \
                 available_m3 pumped_m3 demand_m3 drawn_m3 short_m3 short_by_cause_m3/tank_empty curtailed_m3 \
                 spilled_m3 losses_m3/evaporated losses_m3/leaked end_m3 ledger_residual months/11/lowest_m3 \
                 years/0/shortfall_days assumptions/0/what scheme/sha256 weather/sha256/0 program/version goal goal_met"
        .split_whitespace()
    {
        assert!(json.pointer(&format!("/{path}")).is_some(), "no {path}");
    }
    assert!(json["ledger_residual"].as_f64().unwrap() <= 1e-9);
    assert_eq!(json["weather"]["sha256"][0].as_str().unwrap().len(), 64);
    // A summer-rich site: storage is finite and the tank year starts when the tank is full.
    assert!(
        json["limit_hours"].as_object().unwrap().values().map(|v| v.as_u64().unwrap()).sum::<u64>() == 8760
    );
}

#[test]
fn only_a_verdict_that_was_asked_for_gives_code_1() {
    let dry = Desk::with(&dry_scheme(), WEATHER);
    assert_eq!(dry.run(&["run", "scheme.toml"]).code, 0);
    assert_eq!(dry.run(&["run", "scheme.toml", "--fail-if-short"]).code, 1);
    let wet = Desk::with(&starter(&[]), WEATHER);
    assert_eq!(wet.run(&["run", "scheme.toml", "--fail-if-short"]).code, 0);
}

#[test]
fn us_units_show_the_same_scheme() {
    let desk = Desk::with(&starter(&[]), WEATHER);
    let us = desk.run(&["run", "--full", "scheme.toml", "--units", "us"]).out;
    for part in [" gpm", " ft", " gal", "ft/s"] {
        assert!(us.contains(part), "no {part:?} in\n{us}");
    }
    let until_assumptions = us.split("ASSUMPTIONS").next().unwrap();
    assert!(!until_assumptions.contains("m³") && !until_assumptions.contains(" L/min"), "{us}");
}

#[test]
fn no_output_promises_anything_for_ever() {
    let desk = Desk::with(&dry_scheme(), WEATHER);
    let text = desk.run(&["run", "--full", "scheme.toml"]).out
        + &desk.run(&["run", "scheme.toml", "--json", "-"]).out;
    assert!(!text.to_lowercase().contains("never"), "{text}");
    assert!(text.contains("no return period"));
}

#[test]
fn a_dry_day_and_longer_raises_the_welfare_alarm_and_a_scheme_that_runs_down_says_so_first() {
    let desk = Desk::with(&starter(&[("count = 40", "count = 400")]), WEATHER);
    let out = desk.run(&["run", "--full", "scheme.toml"]).out;
    assert!(out.starts_with("This scheme runs down: "), "{out}");
    assert!(out.contains("! WELFARE ALARM: "), "{out}");
    let json: Value = serde_json::from_str(&desk.run(&["run", "scheme.toml", "--json", "-"]).out).unwrap();
    assert!(json["storage_needed_m3"].is_null());
    assert!(json["supply_missing_m3_per_year"].as_f64().unwrap() > 0.0);
}

#[test]
fn a_closed_pipe_is_no_error() {
    use std::process::{Command, Stdio};
    let desk = Desk::with(&starter(&[]), WEATHER);
    let mut child = Command::new(env!("CARGO_BIN_EXE_dryspell"))
        .args(["run", "scheme.toml", "--hourly", "-"])
        .current_dir(desk.path(""))
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
}

#[test]
fn help_names_every_option() {
    let desk = Desk::new();
    let help = desk.run(&["run", "--help"]).out;
    for option in ["--units", "--hourly", "--daily", "--json", "--fail-if-short", "<SCHEME>"] {
        assert!(help.contains(option), "{help}");
    }
}

#[test]
fn one_hour_is_worked_on_paper() {
    let desk = Desk::with(&dry_scheme(), WEATHER);
    let answer = desk.run(&["hour", "scheme.toml", "12-21 12:00"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    for part in [
        "ONE HOUR STEP BY STEP",
        "1980-12-21T12:00",
        "THE SUN",
        "PLANE-OF-ARRAY IRRADIANCE of array main",
        "Darcy-Weisbach",
        "THE TANK",
    ] {
        assert!(answer.out.contains(part), "no {part:?} in\n{}", answer.out);
    }
    assert!(answer.out.lines().all(|l| l.chars().count() <= 120), "a line is too wide");
    assert_eq!(desk.run(&["hour", "scheme.toml", "8508"]).out, answer.out);
    assert_eq!(desk.run(&["hour", "scheme.toml", "1980-12-21T12:00"]).out, answer.out);
    for when in ["8760", "12-32 12:00", "noon"] {
        let refused = desk.run(&["hour", "scheme.toml", when]);
        assert_eq!(refused.code, 2);
        assert!(refused.err.starts_with(&format!("dryspell: WHEN {when}: ")), "{}", refused.err);
        assert_eq!(refused.err.lines().count(), 1);
    }
}

#[test]
fn the_curve_for_the_site_agrees_with_the_run() {
    let desk = Desk::with(&starter(&[]), WEATHER);
    let answer = desk.run(&["curve", "scheme.toml"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    for part in [
        "FLOW AGAINST SUN",
        "starts at",
        "20 L bucket",
        "judgement, no source",
        "Panels are live in daylight",
    ] {
        assert!(answer.out.contains(part), "no {part:?} in\n{}", answer.out);
    }
    let us = desk.run(&["curve", "scheme.toml", "--units", "us", "--month", "july"]).out;
    assert!(us.contains("5 gal bucket") && us.contains("gpm") && us.contains("(Jul)"), "{us}");
    let refused = desk.run(&["curve", "scheme.toml", "--month", "smarch"]);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("--month smarch: no such month"), "{}", refused.err);
}

#[test]
fn a_shipped_scheme_with_a_booster_and_its_table_in_a_file() {
    let demo = crate::support::data("demo");
    let desk = Desk::new();
    std::fs::copy(demo.join("weather.csv"), desk.path("weather.csv")).unwrap();
    let scheme = std::fs::read_to_string(demo.join("brushed.toml")).unwrap();
    desk.write("scheme.toml", &scheme);
    let answer = desk.run(&["run", "scheme.toml", "--json", "-"]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    let json: Value = serde_json::from_str(&answer.out).unwrap();
    let number = |name: &str| json[name].as_f64().unwrap();
    let (lifted, weep) = (number("lifted_m3"), number("weep_m3"));
    assert!(weep > 0.0 && number("riser_refill_m3") > 0.0);
    assert!((lifted - weep - number("riser_refill_m3") - number("available_m3")).abs() < 1e-5);
    // The same pump by a table at one voltage, in a file beside the scheme.
    let (before, after) = (scheme.find("kind = \"positive").unwrap(), scheme.find("[coupling]").unwrap());
    let table = "kind = \"head-flow table\"\nvoltage = \"24 V\"\nstart_voltage = \"5 V\"\nhead_flow = \"pump.csv\"\n\n";
    desk.write("by_table.toml", &format!("{}{table}{}", &scheme[..before], &scheme[after..]));
    desk.write("pump.csv", "head m,flow L/min,current A\n10,9.2,2.2\n25,8.6,3.0\n45,7.8,4.1\n");
    let answer = desk.run(&["run", "--full", "by_table.toml"]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    assert!(answer.out.contains("table of 3 points: head 10 m to 45 m, 24 V, flow"), "{}", answer.out);
    desk.write("pump.csv", "head m,flow L/min\n10,9.2\n");
    let answer = desk.run(&["run", "--full", "by_table.toml"]);
    assert_eq!(answer.code, 2);
    assert!(answer.err.contains("pump.head_flow: \"pump.csv\": no column \"current\""), "{}", answer.err);
}

#[test]
fn the_demo_goes_short_on_some_days_of_the_dull_season_and_the_roomy_one_on_none() {
    let root = crate::support::root();
    let json = |scheme: &str| -> Value {
        let answer = crate::program::run_in(&root, &["run", scheme, "--json", "-"]);
        assert_eq!(answer.code, 0, "{}", answer.err);
        serde_json::from_str(&answer.out).unwrap()
    };
    let demo = json("data/demo/scheme.toml");
    let days = demo["shortfall_days"].as_u64().unwrap();
    assert!((2..=15).contains(&days), "{days}");
    for month in demo["months"].as_array().unwrap() {
        let dull = matches!(month["month"].as_u64().unwrap(), 11 | 12 | 1 | 2);
        assert!(dull || month["shortfall_days"].as_f64().unwrap() == 0.0, "{month}");
    }
    assert_eq!(json("data/demo/roomy.toml")["shortfall_days"], 0);
    // The third has every part of the source: a booster, a weak well, a weep hole.
    let brushed = json("data/demo/brushed.toml");
    for key in ["weep_m3", "riser_refill_m3", "lifted_m3"] {
        assert!(brushed[key].as_f64().unwrap() > 0.0, "{key}");
    }
    assert!(brushed["start_power_ends"]["zero_days"].is_null(), "no table leaves its start open");
    assert!(brushed["ledger_residual"].as_f64().unwrap() <= 1e-9);
}
