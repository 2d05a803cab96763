//! One system on a page: no SI in a US report, no US units in an SI report, on every command.

use crate::document;
use crate::program::Desk;
use crate::support::data;

const SCHEMES: [&str; 5] =
    ["scheme.toml", "five_herds.toml", "rounds.toml", "brushed.toml", "three_tanks.toml"];
/// Units of one system alone. What both use (W, V, A, kWh, h, W/m², %/K, kWh/m²) and the gauge of a wire (mm2) stays.
const SI: &[&str] = &[
    "m³", "m3", "L", "m", "kPa", "bar", "°C", "degC", "mm", "cm", "kg", "km", "L/min", "L/h", "L/day", "L/s",
    "m/s", "m³/h", "m3/h", "m²", "m2", "L/min/m", "K", "m³/day", "kg/day",
];
const US: &[&str] = &[
    "gal", "gpm", "gpm/ft", "ft", "psi", "°F", "degF", "lb", "mi", "mph", "ft²", "ft/s", "gal/day", "in",
    "lb/day",
];

/// The demo's schemes with a system.
fn desk(units: &str) -> Desk {
    let desk = Desk::new();
    std::fs::copy(data("demo/weather.csv"), desk.path("weather.csv")).unwrap();
    for name in SCHEMES {
        let text = std::fs::read_to_string(data("demo").join(name)).unwrap();
        let text: String =
            text.lines().filter(|line| !line.starts_with("units")).map(|l| format!("{l}\n")).collect();
        desk.write(name, &format!("units = \"{units}\"\n{text}"));
    }
    desk
}

/// Words that are units of these, each where a number stands before it or where it stands alone in the row of units of a table.
fn leftovers(page: &str, units: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    for line in page.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        for (i, word) in words.iter().enumerate() {
            let bare = word.trim_matches(|c: char| ",;:()[]\"!?".contains(c)).trim_end_matches('.');
            let before = i.checked_sub(1).map(|i| words[i].trim_start_matches(['(', '[', '\"', '<']));
            let measured = before.is_some_and(|w| w.parse::<f64>().is_ok());
            // Two words of a table's row of units, with no words of a sentence among them.
            let heads = words
                .iter()
                .all(|w| units.contains(w) || ["h", "days", "%", "W/m²", "kWh/m²", "W", "-"].contains(w));
            // `3 in a row` is no length.
            let word_in = bare == "in" && (word.starts_with('(') || *word == "in" && i + 1 < words.len());
            if units.contains(&bare) && (measured || heads) && !word_in {
                found.push(line.trim().to_owned());
                break;
            }
        }
    }
    found
}

/// Every page of the program on a scheme, by its command.
fn pages(desk: &Desk, scheme: &str, units: &str) -> Vec<(String, String)> {
    let made = ["--made-years", "4", "--drawings", "0"];
    let [too_small, too_high] = match units {
        "us" => ["tank.main.capacity = -1 gal", "tank.main.inlet_height = 1300 ft"],
        _ => ["tank.main.capacity = -1 m3", "tank.main.inlet_height = 400 m"],
    };
    let commands: Vec<Vec<&str>> = vec![
        vec!["run", scheme],
        vec!["run", "--full", scheme],
        vec!["frost", scheme],
        vec!["curve", scheme],
        vec!["compare", scheme, "scheme.toml"],
        [&["odds", scheme][..], &made].concat(),
        vec!["size", scheme],
        vec!["herd", "--units", units],
        vec!["herd", "growing cattle", "--units", units],
        vec!["weather", "weather.csv", "--units", units],
        vec!["run", scheme, "--set", too_small],
        vec!["run", scheme, "--set", too_high],
    ];
    commands
        .into_iter()
        .map(|args| {
            let answer = desk.run(&args);
            (args.join(" "), answer.out + &answer.err)
        })
        .collect()
}

