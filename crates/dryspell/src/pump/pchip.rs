//! Monotone cubic interpolation.

use std::fmt;

/// A piecewise cubic through points that never overshoots them: rising data give a rising curve.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | x | place | any | strictly rising, at least two |
/// | y | value | any | finite |
///
/// # Equation
/// On each interval a cubic Hermite polynomial. With the intervals' widths `h` and slopes `m`, the slope at an inner
/// point is 0 where the two neighbouring slopes differ in sign or one is 0, else their weighted harmonic mean
/// `(w₁ + w₂) / (w₁/m₁ + w₂/m₂)`, `w₁ = 2 h₂ + h₁`, `w₂ = h₂ + 2 h₁`. At an end it is the three-point slope
/// `((2 h₁ + h₂) m₁ − h₁ m₂) / (h₁ + h₂)`, 0 if its sign is not that of `m₁`, and at most `3 m₁` where `m₁` and `m₂`
/// differ in sign. Two points give a straight line.
///
/// # Validity
/// Outside the points the end values are kept: nothing is extrapolated. The curve has a continuous slope, no
/// continuous curvature. It keeps the order of *places*, not of *data sets*: raising one value can lower the curve
/// between two others.
///
/// # Example
/// ```
/// use dryspell::pump::Pchip;
/// // A straight line stays straight, and the ends are kept.
/// let line = Pchip::new(&[0.0, 1.0, 3.0], &[2.0, 3.0, 5.0]).ok_or("points")?;
/// assert!((line.at(2.0) - 4.0).abs() < 1e-15);
/// assert!((line.at(9.0) - 5.0).abs() < 1e-15);
/// # Ok::<(), &str>(())
/// ```
///
/// # References
/// - F. N. Fritsch, R. E. Carlson, *Monotone piecewise cubic interpolation*, SIAM J. Numer. Anal. 17:238–246 (1980),
///   DOI 10.1137/0717021.
/// - F. N. Fritsch, J. Butland, *A method for constructing local monotone piecewise cubic interpolants*, SIAM J. Sci.
///   Stat. Comput. 5:300–304 (1984), DOI 10.1137/0905021: the harmonic mean. The end slopes are those of the SLATEC
///   routine PCHIM. DOIs from memory.
#[derive(Clone, PartialEq)]
pub struct Pchip {
    knots: Vec<Knot>,
}

/// A point with the curve's slope there.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Knot {
    x: f64,
    y: f64,
    slope: f64,
}

impl fmt::Debug for Pchip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.knots.iter().map(|k| (k.x, k.y))).finish()
    }
}

impl Pchip {
    /// The curve through the points; `None` unless there are at least two, all finite, with `x` strictly rising.
    #[must_use]
    pub fn new(x: &[f64], y: &[f64]) -> Option<Self> {
        let usable = x.len() == y.len()
            && x.len() >= 2
            && x.iter().chain(y).all(|v| v.is_finite())
            && x.windows(2).all(|w| w[0] < w[1]);
        if !usable {
            return None;
        }
        let slopes = slopes(x, y);
        let knots = x.iter().zip(y).zip(slopes).map(|((&x, &y), slope)| Knot { x, y, slope }).collect();
        Some(Self { knots })
    }

    /// A single point, whose value holds everywhere.
    pub(super) fn constant(x: f64, y: f64) -> Self {
        Self { knots: vec![Knot { x, y, slope: 0.0 }] }
    }

    /// The curve at `x`; beyond the points, the nearer end's value.
    #[must_use]
    pub fn at(&self, x: f64) -> f64 {
        let upper = self.knots.partition_point(|k| k.x <= x);
        if upper == 0 {
            return self.knots[0].y;
        }
        let Some(b) = self.knots.get(upper) else {
            return self.knots[upper - 1].y;
        };
        let a = self.knots[upper - 1];
        let h = b.x - a.x;
        let t = (x - a.x) / h;
        let rise = b.y - a.y;
        a.y + t
            * (h * a.slope
                + t * (3.0 * rise - h * (2.0 * a.slope + b.slope)
                    + t * (h * (a.slope + b.slope) - 2.0 * rise)))
    }

    /// The curve's slopes at its points.
    #[must_use]
    pub fn slopes(&self) -> Vec<f64> {
        self.knots.iter().map(|k| k.slope).collect()
    }

    /// The first point's place and value.
    #[must_use]
    pub fn first(&self) -> (f64, f64) {
        self.knots.first().map_or((0.0, 0.0), |k| (k.x, k.y))
    }

    /// The last point's place and value.
    #[must_use]
    pub fn last(&self) -> (f64, f64) {
        self.knots.last().map_or((0.0, 0.0), |k| (k.x, k.y))
    }
}

/// Slopes at the points (see [`Pchip`]).
fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let h: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
    let m: Vec<f64> = y.windows(2).zip(&h).map(|(w, h)| (w[1] - w[0]) / h).collect();
    let last = m.len() - 1;
    if last == 0 {
        return vec![m[0]; 2];
    }
    let inner = (0..last).map(|k| {
        if m[k] * m[k + 1] <= 0.0 {
            return 0.0;
        }
        let w1 = 2.0 * h[k + 1] + h[k];
        let w2 = h[k + 1] + 2.0 * h[k];
        (w1 + w2) / (w1 / m[k] + w2 / m[k + 1])
    });
    std::iter::once(end_slope(h[0], h[1], m[0], m[1]))
        .chain(inner)
        .chain(std::iter::once(end_slope(h[last], h[last - 1], m[last], m[last - 1])))
        .collect()
}

/// The one-sided slope at an end; `h1`, `m1` belong to the interval at the end.
fn end_slope(h1: f64, h2: f64, m1: f64, m2: f64) -> f64 {
    let slope = ((2.0 * h1 + h2) * m1 - h1 * m2) / (h1 + h2);
    if slope * m1 <= 0.0 {
        0.0
    } else if m1 * m2 <= 0.0 && slope.abs() > 3.0 * m1.abs() {
        3.0 * m1
    } else {
        slope
    }
}

#[cfg(test)]
mod tests {
    use super::Pchip;

    #[test]
    fn unusable_points_are_refused() {
        assert!(Pchip::new(&[1.0], &[1.0]).is_none());
        assert!(Pchip::new(&[1.0, 1.0], &[1.0, 2.0]).is_none());
        assert!(Pchip::new(&[1.0, 2.0], &[1.0]).is_none());
        assert!(Pchip::new(&[1.0, f64::NAN], &[1.0, 2.0]).is_none());
    }

    #[test]
    fn end_slopes_turn_flat_or_are_limited() {
        // The three-point slope points the wrong way: flat. (h 1, 1; m 1, 4: (3·1 − 4)/2 < 0.)
        let flat = Pchip::new(&[0.0, 1.0, 2.0], &[0.0, 1.0, 5.0]).unwrap();
        assert_eq!(flat.slopes()[0].to_bits(), 0.0_f64.to_bits());
        // It overshoots a turning point: at most three times the interval's own slope. (m 1, −4: 3.5 → 3.)
        let limited = Pchip::new(&[0.0, 1.0, 2.0], &[0.0, 1.0, -3.0]).unwrap();
        assert!((limited.slopes()[0] - 3.0).abs() < 1e-15);
    }
}
