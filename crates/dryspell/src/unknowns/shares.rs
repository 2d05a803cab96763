//! What the spread of a figure is owed to: shares of its variance of the first order.

/// A share of a variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// The share, 0 to 1.
    pub value: f64,
    /// Its standard error, from having drawn only so many.
    pub standard_error: f64,
}

/// What the variance of a figure is owed to.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    /// The years, and how they were made; `None` where they were not drawn.
    pub years: Option<Share>,
    /// Each input by itself, in order.
    pub inputs: Vec<Share>,
    /// The rest: what several do only together, and what a cubic in one input does not follow.
    pub together: Share,
}

/// Groups of pairs, of which each is left out once for the standard errors.
const GROUPS: usize = 20;

/// The shares of the first order of inputs and years in the variance of a figure, from pairs that have their years in common and
/// inputs of their own.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | y | `values`: the figure, two for each pair | any | finite |
/// | z | `inputs`: each input, two for each pair | any | finite |
/// | P | number of pairs | – | 20 or more |
///
/// # Equation
/// First-order share of an input: `S = Var(E[y | z]) / Var(y)`. Of the years, which both members of a pair have in common and nothing
/// else: `S = Cov(y₁, y₂) / Var(y)` over the pairs. Of an input: the R² of the least-squares cubic of y in z over all 2P values,
/// adjusted for its three terms, `1 − (1 − R²)(2P − 1)/(2P − 4)`. The rest, together: one less the sum. Standard errors: the pairs
/// in 20 groups, each left out once (jackknife).
///
/// # Validity
/// Inputs and years drawn independently of each other. A cubic follows what rises or falls steadily and bends once or twice; the
/// part that it does not follow is counted in the rest. A share found below 0 is 0. `None` with fewer than 20 pairs or a
/// figure that never changes.
///
/// # References
/// I. M. Sobol', *Mathematics and Computers in Simulation* 55, 2001, 271–280, for the share from pairs that have an input in common; the
/// share as the R² of a curve through the values: A. Saltelli et al., *Global Sensitivity Analysis: The Primer*, 2008,
/// chapter 1 (both from memory); the jackknife: B. Efron and R. J. Tibshirani, *An Introduction to the Bootstrap*, 1993, chapter 11 (from memory).
#[must_use]
pub fn shares(values: &[[f64; 2]], inputs: &[Vec<[f64; 2]>], with_years: bool) -> Option<Shares> {
    if values.len() < GROUPS {
        return None;
    }
    let all = estimate(values, inputs, with_years, None)?;
    let without: Vec<Vec<f64>> =
        (0..GROUPS).map(|group| estimate(values, inputs, with_years, Some(group))).collect::<Option<_>>()?;
    #[expect(clippy::cast_precision_loss, reason = "twenty")]
    let groups = GROUPS as f64;
    let share = |i: usize| {
        let mean = without.iter().map(|found| found[i]).sum::<f64>() / groups;
        let squares: f64 = without.iter().map(|found| (found[i] - mean) * (found[i] - mean)).sum();
        Share { value: all[i].clamp(0.0, 1.0), standard_error: (squares * (groups - 1.0) / groups).sqrt() }
    };
    Some(Shares {
        years: with_years.then(|| share(0)),
        inputs: (0..inputs.len()).map(|i| share(i + 1)).collect(),
        together: share(inputs.len() + 1),
    })
}

/// Years, each input, the rest; without the pairs of a group.
fn estimate(
    values: &[[f64; 2]],
    inputs: &[Vec<[f64; 2]>],
    with_years: bool,
    left_out: Option<usize>,
) -> Option<Vec<f64>> {
    let kept = |i: &usize| left_out != Some(i % GROUPS);
    let flat =
        |pairs: &[[f64; 2]]| -> Vec<f64> { (0..pairs.len()).filter(kept).flat_map(|i| pairs[i]).collect() };
    let y = centred(flat(values));
    let square = dot(&y, &y);
    if square <= f64::EPSILON * values.iter().flatten().map(|v| v * v).sum::<f64>() {
        return None;
    }
    let mut found = vec![0.0];
    if with_years {
        // Both members of a pair stand in the sum of squares, once in that of products.
        found[0] = 2.0 * y.chunks_exact(2).map(|pair| pair[0] * pair[1]).sum::<f64>() / square;
    }
    found.extend(inputs.iter().map(|z| of_cubic(&y, square, &flat(z))));
    found.push(1.0 - found.iter().sum::<f64>());
    Some(found)
}

/// The adjusted R² of the cubic of y, whose mean is zero, in z.
fn of_cubic(y: &[f64], square: f64, z: &[f64]) -> f64 {
    let mut basis: Vec<Vec<f64>> = Vec::new();
    let mut explained = 0.0;
    let powers: [fn(f64) -> f64; 3] = [|z| z, |z| z * z, |z| z * z * z];
    for power in powers {
        let column = centred(z.iter().map(|z| power(*z)).collect());
        let size = dot(&column, &column);
        let mut rest = column;
        for unit in &basis {
            let along = dot(&rest, unit);
            rest.iter_mut().zip(unit).for_each(|(r, u)| *r -= along * u);
        }
        let left = dot(&rest, &rest);
        // An input of two or three values has no cubic of its own.
        if left <= 1e-12 * size || left == 0.0 {
            continue;
        }
        rest.iter_mut().for_each(|r| *r /= left.sqrt());
        explained += dot(y, &rest) * dot(y, &rest);
        basis.push(rest);
    }
    #[expect(clippy::cast_precision_loss, reason = "numbers of drawn schemes")]
    let (n, terms) = (y.len() as f64, basis.len() as f64);
    1.0 - (1.0 - explained / square) * (n - 1.0) / (n - terms - 1.0)
}

