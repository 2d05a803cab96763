//! Where values come from: in the scheme, in JSON and in the document.

use serde_json::Value;

use crate::document::{plain, words};
use crate::program::Desk;
use crate::support::root;

/// The demo with names and sources, beside its weather.
fn desk() -> Desk {
    let desk = Desk::new();
    let demo = std::fs::read_to_string(root().join("data/demo/scheme.toml")).unwrap();
    std::fs::copy(root().join("data/demo/weather.csv"), desk.path("weather.csv")).unwrap();
    desk.write("plain.toml", &demo);
    let named = demo
        .replace("[weather]\n", "applicant = \"North Ranch\"\ncontract = \"grant 117\"\n\n[weather]\n")
        .replace("[well]\n", "[well]\nnumber = \"W-12\"\n")
        .replace("[pump]\n", "[pump]\nmake = \"a maker\"\nmodel = \"20-35\"\n");
    desk.write(
        "named.toml",
        &(named
            + "\n[sources]\n\"well\" = \"driller's log\"\n\"well.static_level\" = \"own dip, June\"\nherd = \"count\"\n"),
    );
    desk
}

fn json(desk: &Desk, scheme: &str) -> Value {
    let answer = desk.run(&["run", scheme, "--json", "-"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    serde_json::from_str(&answer.out).unwrap()
}

fn row<'a>(json: &'a Value, key: &str) -> &'a Value {
    let rows: Vec<&Value> =
        json["values"].as_array().unwrap().iter().filter(|row| row["key"] == key).collect();
    assert_eq!(rows.len(), 1, "{key}: {rows:?}");
    rows[0]
}

#[test]
fn json_tells_each_value_with_its_line_and_source() {
    let desk = desk();
    let json = json(&desk, "named.toml");
    let text = desk.read("named.toml");
    let line = |start: &str| text.lines().position(|l| l.starts_with(start)).unwrap() as u64 + 1;
    for (key, name, value, how, at, source) in [
        ("well.yield", "yield", "24 L/min", "given", Some("yield"), Some("driller's log")),
        (
            "well.static_level",
            "static level",
            "21 m, 21 m, 20 m",
            "given",
            Some("static_level"),
            Some("own dip, June"),
        ),
        ("herd.cows.mass", "mass", "590 kg", "given", Some("mass"), Some("count")),
        ("tank.main.capacity", "capacity", "11 m3", "given", Some("capacity"), None),
        ("weather.file", "file", "weather.csv", "file", Some("file"), None),
        ("weather.latitude", "latitude", "47.1°", "file", None, None),
        (
            "array.shed.module.five_parameters",
            "five parameters",
            "photocurrent",
            "fitted",
            None,
            Some("the module's datasheet"),
        ),
        ("site.albedo", "albedo", "0.2", "default", None, Some("grass or bare ground")),
        (
            "pump.start_power",
            "start power",
            "not given",
            "assumed",
            None,
            Some("no flow below the lowest power"),
        ),
    ] {
        let row = row(&json, key);
        assert_eq!((row["name"].as_str(), row["how"].as_str()), (Some(name), Some(how)), "{key}");
        assert!(row["value"].as_str().unwrap().starts_with(value), "{row}");
        assert_eq!(row["line"].as_u64(), at.map(line), "{key}");
        assert!(
            source.map_or(row["source"].is_null(), |s| row["source"].as_str().unwrap().starts_with(s)),
            "{row}"
        );
        assert_eq!(row["file"].as_str(), (how == "file").then_some("weather.csv"), "{key}");
    }
    // Sources are no values, and nothing is reckoned with them.
    let rows = json["values"].as_array().unwrap();
    assert!(rows.iter().all(|row| !row["key"].as_str().unwrap().starts_with("sources")));
    let plain = self::json(&desk, "plain.toml");
    assert_eq!(json["case_hash"], plain["case_hash"]);
    assert_ne!(json["scheme"]["sha256"], plain["scheme"]["sha256"]);
}

#[test]
fn the_document_shows_names_values_lines_and_sources() {
    let desk = desk();
    let answer = desk.run(&["summary", "named.toml", "-o", "s.html"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let page = plain(&desk.read("s.html"));
    for part in [
        "applicant North Ranch · contract grant 117",
        "pump a maker, 20-35 · well W-12",
        "yield 24 L/min",
        "driller's log]",
        "[own dip, June]",
        ", count]: count 46",
        "weather.elevation 980 m",
        "Fitted : array.shed.module.five_parameters to the module's datasheet values",
        "Not given, by default",
        "Not given, assumed",
    ] {
        assert!(page.contains(&words(part)), "the page lacks {part:?}: {page}");
    }
    let answer = desk.run(&["summary", "plain.toml", "-o", "p.html"]);
    assert_eq!(answer.code, 0);
    assert!(!plain(&desk.read("p.html")).contains("applicant"));
}

#[test]
fn a_source_of_nothing_is_one_line() {
    let desk = desk();
    desk.write(
        "wrong.toml",
        &desk.read("named.toml").replace("\"well.static_level\" =", "\"well.static_levl\" ="),
    );
    let answer = desk.run(&["run", "wrong.toml"]);
    assert_eq!((answer.code, answer.err.lines().count()), (2, 1), "{}", answer.err);
    assert!(
        answer.err.contains("sources.\"well.static_levl\": no value and no table of this name")
            && answer.err.contains("known in well: number, static_level")
            && answer.err.contains("did you mean well.static_level?"),
        "{}",
        answer.err
    );
}
