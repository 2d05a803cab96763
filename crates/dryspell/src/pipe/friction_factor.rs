//! The friction factor of a round pipe.

/// Reynolds number up to which flow is laminar.
pub(crate) const LAMINAR_BELOW: f64 = 2000.0;
/// Reynolds number from which flow is turbulent.
pub(crate) const TURBULENT_ABOVE: f64 = 4000.0;

/// 2 / ln 10.
const TWO_PER_LN_10: f64 = 0.868_588_963_806_503_7;

/// The Darcy friction factor by Reynolds number, for a wall of one relative roughness.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Re | Reynolds number, V D / ν | – | > 0 |
/// | e/D | wall roughness over inside diameter | – | 0 to 0.05 |
/// | f | Darcy friction factor | – | |
///
/// # Equation
/// - laminar, Re ≤ 2000: `f = 64 / Re`;
/// - turbulent, Re ≥ 4000: `1/√f = −2 log₁₀(e/(3.7 D) + 2.51/(Re √f))`, solved for `1/√f` from
///   Haaland's explicit formula by a series to the fifth power, to better than 10⁻¹² of its value;
/// - between: the cubic in Re that joins both in value and slope.
///
/// # Validity
/// Full pipe, steady flow. Between 2000 and 4000 real flow is unsteady and no formula is right; the cubic is
/// chosen so that `f Re²`, and with it the head lost, still rises with flow. Other authors' joining cubics
/// (J. Dunlop's of 1991, as used for water networks) differ from this one by a few percent there.
///
/// # Example
/// ```
/// use dryspell::pipe::FrictionFactor;
/// let smooth = FrictionFactor::new(0.0);
/// assert!((smooth.at(1000.0) - 0.064).abs() < 1e-15);
/// // The Moody chart's smooth line.
/// assert!((smooth.at(1e5) - 0.0180).abs() < 5e-5);
/// ```
///
/// # References
/// - C. F. Colebrook, *Turbulent flow in pipes, with particular reference to the transition region between the smooth
///   and rough pipe laws*, J. Inst. Civ. Eng. 11:133–156 (1939), DOI 10.1680/ijoti.1939.13150.
/// - S. E. Haaland, *Simple and explicit formulas for the friction factor in turbulent pipe flow*, J. Fluids Eng.
///   105:89–90 (1983), DOI 10.1115/1.3240948 (start of the iteration; DOIs from memory).
/// - L. A. Rossman et al., *EPANET 2.2 User Manual*, US EPA (2020), chapter 12: the limits 2000 and 4000.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrictionFactor {
    /// e / (3.7 D)
    rough: f64,
    /// (e / (3.7 D))^1.11, Haaland's term
    rough_haaland: f64,
    /// Factor at Re 4000, and the change that its slope there makes over the whole transition.
    at_4000: f64,
    slope_4000: f64,
}

impl FrictionFactor {
    /// For a relative roughness (negative is taken as smooth).
    #[must_use]
    pub fn new(relative_roughness: f64) -> Self {
        let rough = relative_roughness.max(0.0) / 3.7;
        let rough_haaland = libm::pow(rough, 1.11);
        let mut law = Self { rough, rough_haaland, at_4000: 0.0, slope_4000: 0.0 };
        let x = law.inverse_root(TURBULENT_ABOVE);
        // Differentiating x + 2 log10(a + 2.51 x / Re) = 0 gives x', and f = x⁻² gives f' = −2 x' / x³.
        let b = 2.51 / TURBULENT_ABOVE;
        let k = TWO_PER_LN_10 / (rough + b * x);
        let x_slope = k * b * x / TURBULENT_ABOVE / (1.0 + k * b);
        law.at_4000 = 1.0 / (x * x);
        law.slope_4000 = -2.0 * x_slope / (x * x * x);
        law
    }

    /// The factor at a Reynolds number above 0.
    #[must_use]
    pub fn at(&self, reynolds: f64) -> f64 {
        if reynolds <= LAMINAR_BELOW {
            64.0 / reynolds
        } else if reynolds < TURBULENT_ABOVE {
            self.transition(reynolds)
        } else {
            let x = self.inverse_root(reynolds);
            1.0 / (x * x)
        }
    }

