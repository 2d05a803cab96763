//! `dryspell weather` and `dryspell synth`, and a scheme that names a climate.

use crate::program::{Desk, run_in, starter};
use crate::support::root;

#[test]
fn the_report_says_what_a_file_holds() {
    let answer = run_in(&root(), &["weather", "data/weather/723170TYA.CSV"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    for part in [
        "GREENSBORO",
        "36.100 N 79.950 W",
        "TMY3 from",
        "Jan 1988, Feb",
        "no return period",
        "holds within 1.2 W/m2 as read",
        "ground albedo, snow depth, precipitation",
        "DULLEST DAYS IN A ROW",
        " 3 days ",
        " 5 days ",
        "10 days ",
        "20 days ",
        "freezing index",
        "not used: an hour of 140 mm",
    ] {
        assert!(answer.out.contains(part), "no {part:?} in\n{}", answer.out);
    }
    let us = run_in(&root(), &["weather", "data/weather/723170TYA.CSV", "--units", "us"]).out;
    assert!(us.contains("°F") && !us.contains("°C"), "{us}");
}

#[test]
fn the_plain_format_written_by_the_program_reads_back_the_same() {
    let desk = Desk::new();
    let file = root().join("data/weather/723170TYA.CSV");
    let answer = desk.run(&["weather", file.to_str().unwrap(), "--to", "plain.csv", "--json", "a.json"]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    let again = desk.run(&["weather", "plain.csv", "--json", "b.json"]);
    assert_eq!(again.code, 0, "{}", again.err);
    let report = |name: &str| -> serde_json::Value { serde_json::from_str(&desk.read(name)).unwrap() };
    let (a, b) = (report("a.json"), report("b.json"));
    for key in [
        "latitude_deg",
        "longitude_deg",
        "elevation_m",
        "utc_offset_h",
        "hours",
        "months",
        "year",
        "dullest",
        "cold",
        "lacks",
    ] {
        assert_eq!(a[key], b[key], "{key}");
    }
    assert!((a["year"]["ghi_kwh_per_m2_day"].as_f64().unwrap() * 365.0 - 1566.2).abs() < 0.05);
}

#[test]
fn a_scheme_runs_the_same_on_the_plain_copy_of_its_weather() {
    let desk = Desk::with(&starter(&[("count = 40", "count = 150")]), "723170TYA.CSV");
    let one = desk.run(&["run", "scheme.toml", "--json", "-"]).out;
    desk.run(&["weather", "weather.csv", "--to", "plain.csv"]);
    desk.write("scheme.toml", &starter(&[("count = 40", "count = 150"), ("file =", "file = \"plain.csv\"")]));
    let two = desk.run(&["run", "scheme.toml", "--json", "-"]).out;
    let value = |text: &str| -> serde_json::Value { serde_json::from_str(text).unwrap() };
    let (one, two) = (value(&one), value(&two));
    for key in ["shortfall_days", "available_m3", "short_m3", "dry_hours", "months"] {
        assert_eq!(one[key], two[key], "{key}");
    }
}

#[test]
fn the_demo_year_is_what_the_generator_makes() {
    let made = run_in(&root(), &["synth", "data/demo/climate.toml", "--seed", "2026"]);
    assert_eq!((made.code, made.err.as_str()), (0, ""));
    assert!(
        made.out == std::fs::read_to_string(root().join("data/demo/weather.csv")).unwrap(),
        "no hour is edited"
    );
}

#[test]
fn a_scheme_can_name_a_climate_and_equals_the_file_made_from_it() {
    let desk = Desk::new();
    let demo = root().join("data/demo");
    std::fs::copy(demo.join("climate.toml"), desk.path("climate.toml")).unwrap();
    let scheme = std::fs::read_to_string(demo.join("scheme.toml")).unwrap();
    assert!(scheme.contains("file = \"weather.csv\""));
    desk.write(
        "scheme.toml",
        &scheme.replace("file = \"weather.csv\"", "climate = \"climate.toml\"\nseed = 2026"),
    );
    let from_climate = desk.run(&["run", "scheme.toml", "--json", "-"]);
    assert_eq!(from_climate.code, 0, "{}", from_climate.err);
    let from_file = run_in(&demo, &["run", "scheme.toml", "--json", "-"]);
    let value = |text: &str| -> serde_json::Value { serde_json::from_str(text).unwrap() };
    let (a, b) = (value(&from_climate.out), value(&from_file.out));
    for key in ["shortfall_days", "available_m3", "short_m3", "dry_hours", "months"] {
        assert_eq!(a[key], b[key], "{key}");
    }
    assert!(a["answer"].as_str().unwrap().contains("synthetic"));
    assert_eq!(a["year_kind"], "synthetic");

    desk.write(
        "scheme.toml",
        &scheme.replace("file = \"weather.csv\"", "climate = \"climate.toml\"\nmade_years = 3"),
    );
    let three = desk.run(&["run", "scheme.toml", "--json", "-"]);
    assert_eq!(three.code, 0, "{}", three.err);
    let three = value(&three.out);
    assert_eq!(three["years_in_record"], 3.0);
    assert!(three["shortfall_days_if_started_empty"].is_u64());
    assert!(three["years"].as_array().unwrap().len() >= 3);
}

#[test]
fn many_years_run_straight_through() {
    let desk = Desk::new();
    let climate = root().join("data/demo/climate.toml");
    let made =
        desk.run(&["synth", climate.to_str().unwrap(), "--years", "3", "--seed", "7", "--to", "years.csv"]);
    assert_eq!((made.code, made.out.as_str()), (0, ""), "{}", made.err);
    let report = desk.run(&["weather", "years.csv"]);
    assert!(report.out.contains("2000 to 2002, 3 in all"), "{}", report.out);
    desk.write("scheme.toml", &starter(&[("file =", "file = \"years.csv\"")]));
    let out = desk.run(&["run", "--full", "scheme.toml"]);
    assert_eq!(out.code, 0, "{}", out.err);
    for part in [
        "these 3 invented (synthetic) years",
        "if the tank starts empty",
        "mean of the month",
        "tank years from",
    ] {
        assert!(out.out.contains(part), "no {part:?} in\n{}", out.out);
    }
}

#[test]
fn bad_words_and_files_are_refused_in_one_line() {
    let desk = Desk::new();
    for (args, part) in [
        (vec!["weather", "none.csv"], "none.csv"),
        (vec!["synth", "none.toml"], "none.toml: no such file"),
        (
            vec!["synth", "climate.toml", "--method", "dice"],
            "--method dice: no such method; one of free, held, matrices",
        ),
        (vec!["weather", "x.csv", "--elevation", "tall"], "--elevation"),
        (vec!["weather", "x.csv", "--to", "-", "--json", "-"], "standard output takes one of them"),
        (vec!["weather", "x.csv", "--to", "nowhere/y.csv"], "nowhere/y.csv: cannot be written"),
    ] {
        let answer = desk.run(&args);
        assert_eq!(answer.code, 2, "{args:?}");
        assert_eq!(answer.err.lines().count(), 1, "{}", answer.err);
        assert!(answer.err.contains(part), "no {part:?} in {}", answer.err);
    }
    assert!(desk.files().is_empty(), "{:?}", desk.files());
}

#[test]
fn options_that_help_are_named_as_flag_and_as_key() {
    use dryspell_weather::Choice;
    let help = Desk::new().run(&["weather", "--help"]).out;
    for choice in Choice::ALL {
        let flag = format!("--{}", choice.name().replace('_', "-"));
        assert!(
            help.contains(&format!("{flag} <")) || help.contains(&format!("{flag}\n")),
            "{flag} in {help}"
        );
        let key = dryspell::scheme::keys::find("weather", choice.name());
        let key = key.unwrap_or_else(|| panic!("no key {} under [weather]", choice.name()));
        assert_eq!(
            matches!(key.kind, dryspell::scheme::keys::Kind::Flag),
            choice.is_flag(),
            "{}",
            choice.name()
        );
    }

    let real = std::fs::read_to_string(root().join("data/weather/723170TYA.CSV")).unwrap();
    let desk = Desk::new();
    let shown = "(`--stamps`, `--utc-offset`, `--accept-shift` of dryspell weather, `stamps`, `utc_offset`, \
     `accept_shift = true` under [weather] of a scheme)";
    desk.write("weather.csv", &real.replacen("-5.0", "-4.0", 1));
    let answer = desk.run(&["weather", "weather.csv"]);
    assert_eq!(answer.code, 2);
    assert!(answer.err.contains(shown), "{}", answer.err);
    desk.write("scheme.toml", &starter(&[]));
    let answer = desk.run(&["run", "--full", "scheme.toml"]);
    assert_eq!(answer.code, 2);
    assert!(answer.err.contains(shown), "{}", answer.err);
    assert!(!answer.err.contains("in the options"), "{}", answer.err);
    assert_eq!(desk.run(&["weather", "weather.csv", "--accept-shift"]).code, 0);

    // What a note asks for can be given.
    let one_year = "data/weather/703165TY.csv";
    let typical = run_in(&root(), &["weather", one_year, "--years", "typical"]);
    assert!(typical.out.contains("typical year ("), "{}", typical.out);
    let calendar = run_in(&root(), &["weather", "data/demo/weather.csv", "--years", "calendar"]);
    assert!(calendar.out.contains("calendar years; 2000"), "{}", calendar.out);
}

/// For each key under `[weather]`: the table that has it, and what the demo's year has to be like so that the key counts.
fn one_case_for_each_weather_key() -> Vec<(&'static str, String, String)> {
    let year = std::fs::read_to_string(root().join("data/demo/weather.csv")).unwrap();
    let without = |line: &str| {
        assert!(year.contains(line), "{line}");
        year.lines().filter(|l| !l.starts_with(line)).fold(String::new(), |t, l| t + l + "\n")
    };
    let file = |more: &str| format!("file = \"weather.csv\"\n{more}");
    let first_days: String =
        year.lines().take_while(|l| !l.starts_with("2000-02-01")).fold(String::new(), |t, l| t + l + "\n");
    let real = std::fs::read_to_string(root().join("data/weather/723170TYA.CSV")).unwrap();
    let hour_off = real.replacen("-5.0", "-4.0", 1);
    let gap: String =
        year.lines().filter(|l| !l.starts_with("2000-01-05T0")).fold(String::new(), |t, l| t + l + "\n");
    vec![
        ("file", file(""), year.clone()),
        ("climate", "climate = \"climate.toml\"".into(), String::new()),
        ("seed", "climate = \"climate.toml\"\nseed = 7".into(), String::new()),
        ("made_years", "climate = \"climate.toml\"\nmade_years = 2".into(), String::new()),
        ("latitude", file("latitude = \"46.9 deg\""), without("# latitude")),
        ("longitude", file("longitude = \"-107.9 deg\""), without("# longitude")),
        ("elevation", file("elevation = \"1500 m\""), without("# elevation")),
        ("utc_offset", file("utc_offset = \"-7 h\""), without("# utc offset")),
        ("stamps", file("stamps = \"start\""), without("# stamps")),
        ("years", file("years = \"typical\""), year.clone()),
        ("part_of_year", file("part_of_year = true"), first_days),
        ("accept_shift", file("accept_shift = true"), hour_off),
        ("fill_long_gaps", file("fill_long_gaps = true"), gap),
    ]
}

#[test]
fn every_key_under_weather_means_the_same_to_the_library_and_to_the_program() {
    let cases = one_case_for_each_weather_key();
    let keys = dryspell::scheme::keys::KEYS.iter().filter(|k| k.section == "weather").map(|k| k.name);
    assert_eq!(keys.collect::<Vec<_>>(), cases.iter().map(|(key, ..)| *key).collect::<Vec<_>>());
    let demo = std::fs::read_to_string(root().join("data/demo/scheme.toml")).unwrap();
    for (key, table, weather) in cases {
        let desk = Desk::new();
        std::fs::copy(root().join("data/demo/climate.toml"), desk.path("climate.toml")).unwrap();
        desk.write("weather.csv", &weather);
        let scheme = |table: &str| {
            let text = demo.replacen("file = \"weather.csv\"", table, 1);
            assert!(text.contains(table));
            (dryspell::scheme::Scheme::from_toml(&text).unwrap(), text)
        };
        let folder = desk.path("");
        let (with, text) = scheme(&table);
        let opened = dryspell_weather::open(&with, &folder).unwrap_or_else(|e| panic!("{key}: {e}"));
        // The key counts: without it the weather is refused, or is another.
        if let Some((others, _)) = table.rsplit_once('\n').filter(|_| key != "file") {
            let left_out = dryspell_weather::open(&scheme(others).0, &folder);
            assert!(left_out.as_ref().map_or(true, |o| o.record != opened.record), "{key} does not count");
        }
        desk.write("scheme.toml", &text);
        let answer = desk.run(&["run", "scheme.toml", "--json", "-"]);
        assert_eq!(answer.code, 0, "{key}: {}", answer.err);
        let program: serde_json::Value = serde_json::from_str(&answer.out).unwrap();
        let run = dryspell::simulate::simulate(&with.plan(), &opened.record).unwrap();
        assert_eq!(program["shortfall_days"], run.outcome.counts.shortfall_days, "{key}");
        let words = dryspell::results::answer(&run, dryspell::units::System::Si);
        assert_eq!(program["answer"], words, "{key}");
        let available: f64 = run.days.iter().map(|d| d.available_m3).sum();
        assert!((program["available_m3"].as_f64().unwrap() - available).abs() < 1e-6, "{key}");
        let hashes: Vec<&str> = opened.files.iter().map(|f| f.sha256.as_str()).collect();
        assert_eq!(program["weather"]["sha256"], serde_json::json!(hashes), "{key}");
    }
}

/// `synth --like`: years of a record, named as such; what is no record, and what does not go together, is refused.
#[test]
fn years_are_made_like_a_record() {
    let desk = Desk::new();
    std::fs::copy(root().join("data/demo/climate.toml"), desk.path("climate.toml")).unwrap();
    let made = desk.run(&["synth", "climate.toml", "--years", "6", "--to", "record.csv"]);
    assert_eq!(made.code, 0, "{}", made.err);
    let like = desk.run(&["synth", "--like", "record.csv", "--years", "2", "--to", "like.csv"]);
    assert_eq!((like.code, like.err.as_str()), (0, ""));
    let text = desk.read("like.csv");
    assert!(text.contains("kind: synthetic") && text.contains("fitted to 6 years"), "{}", &text[..1500]);
    assert_eq!(text.lines().filter(|line| line.starts_with("20")).count(), 2 * 8760);
    let refused = |args: &[&str], part: &str| {
        let answer = desk.run(args);
        assert!(answer.code == 2 && answer.err.contains(part), "{args:?}: {}", answer.err);
    };
    refused(&["synth", "--like", "climate.toml"], "this is a climate; an hourly weather file is needed here");
    refused(&["synth", "--like", "nothing.csv"], "nothing.csv: cannot be opened");
    refused(&["synth", "--like", "record.csv", "--to", "record.csv"], "this file is an input");
    refused(&["synth", "climate.toml", "--like", "record.csv"], "cannot be used with");
    refused(&["synth"], "CLIMATE");
}
