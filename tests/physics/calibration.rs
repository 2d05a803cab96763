//! How often the stated intervals hold the truth, on climates whose truth is known exactly.
//!
//! A climate is a chain: weather of a day (independent draws, or good and bad days that tend to last), and a tank of so
//! many whole units that gives 3 a day. Day share short, mean days of shortfall in a year and the chance of a year with
//! any follow from the chain's stationary law by arithmetic; the day share is compared with values worked out
//! independently (linear algebra in Python). Sources of the laws as in `stationary.rs`. Seeds were fixed before the first
//! run.
//!
//! The long table (a quarter of an hour on two cores):
//! `cargo test --release -p dryspell --test physics calibration -- --ignored --nocapture`

use dryspell::reliability::interval::clopper_pearson::clopper_pearson;
use dryspell::reliability::interval::coverage::{Coverage, Method};
use dryspell::reliability::interval::wilson::wilson;
use dryspell::reliability::interval::{Interval, Level, Tally};
use dryspell::resample::blocks::{MEAN_BLOCK_DAYS, stationary};
use dryspell::resample::interval::{COVERAGE_MEASURED, HitRate, Replicate, by_resampling, of_values};
use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{RngCore, SeedableRng};
use std::num::NonZeroUsize;

const DAYS: usize = 365;
const DEMAND: i32 = 3;
const YEARS: [usize; 3] = [10, 20, 30];
const TWO: NonZeroUsize = NonZeroUsize::new(2).unwrap();
/// Replicates of an interval.
const REPLICATES: usize = 200;

/// A climate and a tank: inflow by state of the weather, chances from state to state, capacity.
struct Climate {
    name: &'static str,
    inflow: Vec<i32>,
    chances: Vec<Vec<f64>>,
    capacity: i32,
    /// Share of days short, worked out independently; `None` for a tank outside that table.
    day_share: Option<f64>,
}

fn independent(name: &'static str, p: [f64; 4], tank_days: i32, day_share: f64) -> Climate {
    Climate {
        name,
        inflow: vec![0, 2, 4, 6],
        chances: vec![p.to_vec(); 4],
        capacity: 3 * tank_days,
        day_share: Some(day_share),
    }
}

fn lasting(name: &'static str, good: f64, bad: f64, capacity: i32, day_share: Option<f64>) -> Climate {
    Climate {
        name,
        inflow: vec![5, 1],
        chances: vec![vec![good, 1.0 - good], vec![1.0 - bad, bad]],
        capacity,
        day_share,
    }
}

/// The chain's answers.
struct Truth {
    /// Stationary chance of each state: weather times level.
    stationary: Vec<f64>,
    day_share: f64,
    days_a_year: f64,
    /// Chance of a year with at least one day of shortfall, from a stationary start.
    dry_year: f64,
}

impl Climate {
    fn levels(&self) -> usize {
        self.capacity as usize + 1
    }

    /// As the program chooses it (`resample::block_length`): twice the full tank, at least 15 days. These climates are
    /// remembered for less.
    fn mean_block_days(&self) -> f64 {
        (2.0 * f64::from(self.capacity) / f64::from(DEMAND)).ceil().max(MEAN_BLOCK_DAYS)
    }

    /// One day from a distribution over weather and level: the distribution after it, and the share short. Where
    /// `survive`, what was short is dropped.
    fn step(&self, now: &[f64], survive: bool) -> (Vec<f64>, f64) {
        let levels = self.levels();
        let mut next = vec![0.0; now.len()];
        let mut short = 0.0;
        for (weather, row) in self.chances.iter().enumerate() {
            for level in 0..levels {
                let here = now[weather * levels + level];
                for (to, chance) in row.iter().enumerate() {
                    let x = level as i32 + self.inflow[to] - DEMAND;
                    if x < 0 {
                        short += here * chance;
                        if survive {
                            continue;
                        }
                    }
                    next[to * levels + x.clamp(0, self.capacity) as usize] += here * chance;
                }
            }
        }
        (next, short)
    }

