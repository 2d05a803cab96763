//! What the report of `dryspell run` says, and how it words it.

use crate::program::{Desk, starter};

const WEATHER: &str = "723170TYA.CSV";

/// Cows that move from the hill to the home paddock, fewer in March, with a tenth spilled; deer; a garden.
#[test]
fn a_herd_that_moves_and_a_garden_are_in_the_report_and_the_hours() {
    let demo = crate::support::data("demo");
    let desk = Desk::new();
    std::fs::copy(demo.join("weather.csv"), desk.path("weather.csv")).unwrap();
    let scheme = std::fs::read_to_string(demo.join("scheme.toml")).unwrap();
    let moved = scheme.replace(
        "present = [\"10-20 to 05-05\"]",
        "at = [[\"hill\", \"10-20 to 03-15\"], [\"home\", \"03-16 to 05-05\"]]\n\
         counts = [[\"03-01 to 03-31\", 20]]\nwaste = \"10 %\"",
    );
    let more = "\n[extra.deer]\nshare_of_herd = \"5 %\"\n\n[garden.beds]\narea = \"100 m2\"\ncrop = \"potato\"\n\
                planted = \"05-10\"\nhours = [6]\n";
    desk.write("scheme.toml", &format!("{moved}{more}"));
    let answer = desk.run(&["run", "--full", "scheme.toml", "--hourly", "h.csv"]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    // Long lines are folded.
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    for line in [
        "draw cows: 46 (20 on 1 Mar to 31 Mar) x beef cow of 590 kg, dry, drinking by the day's temperature, 10 % more \
         for waste; hill 20 Oct to 15 Mar, home 16 Mar to 5 May",
        "draw deer: 1 x 5 % of the animals' need",
        "garden beds: 100 m², evapotranspiration by hargreaves, 90 % of the water reaching the roots",
        "gardens requested ",
        "garden beds: the record lacks humidity or wind, so evapotranspiration is by Hargreaves in place of \
         penman-monteith",
    ] {
        assert!(words(&answer.out).contains(&words(line)), "{line}\n{}", answer.out);
    }
    let hours = desk.read("h.csv");
    let mut rows = csv::Reader::from_reader(hours.as_bytes());
    let at = rows.headers().unwrap().iter().position(|n| n == "garden_demand_m3").unwrap();
    let demand: Vec<f64> = rows.records().map(|r| r.unwrap()[at].parse().unwrap()).collect();
    assert!(demand.iter().sum::<f64>() > 10.0);
    assert!(demand.iter().enumerate().all(|(h, w)| h % 24 == 6 || *w <= 0.0));
}

/// The lines of a report's scheme, each with those that go on with it.
fn scheme_lines(out: &str) -> Vec<String> {
    let part = out.split("SCHEME ").nth(1).unwrap().split("\n\n").next().unwrap();
    let mut lines: Vec<String> = Vec::new();
    for line in part.lines().skip(1) {
        match lines.last_mut() {
            Some(last) if line.starts_with("      ") => *last += &format!(" {}", line.trim()),
            _ => lines.push(line.trim().to_owned()),
        }
    }
    lines
}

#[test]
fn a_line_has_one_unit_of_a_quantity() {
    let desk = Desk::with(&starter(&[]), WEATHER);
    let root = crate::support::root();
    let out = crate::program::run_in(&root, &["run", "--full", "data/demo/scheme.toml"]).out;
    let lines = scheme_lines(&out);
    assert!(
        lines.contains(
            &"tank     main: 11 m³ usable; float stops the pump at 10.5 m³ and lets it start again at 9 m³"
                .to_owned()
        ),
        "{lines:?}"
    );
    // A tank on either side of where litres become cubic metres, and flows on either side of 6 m³/h.
    for args in [vec!["run", "--full", "scheme.toml"], vec!["run", "--full", "scheme.toml", "--units", "us"]]
    {
        for line in scheme_lines(&desk.run(&args).out) {
            let words: Vec<&str> = line.split([' ', ';', ',']).collect();
            for pair in [["L", "m³"], ["L/min", "m³/h"], ["m", "km"], ["ft", "mi"], ["W", "kW"]] {
                assert!(!pair.iter().all(|unit| words.contains(unit)), "{pair:?} in {line}");
            }
        }
    }
    // The conversion to feet makes no digits, and what was written in feet stands as written.
    let us = crate::program::run_in(&root, &["run", "--full", "data/demo/scheme.toml", "--units", "us"]).out;
    let lines = scheme_lines(&us).join("\n");
    for part in [
        "head 65.6 ft to 164 ft",
        "0.66 gpm to 7.4 gpm",
        "62.3 ft to 75.5 ft by month",
        "459 ft of 1.283 in bore",
    ] {
        assert!(lines.contains(part), "no {part:?} in\n{lines}");
    }
    desk.write("scheme.toml", &starter(&[("static_level", "static_level = \"62.34 ft\"")]));
    let written = scheme_lines(&desk.run(&["run", "--full", "scheme.toml", "--units", "us"]).out).join("\n");
    assert!(written.contains("static level 62.34 ft;"), "{written}");
}

/// The demo in a folder of its own, with lines replaced.
fn demo(changes: &[(&str, &str)]) -> Desk {
    let desk = Desk::new();
    let folder = crate::support::root().join("data/demo");
    std::fs::copy(folder.join("weather.csv"), desk.path("weather.csv")).unwrap();
    let mut text = std::fs::read_to_string(folder.join("scheme.toml")).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "no {from:?} in the demo");
        text = text.replacen(from, to, 1);
    }
    desk.write("scheme.toml", &text);
    desk
}

