//! A year that repeats is a ring: no run is cut at the record's end, and no tank year cuts anything but the yearly table.

use dryspell::calendar::Calendar;
use dryspell::delivery::{Columns, HydrantColumns};
use dryspell::edition::Edition;
use dryspell::evaporation::grass_hourly;
use dryspell::record::Record;
use dryspell::reliability::counters::Counts;
use dryspell::reliability::demand::Demand;
use dryspell::reliability::outcome::{Outcome, follow};
use dryspell::results::{Field, HEADLINES, MONTHS, alerts, answer};
use dryspell::scheme::{STARTER, Scheme};
use dryspell::simulate::{Memo, Run, TankResult, at_tank, at_tanks};
use dryspell::tank::Settings;
use dryspell::tank::ledger::Flows;
use dryspell::units::System;
use dryspell::{coupling, pipe, pump, supply, well};
use proptest::prelude::*;
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{RngCore, SeedableRng};

use crate::support::data;
use crate::tmy3;

const HOURS: usize = 8760;

/// A day's water at noon on the days that have any, 1 m³ of demand at 20 h on the days with stock.
fn outcome(served: impl Fn(usize) -> bool, stock: impl Fn(usize) -> bool, month: u8) -> Outcome {
    let hourly = |hour: usize, on: &dyn Fn(usize) -> bool| -> Vec<f64> {
        (0..HOURS).map(|h| if h % 24 == hour && on(h / 24) { 1.0 } else { 0.0 }).collect()
    };
    let flows = Flows::lossless(&hourly(12, &served), &hourly(20, &stock));
    let settings = Settings { year_starts_in_month: Some(month), ..Settings::open("main", 1.0) };
    let demand = Demand::at_tank(&flows.requested_m3);
    follow(&settings, &flows, &demand, &Calendar::year(2001)).unwrap().1
}

#[test]
fn runs_over_the_years_end_are_joined_whatever_the_tank_year() {
    // Short from 22 December to 9 January: 10 days and 9; and 15 days in June.
    let short = |day: usize| !(9..355).contains(&day) || (160..175).contains(&day);
    for month in 1..=12 {
        let found = outcome(|day| !short(day), |_| true, month);
        let c = found.counts;
        assert!(found.settled);
        assert_eq!((c.shortfall_days, c.spells, c.longest_spell_days), (34, 2, 19), "from month {month}");
        // By hand: 19 m3, of which 10 fall to December; from 20 h of 21 December, when the last water is drunk, to noon of
        // 10 January.
        assert_eq!((c.haul_m3, c.haul_by_day), (19.0, Some(355)));
        assert_eq!(c.longest_dry_hours, 19 * 24 + 4 + 12);
        assert_eq!(c.longest_nothing_drawn_hours, 19 * 24 + 3 + 20);
        assert_eq!(found.years.len(), 1);
        assert_eq!(found.years[0].1, c, "the yearly table holds the ring");
    }
}

#[test]
fn of_equal_spells_the_one_that_begins_earliest_in_the_record_is_hauled_for() {
    let short = |day: usize| !(4..360).contains(&day) || (160..169).contains(&day);
    let c = outcome(|day| !short(day), |_| true, 7).counts;
    assert_eq!((c.spells, c.longest_spell_days, c.haul_m3, c.haul_by_day), (2, 9, 9.0, Some(160)));
    assert_eq!(
        (c.worst_day_short, c.worst_day),
        (1.0, Some(0)),
        "all short days are equal: the record's first"
    );
}

#[test]
fn a_year_of_short_days_is_one_spell_and_a_year_of_dry_hours_one_run() {
    let c = outcome(|_| false, |_| true, 4).counts;
    assert_eq!((c.shortfall_days, c.spells, c.longest_spell_days), (365, 1, 365));
    assert_eq!((c.dry_hours, c.longest_dry_hours, c.longest_nothing_drawn_hours), (8760, 8760, 8760));
    assert_eq!((c.haul_m3, c.haul_by_day), (365.0, Some(0)));
    // One day without stock opens the ring: it begins after that day and is not broken at New Year.
    let c = outcome(|_| false, |day| day != 100, 4).counts;
    assert_eq!((c.spells, c.longest_spell_days, c.haul_m3, c.haul_by_day), (1, 364, 364.0, Some(101)));
    assert_eq!((c.longest_dry_hours, c.longest_nothing_drawn_hours), (364 * 24, 364 * 24));
}

