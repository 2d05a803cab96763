//! Answers as JSON: each by its schema, with the numbers of its page; and what every column means.

use std::collections::BTreeSet;
use std::path::Path;

use serde_json::Value;

use crate::odds::demo_years;
use crate::program::{Desk, run_in};
use crate::schema::Schema;
use crate::support::root;

/// The commands on shipped schemes that between them have all parts of an answer.
const ASKED: [&[&str]; 10] = [
    &["odds", "data/demo/scheme.toml", "--made-years", "50"],
    &["odds", "data/demo/roomy.toml", "--made-years", "0"],
    &["size", "data/demo/scheme.toml", "--target", "days=0"],
    &[
        "size",
        "data/demo/scheme.toml",
        "--target",
        "days=0",
        "--tank",
        "1, 2 m3",
        "--array",
        "array.shed.parallel = 1",
    ],
    &["compare", "data/demo/scheme.toml", "data/demo/roomy.toml", "data/demo/five_herds.toml"],
    &["frost", "data/demo/scheme.toml"],
    &["frost", "data/demo/roomy.toml"],
    &["curve", "data/demo/scheme.toml"],
    &["ahead", "data/demo/scheme.toml", "--on", "12-14", "--level", "6.2 m3", "--load", "4 m3"],
    &["review", "data/demo/scheme.toml", "data/demo/jobs/us_grant.toml"],
];

fn json(args: &[&str]) -> Value {
    json_in(&root(), args)
}

fn json_in(folder: &Path, args: &[&str]) -> Value {
    let answer = run_in(folder, &[args, &["--json", "-"]].concat());
    serde_json::from_str(&answer.out)
        .unwrap_or_else(|e| panic!("{args:?}: {e}: {}{}", answer.out, answer.err))
}

fn schema(command: &str) -> Value {
    serde_json::from_str(&run_in(&root(), &["print", "schema", command]).out).unwrap()
}

/// Names of objects anywhere in a value, and names of properties anywhere in a schema.
fn names(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(table) => {
            for (name, inner) in table {
                found.insert(name.clone());
                names(inner, found);
            }
        }
        Value::Array(list) => list.iter().for_each(|inner| names(inner, found)),
        _ => {}
    }
}

fn properties(schema: &Value, found: &mut BTreeSet<String>) {
    match schema {
        Value::Object(table) => {
            if let Some(Value::Object(own)) = table.get("properties") {
                found.extend(own.keys().cloned());
            }
            table.values().for_each(|inner| properties(inner, found));
        }
        Value::Array(list) => list.iter().for_each(|inner| properties(inner, found)),
        _ => {}
    }
}

#[test]
fn every_answer_is_valid_by_its_schema_and_has_no_name_that_is_not_in_it() {
    // A record of years has what a single year cannot tell.
    let years = demo_years("calendar", "6");
    let made = ["scheme.toml", "--made-years", "50", "--drawings", "200"];
    let odds = [&["odds"][..], &made].concat();
    let size = [&["size"][..], &made, &["--target", "dry-years=60", "--tank", "7, 11, 31 m3"]].concat();
    let told = json_in(&years.path(""), &odds);
    assert!(told["record"]["clopper_pearson_percent"]["high"].is_f64(), "{told}");
    assert!(
        told["made"]["dry_percent"]["interval"]["low"].is_f64()
            && told["longest_spells"][0]["made_days"].is_f64(),
        "{told}"
    );
    let sized = json_in(&years.path(""), &size);
    assert!(sized["tanks"][0]["dry_interval_percent"]["low"].is_f64(), "{sized}");
    // The two commands ask one seed's years.
    assert_eq!(sized["tanks"][1]["dry_percent"], told["made"]["dry_percent"]["value"]);
    // What is called uncertain has a part of its own.
    years
        .write("open.toml", &(years.read("scheme.toml") + "\n[uncertain]\n\"herd.cows.count\" = \"10 %\"\n"));
    let open = json_in(&years.path(""), &["odds", "open.toml", "--made-years", "0", "--drawings", "200"]);
    assert_eq!(open["uncertain"]["owed_to"].as_array().map(Vec::len), Some(3), "{open}");
    let of_years = [(odds[0], told), (size[0], sized), ("odds", open)];
    let of_demo = ASKED.into_iter().map(|args| (args[0], json(args)));
    for (command, answer) in of_demo.chain(of_years) {
        let (args, schema) = (command, schema(command));
        assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
        assert_eq!(Schema::of(schema.clone()).faults_of(&answer), None, "{args:?}");
        let (mut told, mut known) = (BTreeSet::new(), BTreeSet::new());
        names(&answer, &mut told);
        properties(&schema, &mut known);
        let strange: Vec<&String> = told.difference(&known).collect();
        assert!(strange.is_empty(), "{args:?}: {strange:?}");
    }
    let run = json(&["run", "data/demo/scheme.toml"]);
    assert_eq!(Schema::of(schema("run")).faults_of(&run), None);
}