    fn truth(&self) -> Truth {
        let states = self.inflow.len() * self.levels();
        let mut stationary = vec![1.0 / states as f64; states];
        let mut day_share = 0.0;
        for _ in 0..20_000 {
            let (next, short) = self.step(&stationary, false);
            day_share = short;
            let moved: f64 = next.iter().zip(&stationary).map(|(a, b)| (a - b).abs()).sum();
            stationary = next;
            if moved < 1e-15 {
                break;
            }
        }
        let mut alive = stationary.clone();
        for _ in 0..DAYS {
            alive = self.step(&alive, true).0;
        }
        Truth {
            stationary,
            day_share,
            days_a_year: 365.0 * day_share,
            dry_year: 1.0 - alive.iter().sum::<f64>(),
        }
    }

    /// Weather of so many days and the level before them, from a stationary start.
    fn weather(&self, truth: &Truth, days: usize, rng: &mut ChaCha8Rng) -> (Vec<i32>, i32) {
        let mut u = uniform(rng);
        let start = truth
            .stationary
            .iter()
            .position(|p| {
                u -= p;
                u < 0.0
            })
            .unwrap_or(0);
        let (mut state, level) = (start / self.levels(), start % self.levels());
        let inflow = (0..days)
            .map(|_| {
                let mut u = uniform(rng);
                state = self.chances[state]
                    .iter()
                    .position(|p| {
                        u -= p;
                        u < 0.0
                    })
                    .unwrap_or(self.inflow.len() - 1);
                self.inflow[state]
            })
            .collect();
        (inflow, level as i32)
    }

    /// Days short in each year.
    fn short_days(&self, inflow: impl Iterator<Item = i32>, level: i32) -> Vec<u32> {
        let mut level = level;
        let mut years = Vec::new();
        for (day, inflow) in inflow.enumerate() {
            if day % DAYS == 0 {
                years.push(0);
            }
            let x = level + inflow - DEMAND;
            *years.last_mut().unwrap() += u32::from(x < 0);
            level = x.clamp(0, self.capacity);
        }
        years
    }
}

