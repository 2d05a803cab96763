//! `dryspell print`: completions, manual pages, the schema.

use dryspell::scheme::keys::KEYS;
use dryspell::units::{Quantity, parse};
use serde_json::{Value, json};

use crate::program::Desk;
use crate::schema::Schema;
use crate::support::root;

/// The commands, as the help lists them.
fn commands(desk: &Desk) -> Vec<String> {
    let help = desk.run(&["--help"]).out;
    let list = help.split_once("Commands:\n").unwrap().1.split_once("\n\n").unwrap().0;
    let names = list.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    names.map(|line| line.split_whitespace().next().unwrap().to_owned()).collect()
}

#[test]
fn completions_and_manual_pages_name_every_command_and_their_options() {
    let desk = Desk::new();
    let commands = commands(&desk);
    assert!(commands.len() > 14, "{commands:?}");
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let text = desk.run(&["print", "completions", shell]).out;
        for command in &commands {
            assert!(text.contains(command.as_str()), "{shell} does not complete {command}");
        }
        for option in ["made-years", "fail-if-short", "letter"] {
            assert!(text.contains(option), "{shell} does not complete {option}");
        }
    }
    let page = desk.run(&["print", "man"]).out;
    assert!(page.contains(".TH dryspell 1"), "{page}");
    for command in commands.iter().filter(|name| *name != "help") {
        assert!(page.contains(&format!("dryspell\\-{command}(1)")), "no {command} in {page}");
        let own = desk.run(&["print", "man", command]);
        assert_eq!(own.code, 0);
        assert!(own.out.contains(&format!(".TH dryspell-{command} 1")), "{}", own.out);
        assert!(own.out.contains(&format!("\\fBdryspell {command}\\fR")), "{}", own.out);
    }
    assert!(desk.run(&["print", "man", "run"]).out.contains("\\-\\-no\\-mends"));
    let unknown = desk.run(&["print", "man", "sumary"]);
    assert_eq!((unknown.code, unknown.out.as_str()), (2, ""));
    assert!(unknown.err.starts_with("dryspell: print man sumary: no command of this name; known: new, run"));
    assert!(unknown.err.ends_with("; did you mean summary?\n"), "{}", unknown.err);
}

/// What is printed is the schema that a library's user gets, and valid by its own draft.
fn printed() -> (Schema, Value) {
    let printed: Value = serde_json::from_str(&Desk::new().run(&["print", "schema"]).out).unwrap();
    assert_eq!(printed, dryspell::scheme::keys::schema());
    assert_eq!(printed["$schema"], "https://json-schema.org/draft/2020-12/schema");
    (Schema::of(printed.clone()), printed)
}

#[test]
fn shipped_schemes_are_valid_by_the_schema() {
    let (schema, _) = printed();
    let mut seen = 0;
    for entry in std::fs::read_dir(root().join("data/demo")).unwrap() {
        let path = entry.unwrap().path();
        let is_scheme = path.extension().is_some_and(|e| e == "toml") && !path.ends_with("climate.toml");
        if is_scheme {
            assert_eq!(schema.faults(&std::fs::read_to_string(&path).unwrap()), None, "{}", path.display());
            seen += 1;
        }
    }
    assert!(seen >= 6, "{seen}");
    assert_eq!(schema.faults(dryspell::scheme::STARTER), None);
}

/// The starter with the first line that begins so in another's place.
fn starter(line: &str, instead: &str) -> String {
    let mut left = Some(instead);
    let mut text = String::new();
    for of_starter in dryspell::scheme::STARTER.lines() {
        let put = if of_starter.starts_with(line) { left.take().unwrap_or(of_starter) } else { of_starter };
        text += put;
        text.push('\n');
    }
    assert!(left.is_none(), "no line {line:?}");
    text
}

/// A line of the starter changed, and where the schema sees it.
#[test]
fn what_the_reader_refuses_at_a_single_key_the_schema_refuses() {
    let (schema, _) = printed();
    for (line, instead, place) in [
        ("capacity = ", "capasity = \"12 m3\"", "capasity"),
        ("units = ", "units = \"metric\"", "/units"),
        ("count = ", "count = -3", "/herd/cows/count"),
        ("count = ", "count = \"forty\"", "/herd/cows/count"),
        ("capacity = ", "capacity = \"12 kg\"", "/tank/main/capacity"),
        ("capacity = ", "capacity = 12", "/tank/main/capacity"),
        ("[tank.main]", "[tank.\"main tank\"]", "main tank"),
        ("material = ", "material = \"glass\"", "/pipe/drop/material"),
        ("series = ", "series = 2.5", "/array/main/series"),
        ("azimuth = ", "azimuth = \"sauth\"", "/array/main/azimuth"),
        ("static_level = ", "static_level = [\"17 m\", \"18 m\"]", "/well/static_level"),
        ("bore = ", "", "bore"),
        ("fittings = ", "fittings = { swing_gate = 1 }", "swing_gate"),
        ("[herd.cows]", "[herd.cows]\npattern = \"three visits\"", "/herd/cows/pattern"),
        ("[herd.cows]", "[herd.cows]\npresent = \"13-01\"", "/herd/cows/present"),
        ("[rules]", "[rules]\ntolerence = \"1 %\"", "tolerence"),
        ("[rules]", "[roules]", "roules"),
    ] {
        let text = starter(line, instead);
        assert!(dryspell::scheme::Scheme::from_toml(&text).is_err(), "the reader takes {instead}");
        let fault = schema.faults(&text).unwrap_or_else(|| panic!("the schema takes {instead}"));
        assert!(fault.contains(place), "{instead}: {fault}");
    }
}

