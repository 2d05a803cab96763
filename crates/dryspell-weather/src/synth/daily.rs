//! Clearness day by day, by one of the published models.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `K_d` | clearness of day `d` | – | 0.03 to 0.87 |
//! | `χ_d` | the same as a standard normal value | – | any |
//! | `φ` | lag-one correlation of `χ` | – | 0.29 |
//!
//! # Equation
//!
//! `χ_d = φ χ_(d−1) + √(1 − φ²) ε_d` with standard normal `ε`; `K_d = F⁻¹(Φ(χ_d))` with the month's distribution `F`
//! ([`super::bendt`]). Or, by matrices, [`super::matrices`].
//!
//! # Validity
//!
//! `φ` does not depend on place or season: measured years give 0.29 to 0.32 on two continents. Real skies remember a
//! little longer than one day (lag-two correlation 0.10 where this gives 0.08), and a stubborn high lasts longer than
//! either model knows: the longest dull spells of a synthetic century are to be taken with a grain of salt.
//!
//! How far months may differ between years is the method's choice:
//! - `Free`: nothing is held. A month of cloudy days differs by some 10 % from its like, as real months do. To keep
//!   the mean of many years near the one asked for, each day's `ε` is stratified over blocks of 20 years: every twentieth
//!   of its distribution occurs once in a block (Latin hypercube). Each year by itself is unchanged by that; two years of
//!   one block are related by −1/19 in each day's `ε`.
//! - `Held`: each month is drawn again until its mean is within 1 % of the one asked for: the practice of many generators.
//!   Months then do not differ between years, and the worst of them is milder than real ones.
//! - `Matrices`: always held, as each matrix has its own mean.
//!
//! # Example
//!
//! After a median day (`χ = 0`) tomorrow's `χ` has mean 0 and standard deviation `√(1 − 0.29²) = 0.957`.
//!
//! # References
//!
//! - Graham, V. A., Hollands, K. G. T. and Unny, T. E. (1988). A time series model for Kt with application to global
//!   synthetic weather generation. Solar Energy 40, 83–92. `φ = 0.29` from memory.
//! - McKay, M. D., Beckman, R. J. and Conover, W. J. (1979). A comparison of three methods for selecting values of input
//!   variables in the analysis of output from a computer code. Technometrics 21, 239–245 (Latin hypercube).

use super::bendt::Bendt;
use super::draws::Stream;
use super::light::YearLight;
use super::matrices::Library;
use super::own_days::OwnDays;
use super::{Method, purpose};
use dryspell::fault::{Fault, FaultKind};
use dryspell::normal;

/// Lag-one correlation of the normal values.
pub(super) const PHI: f64 = 0.29;

/// Years in a block whose draws are stratified together.
const BLOCK: u32 = 20;

/// Days of the year before that are run through so that a year takes up where the last one ended: `0.29⁹²` is nothing.
const RUN_IN: usize = 92;

/// Index of the year before the first; far beyond any that is asked for.
const BEFORE_FIRST: u64 = 1 << 40;

/// How far a held month may miss its mean.
const HELD_WITHIN: f64 = 0.01;

/// Tries before a month is given up.
const TRIES: usize = 50_000;

/// Days of a synthetic year.
const DAYS: usize = 365;

/// Clearness of each day of a year.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Days {
    /// `K_d`.
    pub(super) clearness: Vec<f64>,
    /// The same as a standard normal value of the month's distribution.
    pub(super) score: Vec<f64>,
    /// Lag-one correlation of the scores.
    pub(super) memory: f64,
}

impl Days {
    fn empty(memory: f64) -> Self {
        Self { clearness: Vec::with_capacity(DAYS), score: Vec::with_capacity(DAYS), memory }
    }
}

/// Draws the days of year `index`, given each month's mean clearness.
///
/// # Errors
/// A held month whose mean cannot be met.
pub(super) fn days(
    method: Method,
    seed: u64,
    index: usize,
    light: &YearLight,
    k_mean: &[f64; 12],
) -> Result<Days, Fault> {
    let bendt = k_mean.map(Bendt::new);
    let year = u64::try_from(index).unwrap_or(BEFORE_FIRST - 1);
    match method {
        Method::Free => Ok(free(seed, year, light, &bendt)),
        Method::Held => held(seed, year, light, k_mean, &bendt),
        Method::Matrices => by_matrices(seed, year, light, k_mean, &bendt),
    }
}

