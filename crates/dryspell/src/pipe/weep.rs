//! The weep hole: what it loses while the pump runs, and how the pipe above it drains.

use crate::pump::GRAVITY_M_PER_S2;

/// A small hole in the pipe below frost depth, through which what lies above it drains when the pump stands.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct WeepHole {
    /// Index of the run that it is drilled in; the run's upper end is at the wellhead.
    pub run: usize,
    /// Depth below the wellhead, m, from 0 to the run's length.
    pub depth_m: f64,
    /// Diameter, m, > 0.
    pub diameter_m: f64,
    /// Discharge coefficient, 0.5 to 1: 0.61 for a sharp edge, about 0.8 for a hole deeper than twice its diameter.
    pub discharge_coefficient: f64,
}

impl WeepHole {
    /// Area of the hole, m².
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        std::f64::consts::PI * self.diameter_m * self.diameter_m / 4.0
    }

    /// Flow through the hole at a pressure head, m³/h.
    #[must_use]
    pub fn flow_m3_per_h(&self, head_m: f64) -> f64 {
        orifice_m3_per_h(self.discharge_coefficient, self.area_m2(), head_m)
    }
}

/// Flow through a small hole.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Cd | discharge coefficient | – | 0.5 to 1 |
/// | A | area of the hole | m² | > 0 |
/// | h | pressure head inside less that outside | m | below zero counts as none |
/// | Q | flow | m³/h | ≥ 0 |
///
/// # Equation
/// `Q = 3600 Cd A √(2 g h)`
///
/// # Validity
/// A hole much smaller than the pipe. The coefficient is that of clean water and a clean hole: scale closes it, wear
/// opens it.
///
/// # Example
/// ```
/// use dryspell::pipe::orifice_m3_per_h;
/// // A 1/16 in hole, sharp-edged, 10 m: 1.01 L/min.
/// let area = std::f64::consts::PI * 1.5875e-3 * 1.5875e-3 / 4.0;
/// assert!((orifice_m3_per_h(0.61, area, 10.0) / 0.06 - 1.0146).abs() < 1e-3);
/// ```
///
/// # References
/// *Encyclopaedia Britannica*, 11th ed. (1911), article Hydraulics, section 17: coefficient of contraction times that of
/// velocity, 0.64 × 0.97. Short mouthpieces near 0.8: Molesworth's pocket-book, seen in transcription.
#[must_use]
pub fn orifice_m3_per_h(discharge_coefficient: f64, area_m2: f64, head_m: f64) -> f64 {
    3600.0 * discharge_coefficient * area_m2 * (2.0 * GRAVITY_M_PER_S2 * head_m.max(0.0)).sqrt()
}

/// Time in which a column drains through a hole at its foot.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | S | section of the column: its volume over its height | m² | ≥ 0 |
/// | h | height of the column above the hole | m | ≥ 0 |
/// | t | result | h | |
///
/// # Equation
/// `t = S/(Cd A) √(2 h/g) / 3600`
///
/// # Validity
/// Air enters at the top as fast as water leaves. A pipe that is not upright is taken as an upright one of the same
/// volume and height.
///
/// # Example
/// ```
/// use dryspell::pipe::drain_down_h;
/// // 26 mm pipe, 10 m, a sharp-edged 1/16 in hole: 10.5 minutes.
/// let circle = |d: f64| std::f64::consts::PI * d * d / 4.0;
/// assert!((60.0 * drain_down_h(circle(0.026), 10.0, 0.61, circle(1.5875e-3)) - 10.47).abs() < 0.01);
/// ```
///
/// # References
/// E. Torricelli, *De motu gravium* (1644): outflow by the root of the head; integrated over the falling level.
#[must_use]
pub fn drain_down_h(section_m2: f64, height_m: f64, discharge_coefficient: f64, hole_m2: f64) -> f64 {
    section_m2 / (discharge_coefficient * hole_m2) * (2.0 * height_m / GRAVITY_M_PER_S2).sqrt() / 3600.0
}

/// Share of a column that has drained after a time.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | t | time since the pump stopped | h | ≥ 0 |
/// | T | drain-down time, [`drain_down_h`] | h | ≥ 0 |
///
/// # Equation
/// `1 − (1 − t/T)²`, 1 from T on: the level falls as the square of the time that is left.
///
/// # Validity
/// That of [`drain_down_h`].
///
/// # Example
/// ```
/// // Half the time drains three quarters.
/// assert!((dryspell::pipe::drained_share(0.5, 1.0) - 0.75).abs() < 1e-15);
/// ```
///
/// # References
/// See [`drain_down_h`].
#[must_use]
pub fn drained_share(time_h: f64, drain_down_h: f64) -> f64 {
    if time_h >= drain_down_h {
        return 1.0;
    }
    let left = 1.0 - time_h / drain_down_h;
    1.0 - left * left
}
