//! The days of a record, from which years like it are made.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `K_d` | clearness of a day of the record: global over extraterrestrial radiation | – | ≥ 0 |
//! | `x_d` | the day's rank in its month as a standard normal value | – | any |
//! | `φ` | lag-one correlation of `x` | – | 0 to 0.9 |
//! | `v` | share of the variance of `x` that a whole month has in common: the month effect | – | 0 to 0.3 |
//! | `L` | length of a month | days | 30.4 |
//! | `r` | correlation of a day's warmth with `x`, both against their month and season | – | −1 to 1 |
//! | `c` | the tie that makes it ([`super::air`]) | – | −0.95 to 0.95 |
//!
//! # Equation
//!
//! - Each month's distribution is that of its own days, a straight line between them: the `i`-th of `n` stands at `(i − 1/2)/n`.
//! - `A(φ', L) = (1/L) (1 + 2 Σ_{k=1}^{L−1} (1 − k/L) φ'^k)` is the variance of a month's mean of a first-order process of
//!   variance 1. `v` solves `v + (1 − v) A(φ', L) = V` with `φ' = (φ − v)/(1 − v)`, where `V` is the variance of the monthly
//!   means of `x` between the years; 0 where `V` is less than chance gives.
//! - A made day is `x = √v M + √(1 − v) χ`, `χ_d = φ' χ_(d−1) + √(1 − φ'²) ε_d`, one normal `M` for each month of each year: never
//!   scaled or drawn again.
//! - The tie of warmth to clearness over the season `s` is `c = r √((1 − ρ²φ²)/(1 − ρ²))` of the days with `|s| < 0.4` at `s = 0`, and runs on
//!   straight lines through that of the darker and of the brighter days at their mean `s`; `ρ` is the memory of warmth.
//! - Its hours are those of the day of the record that is nearest in clearness, within ten days of the date, multiplied by one
//!   factor so that the day has its clearness. So hills around the station stand where they stood.
//!
//! # Validity
//!
//! At least one whole year. `φ` and `v` are fitted to five years or more. Fewer say nothing of how years differ: then `φ = 0.30` and
//! `v = 0.02` and the tie of [`super::air`] are borrowed, which is what is printed, and each month takes the days within ten days of it as well. At four
//! places the fit gave `v` of 0.01 to 0.05. How near made years come to the record: the guide's page of weather has the table.
//!
//! # Example
//!
//! `φ = 0.30`, `v = 0`: a month's mean has the variance `A(0.30, 30.4) = 0.0593`, standard deviation 0.243; with `v = 0.02` 0.277.
//!
//! # References
//!
//! - Graham, Hollands and Unny 1988 (first-order process through the distribution): see [`super::daily`].
//! - Month effect: Wilks, D. S. (1999), Agricultural and Forest Meteorology 93, 153–169, and Katz, R. W. and Parlange, M. B.
//!   (1998), Journal of Climate 11, 591–601, on the variance that daily models lack between months (from memory). This form of
//!   it is the project's own.

use super::Climate;
use super::light::YearLight;
use super::season;
use super::warmth::{self, Tie};
use dryspell::calendar::HOURS_PER_DAY;
use dryspell::fault::{Fault, FaultKind, Faults};
use dryspell::normal;
use dryspell::record::Record;
use std::collections::BTreeMap;

/// Fewest whole years from which it is told how years differ.
const FEWEST_YEARS: usize = 5;
/// Lag-one correlation and month effect where they are borrowed.
const BORROWED: Memory = Memory { day: 0.30, month: 0.02 };
/// Days of the year on either side in which a day's like is looked for.
const WITHIN_DAYS: usize = 10;
/// Days of a year.
const DAYS: usize = 365;
/// Mean length of a month, days.
const MONTH_DAYS: f64 = 365.0 / 12.0;
/// Days from which a month of one year has a mean that is counted.
const WHOLE_MONTH: usize = 27;
/// Greatest tie of warmth to clearness, either way.
const MOST_TIE: f64 = 0.95;
/// Season within which days count as even, and days from which a class of them has a tie.
const EVEN: f64 = 0.4;
const FEWEST_DAYS: f64 = 150.0;
/// Greatest clearness of an hour.
const HOUR_MOST: f64 = 0.95;
/// What a day further off in the year counts against a nearer one, as clearness.
const PER_DAY_OFF: f64 = 0.0005;