/// The document without what stands in brackets behind a value: there the other system is meant to stand.
fn document(desk: &Desk, scheme: &str) -> String {
    let answer = desk.run(&["summary", scheme, "-o", "page.html", "--made-years", "0", "--drawings", "0"]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let text = document::plain(&desk.read("page.html"));
    let mut out = String::new();
    let mut depth = 0_u32;
    for c in text.chars() {
        match c {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            c if depth == 0 => out.push(c),
            _ => {}
        }
    }
    // Quoted from the scheme's file, as written.
    let (before, given) = out.split_once("Inputs and their sources").unwrap();
    let (_, after) = given.split_once("From the weather file").unwrap();
    format!("{before}\n{after}").split(['.', ';']).collect::<Vec<_>>().join(".\n")
}

fn is_of_one_system(units: &str, foreign: &[&str]) {
    let desk = desk(units);
    let mut told = Vec::new();
    for scheme in SCHEMES {
        for (command, page) in pages(&desk, scheme, units) {
            assert!(page.lines().count() > 0, "{command}");
            told.extend(leftovers(&page, foreign).into_iter().map(|line| format!("{command}: {line}")));
        }
        let page = document(&desk, scheme);
        told.extend(leftovers(&page, foreign).into_iter().map(|line| format!("summary {scheme}: {line}")));
    }
    told.sort();
    told.dedup();
    assert!(told.is_empty(), "{} leftovers:\n{}", told.len(), told.join("\n"));
}

#[test]
fn a_us_page_has_no_si_unit() {
    is_of_one_system("us", SI);
}

#[test]
fn an_si_page_has_no_us_unit() {
    is_of_one_system("si", US);
}

#[test]
fn the_search_finds_what_it_looks_for() {
    for (line, is_one) in [
        ("the tank's lowest level was 812 L", true),
        ("static level 21 m, inlet 6 m.", true),
        ("  demand  available", false),
        ("  m³  m³  days", true),
        ("fittings K 3.4 in total", false),
        ("30 W/m² and 12 kWh", false),
    ] {
        assert_eq!(leftovers(line, SI).len() == 1, is_one, "{line}");
    }
    assert_eq!(leftovers("bore 1.05 in, 3 in a row", US).len(), 1);
    assert_eq!(leftovers("41 hours in a row, 3 in series", US).len(), 0);
}

#[test]
fn every_step_of_a_us_hour_has_its_us_value() {
    let desk = desk("us");
    for scheme in SCHEMES {
        let page = desk.run(&["hour", scheme, "06-21 12:00"]).out;
        assert!(page.contains("in SI; behind each step stands its value in US units"), "{page}");
        let steps = page.lines().filter(|line| {
            let words: Vec<&str> = line.split_whitespace().collect();
            // A step: symbol, value, unit, name.
            let value = words.iter().skip(1).position(|w| w.parse::<f64>().is_ok());
            line.starts_with("  ")
                && line[2..].starts_with(|c: char| c != ' ')
                && value.is_some_and(|v| {
                    ["m", "m3", "L", "degC", "m3/h", "m/s", "kPa"].contains(words.get(v + 2).unwrap_or(&""))
                })
        });
        let mut n = 0;
        for step in steps {
            n += 1;
            assert!(step.contains(" = "), "{scheme}: {step}");
        }
        assert!(n > 15, "{scheme}: {n}");
    }
}

#[test]
fn hours_and_days_come_in_us_units_where_they_are_asked_for() {
    let desk = desk("us");
    let table = |args: &[&str]| {
        let answer = desk.run(&[&["run", "scheme.toml"], args].concat());
        assert_eq!((answer.code, answer.err.as_str()), (0, ""));
        let mut reader = csv::Reader::from_reader(answer.out.as_bytes());
        let names: Vec<String> = reader.headers().unwrap().iter().map(str::to_owned).collect();
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        (names, rows)
    };
    for option in ["--hourly", "--daily"] {
        let (si, si_rows) = table(&[option, "-"]);
        let (us, us_rows) = table(&[option, "-", "--units", "us"]);
        assert!(
            us.iter().all(|name| !name.contains("_m3") && !name.ends_with("_m") && !name.ends_with("_degc")),
            "{us:?}"
        );
        assert!(
            si.iter()
                .all(|name| !name.contains("_gal") && !name.ends_with("_ft") && !name.ends_with("_degf"))
        );
        let mut changed = 0;
        for (i, (si_name, us_name)) in si.iter().zip(&us).enumerate() {
            for (a, b) in si_rows.iter().zip(&us_rows).step_by(97) {
                if si_name == us_name || a[i].is_empty() {
                    assert_eq!(a[i], b[i], "{si_name}");
                    continue;
                }
                changed += 1;
                let (a, b): (f64, f64) = (a[i].parse().unwrap(), b[i].parse().unwrap());
                let expected = if us_name.ends_with("_degf") {
                    1.8 * a + 32.0
                } else if us_name.contains("_gal") {
                    a / 3.785_411_784e-3
                } else {
                    a / 0.3048
                };
                assert!(
                    (b - expected).abs() <= 1e-9 * expected.abs().max(1.0),
                    "{us_name}: {b} v {expected}"
                );
            }
        }
        assert!(changed > 10, "{option}");
    }
}

#[test]
fn steps_in_gallons_and_a_us_starter() {
    let desk = desk("us");
    let new = desk.run(&["new", "mine.toml", "--units", "us"]);
    assert_eq!((new.code, new.err.as_str()), (0, ""));
    let page = desk.run(&["run", "--full", "mine.toml"]);
    assert_eq!((page.code, leftovers(&page.out, SI)), (0, Vec::new()), "{}{}", page.out, page.err);
    let sweep = desk.run(&[
        "sweep",
        "scheme.toml",
        "--vary",
        "tank.main.capacity = 2000 to 4000 by 500 gal",
        "--out",
        "t.csv",
    ]);
    assert_eq!((sweep.code, leftovers(&sweep.out, SI)), (0, Vec::new()), "{}{}", sweep.out, sweep.err);
    let table = desk.read("t.csv");
    assert_eq!(table.lines().filter(|line| !line.starts_with('#')).count(), 6, "{table}");
    let size = desk.run(&["size", "scheme.toml", "--tank", "1000 to 9000 by 500 gal", "--target", "days=2"]);
    assert_eq!((size.code, leftovers(&size.out, SI)), (0, Vec::new()), "{}{}", size.out, size.err);
    // A range in the unit of the value that broke it, whatever the page.
    let far = self::desk("si").run(&["run", "scheme.toml", "--set", "well.static_level = 9000 ft"]);
    assert!(far.err.contains(" ft") && leftovers(&far.err, SI).is_empty(), "{}", far.err);
}
