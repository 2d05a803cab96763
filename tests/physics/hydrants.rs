//! Behind hydrants: what herds lack by day, and how long water lasts, whatever the delivery does.

use dryspell::calendar::{Calendar, HOURS_PER_DAY};
use dryspell::delivery::{Hydrant, Inputs, Settings as Delivery, delivery};
use dryspell::draw::Carry;
use dryspell::grid;
use dryspell::pipe::{FrictionLaw, Run as Pipe};
use dryspell::record::Record;
use dryspell::reliability::demand::Demand;
use dryspell::reliability::outcome::follow;
use dryspell::reliability::periods::{self, DayFigures, DayState};
use dryspell::results::COLUMNS;
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::{AnswersBy, Run, simulate};
use dryspell::tank::Settings;
use dryspell::tank::ledger::Flows;
use proptest::prelude::*;

use crate::support::data;
use crate::tmy3;

fn record() -> Record {
    tmy3::read(&data("weather/703165TY.csv"))
}

fn run(text: &str) -> Run {
    simulate(&Scheme::from_toml(text).unwrap().plan(), &record()).unwrap()
}

/// A herd that drinks in the evening from a large trough with a thin pipe, by gravity; many head on some dates and few on the
/// next, so that a small day follows on whose hours the trough still fills for a large one.
fn evening_herd() -> String {
    let herd = "count = 20\n\
        counts = [[\"01-01 to 01-04\", 100], [\"01-08 to 01-11\", 90], [\"12-01 to 12-05\", 100], [\"12-20 to 12-24\", 110]]\n\
        at = [[\"hill\", \"01-01 to 12-31\"]]\n\
        pattern = [0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0,0.5,0,0.5,0,0]";
    let hydrant = "\n[hydrant.hill]\nheight = \"-3 m\"\ntrough = \"6 m3\"\n\
        [hydrant.hill.pipe.branch]\nlength = \"1500 m\"\nbore = \"20 mm\"\nmaterial = \"pe\"\n";
    STARTER.replacen("count = 40", herd, 1) + hydrant
}

/// No day lacks more than its demand, less than nothing, or water that no day lacks.
fn days_are_whole(days: &[DayFigures], all_m3: f64) {
    for (i, day) in days.iter().enumerate() {
        assert!(
            (0.0..=day.demand_m3 + 1e-12).contains(&day.short_m3),
            "day {i}: {} m3 short of {} m3",
            day.short_m3,
            day.demand_m3
        );
    }
    let sum: f64 = days.iter().map(|day| day.short_m3).sum();
    // Columns are rounded to the grid one by one.
    assert!((sum - all_m3).abs() < 1e-3, "days lack {sum} m3, the record {all_m3} m3");
}

