//! Hours of a day from its clearness.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `K` | clearness of the day | – | 0.03 to 0.87 |
//! | `h` | elevation of the sun in the middle of the hour's lit part | rad | > 0 |
//! | `k` | clearness of the hour | – | 0 to the clear sky's |
//! | `t` | solar time of the hour's middle | h | 0 to 24 |
//!
//! # Equation
//!
//! `k = k_m + σ y`; `k_m = λ + η e^(−κ/sin h)`;
//! `λ = −0.19 + 1.12 K + 0.24 e^(−8K)`; `η = 0.32 − 1.6 (K − 0.5)²`; `κ = 0.19 + 2.27 K² − 2.51 K³`;
//! `σ = A e^(B(1 − sin h))`, `A = 0.14 e^(−20 (K − 0.35)²)`, `B = 3 (K − 0.45)² + 16 K⁵`;
//! `y_t = φ y_(t−1) + r`, `r` normal with variance `1 − φ²`, `φ = 0.38 + 0.06 cos(7.4 K − 2.5)`.
//! `r` is drawn again while `k` is below 0 or above `0.88 cos(π (t − 12)/30)`. In the end all hours of the day are
//! multiplied by one factor so that the day has its clearness.
//!
//! # Validity
//!
//! Hourly means. The memory of the noise, 0.32 to 0.44, is below the 0.54 ± 0.14 that Graham and Hollands (Solar Energy
//! 44, 1990) found; fitting each day to its clearness lowers what can be measured in the result to 0.2 to 0.3. Published transcriptions scale the noise in different ways; the variance `1 − φ²` is the one that
//! gives `y` the variance 1. Broken cloud within an hour is not seen. The last multiplication can lift an hour above the
//! clear sky's bound, hence it is done again on the others with that hour at the bound where the day allows it.
//!
//! # Example
//!
//! `K = 0.5`, sun at 30 degrees: `λ = 0.3744`, `η = 0.32`, `κ = 0.44375`, so `k_m = 0.3744 + 0.32 e^(−0.8875) = 0.5061`.
//!
//! # References
//!
//! Aguiar, R. and Collares-Pereira, M. (1992). TAG: a time-dependent, autoregressive, Gaussian model for generating
//! synthetic hourly radiation. Solar Energy 49, 167–174 (from two transcriptions that agree, the noise apart).

use super::draws::Stream;
use super::light::HourLight;
use libm::{cos, exp};
use std::f64::consts::PI;

/// Draws for an hour before its value is put at the nearer bound.
const TRIES: usize = 100;

/// The model's terms for one day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tag {
    lambda: f64,
    eta: f64,
    kappa: f64,
    a: f64,
    b: f64,
    /// Lag-one correlation of the noise.
    pub(super) phi: f64,
}

impl Tag {
    /// The terms for a day of clearness `k`.
    pub(super) fn new(k: f64) -> Self {
        let from_half = k - 0.5;
        Self {
            lambda: -0.19 + 1.12 * k + 0.24 * exp(-8.0 * k),
            eta: 0.32 - 1.6 * from_half * from_half,
            kappa: 0.19 + 2.27 * k * k - 2.51 * k * k * k,
            a: 0.14 * exp(-20.0 * (k - 0.35) * (k - 0.35)),
            b: 3.0 * (k - 0.45) * (k - 0.45) + 16.0 * k * k * k * k * k,
            phi: 0.38 + 0.06 * cos(7.4 * k - 2.5),
        }
    }

    /// Mean clearness of an hour with that sine of the sun's elevation.
    pub(super) fn mean(&self, sin_elevation: f64) -> f64 {
        self.lambda + self.eta * exp(-self.kappa / sin_elevation)
    }

    /// Spread of an hour's clearness.
    pub(super) fn spread(&self, sin_elevation: f64) -> f64 {
        self.a * exp(self.b * (1.0 - sin_elevation))
    }
}

/// Clearness of the clearest hour at a solar time.
pub(super) fn clearest(solar_h: f64) -> f64 {
    0.88 * cos(PI * (solar_h - 12.0) / 30.0).max(0.0)
}

