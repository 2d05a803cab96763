//! How the light differs inside an hour: the distribution of the clear-sky index over the minutes, given its mean.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `k` | clear-sky index of the hour: global light over that of a clear sky, means of the hour | – | 0 to 1.5 |
//! | `k_c` | the same of an instant | – | `k_min` to `k_max` |
//! | `s_3` | root mean square of the steps to the hour before and after | – | ≥ 0 |
//! | `σ` | standard deviation of `k_c` inside the hour, from means of five minutes | – | ≥ 0 |
//!
//! # Equation
//!
//! - `σ = b (0.87 k² (1 − k) + 0.39 √k s_3)`, at least 0; `b = 1.3` to k = 0.6, 1.0 to 0.9, 0.7 above.
//! - `k_min = max(0, (k − 0.03) e^(−11 β₁ σ^1.4) − 0.09)`, `k_max = (k − 1.5) e^(−9 β₂ σ^1.3) + 1.5`; `β₁, β₂` = −0.03, 1.66 to k = 0.3;
//!   0.20, 4.26 to 0.6; 0.47, 0.89 to 0.9; 2, 0.38 above.
//! - With `x = (k_c − k_min)/(k_max − k_min)`, `t` and `s` the same of `k` and `σ`: `F(x) = w I_x(a₁, b₁) + (1 − w) I_x(a₂, b₂)`,
//!   `t₁ = t (0.01 + 0.98 e^(−60 s^3.3))`, `t₂ = 1 − (1 − t)(0.01 + 0.98 e^(−11 s²))`, `w = (t₂ − t)/(t₂ − t₁)`;
//!   `v_j = min(c_j, t_j² (1 − t_j)/(1 + t_j), t_j (1 − t_j)²/(2 − t_j))`, `c₁ = 0.014`, `c₂ = 0.006`;
//!   `a_j = max(1, t_j² (1 − t_j)/v_j − t_j)`, `b_j = max(1, (t_j (1 − t_j) − v_j)(1 − t_j)/v_j)`.
//! - Nodes: means of groups of equal chance of `F⁻¹`, all multiplied by one factor so that their mean is `k`.
//!
//! # Validity
//!
//! Judged with the sun more than ten degrees up; taken from 5.7 degrees on, as an hour's brightness is elsewhere. The shape holds well where the spread is known; the spread is the weak part (sheet on the variability
//! of weather, A3: too small near and above clear sky). One node where the hour leaves no room to differ.
//!
//! # Example
//!
//! `k = 0.7`, `σ = 0.2`: from 0.299 to 1.202, five nodes 0.450, 0.553, 0.674, 0.858, 0.965.
//!
//! # References
//!
//! Skartveit, A. and Olseth, J. A. (1992). The probability density and autocorrelation of short-term global and beam irradiance. Solar
//! Energy 49, 477–487. Coefficients from one public transcription, the journal not seen.

use super::Sky;
use super::clear_sky::{LEAST_COS_ZENITH, haurwitz_w_per_m2};
use crate::root::falling_root;
use libm::{exp, pow, rint};
use statrs::function::beta::beta_reg;
use std::sync::OnceLock;

/// Nodes of an hour.
pub const NODES: usize = 5;

/// How the light moves inside an hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, serde::Serialize)]
pub enum InsideHour {
    /// As the record measured it, at its own step; the hour's mean where it has whole hours only.
    #[default]
    Steps,
    /// Not at all: the hour's mean, whatever the record has.
    Mean,
    /// By the distribution of this page, from the hour's mean and its neighbours, whatever the record has.
    Spread,
}

impl InsideHour {
    /// Whether it is what is taken where nothing is said.
    #[must_use]
    pub fn is_usual(&self) -> bool {
        *self == Self::default()
    }
}

/// How the light moves inside the hours of a record.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Inside {
    /// Not at all.
    #[default]
    Mean,
    /// The same time at each of so many multiples of the hour's light; they rise in even hours and fall in odd ones, so that a pump that
    /// starts above one light and stops below another meets both orders.
    Spread(Vec<[f64; NODES]>),
    /// The sky of each part of the hours, in their order.
    Steps(Vec<Sky>),
}