/// How days hang together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Memory {
    /// `φ`.
    pub(super) day: f64,
    /// `v`.
    pub(super) month: f64,
}

impl Memory {
    /// `φ'`: what the days of one month remember of each other, its common part set aside.
    pub(super) fn within_month(self) -> f64 {
        (self.day - self.month) / (1.0 - self.month)
    }
}

/// A day of the record.
#[derive(Debug, Clone, PartialEq)]
struct OwnDay {
    clearness: f64,
    /// Clearness of each hour.
    hours: [f64; HOURS_PER_DAY],
    /// Diffuse part of each hour's radiation, where the record has it.
    diffuse: Option<[f64; HOURS_PER_DAY]>,
}

/// The days of a record, by their place in the year.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct OwnDays {
    /// For each of 365 days those of all years.
    by_date: Vec<Vec<OwnDay>>,
    /// Each month's clearness over its mean, in order of size.
    sorted: [Vec<f64>; 12],
    pub(super) memory: Memory,
    /// How warmth goes with clearness.
    pub(super) tie: Tie,
    /// Whole years of the record.
    pub(super) years: usize,
}

impl OwnDays {
    /// The days of a record, and the climate that it has in the mean.
    ///
    /// # Errors
    /// Fewer than 365 days, a month of which most days are dark, or a place without a sun.
    pub(super) fn of(record: &Record) -> Result<(Climate, Self), Faults> {
        let light = YearLight::new(&record.place, 0).map_err(Faults::from)?;
        let dates = light.calendar.days();
        let dated: Vec<(usize, usize)> = record
            .calendar
            .days()
            .iter()
            .enumerate()
            .filter_map(|(n, day)| {
                let at = dates.iter().position(|date| (date.month, date.day) == (day.month, day.day))?;
                Some((n, at))
            })
            .collect();
        if dated.len() < DAYS {
            return Err(Fault::at_key(
                "weather",
                FaultKind::OutOfRange,
                format!("a record of {} days", record.calendar.days().len()),
                "at least one whole year of 365 days",
                "give a longer record, or make years from twelve monthly means",
            )
            .into());
        }
        let mut by_date = vec![Vec::new(); DAYS];
        // Days of the record that stand on no date of 365 have none.
        let mut clearness = vec![0.0; record.calendar.days().len()];
        for (n, at) in &dated {
            let day = own_day(record, *n, &light, *at);
            clearness[*n] = day.clearness;
            by_date[*at].push(day);
        }
        let means = month_means(&dated, &light, |n| clearness[n]);
        let relative: Vec<f64> =
            dated.iter().map(|(n, at)| clearness[*n] / f64::max(means[light.month[*at]], 1e-9)).collect();
        let climate = climate(record, &dated, &light);
        climate.check()?;
        let years = dated.len() / DAYS;
        let (memory, tie) = if years < FEWEST_YEARS {
            (BORROWED, Tie::COMMON)
        } else {
            let months: Vec<(usize, i32)> =
                dated.iter().map(|(n, at)| (light.month[*at], record.calendar.days()[*n].year)).collect();
            let score = scores(&dated.iter().map(|(n, _)| clearness[*n]).collect::<Vec<_>>(), &months);
            let memory = fitted(&score, &months);
            let warm = anomalies(record, &dated, &climate);
            let seasons: Vec<f64> =
                dated.iter().map(|(_, at)| warmth::season(light.day_length_h[*at])).collect();
            (memory, fitted_tie(&score, &warm, &seasons, memory.day))
        };
        let sorted = std::array::from_fn(|m| distribution(&relative, &dated, &light, m, years));
        Ok((climate, Self { by_date, sorted, memory, tie, years }))
    }

    /// Whether the differences between years are borrowed.
    pub(super) const fn borrowed(&self) -> bool {
        self.years < FEWEST_YEARS
    }

