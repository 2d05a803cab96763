//! The days ahead, as the builder of a scheme asks for them.

use dryspell::ahead::{DaysAhead, Today, YearAhead};
use dryspell::calendar::MonthDay;
use dryspell::edition::EditionRef;
use dryspell::scheme::Scheme;
use dryspell::simulate::{AnswersBy, Memo, Put, Water, from_levels};
use serde_json::Value;

use crate::odds::demo_years;
use crate::program::{Desk, run_in};
use crate::support::{data, root};

fn json(desk: &Desk, args: &[&str]) -> Value {
    let answer = desk.run(&[args, &["--json", "-"]].concat());
    serde_json::from_str(&answer.out)
        .unwrap_or_else(|e| panic!("{args:?}: {e}: {}{}", answer.out, answer.err))
}

/// Columns of `run --daily`, by name.
fn daily(scheme: &str, names: [&str; 3]) -> Vec<[String; 3]> {
    let table = run_in(&root(), &["run", scheme, "--daily", "-"]).out;
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let header = reader.headers().unwrap().clone();
    let at =
        names.map(|name| header.iter().position(|known| known == name).unwrap_or_else(|| panic!("{name}")));
    reader.records().map(|row| row.unwrap()).map(|row| at.map(|at| row[at].to_owned())).collect()
}

/// A year that repeats is looked at from the level that it had on the day: the days ahead are then its own.
#[test]
fn from_the_level_that_the_run_had_the_days_are_those_of_the_run() {
    // Columns, the march with hydrants, and a float with a band.
    for scheme in ["data/demo/scheme.toml", "data/demo/rounds.toml", "data/demo/five_herds.toml"] {
        let days = daily(scheme, ["date", "end_m3", "lowest_m3"]);
        let start = days.iter().position(|day| day[0].ends_with("-12-14")).unwrap();
        let level = format!("{} m3", days[start - 1][1]);
        let text = run_in(&root(), &["ahead", scheme, "--on", "12-14", "--level", &level, "--json", "-"]);
        let found: Value = serde_json::from_str(&text.out).unwrap_or_else(|e| panic!("{e}: {}", text.err));
        let fan = found["cases"][0]["fan"].as_array().unwrap();
        assert_eq!(fan.len(), 30);
        for (at, day) in fan.iter().enumerate() {
            let own: f64 = days[(start + at) % days.len()][2].parse().unwrap();
            let ahead = day["least_m3"].as_f64().unwrap();
            // The level was read from a table with four decimals.
            assert!((own - ahead).abs() < 2e-3, "{scheme}, {}: {own} and {ahead}", day["date"]);
        }
    }
}

/// The same for several tanks with what feeds one from another, each put to the level that it had.
#[test]
fn from_the_levels_that_several_tanks_had_the_days_are_those_of_the_run() {
    let folder = data("demo");
    let text = std::fs::read_to_string(folder.join("three_tanks.toml")).unwrap();
    // Whether a float between its two levels had stopped its pump no level tells.
    let text: Vec<&str> = text.lines().filter(|line| !line.starts_with("float_start")).collect();
    let scheme = Scheme::from_toml(&text.join("\n")).unwrap();
    let record = dryspell_weather::open(&scheme, &folder).unwrap().record;
    let plan = scheme.plan();
    let run = dryspell::simulate::simulate(&plan, &record).unwrap();
    let on = MonthDay { month: 12, day: 14 };
    let start =
        run.calendar.days().iter().position(|day| (day.month, day.day) == (on.month, on.day)).unwrap();
    let levels_m3 = run.tanks.iter().map(|tank| tank.level_m3[24 * start - 1].max(0.0)).collect();
    let today = Today { on, levels_m3, days: 60, forecast_kwh_per_m2: Vec::new() };
    let found = DaysAhead::new(&record, today).unwrap().through(&plan).unwrap();
    assert_eq!(found.answers_by, AnswersBy::March);
    for (at, day) in found.years[0].days.iter().enumerate() {
        let own = &run.days[(start + at) % run.days.len()];
        assert!(
            (own.lowest_m3 - day.lowest_m3).abs() < 1e-3,
            "{at}: {} and {}",
            own.lowest_m3,
            day.lowest_m3
        );
        assert_eq!(own.shortfall, day.shortfall, "{at}");
    }
}

