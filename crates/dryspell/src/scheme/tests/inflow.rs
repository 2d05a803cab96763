//! Inflows besides the pump.

use super::BASE;
use crate::calendar::{Calendar, Day, MonthDay};
use crate::inflow::{self, Hourly, Kind, Settings, WhenFull};
use crate::record::Record;
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
    assert!(faults(&|i| i.tank = "other".into()).contains("inflow.own.into: no tank other"));
    let mut twice = plan.clone();
    twice.inflows.push(plan.inflows[0].clone());
    assert!(twice.check().unwrap_err().to_string().contains("two inflows with the name own"));
}

/// Taken out when they are: see `plan/check/inflows.rs`.
#[test]
fn a_plan_with_inflows_is_refused_until_they_are_simulated() {
    let scheme = read("flow = \"2 L/min\"").unwrap();
    let faults = scheme.plan().check().unwrap_err();
    assert_eq!(faults.len(), 1);
    let text = scheme.locate(faults[0].clone()).to_string();
    let start = format!("line {}, column 8, inflow.own.flow: ", table_line() + 1);
    assert!(text.starts_with(&start) && text.contains("not simulated yet"), "{text}");
}