fn step(memory: f64, score: f64, u: f64) -> f64 {
    memory * score + (1.0 - memory * memory).sqrt() * normal::quantile(u)
}

/// The scores of a year: a first-order process that takes up where the year before ended.
fn process(memory: f64, seed: u64, year: u64) -> Vec<f64> {
    let before = year.checked_sub(1).unwrap_or(BEFORE_FIRST);
    let mut score = 0.0;
    for u in stratified(seed, before).into_iter().skip(DAYS - RUN_IN) {
        score = step(memory, score, u);
    }
    let next = |u| {
        score = step(memory, score, u);
        score
    };
    stratified(seed, year).into_iter().map(next).collect()
}

/// Draws the days of year `year` as those of a record hang together: its own distribution, its memory, its month effect.
pub(super) fn like(own: &OwnDays, seed: u64, year: u64, light: &YearLight, k_mean: &[f64; 12]) -> Days {
    let memory = own.memory;
    let (common, alone) = (memory.month.sqrt(), (1.0 - memory.month).sqrt());
    let months = month_normals(seed, year);
    let mut days = Days::empty(memory.day);
    for (score, month) in process(memory.within_month(), seed, year).into_iter().zip(&light.month) {
        let score = common * months[*month] + alone * score;
        days.score.push(score);
        days.clearness.push(k_mean[*month] * own.quantile(*month, normal::cdf(score)));
    }
    days
}

/// A standard normal number for each month of a year: over the years of a block, one in each twentieth.
fn month_normals(seed: u64, year: u64) -> [f64; 12] {
    let block = u64::from(BLOCK);
    let mut strata = Stream::new(seed, purpose::MONTH_STRATA, year / block);
    let mut within = Stream::new(seed, purpose::MONTHS, year);
    let place = usize::try_from(year % block).unwrap_or(0);
    std::array::from_fn(|_| {
        normal::quantile((shuffled(&mut strata)[place] + within.uniform()) / f64::from(BLOCK))
    })
}

/// The numbers of a block's strata in an order of chance.
fn shuffled(strata: &mut Stream) -> [f64; 20] {
    let mut order: [f64; 20] = std::array::from_fn(|_| 0.0);
    for (slot, n) in order.iter_mut().zip(0..BLOCK) {
        *slot = f64::from(n);
    }
    for last in (1..BLOCK).rev() {
        let other = strata.below(last + 1);
        order.swap(usize::try_from(last).unwrap_or(0), other);
    }
    order
}

fn free(seed: u64, year: u64, light: &YearLight, bendt: &[Bendt; 12]) -> Days {
    let mut days = Days::empty(PHI);
    for (score, month) in process(PHI, seed, year).into_iter().zip(&light.month) {
        days.score.push(score);
        days.clearness.push(bendt[*month].quantile(normal::cdf(score)));
    }
    days
}

/// A uniform number for each day of a year: over the years of a block, one in each twentieth.
fn stratified(seed: u64, year: u64) -> Vec<f64> {
    let block = u64::from(BLOCK);
    let mut strata = Stream::new(seed, purpose::STRATA, year / block);
    let mut within = Stream::new(seed, purpose::DAYS, year);
    let place = usize::try_from(year % block).unwrap_or(0);
    (0..DAYS).map(|_| (shuffled(&mut strata)[place] + within.uniform()) / f64::from(BLOCK)).collect()
}

/// The days of each month, first and last excluded, in order.
fn months(light: &YearLight) -> [std::ops::Range<usize>; 12] {
    let mut start = 0;
    std::array::from_fn(|m| {
        let days = light.month.iter().filter(|month| **month == m).count();
        let range = start..start + days;
        start = range.end;
        range
    })
}

