//! What a scheme calls uncertain: one interval from it and the years, and what its spread is owed to.

use serde_json::Value;

use crate::odds::{demo_years, words};
use crate::program::Desk;
use crate::support::data;

fn asked(desk: &Desk, lines: &str, more: &[&str]) -> Value {
    desk.write("open.toml", &format!("{}\n[uncertain]\n{lines}\n", desk.read("scheme.toml")));
    let args = ["odds", "open.toml", "--made-years", "0", "--json", "-"];
    let answer = desk.run(&[&args[..], more].concat());
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    serde_json::from_str(&answer.out).unwrap()
}

/// The demo on its own typical year.
fn demo() -> Desk {
    let desk = Desk::new();
    for name in ["scheme.toml", "weather.csv"] {
        std::fs::copy(data("demo").join(name), desk.path(name)).unwrap();
    }
    desk
}

fn days(desk: &Desk, setting: &str) -> f64 {
    let answer = desk.run(&["run", "scheme.toml", "--set", setting, "--json", "-"]);
    serde_json::from_str::<Value>(&answer.out).unwrap()["shortfall_days"].as_f64().unwrap()
}

fn share(told: &Value, name: &str, of: &str) -> f64 {
    let row = told["uncertain"]["owed_to"].as_array().unwrap().iter().find(|row| row["name"] == name);
    row.unwrap_or_else(|| panic!("{name}: {told}"))[of]["percent"].as_f64().unwrap()
}

/// Days of shortfall rise with the herd, so the ends of their interval are those of the herd's own percentiles: a run each.
#[test]
fn the_interval_of_one_unknown_is_that_of_runs_at_its_ends() {
    let desk = demo();
    let told = asked(&desk, "\"herd.*.count\" = \"10 %\"", &["--drawings", "500"]);
    let found = &told["uncertain"]["shortfall_days"];
    let (low, high) = (found["low"].as_f64().unwrap(), found["high"].as_f64().unwrap());
    // 1000 draws: the 2.5 % point lies between -2.33 and -1.75 deviations in 999 of 1000 cases (binomial, sqrt(pq/n) = 0.5 %), of a
    // law cut at 3 deviations.
    let at = |z: f64| days(&desk, &format!("herd.*.count * {}", 1.0 + 0.1 * z));
    assert!(at(-2.4) <= low && low <= at(-1.7), "{low}: {} {}", at(-2.4), at(-1.7));
    assert!(at(1.7) <= high && high <= at(2.4), "{high}: {} {}", at(1.7), at(2.4));
    // A single year: all is owed to the herd, and years have no share.
    assert!(share(&told, "herd.*.count", "of_days") > 90.0, "{told}");
    assert!(told["uncertain"]["owed_to"].as_array().unwrap().iter().all(|row| row["name"] != "years"));
}

#[test]
fn years_have_their_share_and_what_does_nothing_has_none() {
    let desk = demo_years("calendar", "6");
    let told = asked(
        &desk,
        "\"herd.cows.count\" = \"15 %\"\n\"pipe.buried.length\" = \"0.1 %\"",
        &["--drawings", "200"],
    );
    assert_eq!(told["uncertain"]["schemes"], 400);
    let of = |name| share(&told, name, "of_days");
    // Some of both, and of what does nothing no more than chance: the adjusted R2 of three terms over 400 values has a standard
    // deviation of sqrt(6)/400, 0.6 %.
    assert!(of("years") > 10.0 && of("herd.cows.count") > 20.0, "{told}");
    assert!(of("pipe.buried.length") < 5.0, "{told}");
    // With the herd as good as known, the years have all.
    let told = asked(&desk, "\"herd.cows.count\" = \"0.01 %\"", &["--drawings", "200"]);
    assert!(share(&told, "years", "of_days") > 99.0, "{told}");
}

#[test]
fn the_page_tells_it_and_threads_change_nothing() {
    let desk = demo_years("calendar", "4");
    let text = desk.read("scheme.toml")
        + "\n[uncertain]\n\"herd.cows.count\" = \"10 %\"\n\"well.static_level\" = \"2 m\"\n";
    desk.write("open.toml", &text);
    let page = words(&desk.run(&["odds", "open.toml", "--made-years", "25", "--drawings", "200"]));
    for part in [
        "With what the scheme calls uncertain, it lies between",
        "WITH WHAT IS UNCERTAIN 400 drawn schemes, two on each drawing of the record's years",
        "(years alone:",
        "% of spread: % of spread:",
        "well.static_level 19 m to 23 m 2 m",
    ] {
        assert!(page.contains(part), "no {part:?} in\n{page}");
    }
    let one = |threads: &str| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_dryspell"));
        command.current_dir(desk.path("")).env("RAYON_NUM_THREADS", threads);
        let out = command
            .args(["odds", "open.toml", "--made-years", "0", "--drawings", "200", "--json", "-"])
            .output();
        out.unwrap().stdout
    };
    let alone = one("1");
    assert!(!alone.is_empty() && alone == one("3"));
}

#[test]
fn schemes_that_cannot_run_are_left_out_and_counted() {
    let desk = demo();
    // A level this far down leaves the pump above the water in some of the drawn schemes.
    let told = asked(&desk, "\"well.static_level\" = \"100 %\"", &["--drawings", "200"]);
    let found = &told["uncertain"];
    let left_out = found["left_out"].as_u64().unwrap();
    assert!(left_out > 0 && left_out < 400, "{found}");
    assert!(found["reason"].as_str().unwrap().len() > 10, "{found}");
}