impl Inside {
    /// By the distribution, for the hours of a sky.
    pub(super) fn spread(sky: &Sky) -> Self {
        let index = |h: usize| {
            let cos_zenith = sky.direction[h][2];
            (cos_zenith >= LEAST_COS_ZENITH)
                .then(|| sky.ghi_w_per_m2[h] / (sky.lit_fraction[h] * haurwitz_w_per_m2(cos_zenith)))
        };
        let indices: Vec<Option<f64>> = (0..sky.hours()).map(index).collect();
        let beside = |h: Option<usize>| h.and_then(|h| indices.get(h).copied().flatten());
        let of_hour = |(h, k): (usize, &Option<f64>)| {
            let Some(k) = k.filter(|k| *k > 0.0) else { return [1.0; NODES] };
            let mut factors = factors(k, spread(k, beside(h.checked_sub(1)), beside(h.checked_add(1))));
            if !h.is_multiple_of(2) {
                factors.reverse();
            }
            factors
        };
        Self::Spread(indices.iter().enumerate().map(of_hour).collect())
    }
}

/// Steps of the clear-sky index and of its standard deviation at which nodes are worked out, and how many of each.
const STEP: f64 = 0.02;
const INDICES: usize = 76;
const SPREADS: usize = 32;

/// Each node over the hour's mean, least first; their mean is 1 exactly. Worked out at the nearest 0.02 of either, which lies far within the
/// doubt of the standard deviation, and kept.
#[must_use]
pub fn factors(k: f64, sigma: f64) -> [f64; NODES] {
    static KEPT: [OnceLock<[f64; NODES]>; INDICES * SPREADS] = [const { OnceLock::new() }; INDICES * SPREADS];
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "held within the table")]
    let cell = |value: f64, cells: usize| (rint(value / STEP).max(0.0) as usize).min(cells - 1);
    let (i, j) = (cell(k, INDICES), cell(sigma, SPREADS));
    *KEPT[i * SPREADS + j].get_or_init(|| {
        let k = STEP * count(i);
        if k <= 0.0 {
            return [1.0; NODES];
        }
        // On a grid, so that the last bits of a machine's logarithm count as good as never, and the last makes the sum exact.
        let mut factors = nodes(k, STEP * count(j)).map(|node| rint(node / k * GRID) / GRID);
        factors[NODES - 1] = count(NODES) - factors[..NODES - 1].iter().sum::<f64>();
        factors
    })
}

/// Steps of the grid of the factors.
const GRID: f64 = 1_048_576.0;

/// Standard deviation of the clear-sky index inside an hour of mean `k`, given those of the hours before and after.
#[must_use]
pub fn spread(k: f64, before: Option<f64>, after: Option<f64>) -> f64 {
    let steps: Vec<f64> = before.into_iter().chain(after).map(|other| (k - other) * (k - other)).collect();
    #[expect(clippy::cast_precision_loss, reason = "two at most")]
    let mean = if steps.is_empty() { 0.0 } else { steps.iter().sum::<f64>() / steps.len() as f64 };
    let b = if k <= 0.6 {
        1.3
    } else if k <= 0.9 {
        1.0
    } else {
        0.7
    };
    (b * (0.87 * k * k * (1.0 - k) + 0.39 * k.max(0.0).sqrt() * mean.sqrt())).max(0.0)
}

/// Least and greatest clear-sky index inside an hour.
#[must_use]
pub fn limits(k: f64, sigma: f64) -> (f64, f64) {
    let (low, high) = if k <= 0.3 {
        (-0.03, 1.66)
    } else if k <= 0.6 {
        (0.20, 4.26)
    } else if k <= 0.9 {
        (0.47, 0.89)
    } else {
        (2.0, 0.38)
    };
    (
        ((k - 0.03) * exp(-11.0 * low * pow(sigma, 1.4)) - 0.09).max(0.0),
        (k - 1.5) * exp(-9.0 * high * pow(sigma, 1.3)) + 1.5,
    )
}