fn uniform(rng: &mut ChaCha8Rng) -> f64 {
    (rng.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
}

fn climates() -> [Climate; 5] {
    [
        independent("independent days, tank of 5", [0.1, 0.3, 0.3, 0.3], 5, 0.002_078_33),
        independent("independent days, tank of 8", [0.1, 0.3, 0.3, 0.3], 8, 0.000_128_75),
        lasting("lasting weather (0.25), tank of 5.3", 0.7, 0.55, 16, Some(0.021_443_13)),
        lasting("lasting weather (0.25), tank of 13", 0.7, 0.55, 40, None),
        lasting("lasting weather (0.5), tank of 20", 0.8, 0.7, 60, None),
    ]
}

#[test]
fn the_chains_agree_with_values_worked_out_independently() {
    let mut seen = 0;
    let more = [
        lasting("", 0.6, 0.4, 10, Some(0.019_248_12)),
        lasting("", 0.8, 0.7, 10, Some(0.103_923_33)),
        independent("", [0.2, 0.3, 0.3, 0.2], 3, 0.109_034_89),
    ];
    for climate in climates().iter().chain(&more) {
        let truth = climate.truth();
        if let Some(known) = climate.day_share {
            assert!((truth.day_share - known).abs() < 6e-9, "{}: {} {known}", climate.name, truth.day_share);
            seen += 1;
        }
        // A dry year has at least one day, and no year is dry more often than its days are short.
        assert!(truth.dry_year <= truth.days_a_year && truth.dry_year > 0.0);
    }
    assert_eq!(seen, 6);
}

/// Coverage found and its standard error where the exact one is `exact`.
fn within(found: f64, exact: f64, trials: f64) -> bool {
    (found - exact).abs() <= 3.0 * (exact * (1.0 - exact) / trials).sqrt() + 0.5 / trials
}

#[test]
fn binomial_intervals_hold_the_truth_as_often_as_their_exact_coverage_says() {
    const TRIALS: usize = 2000;
    let level = Level::default();
    for (seed, climate) in (41..).zip(climates()) {
        let truth = climate.truth();
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        for years in YEARS {
            let methods: [(&str, Method); 2] = [("Clopper-Pearson", clopper_pearson), ("Wilson", wilson)];
            let mut held = [0_u32; 2];
            for _ in 0..TRIALS {
                // Each year begins anew from the stationary law, so that years are independent, as the law supposes.
                let dry = (0..years)
                    .filter(|_| {
                        let (inflow, start) = climate.weather(&truth, DAYS, &mut rng);
                        climate.short_days(inflow.into_iter(), start)[0] > 0
                    })
                    .count();
                let tally = Tally::new(dry as u32, years as u32).unwrap();
                for ((_, method), held) in methods.iter().zip(&mut held) {
                    *held += u32::from(method(tally, level).unwrap().holds(truth.dry_year));
                }
            }
            for ((name, method), held) in methods.into_iter().zip(held) {
                let found = f64::from(held) / TRIALS as f64;
                let exact = Coverage::new(method, years as u32, level).unwrap().at(truth.dry_year);
                println!(
                    "{}, chance {:.4}, {years} years, {name}: found {found:.4}, exact {exact:.4}",
                    climate.name, truth.dry_year
                );
                assert!(
                    within(found, exact, TRIALS as f64),
                    "{} {years} {name}: {found} {exact}",
                    climate.name
                );
                if name == "Clopper-Pearson" {
                    assert!(exact >= 0.95);
                }
            }
        }
    }
}

/// Statistics of years: mean days short, share of years with any.
fn statistics(years: &[u32]) -> [f64; 2] {
    let n = years.len() as f64;
    [years.iter().sum::<u32>() as f64 / n, years.iter().filter(|d| **d > 0).count() as f64 / n]
}

/// What a replicate gives: the drawn years put in a ring, blocks of days from it, the tank from full.
fn made_years(climate: &Climate, inflow: &[i32], made: usize, replicate: &Replicate) -> Vec<u32> {
    let ring: Vec<i32> =
        replicate.years.iter().flat_map(|y| &inflow[y * DAYS..(y + 1) * DAYS]).copied().collect();
    let days = stationary(ring.len(), made * DAYS, climate.mean_block_days(), replicate.seed, 0).unwrap();
    climate.short_days(days.into_iter().map(|d| ring[d]), climate.capacity)
}

/// Intervals from one record: mean days and chance of a dry year from made years, then both from whole years alone.
fn intervals(climate: &Climate, inflow: &[i32], level_before: i32, made: usize, seed: u64) -> [Interval; 4] {
    let yearly = climate.short_days(inflow.iter().copied(), level_before);
    let mut values = vec![Vec::new(); 4];
    for number in 0..REPLICATES {
        let replicate = Replicate::new(yearly.len(), seed, number);
        let drawn: Vec<u32> = replicate.years.iter().map(|y| yearly[*y]).collect();
        let found = [statistics(&made_years(climate, inflow, made, &replicate)), statistics(&drawn)];
        for (values, value) in values.iter_mut().zip(found.iter().flatten()) {
            values.push(*value);
        }
    }
    std::array::from_fn(|i| of_values(&values[i], Level::default()).unwrap())
}

/// Share of trials in which each interval held the truth.
fn coverage(climate: &Climate, years: usize, made: usize, trials: usize, seed: u64) -> [f64; 4] {
    let truth = climate.truth();
    let truths = [truth.days_a_year, truth.dry_year, truth.days_a_year, truth.dry_year];
    let truth = &truth;
    let half = |part: usize| -> [u32; 4] {
        let mut held = [0; 4];
        for trial in (part..trials).step_by(2) {
            let mut rng = ChaCha8Rng::seed_from_u64(seed);
            rng.set_stream(trial as u64);
            let (inflow, level) = climate.weather(truth, years * DAYS, &mut rng);
            let found = intervals(climate, &inflow, level, made, seed ^ (trial as u64) << 20);
            for i in 0..4 {
                held[i] += u32::from(found[i].holds(truths[i]));
            }
        }
        held
    };
    let (a, b) = std::thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        (half(0), other.join().unwrap())
    });
    std::array::from_fn(|i| f64::from(a[i] + b[i]) / trials as f64)
}

