//! How often the stated intervals hold the truth on a synthetic site of 5000 years.
//!
//! The site is the demo's invented climate set south of the equator, so that its winter lies in the middle of the calendar
//! year and a year begins with full tanks. A pump lifts in proportion to the light on the level above a threshold, a herd
//! draws the same every day, and three tanks stand side by side: the interval is tried, not the panels. All the rest is the
//! program's own: the generator's years, the ledger, made years with their light rebuilt, the drawing of records.
//!
//! 5000 years run through the ledger once: `data/reference/calibration_site.csv` holds the days of shortfall of each. What
//! they come to is called the truth (a chance of 0.1 is known to 0.004). Records of 10, 20 and 30 years in a row are cut
//! from them; `calibration_records.csv` holds what the resampling interval said of each, and `calibration.csv` how often each
//! kind of interval held the truth. Seeds were fixed before the first run.
//!
//! The long run writes all three anew:
//! `cargo test -p dryspell-weather --test weather calibration -- --ignored --nocapture`

use std::fmt::Write as _;
use std::sync::atomic::{AtomicUsize, Ordering};

use crate::support::data;
use dryspell::calendar::{Calendar, HOURS_PER_DAY};
use dryspell::record::{Record, YearKind};
use dryspell::reliability::counters::Counters;
use dryspell::reliability::demand::Demand;
use dryspell::reliability::interval::clopper_pearson::clopper_pearson;
use dryspell::reliability::interval::coverage::{Coverage, Method};
use dryspell::reliability::interval::wilson::wilson;
use dryspell::reliability::interval::{Level, Tally};
use dryspell::resample::interval::{COVERAGE_MEASURED, Replicate, of_values};
use dryspell::resample::{Archive, Resampler, Settings};
use dryspell::tank;
use dryspell::tank::ledger::{Flows, Tanks, run};
use dryspell_weather::synth::{Climate, Generator, Method as Synth};
use std::num::NonZeroUsize;

/// Usable volume of each tank, m³; the herd draws [`DRAW_M3_PER_DAY`].
const TANKS_M3: [f64; 3] = [9.0, 12.0, 16.0];
const DRAW_M3_PER_DAY: f64 = 2.0;
/// Light below which nothing is lifted, W/m², and what is lifted for each W/m² above it, m³/h.
const THRESHOLD_W_PER_M2: f64 = 60.0;
const LIFT: f64 = 0.0085;
/// Each seed makes a stretch of its own.
const SEEDS: std::ops::Range<u64> = 501..511;
const YEARS_A_SEED: usize = 500;
/// Years of a record, and how many records the resampling interval is made for.
const RECORDS: [(usize, usize); 3] = [(10, 200), (20, 100), (30, 50)];
const REPLICATES: usize = 200;

fn generator(seed: u64) -> Generator {
    let text = std::fs::read_to_string(data("demo").join("climate.toml")).unwrap();
    let north = Climate::from_toml(&text, "climate.toml").unwrap();
    let half_a_year = |months: [f64; 12]| std::array::from_fn(|m| months[(m + 6) % 12]);
    let mut place = north.place.clone();
    place.latitude_deg = -place.latitude_deg;
    let climate = Climate {
        place,
        global_kwh_per_m2_day: half_a_year(north.global_kwh_per_m2_day),
        air_degc: half_a_year(north.air_degc),
        daily_range_degc: half_a_year(north.daily_range_degc),
        wind_m_per_s: north.wind_m_per_s.map(half_a_year),
    };
    Generator::new(climate, Synth::Free, seed).unwrap()
}

/// Days of shortfall of each calendar year, by tank, from full tanks.
fn short_days(calendar: &Calendar, ghi_w_per_m2: &[f64]) -> Vec<[u32; 3]> {
    let available: Vec<f64> = ghi_w_per_m2.iter().map(|g| LIFT * (g - THRESHOLD_W_PER_M2).max(0.0)).collect();
    // Half at 8 in the morning, half at 17.
    let requested: Vec<f64> = (0..available.len())
        .map(|h| if matches!(h % HOURS_PER_DAY, 8 | 17) { 0.5 * DRAW_M3_PER_DAY } else { 0.0 })
        .collect();
    let flows = Flows::lossless(&available, &requested);
    let demand = Demand::at_tank(&flows.requested_m3);
    let settings = TANKS_M3.map(|c| tank::Settings::open("tank", c));
    let tanks = Tanks::new(settings.each_ref());
    let mut state = tanks.full();
    let days = calendar.days();
    let mut years = Vec::new();
    let mut from = 0;
    while from < days.len() {
        let to = (from..days.len()).find(|d| days[*d].year != days[from].year).unwrap_or(days.len());
        let mut counters = Counters::<3>::new(&demand, 0.01);
        run(&tanks, &flows, from * HOURS_PER_DAY..to * HOURS_PER_DAY, &mut state, &mut counters);
        years.push(counters.counts().map(|c| c.shortfall_days));
        from = to;
    }
    years
}