fn centred(mut values: Vec<f64>) -> Vec<f64> {
    #[expect(clippy::cast_precision_loss, reason = "numbers of drawn schemes")]
    let mean = values.iter().sum::<f64>() / values.len() as f64;
    values.iter_mut().for_each(|v| *v -= mean);
    values
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::random::{Purpose, Stream};
    use crate::sweep::Law;

    type Figure = fn(f64, f64, f64) -> f64;

    /// The functions of data/reference/first_order_shares.py.
    const FIGURES: [(&str, Figure); 3] = [
        ("additive", |a, b, w| 2.0 * a + b + 1.5 * w),
        ("product", |a, b, w| (1.0 + 0.8 * a) * (1.0 + 0.5 * b) * libm::exp(0.4 * w)),
        ("shortfall", |a, b, w| (1.0 + 2.0 * a + b + 1.5 * w + a * b).max(0.0)),
    ];

    /// Pairs of a function: their values and both inputs.
    fn drawn(figure: Figure, pairs: usize, seed: u64) -> (Vec<[f64; 2]>, [Vec<[f64; 2]>; 2]) {
        let mut stream = Stream::named(seed, Purpose::Unknowns, "test");
        let whole = Law::Normal { mean: 0.0, deviation: 1.0, low: f64::NEG_INFINITY, high: f64::INFINITY };
        let cut = Law::Normal { mean: 0.0, deviation: 1.0, low: -3.0, high: 3.0 };
        let mut of = |law: Law| law.quantile(stream.uniform());
        let (mut values, mut inputs) = (Vec::new(), [Vec::new(), Vec::new()]);
        for _ in 0..pairs {
            let w = of(whole);
            let (a, b) = ([of(cut), of(cut)], [of(cut), of(cut)]);
            values.push([figure(a[0], b[0], w), figure(a[1], b[1], w)]);
            inputs[0].push(a);
            inputs[1].push(b);
        }
        (values, inputs)
    }

    /// z1, z2 and years of each function, from scipy.
    fn reference() -> Vec<[f64; 3]> {
        let text = include_str!("../../../../data/reference/first_order_shares.csv");
        let rows = text.lines().filter(|l| !l.starts_with('#')).skip(1);
        rows.zip(FIGURES)
            .map(|(row, (name, _))| {
                let cells: Vec<&str> = row.split(',').collect();
                assert_eq!(cells[0], name);
                [1, 2, 3].map(|i| cells[i].parse().unwrap())
            })
            .collect()
    }

    #[test]
    fn many_pairs_come_to_the_shares_of_scipy() {
        for ((name, figure), expected) in FIGURES.into_iter().zip(reference()) {
            let (values, inputs) = drawn(figure, 40_000, 3);
            let found = shares(&values, &inputs, true).unwrap();
            let all = [found.inputs[0], found.inputs[1], found.years.unwrap()];
            for (share, truth) in all.iter().zip(expected) {
                // Three standard errors, and 0.003 for scipy's own scatter and what a cubic does not follow of a kink.
                let near = (share.value - truth).abs() < 3.0 * share.standard_error + 0.003;
                assert!(near, "{name}: {share:?} {truth}");
                assert!(share.standard_error < 0.02, "{name}: {share:?}");
            }
            let rest = 1.0 - expected.iter().sum::<f64>();
            // The sum of three shares, each within its 0.02 at most and mostly far nearer.
            assert!((found.together.value - rest).abs() < 0.03, "{name}: {:?} {rest}", found.together);
        }
    }

    #[test]
    fn two_standard_errors_hold_the_truth_of_few_pairs_nine_times_in_ten() {
        for ((name, figure), expected) in FIGURES.into_iter().zip(reference()) {
            let mut held = [0; 3];
            for seed in 0..200 {
                let (values, inputs) = drawn(figure, 200, seed);
                let found = shares(&values, &inputs, true).unwrap();
                for (i, share) in [found.inputs[0], found.inputs[1], found.years.unwrap()].iter().enumerate()
                {
                    held[i] += i32::from((share.value - expected[i]).abs() <= 2.0 * share.standard_error);
                }
            }
            // 180 of 200, less three standard errors of a count of 200.
            assert!(held.iter().all(|n| *n >= 167), "{name}: {held:?}");
        }
    }

    #[test]
    fn what_never_changes_is_owed_to_nothing() {
        let inputs = vec![(0..40).map(|i| [f64::from(i), f64::from(i * i % 7)]).collect::<Vec<_>>()];
        assert_eq!(shares(&[[2.5, 2.5]; 40], &inputs, true), None);
        assert_eq!(shares(&[[1.0, 2.0]; 19], &[vec![[1.0, 2.0]; 19]], true), None);
        // One input alone, of two values: all is owed to it.
        let z: Vec<[f64; 2]> = (0..40).map(|i| [f64::from(i % 2), f64::from(i / 2 % 2)]).collect();
        let y: Vec<[f64; 2]> = z.iter().map(|z| z.map(|z| 3.0 * z + 1.0)).collect();
        let found = shares(&y, &[z], false).unwrap();
        assert!(found.years.is_none() && (found.inputs[0].value - 1.0).abs() < 1e-12, "{found:?}");
        assert!(found.together.value < 1e-12);
    }
}
