//! Odds and sizes: what is said, what is not said, and the same numbers for any number of threads.

use std::process::Command;

use crate::program::{Answer, Desk, run_in};
use crate::support::{data, root};

/// The demo on years that a generator made, called measured for the test alone.
pub fn demo_years(kind: &str, years: &str) -> Desk {
    let desk = Desk::new();
    for name in ["scheme.toml", "climate.toml"] {
        std::fs::copy(data("demo").join(name), desk.path(name)).unwrap();
    }
    let made = desk.run(&["synth", "climate.toml", "--seed", "5", "--years", years, "--to", "weather.csv"]);
    assert_eq!(made.code, 0, "{}", made.err);
    let text = desk.read("scheme.toml").replace("[weather]", &format!("[weather]\nyears = \"{kind}\""));
    desk.write("scheme.toml", &text);
    desk
}

pub fn words(answer: &Answer) -> String {
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    answer.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn many_measured_years_get_intervals_and_a_single_year_gets_none() {
    let desk = demo_years("calendar", "6");
    let text = words(&desk.run(&["odds", "scheme.toml", "--made-years", "30", "--drawings", "200"]));
    for part in [
        "of the record's 5 whole tank years have at least one day of shortfall; as far as they tell, the chance of such a year lies between",
        "Years made from the record put it at about",
        "a year worse than the worst of these: a chance of at most 16.7 %, one in 6,",
        "THE RECORD'S OWN YEARS 5 whole tank years",
        "(Clopper and Pearson;",
        "(Wilson;",
        "standard errors, from the number of years made",
        "interval from the record, 95 %:",
        "covered the true value in",
        "LONGEST SPELL BY RETURN PERIOD",
        "ONE CHANGE AT A TIME",
        "herd: 20 % more head",
        "panels: one module of shed lost",
        "float stuck open",
    ] {
        assert!(text.contains(part), "no {part:?} in\n{text}");
    }
    // 5 years show nothing beyond a return period of 6.
    for row in ["record", "made years"] {
        let cells = text.split("50 years ").nth(1).and_then(|rest| rest.split_once(&format!("{row} ")));
        let cells: Vec<&str> = cells.map_or(Vec::new(), |(_, rest)| rest.split(' ').take(5).collect());
        assert!(
            cells.len() == 5 && cells[1] != "-" && cells[2..] == ["-", "-", "-"],
            "{row}: {cells:?} in\n{text}"
        );
    }

    // A typical year: no interval, and it says so.
    let typical = words(&run_in(&root(), &["odds", "data/demo/scheme.toml", "--made-years", "25"]));
    assert!(typical.contains("cannot be known from this record"), "{typical}");
    // Nor a return period: 25 years shuffled from one hold no rarer year than that one.
    assert!(typical.contains("no return period") && !typical.contains("50 years"), "{typical}");
    assert!(!typical.contains("+- 0.0 %"), "{typical}");
    assert!(!typical.contains("Clopper") && !typical.contains("interval from the record, 95 %"), "{typical}");

    // Years that were made themselves are no evidence: no binomial interval either.
    let synthetic = words(&demo_years("synthetic", "6").run(&["odds", "scheme.toml", "--made-years", "0"]));
    assert!(synthetic.contains("cannot be known from this record"), "{synthetic}");
    assert!(!synthetic.contains("Clopper"), "{synthetic}");
}

#[test]
fn the_same_seed_gives_the_same_page_with_any_number_of_threads() {
    let desk = demo_years("calendar", "6");
    let with = |threads: &str, seed: &str| {
        let output = Command::new(env!("CARGO_BIN_EXE_dryspell"))
            .args(["odds", "scheme.toml", "--made-years", "60", "--drawings", "0", "--seed", seed])
            .env("RAYON_NUM_THREADS", threads)
            .current_dir(desk.path(""))
            .output()
            .unwrap();
        String::from_utf8(output.stdout).unwrap()
    };
    let one = with("1", "7");
    assert!(one.contains("60 tank years from 6 years"), "{one}");
    assert_eq!(one, with("3", "7"));
    assert_ne!(one, with("3", "8"));
}

#[test]
fn sizes_are_searched_over_every_step() {
    let scheme = "data/demo/scheme.toml";
    let base = ["size", scheme, "--array", "array.shed.series = 2, 3, 4"];
    let answer =
        run_in(&root(), &[&base[..], &["--target", "days=0", "--tank", "10 to 24 by 1 m3"]].concat());
    let text = words(&answer);
    // By single runs: 17 m³ are short, 18 and all larger are not (the float keeps its share).
    assert!(text.contains("with the scheme's own array the smallest tank is 18 m3"), "{text}");
    assert!(text.contains("<- smallest") && text.contains("FRONTIER"), "{text}");
    for (litres, short) in [(17.0_f64, true), (18.0, false), (24.0, false)] {
        let desk = Desk::new();
        std::fs::copy(data("demo").join("weather.csv"), desk.path("weather.csv")).unwrap();
        let level = |l: f64| format!("\"{} m3\"", l * (litres / 11.0));
        let text = std::fs::read_to_string(data("demo").join("scheme.toml"))
            .unwrap()
            .replace("capacity = \"11 m3\"", &format!("capacity = \"{litres} m3\""))
            .replace("float_stop = \"10.5 m3\"", &format!("float_stop = {}", level(10.5)))
            .replace("float_start = \"9 m3\"", &format!("float_start = {}", level(9.0)));
        desk.write("s.toml", &text);
        let code = desk.run(&["run", "s.toml", "--fail-if-short"]).code;
        assert_eq!(code == 1, short, "{litres} m3");
    }
    // With prices the cheapest point, and several targets at once.
    let priced = words(&run_in(
        &root(),
        &[
            &base[..],
            &[
                "--target",
                "days=1",
                "--target",
                "autonomy=6",
                "--cost-per-m3",
                "300",
                "--cost-per-module",
                "120",
            ],
        ]
        .concat(),
    ));
    assert!(priced.contains("Cheapest: array.shed.series ="), "{priced}");
}

#[test]
fn the_first_size_tried_is_not_called_the_smallest() {
    let scheme = "data/demo/scheme.toml";
    let size = |array: &str, tank: &str| {
        words(&run_in(&root(), &["size", scheme, "--target", "days=0", "--array", array, "--tank", tank]))
    };
    // 18 m³ would do (see above), but the list begins at 20.
    let text = size("array.shed.series = 2, 3, 4", "20 to 24 by 1 m3");
    for part in [
        "with the scheme's own array the smallest tank tried is 20 m3",
        "Tanks below 20 m3 were not tried and may also do: start lower with --tank.",
        "<- smallest tried",
        "tanks below 20 m3 were not tried; start lower with --tank to see how they do",
    ] {
        assert!(text.contains(part), "no {part:?} in\n{text}");
    }
    assert!(!text.contains("Arrays below"), "4 in series are the third of those tried: {text}");
    let text = size("array.shed.series = 5, 6", "10 to 24 by 1 m3");
    assert!(text.contains("the smallest array tried has array.shed.series = 5"), "{text}");
    assert!(text.contains("Arrays below array.shed.series = 5 were not tried"), "{text}");
    // A count of 1 has nothing below it; a tank that was tried and fails, neither.
    let roomy = words(&run_in(
        &root(),
        &[
            "size",
            "data/demo/roomy.toml",
            "--target",
            "days=0",
            "--array",
            "array.shed.parallel = 1, 2",
            "--tank",
            "4 to 24 by 1 m3",
        ],
    ));
    assert!(roomy.contains("the smallest array has array.shed.parallel = 1."), "{roomy}");
    assert!(!roomy.contains("not tried"), "{roomy}");
}

#[test]
fn a_target_that_no_size_meets_ends_with_1_and_says_what_limits() {
    // Sixty times the herd: the well cannot.
    let desk = Desk::new();
    std::fs::copy(data("demo").join("weather.csv"), desk.path("weather.csv")).unwrap();
    let text = std::fs::read_to_string(data("demo").join("scheme.toml")).unwrap();
    desk.write("s.toml", &text.replace("count = 46", "count = 2760"));
    let answer = desk.run(&["size", "s.toml", "--target", "days=0", "--tank", "10 to 30 by 10 m3"]);
    assert_eq!(answer.code, 1, "{}", answer.err);
    let text = answer.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("No size tried meets the target"), "{text}");
    assert!(text.contains("supply is below the draw"), "{text}");
    // Behind hydrants: what no tank mends is named.
    let answer = run_in(
        &root(),
        &[
            "size",
            "data/demo/rounds.toml",
            "--target",
            "days=0",
            "--tank",
            "6 to 18 by 6 m3",
            "--array",
            "array.shed.parallel = 1, 2",
        ],
    );
    assert_eq!(answer.code, 1, "{}", answer.err);
    assert!(answer.out.contains("between tank and"), "{}", answer.out);
}