/// Work for 0 to `count` by two threads, in order.
fn in_order<T: Send>(count: usize, work: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut done = Vec::new();
        loop {
            let i = next.fetch_add(1, Ordering::Relaxed);
            if i >= count {
                return done;
            }
            done.push((i, work(i)));
        }
    };
    let mut all = std::thread::scope(|scope| {
        let other = scope.spawn(worker);
        let mut all = worker();
        all.extend(other.join().unwrap());
        all
    });
    all.sort_by_key(|(i, _)| *i);
    all.into_iter().map(|(_, value)| value).collect()
}

/// The site's years: of each seed the first `years`, running straight through.
fn site_years(seed: u64, years: usize) -> Vec<[u32; 3]> {
    let record = generator(seed).record(years, NonZeroUsize::MIN).unwrap();
    short_days(&record.calendar, &record.ghi_w_per_m2)
}

/// A record of `years` years in a row, called measured: number 0 begins with the site's first year.
fn record(years: usize, number: usize) -> (Record, usize) {
    let a_seed = YEARS_A_SEED / years;
    let (seed, first) = (number / a_seed, years * (number % a_seed));
    let generator = generator(SEEDS.start + seed as u64);
    let mut all = generator.year(first).unwrap();
    let mut days = all.calendar.days().to_vec();
    for year in first + 1..first + years {
        let more = generator.year(year).unwrap();
        days.extend_from_slice(more.calendar.days());
        all.ghi_w_per_m2.extend(more.ghi_w_per_m2);
        all.air_degc.extend(more.air_degc);
        all.dni_w_per_m2.as_mut().unwrap().extend(more.dni_w_per_m2.unwrap());
        all.dhi_w_per_m2.as_mut().unwrap().extend(more.dhi_w_per_m2.unwrap());
        all.wind_m_per_s.as_mut().unwrap().extend(more.wind_m_per_s.unwrap());
    }
    all.calendar = Calendar::new(days, 0);
    all.kind = YearKind::Calendar;
    (all, seed * YEARS_A_SEED + first)
}

/// Mean days of shortfall in a year and share of years with any.
fn statistics(years: &[[u32; 3]], tank: usize) -> [f64; 2] {
    let n = years.len() as f64;
    let days: u32 = years.iter().map(|y| y[tank]).sum();
    let dry = years.iter().filter(|y| y[tank] > 0).count();
    [f64::from(days) / n, dry as f64 / n]
}

/// What the program says of a record: by tank, the intervals of mean days and of the chance of a dry year, each low and
/// high, as text of fixed length.
fn intervals(years: usize, number: usize) -> [[String; 4]; 3] {
    let (record, _) = record(years, number);
    let archive = Archive::of(&record).unwrap();
    let mut values = vec![Vec::new(); 6];
    for drawing in 0..REPLICATES {
        let replicate = Replicate::new(years, 1, drawing);
        let made = Resampler::new(&archive, &replicate.years, Settings::default(), replicate.seed).unwrap();
        let made = made.record(years, NonZeroUsize::MIN).unwrap();
        let found = short_days(&made.calendar, &made.ghi_w_per_m2);
        for tank in 0..3 {
            for (i, value) in statistics(&found, tank).into_iter().enumerate() {
                values[2 * tank + i].push(value);
            }
        }
    }
    std::array::from_fn(|tank| {
        let [days, dry] = [0, 1].map(|i| of_values(&values[2 * tank + i], Level::default()).unwrap());
        [days.low, days.high, dry.low, dry.high].map(|end| format!("{end:.6}"))
    })
}

fn reference(name: &str) -> std::path::PathBuf {
    data("reference").join(name)
}

/// Rows of a table as text, without what begins with `#` and without the head.
fn rows(name: &str) -> Vec<Vec<String>> {
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(reference(name))
        .unwrap()
        .records()
        .map(|r| r.unwrap().iter().map(ToOwned::to_owned).collect())
        .collect()
}

