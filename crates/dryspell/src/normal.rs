//! The normal distribution and its inverse, without platform maths.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `x` | standard normal value | – | any |
//! | `p` | chance of a value below `x` | – | 0 < p < 1 |
//!
//! # Equation
//!
//! `Φ(x) = erfc(−x/√2)/2`; its inverse by Wichura's rational approximations (PPND16).
//!
//! # Validity
//!
//! The inverse is good to about 1e-15 of its value. Outside 0 < p < 1 it gives the value at the nearest end that a
//! number can hold.
//!
//! # Example
//!
//! 97.5 % of values lie below 1.959964: `quantile(0.975)` gives that.
//!
//! # References
//!
//! Wichura, M. J. (1988). Algorithm AS 241: the percentage points of the normal distribution. Applied Statistics 37,
//! 477–484. Coefficients from memory; checked against an independent library in the tests.

#![allow(clippy::excessive_precision, reason = "the digits are those of the publication")]

use std::f64::consts::FRAC_1_SQRT_2;

/// Chance of a standard normal value below `x`; equation and source at the head of the module.
///
/// # Example
/// ```
/// assert!((dryspell::normal::cdf(1.959_964) - 0.975).abs() < 1e-8);
/// ```
#[must_use]
pub fn cdf(x: f64) -> f64 {
    0.5 * libm::erfc(-x * FRAC_1_SQRT_2)
}

/// The standard normal value with a chance `p` of being below it; equation, validity and source at the head of the module.
///
/// # Example
/// ```
/// assert!((dryspell::normal::quantile(0.975) - 1.959_963_985).abs() < 1e-9);
/// ```
#[must_use]
pub fn quantile(p: f64) -> f64 {
    let p = p.clamp(f64::MIN_POSITIVE, 1.0 - f64::EPSILON / 2.0);
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * polynomial(&A, r) / polynomial(&B, r);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = (-libm::log(tail)).sqrt();
    let x = if r <= 5.0 {
        polynomial(&C, r - 1.6) / polynomial(&D, r - 1.6)
    } else {
        polynomial(&E, r - 5.0) / polynomial(&F, r - 5.0)
    };
    if q < 0.0 { -x } else { x }
}

fn polynomial(coefficients: &[f64; 8], x: f64) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, c| sum * x + c)
}

const A: [f64; 8] = [
    3.387_132_872_796_366_608,
    133.141_667_891_784_377_45,
    1_971.590_950_306_551_442_7,
    13_731.693_765_509_461_125,
    45_921.953_931_549_871_457,
    67_265.770_927_008_700_853,
    33_430.575_583_588_128_105,
    2_509.080_928_730_122_672_7,
];
const B: [f64; 8] = [
    1.0,
    42.313_330_701_600_911_252,
    687.187_007_492_057_908_3,
    5_394.196_021_424_751_107_7,
    21_213.794_301_586_595_867,
    39_307.895_800_092_710_61,
    28_729.085_735_721_942_674,
    5_226.495_278_852_854_561,
];
const C: [f64; 8] = [
    1.423_437_110_749_683_577_34,
    4.630_337_846_156_545_295_9,
    5.769_497_221_460_691_405_5,
    3.647_848_324_763_204_605_04,
    1.270_458_252_452_368_382_58,
    0.241_780_725_177_450_611_77,
    0.022_723_844_989_269_184_583_3,
    7.745_450_142_783_414_076_4e-4,
];
const D: [f64; 8] = [
    1.0,
    2.053_191_626_637_758_821_87,
    1.676_384_830_183_803_849_4,
    0.689_767_334_985_100_004_55,
    0.148_103_976_427_480_074_59,
    0.015_198_666_563_616_457_196_6,
    5.475_938_084_995_344_946e-4,
    1.050_750_071_644_416_843_24e-9,
];
const E: [f64; 8] = [
    6.657_904_643_501_103_777_2,
    5.463_784_911_164_114_369_9,
    1.784_826_539_917_291_335_8,
    0.296_560_571_828_504_891_23,
    0.026_532_189_526_576_123_093,
    0.001_242_660_947_388_078_438_6,
    2.711_555_568_743_487_578_15e-5,
    2.010_334_399_292_288_132_65e-7,
];
const F: [f64; 8] = [
    1.0,
    0.599_832_206_555_887_937_69,
    0.136_929_880_922_735_805_31,
    0.014_875_361_290_850_614_852_5,
    7.868_691_311_456_132_591e-4,
    1.846_318_317_510_054_681_8e-5,
    1.421_511_758_316_445_888_7e-7,
    2.044_263_103_389_939_785_64e-15,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// scipy 1.17.1, `scipy.stats.norm.ppf`.
    const SCIPY: [(f64, f64); 9] = [
        (1e-300, -37.0470962993612),
        (1e-12, -7.034483825301131),
        (1e-05, -4.264890793922825),
        (0.01, -2.3263478740408408),
        (0.075, -1.4395314709384563),
        (0.3, -0.5244005127080409),
        (0.5, 0.0),
        (0.9, 1.2815515655446004),
        (0.999999, 4.753424308817087),
    ];

    #[test]
    fn the_inverse_agrees_with_scipy() {
        for (p, x) in SCIPY {
            let got = quantile(p);
            assert!((got - x).abs() <= 2e-15 * x.abs().max(1.0), "{p}: {got} {x}");
        }
    }

    #[test]
    fn there_and_back() {
        for i in -50..=50 {
            let x = f64::from(i) * 0.1;
            assert!((quantile(cdf(x)) - x).abs() < 1e-9, "{x}");
        }
        assert!(quantile(0.0).is_finite() && quantile(1.0).is_finite());
    }
}
