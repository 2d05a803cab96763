//! Air temperature and wind that go with the days' clearness.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T̄`, `R̄` | monthly mean of temperature and of its daily range | °C | `R̄` ≥ 0 |
//! | `T_d`, `R_d` | middle between least and greatest temperature of a day, and their difference | °C | |
//! | `χ_d` | the day's clearness as a standard normal value | – | any |
//! | `s` | season: day length less 12 h, over 4 h, held within −1 and 1 | – | −1 to 1 |
//! | `W_h` | wind at 10 m | m/s | ≥ 0 |
//!
//! # Equation
//!
//! - Middle: `T_d = T̄(d) + a_d`, `T̄(d)` joined between months ([`super::season`]). The anomaly is
//!   `a_d = σ_d x_d`, `x_d = ρ x_(d−1) + √(1 − ρ²) (c χ_d·g + √(1 − c²) ε_d)`, `ρ = 0.55`, the tie `c = 0.55 s` or, of a record of
//!   years, straight lines between what it is at `s = −1`, 0 and 1,
//!   `g = √((1 − ρφ)/(1 + ρφ))` for the memory that `χ` has itself, `σ_d = (1 + 0.2 A)(1 − 0.4 s)`, `A` half the
//!   difference between the warmest and the coldest month.
//! - Range: `R_d = R̄(d) (0.4 + 0.6 K_d/K̄)`: a clear day has the wider range, and the month's mean is kept.
//! - Hours: least at sunrise, greatest two hours after solar noon, half a cosine between them, on to the next day.
//! - Wind: `W_h = W̄(d) · e^(0.4 w_d − 0.08) · (1 + 0.18 cos(2π(t − 13)/24)) · e^(0.35 v_h − 0.06125)`; `w` has lag one
//!   of 0.35 by the day and a correlation of −0.2 with `χ`, `v` has lag one of 0.6 by the hour.
//!
//! # Validity
//!
//! The forms are common practice; so are the figures, chosen near those of two measured typical years (36 N, 55 N) and
//! rounded: lag one of daily temperature 0.64 and 0.65; its correlation with clearness −0.3 to −0.8 in the dark months and
//! 0.1 to 0.6 in the bright ones; spread 4.4 to 4.8 °C and 1.2 to 2 °C; slope of the range on clearness 0.84 and 0.36;
//! spread of daily wind 0.36 and 0.49, lag 0.30 and 0.39. No fronts, no inversions, no storms by name. Between the tropics
//! `s` is near zero and clearness says nothing about temperature.
//!
//! # Example
//!
//! A month with `R̄ = 10 °C` and `K̄ = 0.4`: a day with `K = 0.6` has a range of `10 (0.4 + 0.9) = 13 °C`.
//!
//! # References
//!
//! - Richardson, C. W. (1981). Stochastic simulation of daily precipitation, temperature, and solar radiation. Water
//!   Resources Research 17, 182–190 (a first-order process for temperature beside radiation; from memory).
//! - de Wit, C. T., Goudriaan, J. and van Laar, H. H. (1978). Simulation of assimilation, respiration and transpiration
//!   of crops. Pudoc (half-cosines from sunrise to early afternoon and back; from memory).
//! - The numbers above: common practice, no source.

use super::daily::Days;
use super::draws::Stream;
use super::light::YearLight;
use super::warmth::{PERSISTENCE, Tie, season};
use super::{Climate, purpose, season as seasons};
use dryspell::calendar::HOURS_PER_DAY;
use libm::{cos, exp};
use std::f64::consts::PI;

/// Part of the daily range that does not follow clearness.
const RANGE_FIXED: f64 = 0.4;
/// From solar noon to the warmest time, h.
const WARMEST_AFTER_NOON_H: f64 = 2.0;
/// Wind where the climate has none, m/s.
pub(super) const WIND_M_PER_S: f64 = 3.0;
/// Spread of the logarithm of daily and of hourly wind.
const WIND_DAY: f64 = 0.4;
const WIND_HOUR: f64 = 0.35;
/// Lag-one correlation of daily and of hourly wind.
const WIND_DAY_LAG: f64 = 0.35;
const WIND_HOUR_LAG: f64 = 0.6;
/// Correlation of daily wind with clearness.
const WIND_WITH_CLEARNESS: f64 = -0.2;

