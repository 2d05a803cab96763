//! What a user can get wrong: one line each, exit code 2, nothing half-written.

use crate::program::{Answer, Desk, starter};

const WEATHER: &str = "723170TYA.CSV";

fn refused(answer: &Answer) -> &str {
    assert_eq!(answer.code, 2, "out: {}\nerr: {}", answer.out, answer.err);
    assert_eq!(answer.out, "", "nothing is reported");
    assert!(!answer.err.contains("panicked"), "{}", answer.err);
    for line in answer.err.lines() {
        assert!(line.starts_with("dryspell: "), "{line}");
        assert!(line.matches("; ").count() >= 2, "found, accepted and way out: {line}");
    }
    &answer.err
}

/// Runs the changed starter and wants a single fault that holds all of `parts`.
fn one_fault(changes: &[(&str, &str)], parts: &[&str]) {
    let desk = Desk::with(&starter(changes), WEATHER);
    let answer = desk.run(&["run", "scheme.toml", "--json", "r.json"]);
    let err = refused(&answer);
    assert_eq!(err.lines().count(), 1, "{err}");
    for part in parts {
        assert!(err.contains(part), "no {part:?} in {err}");
    }
    assert_eq!(desk.files(), ["scheme.toml", "weather.csv"], "no output is half-written");
}

#[test]
fn missing_files() {
    let desk = Desk::new();
    let err = refused(&desk.run(&["run", "nothing.toml"])).to_owned();
    assert!(err.contains("nothing.toml: no such file"), "{err}");
    desk.write("scheme.toml", dryspell::scheme::STARTER);
    let err = refused(&desk.run(&["run", "scheme.toml"])).to_owned();
    assert!(
        err.contains("scheme.toml, line 17, column 8, weather.file")
            && err.contains("weather.csv: no such file"),
        "{err}"
    );
}

#[test]
fn outputs_that_cannot_be_written_fail_before_the_work() {
    let desk = Desk::with(&starter(&[]), WEATHER);
    let answer = desk.run(&["run", "scheme.toml", "--json", "nowhere/r.json"]);
    assert!(refused(&answer).contains("nowhere/r.json: cannot be written"), "{}", answer.err);
    let answer = desk.run(&["run", "scheme.toml", "--json", "-", "--hourly", "-"]);
    refused(&answer);
    std::fs::create_dir(desk.path("folder")).unwrap();
    let answer = desk.run(&["run", "scheme.toml", "--daily", "folder"]);
    assert!(refused(&answer).contains("it is a folder"), "{}", answer.err);
}

#[test]
fn a_fault_leaves_the_old_result_as_it_was() {
    let desk = Desk::with(&starter(&[("static_level", "static_level = \"18\"")]), WEATHER);
    desk.write("r.json", "old");
    refused(&desk.run(&["run", "scheme.toml", "--json", "r.json"]));
    assert_eq!(desk.read("r.json"), "old");
}

#[test]
fn values_of_the_scheme() {
    one_fault(
        &[("static_level", "static_level = \"18\"")],
        &["scheme.toml, line", "well.static_level", "18 m"],
    );
    one_fault(&[("static_level", "static_level = \"18 L\"")], &["well.static_level", "volume"]);
    one_fault(&[("static_level", "static_levle = \"18 m\"")], &["static_levle", "static_level"]);
    one_fault(
        &[("static_level", "static_level = [\"18 m\", \"17 m\"]")],
        &["well.static_level", "a list of 2 values", "twelve"],
    );
    one_fault(&[("capacity", "capacity = \"0 L\"")], &["tank.main.capacity"]);
    one_fault(&[("capacity", "capacity = \"12,000 L\"")], &["tank.main.capacity", "12000 L"]);
    one_fault(&[("count", "count = \"forty\"")], &["herd.cows.count"]);
    one_fault(&[("name =", "name = \"Example")], &["line 11, column 16"]);
}

#[test]
fn a_pump_table_out_of_order_or_too_short_for_the_well() {
    one_fault(&[("  [\"20 m\", \"120 W\"", "  [\"20 m\", \"50 W\", \"12 L/min\"],")], &["pump.duty", "line"]);
    one_fault(&[("static_level", "static_level = \"60 m\"")], &["64", "40", "line"]);
}

#[test]
fn weather_that_is_no_weather() {
    let desk = Desk::with(&starter(&[]), WEATHER);
    let good = desk.read("weather.csv");
    let run = |text: &str| {
        desk.write("weather.csv", text);
        refused(&desk.run(&["run", "scheme.toml"])).to_owned()
    };
    assert!(run("a,b\n1,2\n").contains("weather.csv"));
    let cut: String = good.lines().take(4000).map(|l| format!("{l}\n")).collect();
    let err = run(&cut);
    assert!(err.contains("weather.csv") && err.contains("8760"), "{err}");
    let err = run(&good.replacen("GHI (W/m^2)", "XXX", 1));
    assert!(err.contains("line 2") && err.contains("global horizontal"), "{err}");
    let mut lines: Vec<String> = good.lines().map(str::to_owned).collect();
    let noon: Vec<String> = lines[14].split(',').map(str::to_owned).collect();
    let ghi = 4;
    for (value, part) in [("many", "many"), ("-60", "-60"), ("4000", "4000")] {
        let mut broken = noon.clone();
        broken[ghi] = value.to_owned();
        lines[14] = broken.join(",");
        let err = run(&(lines.join("\n") + "\n"));
        assert!(err.contains("line 15") && err.contains(part) && err.contains("GHI"), "{err}");
    }
    let err = run(&good.replacen("-79.950", "79.950", 1));
    assert!(err.contains("79.95") && err.contains("-5"), "{err}");
}