/// The clear-sky indices of an hour, each for an equal share of it, least first; all `k` where there is no room to differ.
#[must_use]
pub fn nodes(k: f64, sigma: f64) -> [f64; NODES] {
    let (least, most) = limits(k, sigma);
    if !(least < k && k < most) || sigma <= 0.0 {
        return [k; NODES];
    }
    let shape = Shape::new((k - least) / (most - least), sigma / (most - least));
    let (mut from, mut found) = (0.0, [0.0; NODES]);
    for (i, node) in found.iter_mut().enumerate() {
        let to = if i + 1 == NODES {
            shape.mean()
        } else {
            shape.sum_below(shape.quantile(count(i + 1) / count(NODES)))
        };
        *node = least + (most - least) * count(NODES) * (to - from);
        from = to;
    }
    let mean = found.iter().sum::<f64>() / count(NODES);
    found.map(|node| node * k / mean)
}

/// Two betas on 0 to 1.
struct Shape {
    weight: f64,
    dull: (f64, f64),
    bright: (f64, f64),
}

impl Shape {
    fn new(t: f64, s: f64) -> Self {
        let dull = t * (0.01 + 0.98 * exp(-60.0 * pow(s, 3.3)));
        let bright = 1.0 - (1.0 - t) * (0.01 + 0.98 * exp(-11.0 * s * s));
        Self {
            weight: (bright - t) / (bright - dull),
            dull: parameters(dull, 0.014),
            bright: parameters(bright, 0.006),
        }
    }

    fn share_below(&self, x: f64) -> f64 {
        let of = |(a, b): (f64, f64)| beta_reg(a, b, x);
        self.weight * of(self.dull) + (1.0 - self.weight) * of(self.bright)
    }

    /// The value below which a share lies.
    fn quantile(&self, share: f64) -> f64 {
        falling_root(|x| share - self.share_below(x), 0.0, 1.0, 1e-7)
    }

    /// The mean.
    fn mean(&self) -> f64 {
        let of = |(a, b): (f64, f64)| a / (a + b);
        self.weight * of(self.dull) + (1.0 - self.weight) * of(self.bright)
    }

    /// What the values below `x` add to the mean: a beta's is `a/(a + b) I_x(a + 1, b)`.
    fn sum_below(&self, x: f64) -> f64 {
        let of = |(a, b): (f64, f64)| a / (a + b) * beta_reg(a + 1.0, b, x);
        self.weight * of(self.dull) + (1.0 - self.weight) * of(self.bright)
    }
}

fn parameters(t: f64, widest: f64) -> (f64, f64) {
    let v = widest.min(t * t * (1.0 - t) / (1.0 + t)).min(t * (1.0 - t) * (1.0 - t) / (2.0 - t));
    ((t * t * (1.0 - t) / v - t).max(1.0), ((t * (1.0 - t) - v) * (1.0 - t) / v).max(1.0))
}

/// A small count as a number.
#[expect(clippy::cast_precision_loss, reason = "points of a distribution")]
fn count(n: usize) -> f64 {
    n as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// On the sheet (A2), as means of sixty points; here the means are exact, which differs by 0.002 at most.
    #[test]
    fn nodes_are_those_of_the_sheet() {
        let (least, most) = limits(0.7, 0.2);
        assert!((least - 0.29921).abs() < 5e-6 && (most - 1.20229).abs() < 5e-6);
        for (k, sigma, expected) in [
            (0.7, 0.2, [0.4498, 0.5528, 0.6736, 0.8585, 0.9654]),
            (0.5, 0.15, [0.3438, 0.4007, 0.4683, 0.5615, 0.7257]),
        ] {
            for (found, expected) in nodes(k, sigma).into_iter().zip(expected) {
                assert!((found - expected).abs() < 2e-3, "{found} for {expected}");
            }
        }
    }

    #[test]
    fn an_hour_keeps_its_light() {
        for k in [0.05, 0.3, 0.6, 0.9, 1.05] {
            for sigma in [0.0, 0.01, 0.1, 0.25] {
                let nodes = nodes(k, sigma);
                assert!((nodes.iter().sum::<f64>() / 5.0 - k).abs() < 1e-9, "{k} {sigma}: {nodes:?}");
                assert!(nodes.windows(2).all(|pair| pair[0] <= pair[1] + 1e-9), "{nodes:?}");
            }
        }
    }
}