#[test]
fn one_of_a_thing_is_no_plural() {
    let mut all = String::new();
    for count in ["36", "40"] {
        let out =
            demo(&[("count = 46", &format!("count = {count}"))]).run(&["run", "--full", "scheme.toml"]).out;
        // The report proper: defaults and notes quote what others wrote.
        all += out.split("ASSUMPTIONS").next().unwrap();
    }
    assert!(all.contains("longest 1 day\n") && all.contains("longest 0 days\n"), "{all}");
    let words: Vec<&str> = all.split_whitespace().collect();
    for pair in words.windows(2).filter(|pair| pair[0] == "1") {
        assert!(!pair[1].trim_end_matches([',', ';', '.', ':']).ends_with('s'), "{pair:?} in\n{all}");
    }
}

#[test]
fn a_dash_under_the_full_tank_is_explained_where_it_stands() {
    let note = "no start hour in that month has draw in the next 24 h";
    let dashes = |out: &str| {
        let months =
            out.split("THE YEAR BY MONTH").nth(1).unwrap().split("TANK LEVEL").next().unwrap().to_owned();
        (months.lines().filter(|l| l.ends_with(" -")).count(), months.contains(note))
    };
    assert_eq!(dashes(&demo(&[]).run(&["run", "--full", "scheme.toml"]).out), (4, true));
    let all_year = Desk::with(&starter(&[]), WEATHER).run(&["run", "--full", "scheme.toml"]).out;
    assert_eq!(dashes(&all_year), (0, false), "{all_year}");
}

#[test]
fn the_report_says_how_the_table_is_read_and_what_the_friction_rests_on() {
    let out = demo(&[]).run(&["run", "--full", "scheme.toml"]).out;
    let flat: String = out.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "friction by Darcy-Weisbach, water at ",
        " mm²/s); drop: roughness ",
        "; buried: roughness ",
        ", fittings K 2.90 in total; exit loss K 1 at the outlet",
        "flow is interpolated in power by a monotone cubic",
        "at each head of the table",
    ] {
        assert!(flat.contains(part), "no {part:?} in\n{out}");
    }
    // Tables of water have 1.306 mm²/s at 10 °C.
    let ten = demo(&[("water_temperature = \"8 degC\"", "water_temperature = \"10 degC\"")]);
    let text = ten.run(&["run", "--full", "scheme.toml"]);
    assert!(text.out.contains("water at 10 °C (viscosity 1.306 mm²/s)"), "{}{}", text.out, text.err);
    let printed = demo(&[("[well]", "[rules]\npipe_friction = \"hazen-williams\"\n\n[well]")]);
    let text = printed.run(&["run", "--full", "scheme.toml"]);
    assert!(text.out.contains("friction by Hazen-Williams; drop: C "), "{}{}", text.out, text.err);
}

/// The first screen has the answer, the margin, why, and what mends it, in about forty lines; `--full` has all of it and all the rest.
#[test]
fn the_first_screen_says_what_matters_and_the_whole_report_has_all_of_it() {
    let desk = demo(&[]);
    let first = desk.run(&["run", "scheme.toml"]).out;
    assert!(first.lines().count() <= 50, "{}", first.lines().count());
    let titles = ["MARGIN", "TANK LEVEL", "WHY IT GOES SHORT", "WHAT MENDS IT"];
    let places: Vec<usize> = titles.iter().map(|title| first.find(title).unwrap()).collect();
    assert!(places.is_sorted(), "{places:?}");
    let full = desk.run(&["run", "--full", "scheme.toml"]).out;
    let end = first.find("\nThe whole report:").unwrap();
    assert!(full.starts_with(&first[..end]), "{full}");
    assert!(full.contains("\nRELIABILITY\n") && full.contains("\nCAUTIONS\n"));
    // Without the tries: the same but for them.
    let quick = desk.run(&["run", "--no-mends", "scheme.toml"]).out;
    assert!(!quick.contains("WHAT MENDS IT") && quick.starts_with(&first[..places[3] - 1]));
    // A herd that has its water needs no mending, and is told what came nearest.
    let wet = demo(&[("count = 46", "count = 4")]).run(&["run", "scheme.toml"]).out;
    assert!(wet.contains("NEAREST TO SHORT") && !wet.contains("WHAT MENDS IT"), "{wet}");
}
