//! The course of temperature through the year.

use super::archive::DATES;
use std::f64::consts::TAU;

/// Waves a year: the year, its half and its third.
const HARMONICS: usize = 3;

/// A smooth course through the dates of a year that fits daily means.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | x | mean of the days on a date | kept | |
/// | n | date in a year of 366 days | – | 0 to 365 |
///
/// # Equation
/// `S(n) = a0 + Σ_j (a_j cos(2πjn/366) + b_j sin(2πjn/366))`, j = 1 to 3, with the coefficients of least squares over the
/// 366 dates. A date without a day takes the mean of its neighbours.
///
/// # Validity
/// Three waves follow the seasons and leave the weather in the anomaly. Whole years only.
///
/// # Example
/// A level line stays one.
///
/// # References
/// Common practice for daily normals; no single source.
pub(super) fn smooth(sums: &[f64; DATES], counts: &[f64; DATES]) -> [f64; DATES] {
    let mean = |n: usize| (counts[n] > 0.0).then(|| sums[n] / counts[n]);
    let values: [f64; DATES] = std::array::from_fn(|n| {
        mean(n).unwrap_or_else(|| {
            let before = (1..DATES).find_map(|k| mean((n + DATES - k) % DATES)).unwrap_or(0.0);
            let after = (1..DATES).find_map(|k| mean((n + k) % DATES)).unwrap_or(0.0);
            f64::midpoint(before, after)
        })
    });
    let wave = |j: usize, n: usize| libm::sincos(TAU / 366.0 * whole(j * n % DATES));
    let mut course = [values.iter().sum::<f64>() / 366.0; DATES];
    for j in 1..=HARMONICS {
        let (mut a, mut b) = (0.0, 0.0);
        for (n, value) in values.iter().enumerate() {
            let (sin, cos) = wave(j, n);
            a += value * cos / 183.0;
            b += value * sin / 183.0;
        }
        for (n, s) in course.iter_mut().enumerate() {
            let (sin, cos) = wave(j, n);
            *s += a * cos + b * sin;
        }
    }
    course
}

/// A count of days or hours as a number.
pub(super) fn whole(n: usize) -> f64 {
    f64::from(u32::try_from(n).unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn waves_of_the_year_come_back_and_weather_does_not() {
        let truth = |n: usize| {
            8.0 - 12.0 * libm::cos(TAU * n as f64 / 366.0) + 2.0 * libm::sin(TAU * 3.0 * n as f64 / 366.0)
        };
        let weather = |n: usize| libm::sin(TAU * 40.0 * n as f64 / 366.0);
        let mut counts = [2.0; DATES];
        let mut sums = std::array::from_fn(|n| 2.0 * (truth(n) + weather(n)));
        (counts[59], sums[59]) = (0.0, 0.0);
        let course = smooth(&sums, &counts);
        for (n, s) in course.into_iter().enumerate() {
            assert!((s - truth(n)).abs() < 0.02, "{n}: {s} {}", truth(n));
        }
    }
}
