//! What one head needs against the temperature of the day: linear interpolation between published points that do not fall.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `T` | temperature that the class follows: the day's mean, or its lowest hour | °C | any |
//! | `V` | water a head and day | L | ≥ 0 |
//!
//! # Equation
//!
//! `V = V_i + (V_{i+1} − V_i)·(T − T_i)/(T_{i+1} − T_i)` between points; `V_1` below the first. Above the last point the
//! last line goes on. A point lower than the one before it is raised to it.
//!
//! # Validity
//!
//! Raising is deliberate: one published table falls between 80 and 90 °F only because its cows were taken to eat less,
//! and a scheme must not be given less water in heat. What lies above the last point is our own extension.
//!
//! The temperature is the **running mean of 24 hours, read at the end of the local day**: the mean of that day. The
//! published figures go by mean daily temperature, and draw is counted by day. A mean over several days would blunt the
//! first day of a heat wave, on the wrong side.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::classes::{Curve, DayAir, Follows};
//! // 20 L at 10 °C, 30 L at 20 °C: 25 L at 15 °C, 20 L in frost, 35 L at 25 °C.
//! let curve = Curve::new(Follows::Mean, &[(10.0, 20.0), (20.0, 30.0)]);
//! let litres = |degc| curve.litres_per_day(DayAir::steady(degc));
//! assert!((litres(15.0) - 25.0).abs() < 1e-12 && (litres(-5.0) - 20.0).abs() < 1e-12);
//! assert!((litres(25.0) - 35.0).abs() < 1e-12);
//! ```
//!
//! # References
//!
//! - Winchester, C. F. and Morris, M. J. (1956). Water intake rates of cattle. Journal of Animal Science 15, 722–740:
//!   flat below 40 °F, rising at an increasing rate to 100 °F.

/// Air temperatures of one local day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayAir {
    /// Mean of the day's 24 hours, °C.
    pub mean_degc: f64,
    /// The lowest of the day's hours, °C.
    pub least_degc: f64,
}

impl DayAir {
    /// The air of a day, from its hours.
    #[must_use]
    pub fn of(hours_degc: &[f64]) -> Self {
        #[expect(clippy::cast_precision_loss, reason = "a day has 24 hours")]
        let count = hours_degc.len() as f64;
        Self {
            mean_degc: hours_degc.iter().sum::<f64>() / count,
            least_degc: hours_degc.iter().copied().fold(f64::INFINITY, f64::min),
        }
    }

    /// A day on which the temperature does not change.
    #[must_use]
    pub const fn steady(degc: f64) -> Self {
        Self { mean_degc: degc, least_degc: degc }
    }
}

/// The temperature that a class goes by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Follows {
    /// Mean of the local day.
    Mean,
    /// Lowest hour of the local day.
    Least,
}

/// Need of one head against temperature.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    follows: Follows,
    /// °C and litres, both rising (litres may stay).
    points: Vec<(f64, f64)>,
    /// Dry matter eaten, kg a day, where the law knows it.
    dry_matter_kg: Option<f64>,
}

impl Curve {
    /// A curve through points of °C and litres a day, in rising order of temperature. A single point is the same need
    /// at any temperature.
    #[must_use]
    pub fn new(follows: Follows, points: &[(f64, f64)]) -> Self {
        let mut highest = 0.0;
        let held = |&(degc, litres): &(f64, f64)| {
            highest = f64::max(highest, litres);
            (degc, highest)
        };
        Self { follows, points: points.iter().map(held).collect(), dry_matter_kg: None }
    }

    /// The same curve for an animal that eats so much dry matter, kg a day.
    #[must_use]
    pub fn eating(self, dry_matter_kg: f64) -> Self {
        Self { dry_matter_kg: Some(dry_matter_kg), ..self }
    }

    /// Every litre multiplied.
    #[must_use]
    pub fn times(mut self, factor: f64) -> Self {
        for point in &mut self.points {
            point.1 *= factor;
        }
        self
    }

    /// Dry matter that the animal eats, kg a day, where the law knows it.
    #[must_use]
    pub const fn dry_matter_kg(&self) -> Option<f64> {
        self.dry_matter_kg
    }

    /// Litres a head on a day of that air.
    #[must_use]
    pub fn litres_per_day(&self, air: DayAir) -> f64 {
        let degc = match self.follows {
            Follows::Mean => air.mean_degc,
            Follows::Least => air.least_degc,
        };
        let Some((&first, rest)) = self.points.split_first() else { return 0.0 };
        if degc <= first.0 {
            return first.1;
        }
        let mut low = first;
        let mut litres = low.1;
        for &high in rest {
            litres = low.1 + (high.1 - low.1) * ((degc - low.0) / (high.0 - low.0));
            if degc <= high.0 {
                break;
            }
            low = high;
        }
        litres
    }
}
