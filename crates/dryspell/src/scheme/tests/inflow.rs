//! Inflows besides the pump.

use super::BASE;
use crate::calendar::{Calendar, Day, MonthDay};
use crate::inflow::{self, Hourly, Kind, Settings, WhenFull};
use crate::record::{Record, YearKind};
use crate::scheme::Scheme;

/// A file with three hours of a spring.
const SPRING: &str = "# measured\ntime,spring L/min,level m\n2023-07-01 00:00,10,1\n2023-07-01 01:00,20,1\n\
                      2023-07-01 02:00,0,1\n";

fn files(name: &str) -> Result<String, String> {
    match name {
        "spring.csv" => Ok(SPRING.into()),
        "litres.csv" => Ok("own_l\n600\n".into()),
        "per_hour.csv" => Ok("own_M3_per_H\n0.5\n".into()),
        "bare.csv" => Ok("own\n600\n".into()),
        "cut.csv" => Ok("own m3\n1\n\n-2\n".into()),
        "words.csv" => Ok("own m3\n1\ndry\n".into()),
        "empty.csv" => Ok("own m3\n".into()),
        _ => Err("no such file".into()),
    }
}

/// The base scheme without its own inflow.
fn without() -> &'static str {
    BASE.split("[inflow.main]").next().unwrap()
}

fn read(keys: &str) -> Result<Scheme, String> {
    let without = without();
    Scheme::from_toml_with(&format!("{without}[inflow.own]\n{keys}\n"), &files).map_err(|f| f.to_string())
}

fn one(keys: &str) -> Settings {
    let mut inflows = read(keys).unwrap().plan().inflows;
    assert_eq!(inflows.len(), 1);
    inflows.remove(0)
}

/// The line of the line on which `[inflow.own]` stands.
fn table_line() -> usize {
    without().lines().count() + 1
}

#[track_caller]
fn refused(keys: &str, line: usize, expected: &str) {
    let faults = read(keys).unwrap_err();
    let start = format!("line {}, column", table_line() + line);
    let found = faults.lines().find(|l| l.starts_with(&start));
    assert!(found.is_some_and(|l| l.contains(expected)), "{keys}:\n{faults}\nnot on {start}: {expected}");
}

#[test]
fn a_spring_and_a_main_are_read() {
    let spring = one("flow = \"2 L/min\"");
    assert_eq!((spring.name.as_str(), spring.tank.as_str()), ("own", "main"));
    assert_eq!(spring.when_full, WhenFull::Spilled);
    let Kind::Steady(steady) = spring.kind else { panic!() };
    assert!((steady.flow_m3_per_h[6] - 0.12).abs() < 1e-12);
    assert!(steady.hours.iter().all(|on| *on) && steady.dates.is_empty());
    let main = one("flow = \"5 gpm\"\nhours = [6]\ndates = \"04-01 to 10-31\"\nwhen_full = \"shut off\"\n\
                    into = \"main\"");
    assert_eq!(main.when_full, WhenFull::Refused);
    let Kind::Steady(steady) = main.kind else { panic!() };
    // 231 in³ a gallon, 0.0254 m an inch.
    assert!((steady.flow_m3_per_h[0] - 5.0 * 60.0 * 231.0 * 0.0254 * 0.0254 * 0.0254).abs() < 1e-12);
    assert_eq!(steady.hours.iter().filter(|on| **on).count(), 1);
    assert_eq!(steady.dates.len(), 1);
    let scheme = read("flow = \"2 L/min\"").unwrap();
    assert!(scheme.defaults_used.iter().any(|d| d.key == "inflow.own.when_full" && d.value == "spill"));
}

#[test]
fn a_column_is_read_in_the_unit_of_its_header() {
    let column = |keys: &str| match one(keys).kind {
        Kind::Column(hourly) => hourly,
        other => panic!("{other:?}"),
    };
    let spring = column("file = \"spring.csv\"\ncolumn = \"spring\"");
    let expected = Hourly::new(vec![0.6, 1.2, 0.0]).beginning(MonthDay { month: 7, day: 1 });
    assert!(spring.m3().iter().zip(expected.m3()).all(|(a, b)| (a - b).abs() < 1e-12));
    let day = |month| Record::without_weather(Calendar::starting(Day { year: 2023, month, day: 1 }, 1));
    let on = |record: &Record| {
        let settings = one("file = \"spring.csv\"\ncolumn = \"spring\"");
        inflow::columns(&[settings], record).unwrap_err().to_string()
    };
    assert!(
        on(&day(7)).starts_with("inflow.own.file: a column of 3 hours on a record of 24; "),
        "{}",
        on(&day(7))
    );
    // In litres an hour, the column being that of the inflow's name; in m3/h; named whole.
    for (keys, m3) in [
        ("file = \"litres.csv\"", 0.6),
        ("file = \"per_hour.csv\"", 0.5),
        ("file = \"litres.csv\"\ncolumn = \"own_l\"", 0.6),
    ] {
        assert!((column(keys).m3()[0] - m3).abs() < 1e-12, "{keys}");
    }
}

