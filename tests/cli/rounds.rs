//! The shipped herd that goes the rounds: each cause of a dry trough, and one named day of each by hand.

use serde_json::Value;

use crate::program::{Answer, Desk, run_in};
use crate::support::{data, root};

const SCHEME: &str = "data/demo/rounds.toml";

/// The hourly table by column.
struct Hours {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Hours {
    fn column(&self, name: &str) -> Vec<f64> {
        let at = self.head.iter().position(|h| h == name).unwrap_or_else(|| panic!("no column {name}"));
        self.rows.iter().map(|r| if r[at].is_empty() { f64::NAN } else { r[at].parse().unwrap() }).collect()
    }

    /// The 24 values of a date.
    fn day(&self, name: &str, date: &str) -> Vec<f64> {
        let start = self.head.iter().position(|h| h == "start").unwrap();
        let all = self.column(name);
        let day: Vec<f64> =
            all.iter().zip(&self.rows).filter(|(_, r)| r[start].starts_with(date)).map(|(v, _)| *v).collect();
        assert_eq!(day.len(), 24, "{date}");
        day
    }

    fn sum(&self, name: &str, date: &str) -> f64 {
        self.day(name, date).iter().sum()
    }
}

fn run() -> (Answer, Value, Hours) {
    let desk = Desk::new();
    let (json, hourly) = (desk.path("r.json"), desk.path("h.csv"));
    let answer = run_in(
        &root(),
        &["run", "--full", SCHEME, "--json", json.to_str().unwrap(), "--hourly", hourly.to_str().unwrap()],
    );
    assert_eq!((answer.code, answer.err.as_str()), (0, ""));
    let mut reader = csv::Reader::from_path(hourly).unwrap();
    let head = reader.headers().unwrap().iter().map(ToOwned::to_owned).collect();
    let rows = reader.records().map(|r| r.unwrap().iter().map(ToOwned::to_owned).collect()).collect();
    (answer, serde_json::from_str(&desk.read("r.json")).unwrap(), Hours { head, rows })
}

#[test]
fn each_cause_shows_and_one_day_of_each_is_matched_by_hand() {
    let (answer, json, hours) = run();
    let cause = |name: &str| json["short_by_cause_m3"][name].as_f64().unwrap();
    let causes = ["frozen", "pump_too_small", "battery_empty", "tank_empty"].map(cause);
    assert!(causes.iter().all(|c| *c > 0.5), "{causes:?}");
    let short = json["short_m3"].as_f64().unwrap();
    assert!((causes.iter().sum::<f64>() - short).abs() < 1e-9, "causes add up: {causes:?} to {short}");
    for part in [
        "FROM THE TANK TO THE ANIMALS",
        "battery was empty",
        "cannot keep up with the herd",
        "frozen or shut",
    ] {
        assert!(answer.out.contains(part), "no {part:?} in\n{}", answer.out);
    }

    // A cow of 590 kg (1300.7 lb) with 4 kg (8.82 lb) of milk at or below 40 °F, by the table (gal): at 1300 lb 9.2 dry
    // and 12.2 with 10 lb, so 9.2 + 0.882 × 3.0 = 11.85; the 0.7 lb add 0.005. 34 cows, 5 % waste, 3.785 L/gal.
    let winter_day = 34.0 * 1.05 * 11.850 * 3.785_411_784 / 1000.0;

    // 5 November, frozen: the hill's standpipe stands full and frozen, the trough was emptied the day before.
    for (date, left_in_trough) in [("2000-11-04", 0.450), ("2000-11-05", 0.0)] {
        let frozen = hours.sum("short_frozen_m3", date);
        assert!((frozen - (winter_day - left_in_trough)).abs() < 0.001, "{date}: {frozen} v {winter_day}");
        assert!(hours.day("air_degc", date)[6] < 0.0);
    }

    // 9 January, battery: 150 Ah at 24 V are 3600 Wh. At 4 °C 21 × 0.8 % are kept from use, so of the half above the
    // cut-out 83.2 % are left: it drops the pump at 3600 (1 − 0.5 × 0.832) = 2102.4 Wh, until it is 360 Wh above that.
    let stored = hours.day("battery_stored_wh", "2000-01-09");
    assert!(stored.iter().all(|e| *e < 2102.4 + 360.0), "{stored:?}");
    assert!(hours.day("battery_stored_wh", "2000-01-08").iter().any(|e| (e - 2102.4).abs() < 5.0));
    let battery = hours.sum("short_battery_empty_m3", "2000-01-09");
    assert!((battery - winter_day).abs() < 0.001, "{battery} v {winter_day}");

    // 4 July, pump and pipe too small: the moor gets what the switch's cut-in pushes through 1200 m of 16 mm pipe.
    // 160 kPa are 16.315 m; 13 m go up; Hagen and Poiseuille with water of 8 °C, 1.386e-6 m²/s (laminar, Re 1800):
    // Q = 3.315 π g / (128 ν (1200/0.016⁴ + 220/0.0326⁴)).
    let paths = 1200.0 / 0.016_f64.powi(4) + 220.0 / 0.0326_f64.powi(4);
    let by_hand = 3.315 * std::f64::consts::PI * 9.80665 / (128.0 * 1.386e-6 * paths) * 3600.0;
    let paper = run_in(&root(), &["hour", SCHEME, "07-04 12:00"]).out;
    let moor = paper.split("c moor").nth(1).unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
    let flow: f64 = moor.split("what flows: ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!((flow / by_hand - 1.0).abs() < 0.01, "{flow} v {by_hand} m3/h");
    // The trough was empty at midnight, since the day before was short too.
    assert!(hours.sum("short_pump_too_small_m3", "2000-07-03") > 0.0);
    let demand = hours.day("demand_m3", "2000-07-04");
    let mut trough: f64 = 0.0;
    for w in &demand {
        trough = (trough - w + flow).min(0.9);
    }
    let small = hours.sum("short_pump_too_small_m3", "2000-07-04");
    assert!((small + trough).abs() < 0.002, "{small} v {}", -trough);

    // 2 December, tank: it and the trough of 0.7 m³ at the brook hold what they hold, the pump brings what it brings; the deer, a
    // 24th of their day's 4 % of the animals' need in each hour, drink at the tank all they want up to 14 h. In the hour
    // from 14 h the tank runs dry and gives trough and deer the same share of what they could take; nothing comes after it.
    let start = *hours.day("stored_m3", "2000-12-01").last().unwrap();
    let came = hours.sum("available_m3", "2000-12-02");
    let demand = hours.day("demand_m3", "2000-12-02");
    let deer = 0.04 * winter_day / 24.0;
    assert!((hours.day("extra_demand_m3", "2000-12-02")[3] - deer).abs() < 2e-6);
    let at_14 = start + came - demand[..14].iter().sum::<f64>() - 14.0 * deer;
    assert!((hours.day("stored_m3", "2000-12-02")[13] - at_14).abs() < 1e-4, "{at_14}");
    let share = at_14 / (demand[14] + deer);
    let drunk = 0.7 + start + came - 14.0 * deer - share * deer;
    let empty = hours.sum("short_tank_empty_m3", "2000-12-02");
    assert!((empty - (winter_day - drunk)).abs() < 0.001, "{empty} v {}", winter_day - drunk);
    assert!(hours.day("stored_m3", "2000-12-02")[14..].iter().all(|stored| *stored < 1e-5));
}

#[test]
fn gardens_come_after_the_stock_and_leave_the_reserve() {
    let (_, json, hours) = run();
    let (demand, drawn) = (hours.column("garden_demand_m3"), hours.column("garden_drawn_m3"));
    let (thirst, stored) = (hours.column("thirst_m3"), hours.column("stored_m3"));
    for h in 0..8760 {
        assert!(drawn[h] <= demand[h] + 1e-5);
        if thirst[h] > 0.0 {
            assert_eq!(drawn[h], 0.0, "hour {h}");
        }
        if drawn[h] > 0.0 {
            // Evaporation of the same hour comes after the garden: less than 5 L.
            assert!(stored[h] > 3.0 - 0.005, "hour {h}: {}", stored[h]);
        }
    }
    let all: f64 = drawn.iter().sum();
    assert!((json["garden_m3"]["drawn"].as_f64().unwrap() - all).abs() < 1e-6);
    assert!(all > 40.0 && all < demand.iter().sum::<f64>());
}

#[test]
fn frost_and_herd_say_what_they_know() {
    let frost = run_in(&root(), &["frost", SCHEME]);
    assert_eq!((frost.code, frost.err.as_str()), (0, ""));
    for part in [
        "In the design winter given",
        "FREEZING INDEX",
        "modified Berggren",
        "supply_line: buried under 1.60 m of cover: PASSES",
        "drained by hand and shut on 15 Nov to 10 Apr",
        "open water: ice up to",
        "IN THE RUN",
        "not a guarantee",
    ] {
        assert!(frost.out.contains(part), "no {part:?} in\n{}", frost.out);
    }
    // Without a design index no word of pass or fail; without [frost] the winter and the soils all the same.
    let desk = Desk::new();
    std::fs::copy(data("demo").join("weather.csv"), desk.path("weather.csv")).unwrap();
    let text = std::fs::read_to_string(root().join(SCHEME)).unwrap();
    let without: String =
        text.lines().filter(|l| !l.starts_with("design_")).map(|l| format!("{l}\n")).collect();
    desk.write("a.toml", &without);
    let answer = desk.run(&["frost", "a.toml"]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    assert!(answer.out.contains("typical winter, not design"), "{}", answer.out);
    assert!(!answer.out.contains("PASSES") && !answer.out.contains("FAILS"), "{}", answer.out);
    std::fs::copy(data("demo").join("scheme.toml"), desk.path("b.toml")).unwrap();
    let answer = desk.run(&["frost", "b.toml", "--units", "us"]);
    assert!(
        answer.code == 0 && answer.out.contains("says nothing about frost"),
        "{}{}",
        answer.out,
        answer.err
    );

    let herd = run_in(&root(), &["herd"]);
    for class in dryspell::draw::classes::CLASSES {
        assert!(herd.out.contains(class.name), "{}", class.name);
    }
    let text = |s: &str| s.split_whitespace().collect::<Vec<_>>().join(" ");
    for class in dryspell::draw::classes::CLASSES {
        assert!(text(&herd.out).contains(&text(class.source)), "{}", class.source);
    }
    // 8.2 … 15.3 gal: 1300 lb dry at 40 and 90 °F are 9.2 and 14.3; 41 °F is a twenty-fifth of the first step on.
    let cow = run_in(&root(), &["herd", "beef cow", "--units", "us"]);
    assert!(cow.out.contains("9.30"), "{}", cow.out);
    let wrong = run_in(&root(), &["herd", "beef cwo"]);
    assert!(wrong.code == 2 && wrong.err.contains("did you mean \"beef cow\"?"), "{}", wrong.err);
}

#[test]
fn what_is_wrong_between_tank_and_animals_shows_all_at_once() {
    let desk = Desk::new();
    std::fs::copy(data("demo").join("weather.csv"), desk.path("weather.csv")).unwrap();
    let mut text = std::fs::read_to_string(root().join(SCHEME)).unwrap();
    for (from, to) in [
        (
            "[\"moor\", \"06-15 to 09-09\"],\n  [\"hill\", \"09-10",
            "[\"moor\", \"06-15 to 09-20\"],\n  [\"hill\", \"09-10",
        ),
        ("class = \"growing cattle\"", "class = \"growing catle\""),
        ("soil = \"loam\"", "soil = \"loem\""),
        ("cover = \"1.6 m\"\nstops = \"delivery\"", "cover = \"0 m\"\nstops = \"delivery\""),
        ("stops = \"brook\"", "stops = \"brok\""),
        ("shut = \"11-15 to 04-10\"", "shut = \"11-31 to 04-10\""),
        ("hours = [5, 6]", "hours = [5, 26]"),
    ] {
        assert!(text.contains(from), "{from}");
        text = text.replacen(from, to, 1);
    }
    desk.write("scheme.toml", &text);
    let answer = desk.run(&["run", "--full", "scheme.toml"]);
    assert_eq!((answer.code, answer.out.as_str()), (2, ""));
    for part in [
        "herd.cows.at[4]",
        "did you mean \"growing cattle\"?",
        "did you mean \"loam\"?",
        "frost.part.ring.cover",
        "did you mean brook?",
        "frost.part.hill_standpipe.shut",
        "garden.beds.hours",
    ] {
        assert!(answer.err.contains(part), "no {part:?} in\n{}", answer.err);
    }
    assert_eq!(answer.err.lines().count(), 7, "{}", answer.err);

    // What only shows when everything else is sound.
    let original = std::fs::read_to_string(root().join(SCHEME)).unwrap();
    let cases = [
        ("height = \"14 m\"", "height = \"44 m\"", "hydrant.hill.height"),
        ("capacity = \"150 Ah\"", "capacity = \"4 Ah\"", "booster.battery.capacity"),
        ("at = [[\"hill\", \"05-10", "at = [[\"hil\", \"05-10", "did you mean hill?"),
        ("[booster.battery]\n", "[booster.batery]\n", "did you mean battery?"),
    ];
    for (from, to, part) in cases {
        assert!(original.contains(from), "{from}");
        desk.write("scheme.toml", &original.replacen(from, to, 1));
        let answer = desk.run(&["run", "--full", "scheme.toml"]);
        assert!(answer.code == 2 && answer.err.contains(part), "{part}: {}", answer.err);
        assert_eq!(answer.err.lines().count(), 1, "{}", answer.err);
        assert!(answer.err.contains(", line "), "{}", answer.err);
    }
}