#[test]
fn no_day_behind_a_hydrant_lacks_more_than_it_wants() {
    let run = run(&evening_herd());
    // On some day the troughs could take more than is drunk on it, and the tank has nothing for them.
    let asked = |day: usize| -> f64 {
        run.flows.requested_m3[day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY].iter().sum()
    };
    assert_eq!(run.answers_by, AnswersBy::March);
    assert!((0..365).any(|day| asked(day) > 1.2 * run.days[day].demand_m3 && run.days[day].shortfall));
    days_are_whole(&run.days, run.short_m3());
    let counts = &run.outcome.counts;
    assert!(counts.worst_day_short <= 1.0 && counts.worst_day_short > 0.9, "{counts:?}");
    let short = COLUMNS.iter().find(|c| c.name == "short_m3").unwrap();
    for day in 0..365 {
        let hours = day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY;
        let sum: f64 = hours
            .map(|h| match (short.get)(&run, h) {
                dryspell::results::Figure::Number(m3) => m3,
                other => panic!("{other:?}"),
            })
            .sum();
        assert!((sum - run.days[day].short_m3).abs() < 1e-5, "day {day}: hours {sum}");
    }
    let short_days = run.days.iter().filter(|day| day.shortfall).count();
    assert_eq!(short_days, counts.shortfall_days as usize);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn every_day_lacks_from_nothing_to_all_that_is_wanted(        heads in prop::collection::vec(prop_oneof![Just(0.0), 0.1..3.0_f64], 365),
        sunny in prop::collection::vec(prop_oneof![Just(0.0), 0.0..6.0_f64], 365),
        evening in 0..24_usize,
        trough_m3 in prop_oneof![Just(0.0), 0.2..6.0_f64],
        length_m in 50.0..3000.0_f64,
        capacity_m3 in 0.5..12.0_f64,
        carries in any::<bool>(),
    ) {
        let calendar = Calendar::year(2001);
        let hours = calendar.hours();
        let at = |hour: usize| -> Vec<f64> {
            (0..hours).map(|h| if h % 24 == hour { heads[h / 24] } else { 0.0 }).collect()
        };
        let (hill, dale) = (at(evening), at(20));
        let hydrant = |name: &str, height_m| Hydrant {
            name: name.into(),
            runs: vec![Pipe { name: "hose".into(), length_m, bore_m: 0.026, roughness_m: 1.5e-6, ..Pipe::default() }],
            height_m,
            pressure_m: 0.0,
            trough_m3,
            walk_m: None,
            open_surface_m2: 0.0,
            overflow_m3_per_h: 0.0,
            tank: None,
        };
        let carry = if carries { Carry::WithinDay } else { Carry::None };
        let settings = Delivery {
            shared: Vec::new(),
            hydrants: vec![hydrant("hill", -2.0), hydrant("dale", -6.0)],
            booster: None,
            friction: FrictionLaw::DarcyWeisbach,
            water_degc: 10.0,
            carry,
            tank: None,
            other_lines: Vec::new(),
        };
        let demand = [hill.as_slice(), dale.as_slice()];        let columns = delivery(&settings, &Inputs {
            calendar: &calendar,
            demand_m3: &demand,            frozen: &[],
            panel_w: &[],
            air_degc: &vec![10.0; hours],
            air_pa: 101_325.0,
        }).unwrap();
        // A third of the herd drinks at the tank.
        let at_tank = at(8);
        let all: Vec<f64> = (0..hours).map(|h| hill[h] + dale[h] + at_tank[h]).collect();
        let all = grid::column_m3(&all);
        let asked: Vec<f64> = at_tank.iter().zip(&columns.requested_m3).map(|(a, b)| a + b).collect();
        let available: Vec<f64> = (0..hours).map(|h| if h % 24 == 12 { sunny[h / 24] } else { 0.0 }).collect();
        let flows = Flows::lossless(&available, &asked);
        let demand = Demand::behind_hydrants(&all, &demand, &columns, 0.01, true);        let tank = Settings { carry, ..Settings::open("main", capacity_m3) };
        let (kept, outcome) = follow(&tank, &flows, &demand, &calendar).unwrap();
        let days = periods::days(&periods::Columns {
            plane_w_per_m2: &vec![0.0; hours],
            flows: &flows,
            demand_m3: &all,
            demand: &demand,
            hours: &kept,
            tolerance: tank.tolerance,
        });
        let way: f64 = columns.short_m3().iter().sum();
        days_are_whole(&days, outcome.ledgers.short_m3 + way);
        prop_assert!(outcome.counts.worst_day_short <= 1.0);
        prop_assert_eq!(outcome.counts.shortfall_days as usize, days.iter().filter(|d| d.shortfall).count());
    }
}

#[test]
fn a_booster_that_fails_makes_no_tank_last_longer() {
    let text = std::fs::read_to_string(data("demo/rounds.toml")).unwrap();
    let sound = run(&text);
    // The same scheme with a battery of a quarter of the size.
    let capacity = text.lines().find(|l| l.starts_with("capacity = ") && l.contains("Ah")).unwrap();
    let weak = run(&text.replace(capacity, "capacity = \"40 Ah\""));
    let battery = |run: &Run| run.delivery.as_ref().unwrap().volumes.short_battery_m3;
    assert!(battery(&weak) > battery(&sound) + 10.0, "{} and {}", battery(&weak), battery(&sound));
    assert_eq!(weak.full_tank, sound.full_tank);
    assert_eq!(weak.storage.storage_m3, sound.storage.storage_m3);
    assert_eq!(weak.storage.critical, sound.storage.critical);
    // What lasts is the lesser of tank and battery.
    let (tank, days) = (weak.full_tank.worst.unwrap(), weak.battery_days().unwrap().worst_days);
    assert!(days < tank);
    assert_eq!(weak.scheme_autonomy_days(), Some(days));
    // The herd is there all year: no month outlasts its stay.
    assert!(!weak.full_tank.outlasts_stay.contains(&true), "{:?}", weak.full_tank);
}