#[test]
fn page_and_json_tell_the_same_years() {
    let desk = demo_years("calendar", "12");
    let args = ["ahead", "scheme.toml", "--on", "12-14", "--level", "60 %", "--load", "4 m3"];
    let page = desk.run(&args).out;
    let found = json(&desk, &args);
    assert_eq!(found["years_kind"], "calendar");
    assert_eq!(found["years_left_out"], 1);
    let case = &found["cases"][0];
    let years = case["years"].as_array().unwrap();
    assert_eq!(years.len(), 11);
    // Counted anew from the years.
    for within in case["within"].as_array().unwrap() {
        let days = within["days"].as_u64().unwrap();
        let short = years
            .iter()
            .filter(|year| {
                let first = |key: &str| Some(year[key].as_str()?.parse::<chrono::NaiveDate>().unwrap());
                let after = first("first_short").zip(first("first_day")).map(|(a, b)| (a - b).num_days());
                after.is_some_and(|after| after < i64::try_from(days).unwrap())
            })
            .count();
        assert_eq!(within["years_short"].as_u64(), Some(short as u64));
        assert!(within["chance_percent"]["high"].is_f64());
    }
    let thirty = &case["within"][3];
    let sentence = format!("within 30 days in {} of 11 years of the record", thirty["years_short"]);
    assert!(page.replace('\n', " ").contains(&sentence), "{page}");
    // Each haul is ordered three days and one before the day that it is for, and loads are whole.
    let mut hauls = 0;
    for year in years {
        for haul in year["hauls"].as_array().unwrap() {
            let date = |key: &str| haul[key].as_str().unwrap().parse::<chrono::NaiveDate>().unwrap();
            let ahead = (date("before") - date("order_by")).num_days();
            assert_eq!(ahead + haul["days_late"].as_i64().unwrap(), 4, "{haul}");
            let loads = haul["volume_m3"].as_f64().unwrap() / 4.0;
            assert_eq!(haul["loads"].as_f64(), Some(loads.ceil()));
            hauls += 1;
        }
    }
    assert!(hauls > 0, "{page}");
    // Cases: swept is never worse, under snow never better.
    let short = |case: usize| found["cases"][case]["within"][3]["years_short"].as_u64().unwrap();
    assert!(short(1) <= short(0) && short(0) <= short(2), "{page}");
}

/// Brought where and when the page says, the water keeps the herd: nobody is short for want of water, and a tenth less is too little.
#[test]
fn the_hauls_mend_what_they_are_for() {
    let folder = data("demo");
    // A seep besides the pump: the march answers.
    let text = std::fs::read_to_string(folder.join("scheme.toml")).unwrap()
        + "\n[inflow.seep]\nflow = \"0.05 L/min\"\n";
    let scheme = Scheme::from_toml(&text).unwrap();
    let record = dryspell_weather::open(&scheme, &folder).unwrap().record;
    let plan = scheme.plan();
    // Two years, so that it is no year that repeats.
    let record = dryspell::record::Record::join(&[record.clone(), record]).unwrap();
    let today = Today {
        on: MonthDay { month: 12, day: 1 },
        levels_m3: vec![4.0],
        days: 31,
        forecast_kwh_per_m2: Vec::new(),
    };
    let covered = dryspell::ahead::under_snow(&plan, today.on, 10);
    let found = DaysAhead::new(&record, today.clone()).unwrap().through(&covered).unwrap();
    assert_eq!((found.years.len(), found.answers_by), (2, AnswersBy::March));
    let starts: Vec<usize> = (0..record.calendar.days().len())
        .filter(|day| (record.calendar.days()[*day].month, record.calendar.days()[*day].day) == (12, 1))
        .collect();
    let upstream = Memo::default().driven(&covered, EditionRef::new(&record)).unwrap();
    let short_with = |share: f64| -> f64 {
        let mut puts = Vec::new();
        for (start, year) in starts.iter().zip(&found.years) {
            puts.push(Put { day: *start, water: Water::Levels(today.levels_m3.clone()) });
            let hauls = year.hauls.iter();
            puts.extend(hauls.map(|haul| Put {
                day: start + haul.day,
                water: Water::Brought { tank: 0, m3: share * haul.m3 },
            }));
        }
        let days = from_levels(&upstream, &covered, &puts).unwrap().days;
        let of = |start: &usize| days[*start..start + today.days].iter();
        starts.iter().flat_map(of).map(|day| (day.short_m3 - day.delivery_shortage_m3).max(0.0)).sum()
    };
    let without: usize = found.years.iter().map(YearAhead::short_days).sum();
    assert!(without > 4, "{without}");
    assert!(short_with(0.0) > 1.0);
    assert!(short_with(1.0) < 1e-3, "{}", short_with(1.0));
    assert!(short_with(0.9) > 0.1, "{}", short_with(0.9));
}