/// Hourly air temperature, °C.
pub(super) fn air_degc(
    climate: &Climate,
    seed: u64,
    index: u64,
    light: &YearLight,
    days: &Days,
    (k_mean, tie): (&[f64; 12], Tie),
) -> Vec<f64> {
    let mut stream = Stream::new(seed, purpose::AIR, index);
    let middle = seasons::daily(&climate.air_degc);
    let range = seasons::daily(&climate.daily_range_degc);
    let (coldest, warmest) =
        climate.air_degc.iter().fold((f64::MAX, f64::MIN), |(low, high), t| (low.min(*t), high.max(*t)));
    let swing = 0.5 * (warmest - coldest);
    let memory = ((1.0 - PERSISTENCE * days.memory) / (1.0 + PERSISTENCE * days.memory)).sqrt();
    let keep = (1.0 - PERSISTENCE * PERSISTENCE).sqrt();
    let mut x = stream.normal();
    // (time in hours from the year's start, temperature) of each least and greatest value.
    let mut turns = Vec::with_capacity(2 * days.clearness.len() + 2);
    for day in 0..days.clearness.len() {
        let s = season(light.day_length_h[day]);
        let tie = tie.at(s);
        let push = tie * memory * days.score[day] + (1.0 - tie * tie).sqrt() * stream.normal();
        x = PERSISTENCE * x + keep * push;
        let spread = (1.0 + 0.2 * swing) * (1.0 - 0.4 * s);
        let half = 0.5
            * range[day].max(0.0)
            * (RANGE_FIXED + (1.0 - RANGE_FIXED) * days.clearness[day] / k_mean[light.month[day]]);
        let mean = middle[day] + spread * x;
        let midnight = hours(day * HOURS_PER_DAY);
        let noon = light.noon_h(day);
        // In polar day and night the sunrise is a formality.
        let sunrise = noon - (0.5 * light.day_length_h[day]).clamp(3.0, 9.0);
        turns.push((midnight + sunrise, mean - half));
        turns.push((midnight + noon + WARMEST_AFTER_NOON_H, mean + half));
    }
    close_ends(&mut turns);
    let mut next = 1;
    (0..light.hours.len())
        .map(|h| {
            let time = hours(h) + 0.5;
            while next + 1 < turns.len() && turns[next].0 < time {
                next += 1;
            }
            let ((t0, a), (t1, b)) = (turns[next - 1], turns[next]);
            let share = ((time - t0) / (t1 - t0)).clamp(0.0, 1.0);
            a + (b - a) * 0.5 * (1.0 - cos(PI * share))
        })
        .collect()
}

/// Puts the first day's greatest value before the year and its last day's least value after it.
fn close_ends(turns: &mut Vec<(f64, f64)>) {
    if let (Some(first), Some(last)) = (turns.get(1).copied(), turns.len().checked_sub(2).map(|i| turns[i])) {
        turns.insert(0, (first.0 - 24.0, first.1));
        turns.push((last.0 + 24.0, last.1));
    }
}

/// Hourly wind at 10 m, m/s.
pub(super) fn wind_m_per_s(
    climate: &Climate,
    seed: u64,
    index: u64,
    light: &YearLight,
    days: &Days,
) -> Vec<f64> {
    let mut stream = Stream::new(seed, purpose::WIND, index);
    let mean = climate.wind_m_per_s.map_or_else(|| vec![WIND_M_PER_S; 365], |m| seasons::daily(&m));
    let memory = ((1.0 - WIND_DAY_LAG * days.memory) / (1.0 + WIND_DAY_LAG * days.memory)).sqrt();
    let lone = (1.0 - WIND_WITH_CLEARNESS * WIND_WITH_CLEARNESS).sqrt();
    let day_keep = (1.0 - WIND_DAY_LAG * WIND_DAY_LAG).sqrt();
    let hour_keep = (1.0 - WIND_HOUR_LAG * WIND_HOUR_LAG).sqrt();
    let (mut w, mut v) = (stream.normal(), stream.normal());
    let mut out = Vec::with_capacity(light.hours.len());
    for (day, hours) in light.hours.chunks(HOURS_PER_DAY).enumerate() {
        let push = WIND_WITH_CLEARNESS * memory * days.score[day] + lone * stream.normal();
        w = WIND_DAY_LAG * w + day_keep * push;
        let today = mean[day].max(0.0) * exp(WIND_DAY * w - 0.5 * WIND_DAY * WIND_DAY);
        for hour in hours {
            v = WIND_HOUR_LAG * v + hour_keep * stream.normal();
            let clock = 1.0 + 0.18 * cos(2.0 * PI * (hour.solar_h - 13.0) / 24.0);
            out.push(today * clock * exp(WIND_HOUR * v - 0.5 * WIND_HOUR * WIND_HOUR));
        }
    }
    out
}

/// A count of hours as a number.
fn hours(h: usize) -> f64 {
    f64::from(u32::try_from(h).unwrap_or(u32::MAX))
}