/// Global radiation of the hours of one day, W/m²; hours without sun have none.
pub(super) fn global_w_per_m2(k_day: f64, hours: &[HourLight], stream: &mut Stream) -> Vec<f64> {
    let tag = Tag::new(k_day);
    let keep = (1.0 - tag.phi * tag.phi).sqrt();
    let mut y: Option<f64> = None;
    let mut clearness = Vec::with_capacity(hours.len());
    for hour in hours {
        if hour.outside_w_per_m2 <= 0.0 {
            clearness.push(0.0);
            continue;
        }
        let sin_elevation = hour.light.cos_zenith;
        let (mean, spread) = (tag.mean(sin_elevation), tag.spread(sin_elevation));
        let most = clearest(hour.solar_h);
        let mut tried = 0;
        let (k, noise) = loop {
            let r = stream.normal();
            let noise = y.map_or(r, |last| tag.phi * last + keep * r);
            let k = mean + spread * noise;
            if (0.0..=most).contains(&k) {
                break (k, noise);
            }
            tried += 1;
            if tried == TRIES {
                // The noise of an hour that sits at its bound is what would put it there.
                let k = k.clamp(0.0, most);
                break (k, ((k - mean) / spread.max(1e-9)).clamp(-3.0, 3.0));
            }
        };
        y = Some(noise);
        clearness.push(k);
    }
    let outside: Vec<f64> = hours.iter().map(|h| h.outside_w_per_m2).collect();
    let bounds: Vec<f64> = hours.iter().map(|h| clearest(h.solar_h)).collect();
    scale(&mut clearness, &outside, &bounds, k_day);
    clearness.iter().zip(&outside).map(|(k, o)| k * o).collect()
}

/// Multiplies the hours so that the day has its clearness, none above its bound if the day allows it.
pub(super) fn scale(clearness: &mut [f64], outside: &[f64], bounds: &[f64], k_day: f64) {
    let sum = |values: &[f64]| -> f64 { values.iter().zip(outside).map(|(k, o)| k * o).sum() };
    let wanted = k_day * outside.iter().sum::<f64>();
    if wanted <= 0.0 {
        return;
    }
    let made = sum(clearness);
    if made <= 0.0 || sum(bounds) <= wanted {
        // All hours alike, or the clearest day there is: its shape is that of the bounds.
        let shape = sum(bounds);
        for (k, bound) in clearness.iter_mut().zip(bounds) {
            *k = if shape > 0.0 { bound * wanted / shape } else { k_day };
        }
        return;
    }
    let drawn = clearness.to_vec();
    let mut factor = wanted / made;
    // Each pass puts at least one more hour at its bound, or ends.
    for _ in 0..=drawn.len() {
        let (mut at_bound, mut free) = (0.0, 0.0);
        for ((k, o), bound) in drawn.iter().zip(outside).zip(bounds) {
            if k * factor > *bound {
                at_bound += bound * o;
            } else {
                free += k * o;
            }
        }
        let next = if free > 0.0 { (wanted - at_bound) / free } else { factor };
        let settled = next <= factor * (1.0 + 1e-12);
        factor = factor.max(next);
        if settled {
            break;
        }
    }
    for ((k, drawn), bound) in clearness.iter_mut().zip(&drawn).zip(bounds) {
        *k = (drawn * factor).min(*bound);
    }
    // Where every hour with any light sits at its bound, the rest is shared by all.
    let left = wanted / sum(clearness).max(1e-12);
    for k in clearness.iter_mut() {
        *k *= left;
    }
}

#[cfg(test)]
#[allow(clippy::print_stdout, reason = "statistics are shown beside their bounds")]
mod tests {
    use super::*;

    #[test]
    fn the_worked_hour() {
        let tag = Tag::new(0.5);
        // λ = −0.19 + 0.56 + 0.24 e⁻⁴ = 0.374396; κ = 0.19 + 0.5675 − 0.31375 = 0.44375.
        assert!((tag.mean(0.5) - 0.506_136).abs() < 2e-6, "{}", tag.mean(0.5));
        // A = 0.14 e^(−0.45) = 0.0892679; B = 0.0075 + 0.5 = 0.5075; σ = A e^(0.25375) = 0.115051.
        assert!((tag.spread(0.5) - 0.115_051).abs() < 2e-6, "{}", tag.spread(0.5));
        // φ = 0.38 + 0.06 cos(1.2).
        assert!((tag.phi - 0.401_741).abs() < 1e-6);
    }

    #[test]
    fn a_day_is_scaled_to_its_clearness_and_stays_below_the_bounds() {
        let outside = [0.0, 300.0, 700.0, 900.0, 600.0, 0.0];
        let bounds = [0.0, 0.6, 0.8, 0.88, 0.8, 0.0];
        for (drawn, k_day) in [
            ([0.0, 0.1, 0.5, 0.3, 0.2, 0.0], 0.35),
            ([0.0, 0.1, 0.8, 0.3, 0.1, 0.0], 0.6),
            ([0.0, 0.0, 0.8, 0.0, 0.0, 0.0], 0.2),
            ([0.0, 0.5, 0.8, 0.3, 0.1, 0.0], 0.05),
        ] {
            let mut k = drawn;
            scale(&mut k, &outside, &bounds, k_day);
            let sum: f64 = k.iter().zip(&outside).map(|(k, o)| k * o).sum();
            assert!((sum / 2500.0 - k_day).abs() < 1e-9, "{k:?}");
            assert!(k.iter().zip(&bounds).all(|(k, b)| *k <= b + 1e-9 && *k >= 0.0), "{k:?}");
        }
        // A day of nothing drawn, and one clearer than its bounds, keep their sum.
        for (drawn, k_day) in [([0.0; 6], 0.3), ([0.0, 0.5, 0.5, 0.5, 0.5, 0.0], 0.86)] {
            let mut k = drawn;
            scale(&mut k, &outside, &bounds, k_day);
            let sum: f64 = k.iter().zip(&outside).map(|(k, o)| k * o).sum();
            assert!((sum / 2500.0 - k_day).abs() < 1e-9, "{k:?}");
        }
        let mut night = [0.0; 6];
        scale(&mut night, &[0.0; 6], &[0.0; 6], 0.4);
        assert!(night.iter().all(|k| *k <= 0.0));
    }