#[test]
fn a_year_that_does_not_settle_is_a_line() {
    // The tank loses a cubic metre a year, so that no year repeats in twenty; the way to the only hydrant is shut at both
    // ends of the year.
    let shut = |day: usize| !(9..355).contains(&day);
    let hourly =
        |m3: &dyn Fn(usize, usize) -> f64| -> Vec<f64> { (0..HOURS).map(|h| m3(h / 24, h % 24)).collect() };
    let requested = hourly(&|_, hour| if hour == 20 { 1.0 } else { 0.0 });
    let short = hourly(&|day, hour| if hour == 23 && shut(day) { 1.0 } else { 0.0 });
    let asked = hourly(&|day, hour| if hour == 20 && !shut(day) { 1.0 } else { 0.0 });
    let available = hourly(&|day, hour| if hour == 12 && !shut(day) && day != 100 { 1.0 } else { 0.0 });
    let hydrant = HydrantColumns {
        requested_m3: asked.clone(),
        level_m3: hourly(&|day, hour| if hour >= 20 && shut(day) { -1.0 } else { 0.0 }),
        short_frozen_m3: short.clone(),
        short_too_small_m3: vec![0.0; HOURS],
        short_battery_m3: vec![0.0; HOURS],
        ..HydrantColumns::default()
    };
    let delivery = Columns {
        requested_m3: asked.clone(),
        short_frozen_m3: short,
        short_too_small_m3: vec![0.0; HOURS],
        short_battery_m3: vec![0.0; HOURS],
        hydrants: vec![hydrant],
        ..Columns::default()
    };
    let settings = Settings { year_starts_in_month: Some(7), ..Settings::open("main", 100.0) };
    let demand = Demand::behind_hydrants(&requested, &[&requested], &delivery, settings.tolerance, true);
    let flows = Flows::lossless(&available, &asked);
    let found = follow(&settings, &flows, &demand, &Calendar::year(2001)).unwrap().1;
    assert!(!found.settled && found.passes == Some(20));
    assert_eq!((found.counts.spells, found.counts.longest_spell_days), (2, 10));
    assert_eq!((found.counts.haul_m3, found.counts.haul_by_day), (10.0, Some(355)));
    assert_eq!(found.years[0].1, found.counts);
}

/// The counts of a ring, by walking round it twice from a day that is no day of shortfall.
fn walked(short: &[bool], short_m3: &[f64]) -> (u32, u32, f64) {
    let n = short.len();
    let Some(gap) = short.iter().position(|s| !s) else {
        return (1, n as u32, short_m3.iter().sum());
    };
    let (mut spells, mut longest, mut most, mut days, mut volume) = (0, 0, 0.0_f64, 0, 0.0);
    for day in (gap..gap + n).map(|d| d % n) {
        if short[day] {
            spells += u32::from(days == 0);
            days += 1;
            volume += short_m3[day];
        } else {
            (days, volume) = (0, 0.0);
        }
        longest = longest.max(days);
        most = most.max(volume);
    }
    (spells, longest, most)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_ring_is_the_same_wherever_the_record_begins(
        kinds in prop::collection::vec((0..4_u8, 0.0..1.0_f64), 365),
        runs in 1..30_usize,
        turn in 0..365_usize,
    ) {
        // Runs of days of one kind: no stock, served, half short, all short.
        let kind = |day: usize| kinds[day / runs].0;
        let day_of = |h: usize, by: usize| (h / 24 + by) % 365;
        let counts = |by: usize| -> Counts {
            let requested: Vec<f64> = (0..HOURS)                .map(|h| if h % 6 == 3 && kind(day_of(h, by)) > 0 { 0.25 } else { 0.0 })
                .collect();
            let available: Vec<f64> = (0..HOURS)
                .map(|h| match kind(day_of(h, by)) {
                    1 => requested[h],                    2 if h % 24 == 3 => 0.25 * kinds[day_of(h, by) / runs].1,
                    _ => 0.0,
                })
                .collect();
            let flows = Flows::lossless(&available, &requested);            let settings = Settings::open("main", 1e-6);
            let demand = Demand::at_tank(&flows.requested_m3);
            follow(&settings, &flows, &demand, &Calendar::year(2001)).unwrap().1.counts
        };
        let (here, there) = (counts(0), counts(turn));
        let line = |c: &Counts| {
            (c.stock_days, c.shortfall_days, c.spells, c.longest_spell_days, c.dry_hours, c.longest_dry_hours,
             c.longest_nothing_drawn_hours)
        };
        prop_assert_eq!(line(&here), line(&there));
        // Volumes are rounded to the grid by their running sum: a step an hour.
        prop_assert!((here.haul_m3 - there.haul_m3).abs() < 1e-2);
        let short: Vec<bool> = (0..365).map(|day| kind(day) > 1).collect();
        let short_m3: Vec<f64> = (0..365)
            .map(|day| match kind(day) {
                2 => 1.0 - 0.25 * kinds[day / runs].1,
                3 => 1.0,
                _ => 0.0,
            })
            .collect();
        let (spells, longest, most_m3) = walked(&short, &short_m3);
        if short.contains(&true) {
            prop_assert_eq!((here.spells, here.longest_spell_days), (spells, longest));
        }
        prop_assert!((here.haul_m3 - most_m3).abs() < 1e-2 || here.spells == 0);
    }
}