#[test]
fn resampling_holds_the_truth_as_often_as_the_table_says() {
    const TRIALS: usize = 100;
    for (which, years, made) in [(0, 20, 20), (3, 10, 10), (2, 10, 100)] {
        let climate = &climates()[which];
        let found = coverage(climate, years, made, TRIALS, 71);
        println!("{}, {years} years, {made} made: {found:.3?}", climate.name);
        let row = row(climate, years, made).unwrap();
        for (found, table) in found.into_iter().zip([row.days, row.dry_year]) {
            // The table's own error: 2000 or 200 records.
            let error = (table * (1.0 - table) * (1.0 / TRIALS as f64 + 1.0 / f64::from(row.records))).sqrt();
            assert!(
                (found - table).abs() <= 3.0 * error + 0.5 / TRIALS as f64,
                "{} {years} {made}: {found} {table}",
                climate.name
            );
        }
    }
}

fn row(climate: &Climate, years: usize, made: usize) -> Option<&'static HitRate> {
    COVERAGE_MEASURED
        .iter()
        .find(|r| r.climate == climate.name && r.years as usize == years && r.made_years as usize == made)
}

#[test]
fn the_generic_function_gives_the_same_interval() {
    let climate = &climates()[0];
    let truth = climate.truth();
    let (inflow, level) = climate.weather(&truth, 10 * DAYS, &mut ChaCha8Rng::seed_from_u64(81));
    let by_hand = intervals(climate, &inflow, level, 10, 5)[0];
    let statistic = |replicate: &Replicate| Ok(statistics(&made_years(climate, &inflow, 10, replicate))[0]);
    let found = by_resampling(10, REPLICATES, 5, Level::default(), TWO, statistic).unwrap().unwrap();
    assert_eq!(found, by_hand);
}

#[test]
#[ignore = "a quarter of an hour: the table in the documentation of resample::interval; see the head of this file"]
fn the_long_table_of_coverage() {
    println!(
        "climate; chance of a dry year; days a year; years; made; records; made: days, dry year; whole years: days, dry year; Clopper-Pearson; Wilson"
    );
    let mut wrong = Vec::new();
    for (seed, climate) in (91..).zip(climates()) {
        let truth = climate.truth();
        for years in YEARS {
            let exact = [clopper_pearson as Method, wilson].map(|method| {
                Coverage::new(method, years as u32, Level::default()).unwrap().at(truth.dry_year)
            });
            for (made, records) in [(years, 2000), (10 * years, 200)] {
                let found = coverage(&climate, years, made, records, seed);
                println!(
                    "ROW;{};{:.4};{:.4};{years};{made};{records};{:.3};{:.3};{:.3};{:.3};{:.3};{:.3}",
                    climate.name,
                    truth.dry_year,
                    truth.days_a_year,
                    found[0],
                    found[1],
                    found[2],
                    found[3],
                    exact[0],
                    exact[1]
                );
                let same = row(&climate, years, made).is_some_and(|r| {
                    (r.days - found[0]).abs() < 0.0006 && (r.dry_year - found[1]).abs() < 0.0006
                });
                if !same {
                    wrong.push((climate.name, years, made));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "the table in the documentation differs: {wrong:?}");
}