/// Two readings of one text give equal plans, column and all.
#[test]
fn a_scheme_with_a_column_equals_itself() {
    let keys = "file = \"spring.csv\"\ncolumn = \"spring\"";
    assert_eq!(read(keys).unwrap().plan(), read(keys).unwrap().plan());
    assert_ne!(read(keys).unwrap().plan(), read("flow = \"1 L/min\"").unwrap().plan());
}

#[test]
fn faults_of_an_inflow_stand_at_its_lines() {
    refused("into = \"main\"", 0, "nothing says where the water comes from; one of flow, file");
    refused(
        "flow = \"2 L/min\"\nfile = \"spring.csv\"\ncolumn = \"spring\"",
        2,
        "file given as well as flow",
    );
    refused("flow = \"2 L/min\"\ncolumn = \"spring\"", 2, "column has no effect without file");
    refused("file = \"litres.csv\"\nhours = [6]", 2, "hours has no effect without flow");
    refused(
        "flow = \"2 L/min\"\ninto = \"mian\"",
        2,
        "no tank \"mian\"; one of \"main\"; did you mean \"main\"?",
    );
    refused("flow = \"-2 L/min\"", 1, "out of range");
    refused("flow = 2", 1, "no unit");
    refused("flow = \"2 m\"", 1, "m");
    refused("flow = \"2 L/min\"\nwhen_full = \"shut\"", 2, "one of \"spill\", \"shut off\"");
    refused("flow = \"2 L/min\"\nhours = [24]", 2, "out of range");
    refused("flow = \"2 L/min\"\ndates = [\"04-01 to 05-10\", \"05-10\"]", 2, "05-10 is in both");
    refused("flow = \"2 L/min\"\ntank = \"main\"", 2, "did you mean into?");
}

#[test]
fn faults_of_a_file_name_its_line() {
    refused("file = \"none.csv\"", 1, "\"none.csv\": no such file");
    refused("file = \"spring.csv\"", 1, "no column \"own\" among \"time\", \"spring\", \"level\"");
    refused("file = \"spring.csv\"\ncolumn = \"sprnig\"", 1, "no column \"sprnig\", but \"spring\"");
    refused("file = \"spring.csv\"\ncolumn = \"level\"", 1, "\"level m\" has no unit of flow");
    refused("file = \"bare.csv\"", 1, "\"own\" has no unit of flow (L/min) or of volume in the hour (m3)");
    refused("file = \"cut.csv\"", 1, "inflow.own.file, cut.csv line 4: -2 is below 0");
    refused("file = \"words.csv\"", 1, "inflow.own.file, words.csv line 3: \"dry\" is not a number");
    refused("file = \"empty.csv\"", 1, "no rows below the header");
}

#[test]
fn a_column_that_begins_on_another_date_is_refused() {
    let first = MonthDay { month: 7, day: 1 };
    let kind = Kind::Column(Hourly::new(vec![0.1; 24]).beginning(first));
    let inflow = Settings { kind, ..one("flow = \"2 L/min\"") };
    let record = |month| Record::without_weather(Calendar::starting(Day { year: 2023, month, day: 1 }, 1));
    assert_eq!(inflow::columns(std::slice::from_ref(&inflow), &record(7)).unwrap()[0].m3, [0.1; 24]);
    let fault = inflow::columns(&[inflow], &record(1)).unwrap_err().to_string();
    assert!(fault.contains("begins on 07-01 on a record from 01-01"), "{fault}");
}

/// A plan made in code is held against the same ranges.
#[test]
fn a_plan_made_in_code_is_checked() {
    let plan = read("flow = \"2 L/min\"").unwrap().plan();
    let faults = |change: &dyn Fn(&mut Settings)| {
        let mut plan = plan.clone();
        change(&mut plan.inflows[0]);
        plan.check().unwrap_err().to_string()
    };
    let steady = |flow| Kind::Steady(inflow::Steady::of(flow));
    assert!(faults(&|i| i.kind = steady(f64::NAN)).contains("inflow.own.flow: flow NaN"));
    assert!(faults(&|i| i.kind = steady(1000.1)).contains("inflow.own.flow: flow 1000.1"));
    assert!(faults(&|i| i.kind = Kind::Column(Hourly::new(vec![1.0, -1.0]))).contains("-1 m3 in hour 1"));
    assert!(faults(&|i| i.tank = "other".into()).contains("inflow.own.into: no tank \"other\""));
    let mut twice = plan.clone();
    twice.inflows.push(plan.inflows[0].clone());
    assert!(twice.check().unwrap_err().to_string().contains("two inflows with the name own"));
}

