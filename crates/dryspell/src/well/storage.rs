//! The water standing in the bore.

use crate::root::falling_root;

/// A bore whose standing water feeds the pump while the aquifer follows.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | A | area of the water in the bore, the drop pipe's taken off | m² | > 0 |
/// | SC | specific capacity of the aquifer, 1/B | m³/h per m | > 0 |
/// | Y | most that flows in | m³/h | > 0, or none |
/// | Q | flow pumped | m³/h | ≥ 0 |
/// | s | drawdown in the bore | m | ≥ 0 |
///
/// # Equation
/// `A ds/dt = Q − min(SC s, Y)`, solved exactly for a steady Q: below `s = Y/SC`
/// `s = Q/SC + (s₀ − Q/SC) e^(−t/τ)` with `τ = A/SC`; above it a straight line of slope `(Q − Y)/A`.
///
/// # Validity
/// The aquifer answers at once: no storage in it, so the drawdown does not creep for days. The well loss `C Q²` comes on
/// top and has no memory.
///
/// # Example
/// ```
/// use dryspell::well::Bore;
/// // A 6 in bore, 0.05 gpm/ft, 0.3 L/s: 8.36 m after 10 minutes, on the way to 29 m.
/// let bore = Bore { area_m2: 0.018_241, specific_capacity_m3_per_h_m: 1.03494e-5 * 3600.0, yield_m3_per_h: None };
/// let (s, _) = bore.advance(0.0, 1.08, 1.0 / 6.0);
/// assert!((s - 8.3635).abs() < 0.001);
/// ```
///
/// # References
/// I. S. Papadopulos, H. H. Cooper, *Drawdown in a well of large diameter*, Water Resour. Res. 3:241–244 (1967), the case
/// of an aquifer without storage: a first-order tank.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bore {
    /// Area of the water, m².
    pub area_m2: f64,
    /// Specific capacity, m³/h per m.
    pub specific_capacity_m3_per_h_m: f64,
    /// The most that flows in, m³/h.
    pub yield_m3_per_h: Option<f64>,
}

impl Bore {
    /// Drawdown after a time at a steady flow, and its mean over that time, m.
    #[must_use]
    pub fn advance(&self, drawdown_m: f64, flow_m3_per_h: f64, time_h: f64) -> (f64, f64) {
        if time_h <= 0.0 {
            return (drawdown_m, drawdown_m);
        }
        let sc = self.specific_capacity_m3_per_h_m;
        let Some(most) = self.yield_m3_per_h else {
            return self.relax(drawdown_m, flow_m3_per_h, time_h);
        };
        // The drawdown from which the aquifer gives no more.
        let knee = most / sc;
        let ending = flow_m3_per_h / sc;
        let slope = (flow_m3_per_h - most) / self.area_m2;
        let line = |from: f64, time: f64| (from + slope * time, from + 0.5 * slope * time);
        if drawdown_m <= knee {
            if ending <= knee {
                return self.relax(drawdown_m, flow_m3_per_h, time_h);
            }
            let reach = self.area_m2 / sc * libm::log((ending - drawdown_m) / (ending - knee));
            if reach >= time_h {
                return self.relax(drawdown_m, flow_m3_per_h, time_h);
            }
            let (_, first) = self.relax(drawdown_m, flow_m3_per_h, reach);
            let (end, second) = line(knee, time_h - reach);
            return (end, (first * reach + second * (time_h - reach)) / time_h);
        }
        let reach = if slope < 0.0 { (knee - drawdown_m) / slope } else { f64::INFINITY };
        if reach >= time_h {
            return line(drawdown_m, time_h);
        }
        let (_, first) = line(drawdown_m, reach);
        let (end, second) = self.relax(knee, flow_m3_per_h, time_h - reach);
        (end, (first * reach + second * (time_h - reach)) / time_h)
    }

    /// The exponential part.
    fn relax(&self, from: f64, flow: f64, time_h: f64) -> (f64, f64) {
        let rate = self.specific_capacity_m3_per_h_m / self.area_m2;
        let to = flow / self.specific_capacity_m3_per_h_m;
        let x = rate * time_h;
        if x <= 0.0 {
            return (from, from);
        }
        let gone = -libm::expm1(-x);
        // For short times the mean lies half way along.
        let mean_left = if x < 1e-8 { 1.0 - 0.5 * x } else { gone / x };
        (from + (to - from) * gone, to + (from - to) * mean_left)
    }

    /// Time until the drawdown comes to a level at a steady flow, h; `None` if not within `most_h`.
    #[must_use]
    pub fn time_to(&self, drawdown_m: f64, flow_m3_per_h: f64, target_m: f64, most_h: f64) -> Option<f64> {
        let after = |t: f64| self.advance(drawdown_m, flow_m3_per_h, t).0;
        let end = after(most_h);
        let rises = target_m > drawdown_m;
        if (rises && end < target_m) || (!rises && end > target_m) {
            return None;
        }
        let sign = if rises { 1.0 } else { -1.0 };
        Some(falling_root(|t| sign * (target_m - after(t)), 0.0, most_h, 0.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn an_hour_in_parts_is_the_hour_and_the_water_balances(
            area_m2 in 0.002_f64..0.2,
            sc in 0.01_f64..20.0,
            most in prop::option::of(0.05_f64..5.0),
            start in 0.0_f64..40.0,
            flow in 0.0_f64..6.0,
            part in 0.01_f64..0.99,
        ) {
            let bore = Bore { area_m2, specific_capacity_m3_per_h_m: sc, yield_m3_per_h: most };
            let (end, mean) = bore.advance(start, flow, 1.0);
            let (middle, first) = bore.advance(start, flow, part);
            let (again, second) = bore.advance(middle, flow, 1.0 - part);
            let scale = 1.0 + start + flow / sc + flow / area_m2;
            prop_assert!((end - again).abs() < 1e-9 * scale);
            prop_assert!((mean - first * part - second * (1.0 - part)).abs() < 1e-9 * scale);
            if most.is_none() {
                // What was pumped is what flowed in and what the bore gave up.
                prop_assert!((flow - sc * mean - area_m2 * (end - start)).abs() < 1e-9 * (1.0 + flow + sc * scale));
            }
            let (more, more_mean) = bore.advance(start, flow * 1.1, 1.0);
            prop_assert!(more >= end - 1e-12 * scale && more_mean >= mean - 1e-12 * scale);
        }
    }
}
