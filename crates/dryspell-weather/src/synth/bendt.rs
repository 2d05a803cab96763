//! How the days of a month differ in clearness, given only the month's mean.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `K` | daily clearness: global over extraterrestrial radiation of the day | – | `K_min` to `K_max` |
//! | `K̄` | its mean over the month | – | 0.1 to 0.8 |
//! | `γ` | slope of the logarithm of the density | – | any |
//! | `F` | share of days with clearness up to `K` | – | 0 to 1 |
//!
//! # Equation
//!
//! `F(K) = (e^(γ·K_min) − e^(γ·K)) / (e^(γ·K_min) − e^(γ·K_max))`, `K_min = 0.05`,
//! `K_max = 0.6313 + 0.267 K̄ − 11.9 (K̄ − 0.75)⁸`; `γ` is the root for which the mean of `F` is `K̄`.
//!
//! # Validity
//!
//! Fitted to American stations with `K̄` from 0.3 to 0.7; used here from 0.1 to 0.8. The root is found exactly, where
//! the handbook formula for `γ` misses the mean by up to 0.5 %. Climates with two kinds of days and nothing in between
//! (trade winds, monsoon) are not of this shape.
//!
//! # Example
//!
//! With `K̄ = 0.5`: `K_max = 0.6313 + 0.1335 − 11.9 · 0.25⁸ = 0.7646`, and half the days lie below 0.541.
//!
//! # References
//!
//! - Bendt, P., Collares-Pereira, M. and Rabl, A. (1981). The frequency distribution of daily insolation values. Solar
//!   Energy 27, 1–5.
//! - Hollands, K. G. T. and Huget, R. G. (1983). A probability density function for the clearness index, with
//!   applications. Solar Energy 30, 195–209 (`K_max`). Coefficients from memory.

/// Least daily clearness.
const K_MIN: f64 = 0.05;

/// The distribution of daily clearness in a month of one mean.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bendt {
    /// `K_max − K_min`.
    width: f64,
    /// `γ · width`.
    steepness: f64,
}

impl Bendt {
    /// The distribution with mean `mean`, which lies between 0.1 and 0.8.
    pub(super) fn new(mean: f64) -> Self {
        let off = mean - 0.75;
        let squared = off * off;
        let eighth = squared * squared * squared * squared;
        let width = 0.6313 + 0.267 * mean - 11.9 * eighth - K_MIN;
        let target = (mean - K_MIN) / width;
        // The mean rises steadily with the slope: halve the bracket until it cannot get smaller.
        let (mut low, mut high) = (-700.0, 700.0);
        for _ in 0..100 {
            let middle = 0.5 * (low + high);
            if relative_mean(middle) < target {
                low = middle;
            } else {
                high = middle;
            }
        }
        Self { width, steepness: 0.5 * (low + high) }
    }

    /// Share of days with clearness up to `k`.
    pub(super) fn cdf(&self, k: f64) -> f64 {
        let at = ((k - K_MIN) / self.width).clamp(0.0, 1.0);
        if self.steepness.abs() < 1e-9 {
            at
        } else {
            libm::expm1(self.steepness * at) / libm::expm1(self.steepness)
        }
    }

    /// The clearness below which a share `p` of days lies.
    pub(super) fn quantile(&self, p: f64) -> f64 {
        let at = if self.steepness.abs() < 1e-9 {
            p
        } else {
            libm::log1p(p * libm::expm1(self.steepness)) / self.steepness
        };
        K_MIN + self.width * at.clamp(0.0, 1.0)
    }
}

/// Mean of the density `∝ e^(x·t)` on 0 to 1.
fn relative_mean(x: f64) -> f64 {
    if x.abs() < 1e-3 {
        // The closed form cancels here; the next term of the series is x³/720.
        0.5 + x / 12.0
    } else {
        -1.0 / libm::expm1(-x) - 1.0 / x
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `K̄`, `K_max`, 5 % quantile, median, 90 % quantile of the handbook's form with its own formula for the slope,
    /// whose mean is a little off: hence the tolerance of 0.006.
    const HANDBOOK: [(f64, f64, f64, f64, f64); 5] = [
        (0.3, 0.6914, 0.0680, 0.2700, 0.5721),
        (0.4, 0.7354, 0.0864, 0.4034, 0.6706),
        (0.5, 0.7646, 0.1328, 0.5408, 0.7282),
        (0.6, 0.7915, 0.2447, 0.6472, 0.7693),
        (0.7, 0.8182, 0.4696, 0.7370, 0.8058),
    ];

    #[test]
    fn quantiles_agree_with_the_handbook_form() {
        for (mean, k_max, p05, median, p90) in HANDBOOK {
            let b = Bendt::new(mean);
            assert!((K_MIN + b.width - k_max).abs() < 1e-4);
            for (p, k) in [(0.05, p05), (0.5, median), (0.9, p90)] {
                assert!((b.quantile(p) - k).abs() < 0.006, "{mean} {p}: {} {k}", b.quantile(p));
            }
        }
    }

    #[test]
    fn the_mean_is_the_mean_asked_for() {
        // Mean of the quantile over equal shares: the midpoint rule, good to 1e-6 with 20 000 shares.
        for mean in [0.1, 0.15, 0.2, 0.3, 0.3923, 0.5, 0.6, 0.7, 0.8] {
            let b = Bendt::new(mean);
            let sum: f64 = (0..20_000).map(|i| b.quantile((f64::from(i) + 0.5) / 20_000.0)).sum();
            assert!((sum / 20_000.0 - mean).abs() < 2e-6, "{mean}: {}", sum / 20_000.0);
        }
    }

    #[test]
    fn there_and_back() {
        for mean in [0.15, 0.3, 0.3923, 0.5, 0.75] {
            let b = Bendt::new(mean);
            for i in 0..=20 {
                let p = f64::from(i) / 20.0;
                assert!((b.cdf(b.quantile(p)) - p).abs() < 1e-9, "{mean} {p}");
            }
        }
    }
}