/// What may be written in more than one way may be so by the schema, too.
#[test]
fn what_the_reader_takes_the_schema_takes() {
    let (schema, _) = printed();
    for (line, instead) in [
        ("capacity = ", "capacity = \"3170 US gallons\""),
        ("capacity = ", "capacity = \"12.5m³\""),
        ("tilt = ", "tilt = \"55°\""),
        ("bore = ", "bore = \"1 1/16 in\""),
        ("bore = ", "bore = \"1¼ in\""),
        ("azimuth = ", "azimuth = 180"),
        ("azimuth = ", "azimuth = \"SSW\""),
        ("azimuth = ", "azimuth = \"southwest\""),
        ("azimuth = ", "azimuth = \"180 deg\""),
        ("units = ", "units = \"SI\""),
        ("[rules]", "[rules]\ncarry = \"within_day\"\ntank_year_starts = \"Sep\""),
        ("[rules]", "[rules]\ntank_year_starts = 9"),
        ("isc_temperature = ", "isc_temperature = \"4.6 mA per °C\""),
        ("duty = [", "duty = \"pump.csv\"\ncolumns = ["),
        ("[herd.cows]", "[herd.cows]\npresent = [\"11-01 to 04-30\", \"6-1\"]"),
        (
            "[herd.cows]",
            "[herd.cows]\npattern = [0.5, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0.5]",
        ),
    ] {
        let mut text = starter(line, instead);
        let mut reads = dryspell::scheme::Scheme::from_toml(&text);
        if instead.starts_with("duty") {
            // The rows that stood there go.
            let (before, rest) = text.split_once("columns = [").unwrap();
            text = format!("{before}{}", rest.split_once("\n]").unwrap().1);
            reads = dryspell::scheme::Scheme::from_toml_with(&text, &|_| {
                Ok("head m,power W,flow L/min\n20,60,4\n20,350,30\n40,120,4\n40,350,17.5\n".to_owned())
            });
        }
        assert!(reads.is_ok(), "the reader refuses {instead}: {reads:?}");
        assert_eq!(schema.faults(&text), None, "{instead}");
    }
}

/// The schema of one key.
fn of_key<'s>(schema: &'s Value, section: &str, name: &str) -> &'s Value {
    let mut at = schema;
    for part in section.split('.').filter(|part| !part.is_empty()) {
        at = if part == "*" { &at["additionalProperties"] } else { &at["properties"][part] };
    }
    &at["properties"][name]
}

#[test]
fn every_key_is_in_the_schema_and_its_example_is_valid() {
    let (_, schema) = printed();
    let mut properties = serde_json::Map::new();
    for key in KEYS {
        let one = of_key(&schema, key.section, key.name);
        assert!(one["description"].as_str().is_some_and(|d| d.starts_with(key.meaning)), "{}", key.path());
        properties.insert(key.path(), one.clone());
    }
    let all = Schema::of(json!({ "properties": properties, "$defs": schema["$defs"] }));
    for key in KEYS {
        let example = toml::from_str::<toml::Table>(&format!("it = {}", key.example)).unwrap();
        let one = |value: Value| Value::Object(serde_json::Map::from_iter([(key.path(), value)]));
        assert_eq!(all.faults_of(&one(serde_json::to_value(&example["it"]).unwrap())), None);
        assert!(all.faults_of(&one(json!([[[]]]))).is_some(), "{} takes anything", key.path());
    }
}

/// Each spelling of a unit that is read matches, one of another quantity or none does not.
#[test]
fn patterns_of_quantities_are_those_of_the_reader() {
    let (_, schema) = printed();
    let all = Schema::of(json!({ "properties": schema["$defs"] }));
    for q in Quantity::ALL {
        let name = q.name().split_once(' ').unwrap().1.replace(' ', "_");
        assert!(schema["$defs"][&name]["pattern"].is_string(), "{name}");
        let one = |text: &str| Value::Object(serde_json::Map::from_iter([(name.clone(), json!(text))]));
        for spelling in q.units().iter().flat_map(|u| std::iter::once(&u.symbol).chain(u.also)) {
            let written = [
                format!("12.5 {spelling}"),
                format!(" -3/4{spelling} "),
                format!("2e-3 {}", spelling.to_uppercase()),
                format!("−1 1/2 {}", spelling.replace('2', "²").replace('3', "^3").replace('/', " per ")),
                format!("7 {}", spelling.replace("deg", "°").replace("ohm", "Ω").replace(' ', "·")),
            ];
            for text in written {
                if parse(&text, q).is_ok() {
                    assert_eq!(all.faults_of(&one(&text)), None);
                }
            }
            assert!(parse(&format!("12.5 {spelling}"), q).is_ok());
        }
        for text in ["12", "", "12 furlongs", "twelve m", "1,200 L", "12 m kg"] {
            assert!(parse(text, q).is_err());
            assert!(all.faults_of(&one(text)).is_some(), "{name} takes {text:?}");
        }
    }
}