fn site() -> Vec<[u32; 3]> {
    rows("calibration_site.csv").iter().map(|r| std::array::from_fn(|t| r[2 + t].parse().unwrap())).collect()
}

/// How often the binomial intervals of a tank hold the truth over records in a row: found, exact, records.
fn binomial(site: &[[u32; 3]], tank: usize, years: usize, method: Method) -> (f64, f64, usize) {
    let truth = statistics(site, tank)[1];
    let records: Vec<&[[u32; 3]]> =
        site.chunks(YEARS_A_SEED).flat_map(|seed| seed.chunks_exact(years)).collect();
    let held = records
        .iter()
        .filter(|r| {
            let dry = r.iter().filter(|y| y[tank] > 0).count();
            let tally = Tally::new(dry as u32, years as u32).unwrap();
            method(tally, Level::default()).unwrap().holds(truth)
        })
        .count();
    let exact = Coverage::new(method, years as u32, Level::default()).unwrap().at(truth);
    (held as f64 / records.len() as f64, exact, records.len())
}

/// Whether an interval of the table holds a truth.
fn holds(row: &[String], low: usize, truth: f64) -> bool {
    let end = |i: usize| row[i].parse::<f64>().unwrap();
    end(low) <= truth && truth <= end(low + 1)
}

/// The table of how often each interval held the truth, from the two others.
fn table(site: &[[u32; 3]], records: &[Vec<String>]) -> String {
    let mut text = String::from(
        "# source: records in a row from calibration_site.csv, intervals of calibration_records.csv; 95 % stated\n\
         # generator: the long run of tests/weather/calibration.rs; exact: coverage of the binomial interval at the truth\n\
         # tolerance: compared as text; a share found in n records has the standard error sqrt(p (1 - p) / n)\n\
         tank_m3,true_days_a_year,true_dry_year,record_years,records,clopper_pearson_found,clopper_pearson_exact,\
         wilson_found,wilson_exact,records_resampled,resampled_days_found,resampled_dry_year_found\n",
    );
    for (tank, tank_m3) in TANKS_M3.iter().enumerate() {
        let [days, dry] = statistics(site, tank);
        for (years, _) in RECORDS {
            let (clopper, clopper_exact, n) = binomial(site, tank, years, clopper_pearson);
            let (wilson, wilson_exact, _) = binomial(site, tank, years, wilson);
            let own: Vec<&Vec<String>> =
                records.iter().filter(|r| r[0] == years.to_string() && r[2] == tank_m3.to_string()).collect();
            let share = |low: usize, truth: f64| {
                own.iter().filter(|r| holds(r, low, truth)).count() as f64 / own.len() as f64
            };
            writeln!(
                text,
                "{tank_m3},{days:.4},{dry:.4},{years},{n},{clopper:.3},{clopper_exact:.3},{wilson:.3},{wilson_exact:.3},{},\
                 {:.3},{:.3}",
                own.len(),
                share(3, days),
                share(5, dry)
            )
            .unwrap();
        }
    }
    text
}

/// The record of a number among those that the resampling interval is made for: spread evenly over the site.
fn chosen(years: usize, records: usize, i: usize) -> usize {
    let all = (YEARS_A_SEED / years) * (SEEDS.end - SEEDS.start) as usize;
    i * all / records
}

#[test]
#[ignore = "half an hour on two busy cores: writes the tables of calibration anew; see the head of this file"]
fn the_long_run_of_the_synthetic_site() {
    let began = std::time::Instant::now();
    let mut text = String::from(
        "# source: the demo's invented climate south of the equator, 10 seeds of 500 years from the program's own generator\n\
         # generator: the long run of tests/weather/calibration.rs\n\
         # tolerance: none; the same seed gives the same years\n\
         seed,year,short_days_9_m3,short_days_12_m3,short_days_16_m3\n",
    );
    let seeds = in_order(SEEDS.count(), |i| site_years(SEEDS.start + i as u64, YEARS_A_SEED));
    for (seed, years) in SEEDS.zip(&seeds) {
        for (year, [a, b, c]) in years.iter().enumerate() {
            writeln!(text, "{seed},{year},{a},{b},{c}").unwrap();
        }
    }
    std::fs::write(reference("calibration_site.csv"), text).unwrap();
    println!("5000 years: {:?}", began.elapsed());
    let mut text = String::from(
        "# source: records in a row from calibration_site.csv; 200 drawings each, as many made years as the record has\n\
         # generator: the long run of tests/weather/calibration.rs\n\
         # tolerance: none; the same seed gives the same interval\n\
         record_years,record,tank_m3,days_low,days_high,dry_year_low,dry_year_high\n",
    );
    for (years, records) in RECORDS {
        let found = in_order(records, |i| intervals(years, chosen(years, records, i)));
        for (i, tanks) in found.iter().enumerate() {
            for (tank_m3, ends) in TANKS_M3.iter().zip(tanks) {
                let record = chosen(years, records, i);
                writeln!(text, "{years},{record},{tank_m3},{}", ends.join(",")).unwrap();
            }
        }
        println!("{records} records of {years} years: {:?}", began.elapsed());
    }
    std::fs::write(reference("calibration_records.csv"), text).unwrap();
    let text = table(&site(), &rows("calibration_records.csv"));
    println!("{text}");
    std::fs::write(reference("calibration.csv"), text).unwrap();
}