#[test]
fn without_a_booster_the_scheme_lasts_as_long_as_its_tank() {
    let found = run(STARTER);
    assert_eq!(found.scheme_autonomy_days(), found.full_tank.worst);
}

#[test]
fn rule_sheet_days_and_the_full_tank_reckon_to_the_floats_stop() {
    let half = STARTER.replace("float_stop = \"11.5 m3\"", "float_stop = \"6 m3\"");
    assert_ne!(half, STARTER);
    let (float, small) = (run(&half), run(&half.replace("capacity = \"12 m3\"", "capacity = \"6 m3\"")));
    let (daily, _) = float.peak_month;
    assert_eq!(float.rule_sheet_storage_days(), Some(6.0 / daily));
    assert_eq!(float.full_tank, small.full_tank);
    assert_eq!(float.rule_sheet_storage_days(), small.rule_sheet_storage_days());
}

/// Two herds at one tank, the second on other dates or at other hours.
fn two_herds(first: &str, second: &str) -> Run {
    let herds = format!("count = 5\n{first}\n");
    let other = format!("\n[herd.others]\ncount = 5\ndrinks = \"55 L\"\n{second}\n");
    run(&(STARTER.replacen("count = 40", &herds, 1) + &other))
}

#[test]
fn the_time_with_nothing_drawn_is_that_of_one_herd() {
    // One hour a day each, twelve hours apart, from a tank that always has water: each herd waits for 23 hours, though the
    // tank gives something every twelve.
    let at = |hour: usize| {
        let shares: Vec<&str> = (0..24).map(|h| if h == hour { "1" } else { "0" }).collect();
        format!("pattern = [{}]", shares.join(","))
    };
    let found = two_herds(&at(6), &at(18));
    assert_eq!(found.outcome.counts.shortfall_days, 0);
    assert_eq!(found.outcome.counts.longest_nothing_drawn_hours, 23);
    // A herd that comes when the other leaves does not go on with its run.
    let stay = |dates: &str| format!("present = [\"{dates}\"]");
    let dry = |first: &str, second: &str| {
        let herds = format!("count = 2000\n{}\n", stay(first));
        let other = format!("\n[herd.others]\ncount = 2000\ndrinks = \"55 L\"\n{}\n", stay(second));
        run(&(STARTER.replacen("count = 40", &herds, 1) + &other)).outcome.counts
    };
    let (apart, all) = (dry("11-01 to 11-15", "11-16 to 11-30"), dry("11-01 to 11-30", "11-01 to 11-30"));
    assert_eq!(all.stock_days, apart.stock_days);
    assert!(all.longest_dry_hours > 16 * 24, "{all:?}");
    assert!(apart.longest_dry_hours <= 15 * 24, "a chain of two herds: {apart:?}");
}

#[test]
fn a_day_on_which_one_herd_drinks_nothing_is_not_partly_short() {
    // Two hydrants, of which the high one gets nothing at all by gravity.
    let herd = |place: &str| format!("at = [[\"{place}\", \"01-01 to 12-31\"]]");
    let hydrant = |name: &str, height: &str| {
        format!(
            "\n[hydrant.{name}]\nheight = \"{height}\"\n[hydrant.{name}.pipe.branch]\nlength = \"50 m\"\n\
             bore = \"32.6 mm\"\nmaterial = \"pe\"\n"
        )
    };
    let frost = "\n[frost]\nsoil = \"loam\"\nsurface = \"turf\"\n[frost.part.riser]\nlies = \"exposed\"\nbore = \"26 mm\"\n\
                 outside = \"32 mm\"\nempties = \"by hand\"\nshut = \"11-15 to 04-10\"\nstops = \"hill\"\n";
    let other = format!("\n[herd.others]\ncount = 20\ndrinks = \"55 L\"\n{}\n", herd("dale"));
    let text = STARTER.replacen("count = 40", &format!("count = 20\n{}\n", herd("hill")), 1)
        + &other
        + &hydrant("hill", "-4 m")
        + &hydrant("dale", "-4 m")
        + frost;
    let found = run(&text);
    // On Christmas day the hill is shut and the dale drinks.
    let day = &found.days[358];
    assert!(day.shortfall && day.short_m3 < 0.6 * day.demand_m3, "{day:?}");
    assert_eq!(day.state(), DayState::NothingServed);
}