/// Whether the days' radiation is within the allowance of the month's mean.
fn meets(clearness: &[f64], outside: &[f64], k_mean: f64) -> bool {
    let total: f64 = outside.iter().sum();
    let made: f64 = clearness.iter().zip(outside).map(|(k, o)| k * o).sum();
    // A month without sun has nothing to hold.
    total <= 0.0 || (made / total / k_mean - 1.0).abs() <= HELD_WITHIN
}

fn not_met(month: usize, k_mean: f64) -> Fault {
    Fault::at_key(
        format!("global_kwh_per_m2_day[{}]", month + 1),
        FaultKind::CannotRun,
        format!("a mean clearness of {k_mean:.3} that {TRIES} tries did not meet within 1 %"),
        "a month's mean that the model of its days can have",
        "use the method free, or check the month's radiation and the latitude",
    )
}

fn held(
    seed: u64,
    year: u64,
    light: &YearLight,
    k_mean: &[f64; 12],
    bendt: &[Bendt; 12],
) -> Result<Days, Fault> {
    let mut stream = Stream::new(seed, purpose::HELD, year);
    let mut start = stream.normal();
    let mut days = Days::empty(PHI);
    for (m, range) in months(light).into_iter().enumerate() {
        let outside = &light.outside_day_wh[range.clone()];
        let mut tried = 0;
        let (scores, clearness) = loop {
            let mut score = start;
            let scores: Vec<f64> = range
                .clone()
                .map(|_| {
                    score = step(PHI, score, stream.uniform());
                    score
                })
                .collect();
            let clearness: Vec<f64> = scores.iter().map(|s| bendt[m].quantile(normal::cdf(*s))).collect();
            if meets(&clearness, outside, k_mean[m]) {
                break (scores, clearness);
            }
            tried += 1;
            if tried == TRIES {
                return Err(not_met(m, k_mean[m]));
            }
        };
        start = scores.last().copied().unwrap_or(start);
        days.score.extend(scores);
        days.clearness.extend(clearness);
    }
    Ok(days)
}

fn by_matrices(
    seed: u64,
    year: u64,
    light: &YearLight,
    k_mean: &[f64; 12],
    bendt: &[Bendt; 12],
) -> Result<Days, Fault> {
    let library = Library::read()?;
    let mut stream = Stream::new(seed, purpose::HELD, year);
    let first = library.matrix(k_mean[0]);
    let mut class = first.class_of(k_mean[0]);
    for _ in 0..RUN_IN {
        class = first.next(class, stream.uniform());
    }
    let mut last = first.value(class, stream.uniform());
    let mut clearness: Vec<f64> = Vec::with_capacity(DAYS);
    for (m, range) in months(light).into_iter().enumerate() {
        let matrix = library.matrix(k_mean[m]);
        let outside = &light.outside_day_wh[range.clone()];
        let mut tried = 0;
        let month = loop {
            let mut class = matrix.class_of(last);
            let month: Vec<f64> = range
                .clone()
                .map(|_| {
                    class = matrix.next(class, stream.uniform());
                    matrix.value(class, stream.uniform())
                })
                .collect();
            if meets(&month, outside, k_mean[m]) {
                break month;
            }
            tried += 1;
            if tried == TRIES {
                return Err(not_met(m, k_mean[m]));
            }
        };
        last = month.last().copied().unwrap_or(last);
        clearness.extend(month);
    }
    // Temperature and wind follow the score, whatever made the clearness.
    let score = clearness
        .iter()
        .zip(&light.month)
        .map(|(k, m)| normal::quantile(bendt[*m].cdf(*k).clamp(0.001, 0.999)))
        .collect();
    Ok(Days { clearness, score, memory: PHI })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strata_are_each_taken_once_in_a_block() {
        let years: Vec<Vec<f64>> = (20..40).map(|y| stratified(3, y)).collect();
        for day in [0, 100, 364] {
            let mut strata: Vec<usize> =
                years.iter().map(|y| (0..20).filter(|n| y[day] * 20.0 >= f64::from(n + 1)).count()).collect();
            strata.sort_unstable();
            assert_eq!(strata, (0..20).collect::<Vec<_>>());
        }
    }
}