/// A schema that takes anything is none: an answer with one value of another kind, or without one of its names, is refused.
#[test]
fn a_schema_refuses_an_answer_that_is_not_one() {
    for command in ["run", "odds", "size", "compare", "frost", "curve", "ahead", "review"] {
        let args = ASKED.iter().find(|args| args[0] == command);
        let good = json(args.copied().unwrap_or(&["run", "data/demo/scheme.toml"]));
        let schema = Schema::of(schema(command));
        let mut without = good.clone();
        without.as_object_mut().unwrap().remove("schema");
        assert!(schema.faults_of(&without).is_some(), "{command}");
        let mut other = good.clone();
        other["schema"] = Value::Array(Vec::new());
        if command != "run" {
            assert!(schema.faults_of(&other).is_some(), "{command}");
        } else {
            other["shortfall_days"] = "7".into();
            assert!(schema.faults_of(&other).is_some());
        }
    }
}

/// What the description of each property says is there: an empty one would leave a reader with the name alone.
#[test]
fn every_property_says_what_it_means() {
    fn look(schema: &Value, at: &str) {
        match schema {
            Value::Object(table) => {
                if let Some(Value::Object(own)) = table.get("properties") {
                    for (name, property) in own {
                        let told = property["description"].as_str().is_some_and(|text| text.len() > 5);
                        let table = property.get("properties").is_some() || property.get("items").is_some();
                        assert!(told || table || property.get("const").is_some(), "{at}.{name}");
                    }
                }
                table.iter().for_each(|(name, inner)| look(inner, &format!("{at}.{name}")));
            }
            Value::Array(list) => list.iter().for_each(|inner| look(inner, at)),
            _ => {}
        }
    }
    for command in ["run", "odds", "size", "compare", "frost", "curve", "ahead", "review"] {
        look(&schema(command), command);
    }
}

#[test]
fn the_page_stands_beside_a_file_and_gives_way_to_standard_output() {
    let desk = Desk::new();
    for args in [ASKED[4], ASKED[5], ASKED[7]] {
        let plain = run_in(&root(), args);
        let file = desk.path("answer.json");
        let beside = run_in(&root(), &[args, &["--json", file.to_str().unwrap()]].concat());
        assert_eq!((beside.code, &beside.out), (plain.code, &plain.out));
        let written: Value = serde_json::from_str(&desk.read("answer.json")).unwrap();
        assert_eq!(written, json(args));
    }
    let wrong = run_in(&root(), &["curve", "data/demo/scheme.toml", "--json", "curve.txt"]);
    assert_eq!(wrong.code, 2);
    assert!(wrong.err.contains("--json curve.txt") && wrong.err.contains(".json"), "{}", wrong.err);
    let itself = run_in(&root(), &["frost", "data/demo/scheme.toml", "--json", "data/demo/scheme.toml"]);
    assert_eq!(itself.code, 2);
}