#[test]
fn a_roof_and_open_water_are_read() {
    let roof = one("catchment_area = \"1000 ft2\"\nrunoff_coefficient = \"85 %\"\nfirst_flush = \"1 mm\"");
    let Kind::Rain(roof) = roof.kind else { panic!() };
    assert!((roof.area_m2 - 1000.0 * 0.3048 * 0.3048).abs() < 1e-9);
    assert!((roof.runoff_coefficient - 0.85).abs() < 1e-12 && (roof.first_flush_mm - 1.0).abs() < 1e-12);
    let scheme = read("catchment_area = \"60 m2\"\nrunoff_coefficient = 0.85").unwrap();
    assert!(scheme.defaults_used.iter().any(|d| d.key == "inflow.own.first_flush" && d.value == "none"));
    let capacity = "capacity = \"12 m3\"";
    let open = |keys: &str| Scheme::from_toml(&without().replace(capacity, &format!("{capacity}\n{keys}")));
    let inflows = open("open_surface = \"6 m2\"\nrain_on_open_surface = true").unwrap().plan().inflows;
    assert_eq!(inflows, [Settings::open_water("main".into(), 6.0)]);
    for none in ["open_surface = \"6 m2\"", "open_surface = \"6 m2\"\nrain_on_open_surface = false"] {
        assert!(open(none).unwrap().plan().inflows.is_empty());
    }
    let closed = open("rain_on_open_surface = true").unwrap_err();
    assert_eq!(closed.len(), 1);
    assert!(closed[0].location.line.is_some() && closed[0].found.contains("closed tank"), "{closed}");
}

#[test]
fn faults_of_a_catchment_stand_at_its_lines() {
    refused("catchment_area = \"60 m2\"", 0, "inflow.own.runoff_coefficient: this key is missing");
    refused("catchment_area = \"0 m2\"\nrunoff_coefficient = 0.85", 1, "out of range");
    refused("catchment_area = \"60 m2\"\nrunoff_coefficient = 1.2", 2, "above 0, at most 1");
    refused(
        "catchment_area = \"60 m2\"\nrunoff_coefficient = 0.85\nfirst_flush = \"-1 mm\"",
        3,
        "out of range",
    );
    refused(
        "flow = \"2 L/min\"\nfirst_flush = \"1 mm\"",
        2,
        "first_flush has no effect without catchment_area",
    );
    refused("flow = \"2 L/min\"\narea = \"60 m2\"", 2, "did you mean catchment_area?");
}

/// Rain is had from a record that has it, and from no other.
#[test]
fn rain_is_refused_where_the_record_has_none_or_it_was_spread() {
    let roof = [one("catchment_area = \"100 m2\"\nrunoff_coefficient = 0.9\nfirst_flush = \"1 mm\"")];
    let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 20);
    let mut record = Record::without_weather(calendar);
    let fault = |record: &Record| {
        let faults = inflow::columns(&roof, record).unwrap_err();
        assert_eq!(faults[0].location.key.as_deref(), Some("inflow.own.catchment_area"));
        faults.to_string()
    };
    assert!(fault(&record).contains("the weather file has no credible rain"));
    record.kind = YearKind::Synthetic;
    assert!(fault(&record).contains("made years have no rain by the hour"));
    record.kind = YearKind::Calendar;
    record.precipitation_mm = Some(vec![0.1; 20 * 24]);
    assert!(fault(&record).contains("the same rain on each of two weeks from 03-01"));
    // Once a day is fine: 10 mm on the first day, 0.9 · 100 · (10 − 1) / 1000 m³; then snow.
    let mut rain = vec![0.0; 20 * 24];
    (rain[9], rain[33]) = (10.0, 10.0);
    record.air_degc[33] = 1.0;
    record.precipitation_mm = Some(rain);
    let found = inflow::columns(&roof, &record).unwrap();
    assert!((found[0].m3.iter().sum::<f64>() - 0.81).abs() < 1e-12);
    assert_eq!(found[0].assumptions.len(), 2);
    record.kind = YearKind::Typical;
    let typical = inflow::columns(&roof, &record).unwrap();
    assert!(typical[0].assumptions[2].contains("not for rain"));
    // A record made in code may hold anything.
    let mut bad = record.clone();
    bad.precipitation_mm = Some(vec![-1.0; 20 * 24]);
    assert!(
        inflow::columns(&roof, &bad)
            .unwrap_err()
            .to_string()
            .contains("weather.precipitation_mm: -1 in hour 0")
    );
    // Open water has no flush: 6 m² · 10 mm.
    let water = inflow::columns(&[Settings::open_water("main".into(), 6.0)], &record).unwrap();
    assert!((water[0].m3.iter().sum::<f64>() - 0.06).abs() < 1e-12 && water[0].name == "main-open-surface");
}

#[test]
fn open_water_of_a_plan_is_the_tanks_own() {
    let mut plan = read("flow = \"2 L/min\"").unwrap().plan();
    plan.tank.open_surface_m2 = 6.0;
    plan.inflows = vec![Settings::open_water("main".into(), 6.0)];
    assert!(plan.check().is_ok());
    plan.inflows = vec![Settings::open_water("main".into(), 7.0)];
    let faults = plan.check().unwrap_err().to_string();
    assert!(
        faults.contains("tank.main.rain_on_open_surface: rain on 7 m2 of open water, a tank with 6 m2"),
        "{faults}"
    );
}
