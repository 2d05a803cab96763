//! Laws from which a value may be drawn.

use crate::normal;

/// What is known of a value: a distribution, in the base unit of its key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Law {
    /// Any value between two, equally likely.
    Uniform {
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
    },
    /// A normal distribution, cut at both ends.
    Normal {
        /// Mean before it is cut.
        mean: f64,
        /// Standard deviation before it is cut, above 0.
        deviation: f64,
        /// Least; may be infinite.
        low: f64,
        /// Greatest; may be infinite.
        high: f64,
    },
    /// A triangle over two ends with its top at a third value.
    Triangular {
        /// Least.
        low: f64,
        /// Most likely.
        mode: f64,
        /// Greatest.
        high: f64,
    },
}

impl Law {
    /// The value with a chance `u` of a lower one.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// | --- | --- | --- | --- |
    /// | u | `u`: chance of a lower value | – | 0 to below 1 |
    /// | a, b | `low`, `high` | of the value | a < b |
    /// | c | `mode` | of the value | a to b |
    /// | μ, σ | `mean`, `deviation` | of the value | any, above 0 |
    ///
    /// # Equation
    /// Uniform: `a + u (b − a)`. Normal: `μ + σ Φ⁻¹(Φ(α) + u (Φ(β) − Φ(α)))`, `α = (a − μ)/σ`, `β = (b − μ)/σ`. Triangular:
    /// `a + √(u (b − a)(c − a))` below the mode, where `u < (c − a)/(b − a)`, else `b − √((1 − u)(b − a)(b − c))`.
    ///
    /// # Validity
    /// Never outside a to b. The same bytes on any machine: no function of the platform is used.
    ///
    /// # Example
    /// ```
    /// use dryspell::sweep::Law;
    /// let dust = Law::Triangular { low: 0.01, mode: 0.02, high: 0.06 };
    /// assert!((dust.quantile(0.5) - 0.028_377_223).abs() < 1e-9);
    /// ```
    ///
    /// # References
    /// Inverse of each distribution function, plain algebra; Φ⁻¹: [`normal::quantile`].
    #[must_use]
    pub fn quantile(&self, u: f64) -> f64 {
        match *self {
            Self::Uniform { low, high } => (low + u * (high - low)).clamp(low, high),
            Self::Normal { mean, deviation, low, high } => {
                let at = |x: f64| normal::cdf((x - mean) / deviation);
                let (below, above) = (at(low), at(high));
                (mean + deviation * normal::quantile(below + u * (above - below))).clamp(low, high)
            }
            Self::Triangular { low, mode, high } => {
                let (wide, left, right) = (high - low, mode - low, high - mode);
                let x = if u * wide < left {
                    low + (u * wide * left).sqrt()
                } else {
                    high - ((1.0 - u) * wide * right).sqrt()
                };
                x.clamp(low, high)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use statrs::distribution::{ContinuousCDF, Normal, Triangular, Uniform};

    const CHANCES: [f64; 9] = [0.0, 1e-6, 0.01, 0.2, 0.25, 0.5, 0.75, 0.99, 0.999_999];

    #[test]
    fn the_laws_agree_with_statrs() {
        let uniform = Uniform::new(1.0, 6.0).unwrap();
        let triangle = Triangular::new(1.0, 6.0, 2.0).unwrap();
        let normal = Normal::new(4.0, 1.5).unwrap();
        for u in CHANCES {
            // statrs' own inverse of the normal law was seen to be good to 4e-11.
            let near = |found: f64, expected: f64| {
                assert!((found - expected).abs() < 1e-9 * expected.abs().max(1.0), "{u}: {found} {expected}");
            };
            near(Law::Uniform { low: 1.0, high: 6.0 }.quantile(u), uniform.inverse_cdf(u));
            near(Law::Triangular { low: 1.0, mode: 2.0, high: 6.0 }.quantile(u), triangle.inverse_cdf(u));
            // Cut at both ends: the chance between them is shared anew.
            let (below, above) = (normal.cdf(2.0), normal.cdf(9.0));
            let cut = Law::Normal { mean: 4.0, deviation: 1.5, low: 2.0, high: 9.0 }.quantile(u);
            near(cut, normal.inverse_cdf(below + u * (above - below)).clamp(2.0, 9.0));
        }
        let whole = Law::Normal { mean: 4.0, deviation: 1.5, low: f64::NEG_INFINITY, high: f64::INFINITY };
        assert!((whole.quantile(0.975) - normal.inverse_cdf(0.975)).abs() < 1e-9);
    }

    #[test]
    fn no_chance_leads_outside() {
        for law in [
            Law::Uniform { low: 0.1, high: 0.3 },
            Law::Triangular { low: 0.1, mode: 0.1, high: 0.3 },
            Law::Triangular { low: 0.1, mode: 0.3, high: 0.3 },
            Law::Normal { mean: 9.0, deviation: 0.1, low: 0.1, high: 0.3 },
        ] {
            for u in CHANCES {
                assert!((0.1..=0.3).contains(&law.quantile(u)), "{law:?} {u}");
            }
        }
    }
}