#[test]
fn the_site_and_its_records_are_those_of_the_tables() {
    let site = site();
    assert_eq!(site.len(), 5000);
    // The first years of two seeds, and one record with all its drawings.
    for seed in [SEEDS.start, SEEDS.end - 1] {
        let from = (seed - SEEDS.start) as usize * YEARS_A_SEED;
        assert_eq!(site_years(seed, 60), site[from..from + 60], "seed {seed}");
    }
    let rows = rows("calibration_records.csv");
    assert_eq!(rows.len(), 3 * RECORDS.iter().map(|(_, n)| n).sum::<usize>());
    let (years, records) = RECORDS[0];
    let number = chosen(years, records, 7);
    for (tank, ends) in intervals(years, number).iter().enumerate() {
        let row = &rows[3 * 7 + tank];
        assert_eq!((&row[0], &row[1]), (&years.to_string(), &number.to_string()));
        assert_eq!(row[3..], ends[..], "tank of {} m3", row[2]);
    }
}

#[test]
fn binomial_intervals_hold_the_sites_truth_as_often_as_they_should() {
    let site = site();
    let mut cells = 0;
    for tank in 0..3 {
        for (years, _) in RECORDS {
            for (name, method) in [("Clopper-Pearson", clopper_pearson as Method), ("Wilson", wilson)] {
                let (found, exact, n) = binomial(&site, tank, years, method);
                // The truth itself is found from 5000 years, so near a jump of the exact coverage either side may be
                // right: the exact coverage within two standard errors of the truth bounds it.
                let truth = statistics(&site, tank)[1];
                let coverage = Coverage::new(method, years as u32, Level::default()).unwrap();
                let error = (truth * (1.0 - truth) / 5000.0).sqrt();
                let near: Vec<f64> =
                    (-4..=4).map(|i| coverage.at(truth + 0.5 * f64::from(i) * error)).collect();
                let low = near.iter().copied().fold(exact, f64::min);
                let high = near.iter().copied().fold(exact, f64::max);
                let simulation = |p: f64| 3.0 * (p * (1.0 - p) / n as f64).sqrt() + 0.5 / n as f64;
                assert!(
                    found >= low - simulation(low) && found <= high + simulation(high),
                    "{name}, tank {tank}, {years} years: found {found}, exact {exact} ({low} to {high})"
                );
                if name == "Clopper-Pearson" {
                    assert!(exact >= 0.95, "{exact}");
                }
                cells += 1;
            }
        }
    }
    assert_eq!(cells, 18);
}

#[test]
fn the_tables_of_calibration_agree_with_each_other_and_with_the_label() {
    let text = std::fs::read_to_string(reference("calibration.csv")).unwrap();
    assert_eq!(text, table(&site(), &rows("calibration_records.csv")), "run the long run, or mend the table");
    // What the page quotes.
    let mut seen = 0;
    for row in rows("calibration.csv") {
        let value = |i: usize| row[i].parse::<f64>().unwrap();
        let climate = format!("synthetic site, tank of {}", value(0) / DRAW_M3_PER_DAY);
        let quoted = COVERAGE_MEASURED
            .iter()
            .find(|f| f.climate == climate && f64::from(f.years) == value(3))
            .unwrap_or_else(|| panic!("{climate}, {} years", row[3]));
        assert_eq!(
            (f64::from(quoted.records), quoted.days, quoted.dry_year),
            (value(9), value(10), value(11))
        );
        assert_eq!(quoted.made_years, quoted.years);
        seen += 1;
    }
    assert_eq!(seen, 9);
}
