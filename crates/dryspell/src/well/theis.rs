//! Drawdown around a pumped well in time: Theis.

use libm::{exp, log};

/// Euler's constant.
const EULER: f64 = 0.577_215_664_901_532_9;

/// The well function of Theis, which is the exponential integral E₁.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | u | `r² S/(4 T t)` | – | > 0 |
/// | W | result | – | ≥ 0 |
///
/// # Equation
/// `W(u) = ∫ e^(−x)/x dx` from u on. Up to 1 the series `−γ − ln u − Σ (−u)^n/(n n!)`; above it the continued fraction
/// `e^(−u)/(u + 1 − 1/(u + 3 − 4/(u + 5 − …)))` by Lentz's method.
///
/// # Validity
/// Relative error below 1e-13.
///
/// # Example
/// ```
/// use dryspell::well::well_function;
/// assert!((well_function(1.0) - 0.219_384).abs() < 1e-6);
/// assert!((well_function(1e-10) - 22.4486).abs() < 1e-4);
/// ```
///
/// # References
/// - C. V. Theis, Trans. Am. Geophys. Union 16 (1935) 519.
/// - M. Abramowitz, I. A. Stegun, *Handbook of Mathematical Functions* (1964), 5.1.11 and 5.1.22.
#[must_use]
pub fn well_function(u: f64) -> f64 {
    if u.is_nan() || u < 0.0 {
        return f64::NAN;
    }
    if u == 0.0 {
        return f64::INFINITY;
    }
    if u <= 1.0 {
        let (mut term, mut sum, mut n) = (1.0, 0.0, 0.0);
        loop {
            n += 1.0;
            term *= -u / n;
            let change = term / n;
            sum += change;
            if change.abs() < 1e-17 {
                break;
            }
        }
        return -EULER - log(u) - sum;
    }
    let mut b = u + 1.0;
    let mut c = 1e300;
    let mut d = 1.0 / b;
    let mut h = d;
    let mut n = 0.0;
    for _ in 0..300 {
        n += 1.0;
        let a = -n * n;
        b += 2.0;
        d = 1.0 / (a * d + b);
        c = b + a / c;
        let change = c * d;
        h *= change;
        if (change - 1.0).abs() < 1e-16 {
            break;
        }
    }
    h * exp(-u)
}

/// An aquifer and a point in it.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | T | transmissivity | m²/h | > 0 |
/// | S | storativity | – | > 0 |
/// | r | distance from the pumped well (its radius for the well itself) | m | > 0 |
/// | t | time since pumping began | h | > 0 |
/// | Q | flow | m³/h | |
/// | s | drawdown | m | |
///
/// # Equation
/// `s = Q/(4 π T) W(u)`. A flow that changes is a sum of flows that begin one after another:
/// `s(t) = Σ (Q_i − Q_{i−1})/(4 π T) W(r² S/(4 T (t − t_i)))`.
///
/// # Validity
/// Confined, even and endless aquifer, fully pierced by a thin well; no storage in the bore, no well loss.
///
/// # Example
/// ```
/// use dryspell::well::Aquifer;
/// // Pumping and recovery: long after a short pumping the level is back.
/// let aquifer = Aquifer { transmissivity_m2_per_h: 4.0, storativity: 1e-3, distance_m: 5.0 };
/// let s = aquifer.drawdown_m(&[(0.0, 20.0), (1.0, 0.0)], 1000.0);
/// // Q/(4πT)·ln(t/(t − 1)) = 0.398 · 0.001.
/// assert!((s - 3.98e-4).abs() < 1e-6);
/// ```
///
/// # References
/// C. V. Theis 1935; superposition in time: G. P. Kruseman, N. A. de Ridder, *Analysis and Evaluation of Pumping Test Data*
/// (1990).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aquifer {
    /// Transmissivity, m²/h.
    pub transmissivity_m2_per_h: f64,
    /// Storativity.
    pub storativity: f64,
    /// Distance from the pumped well, m.
    pub distance_m: f64,
}

impl Aquifer {
    /// Drawdown at a time, m, from flows that each hold from their time (h) until the next.
    #[must_use]
    pub fn drawdown_m(&self, flows: &[(f64, f64)], time_h: f64) -> f64 {
        let t = self.transmissivity_m2_per_h;
        let mut before = 0.0;
        let mut sum = 0.0;
        for (from, flow) in flows.iter().take_while(|(from, _)| *from < time_h) {
            let u = self.distance_m * self.distance_m * self.storativity / (4.0 * t * (time_h - from));
            sum += (flow - before) * well_function(u);
            before = *flow;
        }
        sum / (4.0 * std::f64::consts::PI * t)
    }
}
