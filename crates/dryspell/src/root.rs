//! A bracketed root.

/// Where a falling function passes through zero, by Chandrupatla's method: inverse quadratic steps where they are safe,
/// halving elsewhere.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | x | place | any | `low` ≤ x ≤ `high` |
/// | f | function | any | falls from `low` to `high` |
///
/// # Equation
/// Returns x with `|f(x)| ≤ tolerance`, or the better end of a bracket no wider than rounding allows. If `f` has no
/// change of sign, the end nearer to one.
///
/// # Validity
/// `f` continuous on the bracket. At most 100 evaluations.
///
/// # References
/// T. R. Chandrupatla, *A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function without
/// using derivatives*, Adv. Eng. Softw. 28:145–149 (1997), DOI 10.1016/S0965-9978(96)00051-8 (DOI from memory). The first step is a
/// secant instead of a halving.
pub(crate) fn falling_root(mut f: impl FnMut(f64) -> f64, low: f64, high: f64, tolerance: f64) -> f64 {
    let (mut a, mut fa) = (low, f(low));
    if fa <= tolerance {
        return low;
    }
    let (mut b, mut fb) = (high, f(high));
    if fb >= -tolerance {
        return high;
    }
    let mut t = fa / (fa - fb);
    for _ in 0..100 {
        let x = a + t * (b - a);
        let fx = f(x);
        if fx.abs() <= tolerance {
            return x;
        }
        // The new bracket runs from a, the newest point, to b; c is the point that was dropped.
        let (c, fc);
        if (fx > 0.0) == (fa > 0.0) {
            (c, fc) = (a, fa);
        } else {
            (c, fc) = (b, fb);
            (b, fb) = (a, fa);
        }
        (a, fa) = (x, fx);
        let best = if fb.abs() < fa.abs() { b } else { a };
        let narrowest = 2.0 * f64::EPSILON * best.abs() / (b - a).abs();
        if narrowest > 0.5 {
            return best;
        }
        let xi = (a - b) / (c - b);
        let phi = (fa - fb) / (fc - fb);
        t = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            let t = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb);
            t.clamp(narrowest, 1.0 - narrowest)
        } else {
            0.5
        };
    }
    a
}

/// The greatest x at which a falling function is not below zero, to within a width: the operating point that can be held.
///
/// As [`falling_root`], but the end returned is always the one where `f ≥ 0`, so that at a jump the point is one that the
/// power suffices for; `None` where it does not suffice even at `low`.
pub(crate) fn last_sustained(mut f: impl FnMut(f64) -> f64, low: f64, high: f64, width: f64) -> Option<f64> {
    let (mut a, mut fa) = (high, f(high));
    if fa >= 0.0 {
        return Some(high);
    }
    let (mut b, mut fb) = (low, f(low));
    if fb.is_nan() || fb < 0.0 {
        return None;
    }
    let mut t = 0.5;
    for _ in 0..200 {
        let x = a + t * (b - a);
        let fx = f(x);
        let (c, fc);
        if (fx > 0.0) == (fa > 0.0) {
            (c, fc) = (a, fa);
        } else {
            (c, fc) = (b, fb);
            (b, fb) = (a, fa);
        }
        (a, fa) = (x, fx);
        let narrowest = (2.0 * f64::EPSILON * a.abs().max(b.abs())).max(0.5 * width) / (b - a).abs();
        if narrowest > 0.5 {
            break;
        }
        let xi = (a - b) / (c - b);
        let phi = (fa - fb) / (fc - fb);
        t = if phi * phi < xi && (1.0 - phi) * (1.0 - phi) < 1.0 - xi {
            let t = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb);
            t.clamp(narrowest, 1.0 - narrowest)
        } else {
            0.5
        };
    }
    Some(if fa >= 0.0 { a } else { b })
}

#[cfg(test)]
mod tests {
    use super::{falling_root, last_sustained};
    use std::cell::Cell;

    #[test]
    fn finds_roots_quickly() {
        let calls = Cell::new(0);
        let f = |x: f64| {
            calls.set(calls.get() + 1);
            2.0 - x * x * x
        };
        let root = falling_root(f, 0.0, 2.0, 1e-14);
        assert!((root * root * root - 2.0).abs() < 1e-13);
        assert!(calls.get() < 15, "{}", calls.get());
    }

    #[test]
    fn survives_a_step_and_a_missing_root() {
        let step = falling_root(|x| if x < 0.3 { 1.0 } else { -1.0 }, 0.0, 1.0, 1e-12);
        assert!((step - 0.3).abs() < 1e-12);
        assert!(falling_root(|_| -1.0, 0.5, 1.0, 1e-12).total_cmp(&0.5).is_eq());
        assert!(falling_root(|_| 1.0, 0.5, 1.0, 1e-12).total_cmp(&1.0).is_eq());
    }

    #[test]
    fn the_last_sustained_point_lies_before_a_jump() {
        let at = |f: fn(f64) -> f64| last_sustained(f, 0.0, 1.0, 1e-12);
        let jump = at(|x| if x < 0.3 { 1.0 } else { -2.0 }).unwrap();
        assert!(jump < 0.3 && jump > 0.3 - 1e-11);
        assert!((at(|x| 0.25 - x * x).unwrap() - 0.5).abs() < 1e-11);
        assert!(at(|_| -1.0).is_none());
        assert!(at(|_| 1.0).unwrap().total_cmp(&1.0).is_eq());
    }
}