#[test]
fn a_forecast_of_the_records_own_sun_changes_nothing_and_one_of_darkness_does() {
    let desk = demo_years("calendar", "3");
    let args = ["ahead", "scheme.toml", "--on", "12-14", "--level", "8 m3", "--snow-days", "0"];
    let with = |sun: &[f64]| {
        let rows: Vec<String> =
            sun.iter().enumerate().map(|(at, kwh)| format!("2026-12-{},{kwh}", 14 + at)).collect();
        desk.write("sun.csv", &format!("date,ghi_kwh_per_m2\n{}\n", rows.join("\n")));
        json(&desk, &[&args[..], &["--forecast", "sun.csv"]].concat())
    };
    let plain = json(&desk, &args);
    let dark = with(&[0.0; 5]);
    let least = |found: &Value, day: usize| found["cases"][0]["fan"][day]["least_m3"].as_f64().unwrap();
    let most = |found: &Value, day: usize| found["cases"][0]["fan"][day]["most_m3"].as_f64().unwrap();
    assert!(most(&dark, 4) < least(&plain, 4) + 1e-9 && most(&dark, 4) < most(&plain, 4));
    // The same weather for all years, and other days behind it.
    assert!((most(&dark, 4) - least(&dark, 4)).abs() < 0.3, "{dark}");
    let bright = with(&[2.0; 5]);
    assert!(least(&bright, 4) > most(&dark, 4));
    assert_ne!(plain["scheme"]["inputs_hash"], bright["scheme"]["inputs_hash"]);
    let refused = desk.run(&[&args[..], &["--forecast", "sun.csv", "--on", "12-15"]].concat());
    assert_eq!(refused.code, 2);
}

#[test]
fn what_is_typed_wrong_is_told_in_one_line() {
    let desk = demo_years("calendar", "3");
    desk.write("gap.csv", "date,ghi_kwh_per_m2\n12-14,1\n12-16,1\n");
    for (args, wanted) in [
        (vec!["--on", "14-12", "--level", "4 m3"], "--on 14-12: no such date"),
        (vec!["--on", "12-14", "--level", "4"], "--level 4: \"4\" has no unit"),
        (vec!["--on", "12-14", "--level", "-5 %"], "0 to 10.5 m3, its full level"),
        (vec!["--on", "12-14", "--level", "hill = 4 m3"], "no tank of this name; main;"),
        (vec!["--on", "02-29", "--level", "4 m3"], "29 February: 28 February"),
        (vec!["--on", "12-14", "--level", "4 m3", "--days", "181"], "--days 181: 1 to 180"),
        (vec!["--on", "12-14", "--level", "4 m3", "--load", "0 L"], "--load 0 L: a load brings something"),
        (vec!["--on", "12-14", "--level", "4 m3", "--snow-days", "31"], "--snow-days 31: 0 to 30"),
        (vec!["--on", "12-14", "--level", "4 m3", "--forecast", "gap.csv"], "gap.csv: day 2 is 12-16;"),
        (vec!["--on", "12-14", "--level", "4 m3", "--forecast", "none.csv"], "none.csv: no such file"),
        (vec!["--on", "12-14", "--level", "4 m3", "--plot", "a.png"], "a name that ends in .svg"),
    ] {
        let answer = desk.run(&[&["ahead", "scheme.toml"][..], &args].concat());
        assert_eq!(answer.code, 2, "{args:?}: {}", answer.out);
        assert!(answer.err.contains(wanted) && answer.err.lines().count() == 1, "{args:?}: {}", answer.err);
        assert!(answer.out.is_empty());
    }
    let several =
        run_in(&root(), &["ahead", "data/demo/three_tanks.toml", "--on", "1-10", "--level", "4 m3"]);
    assert!(several.err.contains("main, yard, ridge"), "{}", several.err);
}

#[test]
fn several_tanks_each_have_a_level_and_the_picture_is_drawn() {
    let desk = Desk::new();
    let plot = desk.path("fan.svg");
    let levels = ["--level", "main = 50 %", "--level", "yard = 50 %", "--level", "ridge = 50 %"];
    let args = ["ahead", "data/demo/three_tanks.toml", "--on", "01-10", "--plot", plot.to_str().unwrap()];
    let answer = run_in(&root(), &[&args[..], &levels].concat());
    assert_eq!(answer.code, 0, "{}", answer.err);
    let picture = desk.read("fan.svg");
    let first = answer.out.split(" the herd ").next().unwrap();
    assert!(picture.contains(first), "{first}");
    assert!(picture.contains("role=\"img\"") && picture.contains("10 Jan"));
}
