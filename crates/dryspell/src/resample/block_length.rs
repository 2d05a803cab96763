//! How long blocks are: by the memory of the record, and by the tank that must be carried through them.

use super::archive::{Archive, DATES};
use super::blocks::{LONGEST_BLOCK_DAYS, MEAN_BLOCK_DAYS};
use super::season::{self, whole};

/// Full tanks that a block lasts at least: a block no longer than the tank cuts every spell that could empty it.
const FULL_TANKS: f64 = 2.0;

/// Mean block length that suits the memory of a series, by its own correlations.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | x, n | the series and its length | –, – | n ≥ 10 |
/// | R(k), ρ(k) | covariance and correlation at lag k | square of the series' unit, – | any, −1 to 1 |
/// | b | mean length of a block | steps of the series | 1 to 3√n or n/3, the less |
///
/// # Equation
/// `R(k) = n⁻¹ Σ (x_t − x̄)(x_{t+k} − x̄)`; `m` is the smallest with `|ρ(m+1..m+K)| < 2 √(log₁₀ n / n)`, `K = max(5, ⌈√log₁₀ n⌉)`;
/// `M = min(2 max(m, 1), ⌈√n⌉ + K)`; `λ(s) = 1` to `|s| = ½`, then `2 (1 − |s|)` to 1;
/// `g = Σ_{−M}^{M} λ(k/M) |k| R(k)`, `h = Σ λ(k/M) R(k)`; `b = (2 g² n / (2 h²))^{1/3}`.
///
/// # Validity
/// For the stationary bootstrap ([`super::blocks::stationary`]) of a stationary series; best for the variance of its mean, which is
/// not what is asked here: a lower bound of good sense. `None` for a series without spread or of fewer than 10 values.
///
/// # Example
/// White noise has no memory: blocks of one step or two.
/// ```
/// use dryspell::resample::block_length::by_memory;
/// let noise: Vec<f64> = (0..500).map(|t| f64::from(7919 * t * t % 1009)).collect();
/// assert!(by_memory(&noise).unwrap() < 3.0);
/// ```
///
/// # References
/// D. N. Politis and H. White, "Automatic block-length selection for the dependent bootstrap", Econometric Reviews 23 (2004) 53,
/// with the correction of A. Patton, D. N. Politis and H. White, Econometric Reviews 28 (2009) 372 (from the documentation of
/// libraries).
#[must_use]
pub fn by_memory(series: &[f64]) -> Option<f64> {
    if series.len() < 10 {
        return None;
    }
    let n = whole(series.len());
    let mean = series.iter().sum::<f64>() / n;
    let covariance =
        |k: usize| series.iter().zip(&series[k..]).map(|(a, b)| (a - mean) * (b - mean)).sum::<f64>() / n;
    let variance = covariance(0);
    if variance <= 0.0 {
        return None;
    }
    let log = libm::log10(n);
    let width = truncated(libm::ceil(log.sqrt())).max(5);
    let longest = truncated(libm::ceil(n.sqrt())) + width;
    let band = 2.0 * (log / n).sqrt();
    let lags: Vec<f64> = (0..=(longest + width).min(series.len() - 1)).map(covariance).collect();
    let quiet =
        |m: usize| (m + 1..=m + width).all(|k| lags.get(k).is_none_or(|r| (r / variance).abs() < band));
    let last = (0..longest).find(|m| quiet(*m)).unwrap_or(longest);
    let reach = (2 * last.max(1)).min(longest);
    let (mut g, mut h) = (0.0, variance);
    for (k, r) in lags.iter().enumerate().take(reach + 1).skip(1) {
        let share = whole(k) / whole(reach);
        let weight = if share <= 0.5 { 1.0 } else { 2.0 * (1.0 - share) };
        g += 2.0 * weight * whole(k) * r;
        h += 2.0 * weight * r;
    }
    let best = libm::cbrt(2.0 * g * g * n / (2.0 * h * h));
    Some(best.clamp(1.0, libm::ceil((3.0 * n.sqrt()).min(n / 3.0))))
}

/// Mean length of a block for a record and a scheme, whole days: by the memory of the daily light, at least twice what a full
/// tank lasts without inflow (`None` where the stock leaves before it is empty), and at least [`MEAN_BLOCK_DAYS`]. One length serves
/// all cases of a search.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | b | length by memory ([`by_memory`]) | days | ≥ 1 |
/// | A | `full_tank_days` | days | ≥ 0 |
/// | L | mean length of a block | days | 15 to 366 |
///
/// # Equation
/// `L = ⌈max(b, 2 A, 15)⌉`, at most 366.
///
/// # Validity
/// The daily light is taken over the course of the year, three waves fitted to it. The least of 15 days was
/// measured: of four records (`data/reference/weather_judge.csv`) blocks of 5 days made up to a third fewer days of shortfall than
/// the record has, blocks of 15 and 30 days came nearer; the rule by memory alone gives 5 days for one year.
///
/// # References
/// The rule by memory: [`by_memory`]. Twice the full tank and the least of 15 days: this project's own.
#[must_use]
pub fn mean_block_days(archive: &Archive, full_tank_days: Option<f64>) -> f64 {
    let days: Vec<usize> = archive.years.iter().cloned().flatten().collect();
    let (mut sums, mut counts) = ([0.0; DATES], [0.0; DATES]);
    for day in &days {
        sums[archive.date[*day]] += archive.global_wh_per_m2[*day];
        counts[archive.date[*day]] += 1.0;
    }
    let course = season::smooth(&sums, &counts);
    let relative: Vec<f64> =
        days.iter().map(|day| archive.global_wh_per_m2[*day] / course[archive.date[*day]].max(1.0)).collect();
    let tank = FULL_TANKS * full_tank_days.unwrap_or(0.0);
    libm::ceil(by_memory(&relative).unwrap_or(1.0).max(tank)).clamp(MEAN_BLOCK_DAYS, LONGEST_BLOCK_DAYS)
}

/// A small whole number.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "roots of the length of a series"
)]
fn truncated(x: f64) -> usize {
    x as usize
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The series of the sheet on the variability of weather, section C, with the length worked out there by the published formula:
    /// y(0) = 0, y(t) = 0.6 y(t−1) + ((7919 t² mod 1009)/1009 − 0.5), t = 1 to 500; 9.55402 (reach 6).
    #[test]
    fn the_published_rule_gives_the_length_of_the_sheet() {
        let mut y = 0.0;
        let series: Vec<f64> = (1..=500_u32)
            .map(|t| {
                y = 0.6 * y + (f64::from(7919 * t * t % 1009) / 1009.0 - 0.5);
                y
            })
            .collect();
        let found = by_memory(&series).unwrap();
        assert!((found - 9.55402).abs() < 5e-5, "{found}");
    }

    #[test]
    fn what_has_no_spread_or_no_length_has_no_memory() {
        assert_eq!(by_memory(&[1.0; 400]), None);
        assert_eq!(by_memory(&[1.0, 2.0, 3.0]), None);
    }
}