    /// Clearness over the month's mean below which a share `p` of its days lies.
    pub(super) fn quantile(&self, month: usize, p: f64) -> f64 {
        let sorted = &self.sorted[month];
        let n = count(sorted.len());
        let at = (p * n - 0.5).clamp(0.0, n - 1.0);
        let low = libm::floor(at);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0 to the length less one"
        )]
        let i = low as usize;
        let next = sorted.get(i + 1).copied().unwrap_or(sorted[i]);
        sorted[i] + (at - low) * (next - sorted[i])
    }

    /// Global radiation of a day's hours, W/m², with the diffuse part of each where the record has it: those of the nearest day
    /// of the record, brought to the day's clearness.
    pub(super) fn hours(&self, day: usize, clearness: f64, light: &YearLight) -> Vec<(f64, Option<f64>)> {
        let like = self.nearest(day, clearness);
        let hours = &light.hours[day * HOURS_PER_DAY..(day + 1) * HOURS_PER_DAY];
        let outside: Vec<f64> = hours.iter().map(|hour| hour.outside_w_per_m2).collect();
        let mut k: Vec<f64> = outside
            .iter()
            .zip(&like.hours)
            .map(|(out, k)| if *out > 0.0 { k.min(HOUR_MOST) } else { 0.0 })
            .collect();
        super::hourly::scale(&mut k, &outside, &vec![HOUR_MOST; outside.len()], clearness);
        k.iter()
            .zip(&outside)
            .enumerate()
            .map(|(h, (k, out))| (k * out, like.diffuse.as_ref().map(|share| share[h] * k * out)))
            .collect()
    }

    /// The day of the record nearest in clearness, within ten days of the date; the first of equals.
    fn nearest(&self, day: usize, clearness: f64) -> &OwnDay {
        let near = (0..=2 * WITHIN_DAYS).flat_map(|off| {
            let late = PER_DAY_OFF * count(off.abs_diff(WITHIN_DAYS));
            let days = &self.by_date[(day + DAYS + off - WITHIN_DAYS) % DAYS];
            days.iter().map(move |own| ((own.clearness - clearness).abs() + late, own))
        });
        near.min_by(|a, b| a.0.total_cmp(&b.0)).map_or(&self.by_date[day % DAYS][0], |(_, own)| own)
    }
}

/// A day of the record against the sun of its date.
fn own_day(record: &Record, n: usize, light: &YearLight, at: usize) -> OwnDay {
    let of = |column: &[f64], h: usize| column[n * HOURS_PER_DAY + h];
    let outside = |h: usize| light.hours[at * HOURS_PER_DAY + h].outside_w_per_m2;
    let ghi = |h: usize| of(&record.ghi_w_per_m2, h);
    let sum: f64 = (0..HOURS_PER_DAY).map(ghi).sum();
    let all = light.outside_day_wh[at];
    OwnDay {
        clearness: if all > 0.0 { sum / all } else { 0.0 },
        hours: std::array::from_fn(|h| if outside(h) > 0.0 { ghi(h) / outside(h) } else { 0.0 }),
        diffuse: record.dhi_w_per_m2.as_ref().map(|dhi| {
            std::array::from_fn(|h| if ghi(h) > 0.0 { (of(dhi, h) / ghi(h)).clamp(0.0, 1.0) } else { 1.0 })
        }),
    }
}

/// The mean of each month over the days of a record: of the day in the record, and of its date in the year.
fn month_means(dated: &[(usize, usize)], light: &YearLight, daily: impl Fn(usize) -> f64) -> [f64; 12] {
    let (mut sums, mut days) = ([0.0; 12], [0.0; 12]);
    for (n, at) in dated {
        sums[light.month[*at]] += daily(*n);
        days[light.month[*at]] += 1.0;
    }
    std::array::from_fn(|m| sums[m] / f64::max(days[m], 1.0))
}