#[test]
fn ten_different_faults_show_all_ten_in_one_run() {
    let scheme = starter(&[
        ("units", "units = \"metric\""),
        ("tilt", "tilt = \"155 deg\""),
        ("azimuth", "azimuth = \"sowth\""),
        ("series", "series = 2.5"),
        ("isc =", "isc = \"9.3 V\""),
        ("static_level", "static_level = \"18\""),
        ("specific_capacity", "specific_capasity = \"20 L/min/m\""),
        ("bore = \"26 mm\"", "bore = \"0 mm\""),
        ("drinks", "drinks = [\"55 L\", \"60 L\"]"),
        ("float_stop", "float_stop = \"13 m3\""),
    ]);
    let desk = Desk::with(&scheme, WEATHER);
    let err = refused(&desk.run(&["run", "scheme.toml"])).to_owned();
    for key in [
        "units",
        "array.main.tilt",
        "array.main.azimuth",
        "array.main.series",
        "array.main.module.isc",
        "well.static_level",
        "specific_capasity",
        "pipe.drop.bore",
        "herd.cows.drinks",
        "tank.main.float_stop",
    ] {
        assert!(err.lines().any(|l| l.contains(key)), "no line for {key} in\n{err}");
    }
    assert_eq!(err.lines().count(), 10, "{err}");
    for line in err.lines() {
        assert!(line.contains("scheme.toml, line ") && line.contains("column "), "{line}");
    }
}

#[test]
fn an_output_takes_no_file_that_is_read_or_written_already() {
    let desk = Desk::with(&starter(&[]), WEATHER);
    for args in [
        vec!["run", "scheme.toml", "--hourly", "scheme.toml"],
        vec!["run", "scheme.toml", "--json", "./weather.csv"],
        vec!["run", "scheme.toml", "--hourly", "o.csv", "--daily", "o.csv"],
        vec!["weather", "weather.csv", "--to", "weather.csv"],
    ] {
        let answer = desk.run(&args);
        assert!(refused(&answer).contains("each output needs its own file"), "{args:?}: {}", answer.err);
        assert_eq!(desk.files(), ["scheme.toml", "weather.csv"]);
        assert_eq!(desk.read("scheme.toml"), starter(&[]));
    }
}

#[test]
fn a_file_of_another_kind_is_named_for_what_it_is_with_what_to_type() {
    let desk = Desk::with(&starter(&[]), WEATHER);
    let demo = crate::support::root().join("data/demo");
    std::fs::copy(demo.join("climate.toml"), desk.path("climate.toml")).unwrap();
    std::fs::copy(demo.join("weather.csv"), desk.path("plain.csv")).unwrap();
    let one_line = |args: &[&str], start: &str, end: &str| {
        let answer = desk.run(args);
        let err = refused(&answer);
        assert_eq!(err.lines().count(), 1, "{args:?}: {err}");
        assert!(
            err.starts_with(&format!("dryspell: {start}")) && err.trim_end().ends_with(end),
            "{args:?}: {err}"
        );
    };
    let look = |file: &str| {
        format!("look at it with `dryspell weather {file}`, or name it as file under [weather] of a scheme")
    };
    for command in ["run", "curve"] {
        one_line(
            &[command, "weather.csv"],
            "weather.csv: this is a weather file (TMY3); a scheme file is needed here; ",
            &look("weather.csv"),
        );
    }
    one_line(
        &["hour", "weather.csv", "12"],
        "weather.csv: this is a weather file (TMY3)",
        &look("weather.csv"),
    );
    one_line(&["run", "plain.csv"], "plain.csv: this is a weather file (plain CSV)", &look("plain.csv"));
    one_line(
        &["synth", "weather.csv"],
        "weather.csv: this is a weather file (TMY3); a climate file",
        &look("weather.csv"),
    );
    let make = "make years of it with `dryspell synth climate.toml --to FILE`, or name it as climate under [weather] of a scheme";
    one_line(&["run", "climate.toml"], "climate.toml: this is a climate; a scheme file is needed here", make);
    one_line(
        &["weather", "climate.toml"],
        "climate.toml: this is a climate; an hourly weather file is needed here",
        make,
    );
    let run = "run it with `dryspell run scheme.toml`";
    one_line(
        &["weather", "scheme.toml"],
        "scheme.toml: this is a scheme; an hourly weather file is needed here; ",
        run,
    );
    one_line(&["synth", "scheme.toml"], "scheme.toml: this is a scheme; a climate file", run);
    one_line(
        &["synth", "none.toml"],
        "none.toml: no such file; a climate file (twelve monthly means in TOML) is needed here; ",
        "begin with a copy of data/demo/climate.toml",
    );
    // What is of no known kind keeps the message of the command's own reader.
    desk.write("words.txt", "nothing in particular\n");
    assert!(desk.run(&["weather", "words.txt"]).err.contains("format not recognised"));
}

/// Who is asked sits at a keyboard: without one nothing is asked and nothing written.
#[test]
fn questions_need_a_terminal() {
    let desk = Desk::new();
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_dryspell"))
        .args(["new", "--ask", "upper.toml"])
        .current_dir(desk.path(""))
        .stdin(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdin.take());
    let answer = child.wait_with_output().unwrap();
    let err = String::from_utf8(answer.stderr).unwrap();
    assert_eq!(answer.status.code(), Some(2));
    assert!(err.starts_with("dryspell: new --ask: standard input is no terminal; "), "{err}");
    assert!(desk.files().is_empty());
    desk.write("upper.toml", "mine");
    let there = desk.run(&["new", "--ask", "upper.toml"]);
    assert_eq!(there.code, 2);
    assert!(there.err.contains("the file already exists"), "{}", there.err);
    assert_eq!(desk.read("upper.toml"), "mine");
}
