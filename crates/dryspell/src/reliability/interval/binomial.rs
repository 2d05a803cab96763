//! The binomial distribution: chances of so many years out of so many.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! | --- | --- | --- | --- |
//! | n | years | – | 0 to 2³² − 1 |
//! | k | years with it | – | 0 to n |
//! | p | chance in one year | – | 0 to 1 |
//!
//! # Equation
//!
//! `P(k) = n!/(k! (n−k)!) · p^k (1−p)^(n−k)`. No factorial is formed: the terms follow from the likeliest one by
//! `P(k+1)/P(k) = (n−k)/(k+1) · p/(1−p)`, and their sum is set to 1. Only the four operations are used, so the result is
//! the same to the bit on any machine.
//!
//! # Validity
//!
//! Years are independent and alike. Chances below 1e-300 of the likeliest count as zero.
//!
//! # Example
//!
//! A year in twenty goes dry: in ten years at least one does with a chance of 1 − 0.95¹⁰ = 0.4013.
//!
//! ```
//! use dryspell::reliability::interval::binomial::at_least;
//! assert!((at_least(1, 10, 0.05) - 0.401_263).abs() < 1e-6);
//! ```
//!
//! # References
//!
//! W. Feller, *An Introduction to Probability Theory and Its Applications*, volume 1, third edition, 1968, chapter VI
//! (from memory).

/// Below this share of the likeliest term a term counts as zero.
const LEAST: f64 = 1e-300;

/// The chance of at least `k` out of `n`.
#[must_use]
pub fn at_least(k: u32, n: u32, p: f64) -> f64 {
    if k == 0 {
        return 1.0;
    }
    if k > n {
        return 0.0;
    }
    let (mut below, mut above) = (0.0, 0.0);
    each(n, p, |i, term| *if i < k { &mut below } else { &mut above } += term);
    above / (below + above)
}

/// The chances of 0 to `n` out of `n`.
#[must_use]
pub fn chances(n: u32, p: f64) -> Vec<f64> {
    let mut terms: Vec<(u32, f64)> = Vec::new();
    each(n, p, |i, term| terms.push((i, term)));
    let sum: f64 = terms.iter().map(|(_, term)| term).sum();
    let mut chances = vec![0.0; usize::try_from(n).unwrap_or(usize::MAX).saturating_add(1)];
    for (i, term) in terms {
        if let Some(chance) = usize::try_from(i).ok().and_then(|i| chances.get_mut(i)) {
            *chance = term / sum;
        }
    }
    chances
}

/// Goes through the terms, as shares of the likeliest one.
fn each(n: u32, p: f64, mut term_of: impl FnMut(u32, f64)) {
    let p = p.clamp(0.0, 1.0);
    if p <= 0.0 || p >= 1.0 {
        return term_of(if p <= 0.0 { 0 } else { n }, 1.0);
    }
    let odds = p / (1.0 - p);
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0 <= (n + 1) p, and a cast saturates"
    )]
    let likeliest = ((f64::from(n) + 1.0) * p) as u32;
    let likeliest = likeliest.min(n);
    term_of(likeliest, 1.0);
    let mut term = 1.0;
    for i in likeliest..n {
        term *= f64::from(n - i) / (f64::from(i) + 1.0) * odds;
        if term < LEAST {
            break;
        }
        term_of(i + 1, term);
    }
    term = 1.0;
    for i in (1..=likeliest).rev() {
        term *= f64::from(i) / (f64::from(n - i) + 1.0) / odds;
        if term < LEAST {
            break;
        }
        term_of(i - 1, term);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::function::beta::beta_reg;

    #[test]
    fn the_tail_is_the_incomplete_beta_function_of_a_general_library() {
        let mut worst = 0.0_f64;
        for n in [1_u32, 2, 7, 10, 30, 100, 999] {
            for k in (1..=n).step_by(1 + usize::try_from(n / 12).unwrap()) {
                for p in [1e-6, 0.01, 0.25, 0.5, 0.73, 0.999] {
                    let library = beta_reg(f64::from(k), f64::from(n - k + 1), p);
                    worst = worst.max((at_least(k, n, p) - library).abs());
                }
            }
        }
        // The library's log gamma leaves some 1e-12 at n = 999.
        assert!(worst < 5e-12, "{worst}");
    }

    proptest::proptest! {
        #[test]
        fn chances_sum_to_one_and_have_the_mean_n_p(n in 0..400_u32, p in 0.0..=1.0_f64) {
            let all = chances(n, p);
            let sum: f64 = all.iter().sum();
            let mean: f64 = all.iter().zip(0..).map(|(c, k)| c * f64::from(k)).sum();
            proptest::prop_assert!((sum - 1.0).abs() < 1e-12);
            proptest::prop_assert!((mean - f64::from(n) * p).abs() < 1e-10 * f64::from(n.max(1)));
            let k = n / 3;
            let tail: f64 = all[usize::try_from(k).unwrap()..].iter().sum();
            proptest::prop_assert!((at_least(k, n, p) - tail).abs() < 1e-12);
        }
    }
}