/// The twelve means of a record.
fn climate(record: &Record, dated: &[(usize, usize)], light: &YearLight) -> Climate {
    let means = |daily: &dyn Fn(usize) -> f64| month_means(dated, light, daily);
    let hours = |column: &[f64], n: usize| column[n * HOURS_PER_DAY..(n + 1) * HOURS_PER_DAY].to_vec();
    let ends = |n: usize| {
        hours(&record.air_degc, n)
            .into_iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(t), high.max(t)))
    };
    Climate {
        place: record.place.clone(),
        global_kwh_per_m2_day: means(&|n| hours(&record.ghi_w_per_m2, n).iter().sum::<f64>() / 1000.0),
        air_degc: means(&|n| 0.5 * (ends(n).0 + ends(n).1)),
        daily_range_degc: means(&|n| ends(n).1 - ends(n).0),
        wind_m_per_s: record
            .wind_m_per_s
            .as_ref()
            .map(|wind| means(&|n| hours(wind, n).iter().sum::<f64>() / count(HOURS_PER_DAY))),
    }
}

/// A month's clearness over its mean, in order of size, from that of all days, `relative`. Of a short record the days close to the
/// month count as well.
fn distribution(
    relative: &[f64],
    dated: &[(usize, usize)],
    light: &YearLight,
    month: usize,
    years: usize,
) -> Vec<f64> {
    let reach = if years < FEWEST_YEARS { WITHIN_DAYS } else { 0 };
    let belongs =
        |at: usize| (0..=2 * reach).any(|off| light.month[(at + DAYS + off - reach) % DAYS] == month);
    let mut values: Vec<f64> =
        relative.iter().zip(dated).filter(|(_, (_, at))| belongs(*at)).map(|(k, _)| *k).collect();
    values.sort_by(f64::total_cmp);
    // The month's mean is kept whatever its neighbours add.
    let mean = values.iter().sum::<f64>() / count(values.len()).max(1.0);
    values.iter_mut().for_each(|k| *k /= f64::max(mean, 1e-9));
    values
}

/// Each day's rank in its month as a standard normal value; `months` are each day's month and year.
fn scores(clearness: &[f64], months: &[(usize, i32)]) -> Vec<f64> {
    let mut score = vec![0.0; clearness.len()];
    for month in 0..12 {
        let mut days: Vec<usize> = (0..clearness.len()).filter(|day| months[*day].0 == month).collect();
        days.sort_by(|a, b| clearness[*a].total_cmp(&clearness[*b]));
        let n = count(days.len());
        for (rank, day) in days.into_iter().enumerate() {
            score[day] = normal::quantile((count(rank) + 0.5) / n);
        }
    }
    score
}

/// Each day's middle between least and greatest temperature less that of its date, °C.
fn anomalies(record: &Record, dated: &[(usize, usize)], climate: &Climate) -> Vec<f64> {
    let middle = season::daily(&climate.air_degc);
    let of_day = |(n, at): &(usize, usize)| {
        let hours = &record.air_degc[n * HOURS_PER_DAY..(n + 1) * HOURS_PER_DAY];
        let (low, high) = hours
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(*t), high.max(*t)));
        0.5 * (low + high) - middle[*at]
    };
    dated.iter().map(of_day).collect()
}

/// The tie of warmth to clearness that gives the correlations of a record: of its dark days, its bright ones and those between.
fn fitted_tie(score: &[f64], warm: &[f64], seasons: &[f64], day: f64) -> Tie {
    let class = |range: std::ops::Range<f64>| -> Option<(f64, f64)> {
        let days = || {
            let all = score.iter().zip(warm).zip(seasons);
            all.filter(|(_, s)| range.contains(*s)).map(|((x, a), s)| (*x, *a, *s))
        };
        let n = count(days().count());
        if n < FEWEST_DAYS {
            return None;
        }
        let mean = |of: &dyn Fn((f64, f64, f64)) -> f64| days().map(of).sum::<f64>() / n;
        let (x, a, s) = (mean(&|d| d.0), mean(&|d| d.1), mean(&|d| d.2));
        let both = mean(&|d| (d.0 - x) * (d.1 - a));
        let alone = (mean(&|d| (d.0 - x) * (d.0 - x)) * mean(&|d| (d.1 - a) * (d.1 - a))).sqrt();
        Some((s, if alone > 0.0 { warmth::tie_of(both / alone, day) } else { 0.0 }))
    };
    let held = |tie: f64| tie.clamp(-MOST_TIE, MOST_TIE);
    let even = class(-EVEN..EVEN).map_or(0.0, |(_, tie)| held(tie));
    // At the end of the season the line that passes the class at its own mean.
    let end = |found: Option<(f64, f64)>| found.map_or(even, |(s, tie)| held(even + (tie - even) / s.abs()));
    Tie { dark: end(class(f64::NEG_INFINITY..-EVEN)), even, bright: end(class(EVEN..f64::INFINITY)) }
}