    #[test]
    fn free_noise_has_the_lag_of_the_model() {
        // Without the bounds, y is a first-order process: its lag-one correlation is φ, its variance 1.
        let tag = Tag::new(0.5);
        let keep = (1.0 - tag.phi * tag.phi).sqrt();
        let mut stream = Stream::new(11, 0, 0);
        let n = 400_000;
        let mut y = stream.normal();
        let (mut squares, mut products) = (0.0, 0.0);
        for _ in 0..n {
            let next = tag.phi * y + keep * stream.normal();
            squares += next * next;
            products += next * y;
            y = next;
        }
        let n = f64::from(n);
        // 3 standard errors of a lag near 0.4: 3 · √((1 − φ²)/n) = 0.0044, which is 1.1 % of it.
        assert!((products / squares - 0.401_741).abs() < 0.0044, "{}", products / squares);
        assert!((squares / n - 1.0).abs() < 0.01);
    }

    #[test]
    fn days_agree_with_the_same_model_written_in_another_program() {
        use dryspell::sun::split::Light;
        let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/reference/synthetic_hourly.csv");
        let text = std::fs::read_to_string(path).unwrap();
        // The equinox day of the script.
        let hours: Vec<HourLight> = (0..12)
            .map(|i| {
                let solar_h = 6.5 + f64::from(i);
                let cos_zenith = cos(47.0_f64.to_radians()) * cos((15.0 * (solar_h - 12.0)).to_radians());
                let light = Light {
                    zenith_deg: libm::acos(cos_zenith).to_degrees(),
                    cos_zenith,
                    extraterrestrial_normal: 1366.1,
                    lit_fraction: 1.0,
                };
                HourLight { light, outside_w_per_m2: 1366.1 * cos_zenith, solar_h }
            })
            .collect();
        let days = 100_000;
        let n = f64::from(days);
        let mut stream = Stream::new(77, 0, 0);
        let mut rows = 0;
        for line in text.lines().filter(|l| l.starts_with('0')) {
            let row: Vec<f64> = line.split(',').map(|v| v.parse().unwrap()).collect();
            let tag = Tag::new(row[0]);
            let (mut x, mut y, mut xx, mut yy, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
            let mut sums = [[0.0; 2]; 2];
            for _ in 0..days {
                let global = global_w_per_m2(row[0], &hours, &mut stream);
                let mut last: Option<f64> = None;
                for (i, (g, hour)) in global.iter().zip(&hours).enumerate() {
                    let s = hour.light.cos_zenith;
                    let k = g / hour.outside_w_per_m2;
                    let noise = (k - tag.mean(s)) / tag.spread(s);
                    if let Some(last) = last {
                        (x, y) = (x + last, y + noise);
                        (xx, yy, xy) = (xx + last * last, yy + noise * noise, xy + last * noise);
                    }
                    last = Some(noise);
                    if let Some(which) = [2, 5].into_iter().position(|w| w == i) {
                        sums[which][0] += k;
                        sums[which][1] += k * k;
                    }
                }
            }
            let pairs = 11.0 * n;
            let lag = (xy - x * y / pairs) / ((xx - x * x / pairs) * (yy - y * y / pairs)).sqrt();
            // The reference has four times as many days: its own error adds a quarter of the variance.
            let lag_error = (1.25 / pairs).sqrt() * 1.2;
            println!("K {}: lag {lag:.4} ({})", row[0], row[1]);
            assert!(lag_error / row[1] < 0.02);
            assert!((lag - row[1]).abs() < 3.0 * lag_error, "{}: lag {lag} {}", row[0], row[1]);
            for (which, [sum, squares]) in sums.into_iter().enumerate() {
                let (mean, sd) = (row[2 + 2 * which], row[3 + 2 * which]);
                let got = sum / n;
                let got_sd = (squares / n - got * got).sqrt();
                assert!((got - mean).abs() < 3.0 * sd * (1.25 / n).sqrt(), "{}: {got} {mean}", row[0]);
                assert!(
                    (got_sd - sd).abs() < 3.0 * sd * (1.25 / 2.0 / n).sqrt(),
                    "{}: {got_sd} {sd}",
                    row[0]
                );
            }
            rows += 1;
        }
        assert_eq!(rows, 4);
    }
}
