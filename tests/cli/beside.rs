//! What is tried beside a run: mends with prices, stresses, the scheme's own questions.

use serde_json::Value;

use crate::program::Desk;
use crate::support::data;

/// A shipped scheme with more lines.
fn demo(name: &str, more: &str) -> Desk {
    let desk = Desk::new();
    std::fs::copy(data("demo/weather.csv"), desk.path("weather.csv")).unwrap();
    let scheme = std::fs::read_to_string(data(&format!("demo/{name}.toml"))).unwrap();
    desk.write("scheme.toml", &format!("{scheme}\n{more}\n"));
    desk
}

fn json(desk: &Desk, more: &[&str]) -> Value {
    let answer = desk.run(&[&["run", "scheme.toml", "--json", "-"], more].concat());
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    serde_json::from_str(&answer.out).unwrap()
}

#[test]
fn a_question_of_the_scheme_is_the_run_with_its_settings() {
    let set = ["herd.*.count * 1.25", "tank.main.capacity = 14 m3"];
    let desk = demo("scheme", &format!("[what_if.more]\nset = [\"{}\", \"{}\"]", set[0], set[1]));
    let asked = json(&desk, &["--full"]);
    let row = &asked["what_if"][0];
    let run = json(&desk, &["--set", set[0], "--set", set[1]]);
    assert_eq!(row["question"], "what if: more");
    assert_eq!(row["shortfall_days_per_year"].as_f64(), run["shortfall_days"].as_f64());
    assert_eq!(row["full_tank_days"], run["full_tank_autonomy_days"]["worst"]);
    // The scheme's own figures do not rest on it.
    let without = json(&demo("scheme", ""), &[]);
    assert_eq!(asked["case_hash"], without["case_hash"]);
    for page in [desk.run(&["run", "scheme.toml", "--full"]).out, desk.run(&["odds", "scheme.toml"]).out] {
        assert!(page.contains("more"), "{page}");
    }
}

#[test]
fn a_slip_in_a_question_is_told_where_it_stands() {
    for (set, told) in [
        ("\"tank.main.capasity = 3 m3\"", "did you mean tank.main.capacity?"),
        ("\"tank.main.capacity = -3 m3\"", "tank.main.capacity: \"-3 m3\" is out of range"),
        ("\"well\"", "KEY = VALUE"),
        ("3", "a setting such as"),
        ("\"array.shed.tilt * 0.5\" ", ""),
    ] {
        let answer = demo("scheme", &format!("[what_if.deeper]\nset = {set}")).run(&["run", "scheme.toml"]);
        if told.is_empty() {
            assert_eq!(answer.code, 0, "{}", answer.err);
            continue;
        }
        assert_eq!(answer.code, 2, "{set}: {}", answer.out);
        assert!(answer.err.contains("what_if.deeper") && answer.err.contains(told), "{set}: {}", answer.err);
        assert!(answer.err.contains(", line ") && answer.err.lines().count() == 1, "{set}: {}", answer.err);
    }
}

#[test]
fn prices_order_what_mends_it() {
    let desk = demo("scheme", "[price]\nmodule = 180\ntank_per_m3 = 240");
    let rows = json(&desk, &["--full"])["mends"].as_array().unwrap().clone();
    let stands = 7.0;
    let each: Vec<(String, f64)> = rows
        .iter()
        .filter_map(|row| {
            let saved = stands - row["shortfall_days_per_year"].as_f64().unwrap();
            let cost = row["cost"].as_f64()?;
            (saved > 0.0).then(|| (row["change"].as_str().unwrap().to_owned(), cost / saved))
        })
        .collect();
    assert!(each.len() >= 4 && each.windows(2).all(|pair| pair[0].1 <= pair[1].1), "{each:?}");
    // By hand: one module more in the only string is 180; two strings of two modules are 360 more.
    let cost = |what: &str| rows.iter().find(|row| row["change"] == what).unwrap()["cost"].as_f64();
    assert_eq!(cost("shed: 3 in series instead of 2"), Some(180.0));
    assert_eq!(cost("shed: 2 in parallel instead of 1"), Some(360.0));
    assert_eq!(cost("tank: 22 m³ instead of 11 m³"), Some(11.0 * 240.0));
    // What has no price stands behind all that saves a day for one.
    let unpriced = rows.iter().position(|row| row["cost"].is_null()).unwrap();
    assert!(rows[..unpriced].len() >= each.len());
    // Without prices: first what leaves no day short.
    let rows = json(&demo("scheme", ""), &["--full"])["mends"].as_array().unwrap().clone();
    assert_eq!(rows[0]["shortfall_days_per_year"].as_f64(), Some(0.0));
}

/// What a stress says of herd and well, with the program's own settings.
#[test]
fn the_least_stress_breaks_it_and_one_step_less_does_not() {
    let desk = demo("roomy", "");
    let found = json(&desk, &["--full"]);
    let least = |what: &str| {
        let rows = found["stresses"].as_array().unwrap();
        rows.iter().find(|row| row["stress"] == what).unwrap()["breaks_at"].as_f64().unwrap()
    };
    let short = |settings: &[String]| {
        let args: Vec<&str> = settings.iter().flat_map(|set| ["--set", set.as_str()]).collect();
        json(&desk, &args)["shortfall_days"].as_u64().unwrap()
    };
    let heads = least("more heads");
    let more = |percent: f64| [format!("herd.*.count * {}", 1.0 + percent / 100.0)];
    assert!(short(&more(heads)) > 0 && short(&more(heads - 1.0)) == 0, "{heads}");
    let lower = least("lower yield of the well");
    let less = |percent: f64| [format!("well.yield * {}", 1.0 - percent / 100.0)];
    assert!(short(&less(lower)) > 0 && short(&less(lower - 1.0)) == 0, "{lower}");
    // Nothing was tried without --full, and nothing of a scheme that is broken as it stands.
    assert!(json(&desk, &[])["stresses"].is_null());
    assert_eq!(json(&demo("scheme", ""), &["--full"])["stresses"].as_array().map(Vec::len), Some(0));
}