/// The days of a year begun on another day.
fn begun_on(calendar: &Calendar, first: usize) -> Calendar {
    let mut days = calendar.days().to_vec();
    days.rotate_left(first);
    Calendar::new(days, 0)
}

#[test]
fn a_slow_well_goes_on_over_the_years_end_wherever_it_is_begun() {
    // A wide bore in tight rock: what flows in halves in 0.7 x 7.1 m2 / 0.002 m2/h = 102 days, so that 31 days before the
    // record are not enough to forget the level.
    let row = |head_m, power_w, flow_m3_per_h| pump::DutyPoint { head_m, power_w, flow_m3_per_h };
    let settings = supply::Settings {
        pump: pump::Settings::duty(
            vec![row(10.0, 100.0, 0.1), row(10.0, 200.0, 0.2), row(60.0, 100.0, 0.05), row(60.0, 200.0, 0.1)],
            pump::Start::Zero,
        ),
        coupling: coupling::Settings::tracking(1.0),
        well: well::Settings {
            static_level_m: [20.0; 12],
            specific_capacity_m3_per_h_m: Some(0.002),
            pump_setting_m: Some(58.0),
            cut_out_m: Some(56.0),
            restart: Some(well::Restart::Level(50.0)),
            bore: Some(well::BoreSize { diameter_m: 3.0, pipe_diameter_m: 0.03 }),
            ..Default::default()
        },
        pipe: pipe::Settings { water_degc: 12.0, ..Default::default() },
    };
    let sun = |h: usize, from: usize| {
        let day = (h / 24 + from) % 365;
        if (9..15).contains(&(h % 24)) && day % 9 < 5 { 110.0 + f64::from((day % 80) as u8) } else { 0.0 }
    };
    let made = |from: usize| {
        let power_w: Vec<f64> = (0..HOURS).map(|h| sun(h, from)).collect();
        supply::supply(&settings, &power_w, &begun_on(&Calendar::year(2001), from)).unwrap()
    };
    let here = made(0);
    for from in [1, 90, 200, 364] {
        let mut there = made(from).available_m3;
        there.rotate_right(24 * from);
        let apart = here.available_m3.iter().zip(&there).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        assert!(apart < 1e-7, "begun on day {from}: {apart} m3 in an hour");
    }
    // One hour by itself is that of the year, at its beginning too.
    let system = supply::System::new(&settings).unwrap();
    let power_w: Vec<f64> = (0..HOURS).map(|h| sun(h, 0)).collect();
    for h in [10, 3000] {
        let hour = system.hour_of(&power_w, &Calendar::year(2001), h).unwrap();
        assert_eq!(hour.available_m3, here.available_m3[h]);
    }
}