    /// 1/√f in turbulent flow.
    ///
    /// From a start `x₀` let `A = a + b x₀` be the argument of the logarithm, `k = 2 / ln 10` and `u = b (x − x₀) / A` its share of
    /// change: `x₀ + u A/b + k (ln A + ln(1 + u)) = 0`. With `s = k b / (A + k b)` and `y = −(x₀ + k ln A) s / k` this is
    /// `y = u + s (−u²/2 + u³/3 − …)`, and the reversed series gives u, which is below 0.013, to its fifth power.
    fn inverse_root(&self, reynolds: f64) -> f64 {
        let inverse = 1.0 / reynolds;
        let start = -0.9 * TWO_PER_LN_10 * near_log(self.rough_haaland + 6.9 * inverse);
        let b = 2.51 * inverse;
        let argument = self.rough + b * start;
        let kb = TWO_PER_LN_10 * b;
        let s = kb / (argument + kb);
        let y = -(start / TWO_PER_LN_10 + libm::log(argument)) * s;
        let [c2, c3, c4, c5] = [-s / 2.0, s / 3.0, -s / 4.0, s / 5.0];
        let a3 = 2.0 * c2 * c2 - c3;
        let a4 = 5.0 * c2 * (c3 - c2 * c2) - c4;
        let a5 = 6.0 * c2 * c4 + 3.0 * c3 * c3 + 7.0 * c2 * c2 * (2.0 * c2 * c2 - 3.0 * c3) - c5;
        let u = y + y * y * (-c2 + y * (a3 + y * (a4 + y * a5)));
        start + u * argument * (reynolds / 2.51)
    }

    fn transition(&self, reynolds: f64) -> f64 {
        let width = TURBULENT_ABOVE - LAMINAR_BELOW;
        let at_2000 = 64.0 / LAMINAR_BELOW;
        let a = -at_2000 / LAMINAR_BELOW * width;
        let b = self.slope_4000 * width;
        let rise = self.at_4000 - at_2000;
        let t = (reynolds - LAMINAR_BELOW) / width;
        at_2000 + t * (a + t * (3.0 * rise - 2.0 * a - b + t * (a + b - 2.0 * rise)))
    }
}

/// The natural logarithm of a normal number above 0 to within 0.006: the exponent, and a parabola over the fraction.
fn near_log(x: f64) -> f64 {
    let bits = x.to_bits();
    let exponent = f64::from((bits >> 52) as u16) - 1023.0;
    let fraction = f64::from_bits(bits & 0x000f_ffff_ffff_ffff | 0x3ff0_0000_0000_0000);
    // Exact at 1 and 2; the factor makes the error between them alike on both sides.
    let log2 = exponent + (fraction - 1.0) * (1.0 + 0.344 * (2.0 - fraction));
    log2 * std::f64::consts::LN_2
}

#[cfg(test)]
mod tests {
    use super::{FrictionFactor, LAMINAR_BELOW, TURBULENT_ABOVE};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn colebrook_is_solved(log_re in 3.603_f64..9.0, rough in 0.0_f64..0.05) {
            let re = libm::pow(10.0, log_re);
            let f = FrictionFactor::new(rough).at(re);
            let x = 1.0 / f.sqrt();
            let right = -2.0 * libm::log10(rough / 3.7 + 2.51 / re * x);
            prop_assert!((x - right).abs() <= 1e-12 * x, "Re {re}: {x} {right}");
        }

        #[test]
        fn value_and_slope_join_at_both_limits(rough in 0.0_f64..0.05) {
            let law = FrictionFactor::new(rough);
            for limit in [LAMINAR_BELOW, TURBULENT_ABOVE] {
                let [below, at, above] = [-1e-3, 0.0, 1e-3].map(|d| law.at(limit + d));
                prop_assert!((below - at).abs() < 1e-7 && (above - at).abs() < 1e-7);
                // Slopes are about 1e-5 per unit of Re.
                prop_assert!(((above - at) - (at - below)).abs() / 1e-3 < 1e-7, "slopes at {limit}");
            }
        }

        #[test]
        fn head_lost_rises_through_the_transition(rough in 0.0_f64..0.05, re in 1500.0_f64..4500.0) {
            let law = FrictionFactor::new(rough);
            let loss = |re: f64| law.at(re) * re * re;
            prop_assert!(loss(re + 1.0) > loss(re));
        }
    }
}