/// The numbers of a page are those of its JSON.
#[test]
fn pages_and_json_have_the_same_numbers() {
    // odds: the shares with their intervals as the page rounds them.
    let args = ASKED[0];
    let (page, odds) = (run_in(&root(), args).out, json(args));
    let page = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(page.starts_with(
        odds["answer"].as_str().unwrap().split_whitespace().collect::<Vec<_>>().join(" ").as_str()
    ));
    let made = &odds["made"]["dry_percent"];
    assert!(
        page.contains(&format!("with a day of shortfall: {:.1} %", made["value"].as_f64().unwrap())),
        "{page}"
    );
    assert_eq!(odds["made"]["years"], 50);
    for change in odds["changes"].as_array().unwrap() {
        assert!(page.contains(change["what"].as_str().unwrap()));
    }
    // size: the tank that the answer names.
    let size = json(ASKED[2]);
    let smallest = &size["smallest_tank"];
    assert!(size["answer"].as_str().unwrap().contains(smallest["tank"].as_str().unwrap()));
    let tanks = size["tanks"].as_array().unwrap();
    let at = tanks.iter().position(|tank| tank == smallest).unwrap();
    assert!(tanks[at..].iter().all(|tank| tank["met"] == true) && (at == 0 || tanks[at - 1]["met"] == false));
    assert_eq!(size["all"].as_array().unwrap().len(), tanks.len() * size["arrays"].as_array().unwrap().len());
    let none = json(ASKED[3]);
    assert_eq!((none["met"].clone(), none["smallest_tank"].clone()), (Value::Bool(false), Value::Null));
    // compare: the headlines of each run.
    let compared = json(ASKED[4]);
    for (side, file) in compared["schemes"].as_array().unwrap().iter().zip(&ASKED[4][1..]) {
        let run = json(&["run", file]);
        for (name, value) in side["headlines"].as_object().unwrap() {
            assert_eq!(value, &run[name], "{file} {name}");
        }
        assert_eq!(side["scheme"]["inputs_hash"], run["inputs_hash"]);
    }
    // frost and curve: what the page prints.
    let (page, frost) = (run_in(&root(), ASKED[5]).out, json(ASKED[5]));
    assert!(page.contains(&format!("{:.2} m", frost["depth_m"].as_f64().unwrap())), "{page}");
    let run = json(&["run", "data/demo/scheme.toml"]);
    assert_eq!(frost["shortfall_days"], run["shortfall_days"]);
    let (page, curve) = (run_in(&root(), ASKED[7]).out, json(ASKED[7]));
    let points = curve["points"].as_array().unwrap();
    let most = points.iter().map(|p| p["flow_m3_per_h"].as_f64().unwrap()).fold(0.0, f64::max);
    assert!(most > 0.0 && page.contains(&format!("{:.1}", most * 1000.0 / 60.0)), "{most}: {page}");
}

#[test]
fn columns_are_looked_up_by_word_and_listed_with_their_kind() {
    let all: Value = serde_json::from_str(&run_in(&root(), &["columns", "--json", "-"]).out).unwrap();
    let tables = all["tables"].as_array().unwrap();
    let of = |name: &str| {
        tables.iter().find(|table| table["name"] == name).unwrap()["columns"].as_array().unwrap()
    };
    let column = |table: &str, name: &str| of(table).iter().find(|c| c["name"] == name).unwrap().clone();
    assert_eq!(column("headlines", "shortfall_days")["kind"], "count");
    assert_eq!(column("hours", "stored_m3")["unit"], "m3");
    assert_eq!(column("years", "from")["kind"], "date");
    assert_eq!(column("case", "case_hash")["kind"], "text");
    // Every column of the files of hours and days is there, in order.
    for (option, table) in [("--hourly", "hours"), ("--daily", "days")] {
        let csv = run_in(&root(), &["run", "data/demo/scheme.toml", option, "-"]).out;
        let names: Vec<&str> = of(table).iter().map(|c| c["name"].as_str().unwrap()).collect();
        assert_eq!(csv.lines().next().unwrap(), names.join(","));
    }
    let found = run_in(&root(), &["columns", "haul", "first"]).out;
    assert_eq!(found, "HEADLINES\n  haul_by_day: the first day of that spell\n");
    assert!(run_in(&root(), &["columns", "years"]).out.starts_with("TANK YEARS\n  from: first day"));
    let none = run_in(&root(), &["columns", "shortfal1"]);
    assert_eq!((none.code, none.out.as_str()), (2, ""));
    assert!(none.err.contains("no column has this in its name or meaning"), "{}", none.err);
}