#[test]
fn what_cannot_be_asked_is_refused_in_a_line() {
    let refused = |args: &[&str], part: &str| {
        let answer = run_in(&root(), args);
        assert!(answer.code == 2 && answer.err.contains(part), "{part}: {}{}", answer.out, answer.err);
        assert!(answer.err.lines().all(|l| l.matches("; ").count() >= 2), "{}", answer.err);
    };
    let scheme = "data/demo/scheme.toml";
    refused(&["size", scheme, "--target", "day=0"], "--target day=0: not a target");
    refused(
        &["size", scheme, "--target", "dry-years=5"],
        "cannot be known from this record, which has one whole year",
    );
    refused(&["size", scheme, "--target", "days=0", "--tank", "10 to 5 by 1 m3"], "no step of 1");
    refused(&["size", scheme, "--target", "days=0", "--tank", "10, 5 m3"], "--tank: 10 m3 comes before 5 m3");
    refused(
        &["size", scheme, "--target", "days=0", "--array", "array.shed.series = 3, 2"],
        "--array: 3 comes before 2",
    );
    refused(
        &["size", scheme, "--target", "days=0", "--array", "rules.tank_year_starts = may, june"],
        "--array",
    );
    refused(&["odds", scheme, "--drawings", "50"], "--drawings 50");
    refused(&["odds", scheme, "--block-days", "0.5"], "--block-days");
    refused(&["size", scheme, "--target", "days=0", "--drawings", "50"], "--drawings 50");
}