/// `φ` and `v` of a record of years, from each day's rank in its month; `months` are each day's month and year.
fn fitted(score: &[f64], months: &[(usize, i32)]) -> Memory {
    let squares: f64 = score.iter().map(|x| x * x).sum();
    let day = (score.windows(2).map(|pair| pair[0] * pair[1]).sum::<f64>() / squares).clamp(0.0, 0.9);
    let mut by_month: BTreeMap<(usize, i32), (f64, usize)> = BTreeMap::new();
    for (x, month) in score.iter().zip(months) {
        let (sum, days) = by_month.entry(*month).or_default();
        *sum += x;
        *days += 1;
    }
    let (mut between, mut free) = (0.0, 0.0);
    for month in 0..12 {
        let means: Vec<f64> = by_month
            .range((month, i32::MIN)..=(month, i32::MAX))
            .filter(|(_, (_, days))| *days >= WHOLE_MONTH)
            .map(|(_, (sum, days))| sum / count(*days))
            .collect();
        // The monthly means of each calendar month have the mean 0 over the years: one degree of freedom less.
        if means.len() > 1 {
            between += means.iter().map(|mean| mean * mean).sum::<f64>();
            free += count(means.len()) - 1.0;
        }
    }
    Memory { day, month: month_effect(day, between / f64::max(free, 1.0)) }
}

/// The month effect with which months differ as much as they do.
fn month_effect(day: f64, between: f64) -> f64 {
    let of = |month: f64| {
        let memory = Memory { day, month };
        month + (1.0 - month) * mean_variance(memory.within_month())
    };
    let (mut low, mut high) = (0.0, day.min(0.3));
    if of(low) >= between {
        return 0.0;
    }
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if of(middle) < between { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Variance of a month's mean of a first-order process of variance 1.
fn mean_variance(memory: f64) -> f64 {
    let mut sum = 1.0;
    let mut power = 1.0;
    for k in 1..31_u32 {
        power *= memory;
        sum += 2.0 * f64::max(1.0 - f64::from(k) / MONTH_DAYS, 0.0) * power;
    }
    sum / MONTH_DAYS
}

/// A count as a number.
#[expect(clippy::cast_precision_loss, reason = "days of a record")]
fn count(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_months_mean_has_the_variance_of_the_sheet() {
        // Standard deviation of a 30-day mean at memories of 0.3, 0.35 and 0.2, worked out outside (weather-variability sheet,
        // B1): 0.2461, 0.2596, 0.2220 for 30 days; of 30.4 days a little less.
        for (memory, sd) in [(0.3, 0.2461), (0.35, 0.2596), (0.2, 0.2220)] {
            let found = (mean_variance(memory) * MONTH_DAYS / 30.0).sqrt();
            assert!((found / sd - 1.0).abs() < 0.003, "{memory}: {found} for {sd}");
        }
    }

    #[test]
    fn the_month_effect_is_found_again() {
        for month in [0.0, 0.01, 0.02, 0.05, 0.2] {
            let memory = Memory { day: 0.33, month };
            let between = month + (1.0 - month) * mean_variance(memory.within_month());
            assert!((month_effect(0.33, between) - month).abs() < 1e-9, "{month}");
        }
        // Months that differ less than chance has them differ.
        assert!(month_effect(0.33, 0.0).abs() < 1e-12);
    }
}