#[test]
fn the_night_before_the_first_day_has_the_sky_of_the_last_one() {
    let record = tmy3::read(&data("weather/703165TY.csv"));
    let record =
        Record { relative_humidity: Some(vec![0.7; HOURS]), wind_m_per_s: Some(vec![2.0; HOURS]), ..record };
    let here = grass_hourly::column_mm(&record).unwrap();
    for first in [31, 151, 200] {
        // Humidity and wind are the same in all hours.
        let mut turned = Record { calendar: begun_on(&record.calendar, first), ..record.clone() };
        turned.ghi_w_per_m2.rotate_left(24 * first);
        turned.air_degc.rotate_left(24 * first);
        let mut there = grass_hourly::column_mm(&turned).unwrap();
        there.rotate_right(24 * first);
        assert_eq!(here, there, "begun on day {first}");
    }
}

/// All that must not know the month in which the tank year begins.
fn said(run: &Run) -> Vec<String> {
    let month = |field: &Field, m: usize| format!("{} {m}: {:?}", field.name, (field.get)(run, m));
    let mut all = headlines(run);
    all.extend((0..12).flat_map(|m| MONTHS.iter().map(move |field| month(field, m))));
    all.push(answer(run, System::Si));
    all.extend(alerts(run, System::Si).into_iter().map(|alert| alert.text));
    all.extend(run.days.iter().map(|day| format!("{day:?}")));
    all
}

fn headlines(found: &TankResult) -> Vec<String> {
    HEADLINES
        .iter()
        .filter(|field| field.name != "tank_year_starts_in_month")
        .map(|field| format!("{}: {:?}", field.name, (field.get)(found, 0)))
        .collect()
}

#[test]
fn the_month_in_which_the_tank_year_begins_changes_nothing_but_the_yearly_table() {
    let record = Edition::new(tmy3::read(&data("weather/703165TY.csv")));
    let rounds = std::fs::read_to_string(data("demo/rounds.toml")).unwrap();
    let mut random = ChaCha8Rng::seed_from_u64(14);
    let mut between =
        |least: f64, most: f64| least + (most - least) * f64::from(random.next_u32()) / f64::from(u32::MAX);
    let mut memo = Memo::default();
    let mut across = 0;
    for scheme in 0..20 {
        let text = if scheme % 4 == 3 {
            rounds.replace("count = 34", &format!("count = {:.0}", between(10.0, 80.0)))
        } else {
            STARTER.replace("count = 40", &format!("count = {:.0}", between(30.0, 250.0)))
        };
        let plan = Scheme::from_toml(&text).unwrap().plan();
        let upstream = memo.upstream(&plan, &record).unwrap();
        let capacity_m3 = between(1.0, 60.0);
        let float_stop_m3 = (scheme % 3 > 0).then_some(between(0.5, 1.0) * capacity_m3);
        let tank = Settings {
            capacity_m3,
            float_stop_m3,
            float_start_m3: float_stop_m3.filter(|_| scheme % 3 > 1).map(|stop| between(0.3, 1.0) * stop),
            garden_reserve_m3: plan.tank.garden_reserve_m3.min(capacity_m3),
            ..plan.tank.clone()
        };
        let months: Vec<Settings> =
            (1..=12).map(|month| Settings { year_starts_in_month: Some(month), ..tank.clone() }).collect();
        let runs: Vec<Run> = months
            .iter()
            .map(|tank| {
                let mut plan = plan.clone();
                plan.tank = tank.clone();
                at_tank(&upstream, &plan).unwrap()
            })
            .collect();
        let side_by_side = at_tanks(&upstream, &plan, &months);
        for (month, (run, lane)) in (1..=12_u8).zip(runs.iter().zip(side_by_side)) {
            assert_eq!(run.outcome.tank_year_month, month);
            assert_eq!(said(run), said(&runs[0]), "scheme {scheme}, month {month}: {text}");
            assert_eq!(headlines(&lane.unwrap()), headlines(run), "scheme {scheme}, month {month}");
        }
        let days = &runs[0].days;
        across += u32::from(days[0].shortfall && days[364].shortfall);
    }
    // The schemes must be such that the old cut would have shown.
    assert!(across >= 5, "{across} spells over the year's end");
}
