//! Resistance of the copper cable between array and controller.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `R` | resistance, both wires together | Ω | ≥ 0 |
//! | `L` | length one way | m | ≥ 0 |
//! | `A` | section of one wire | m² | > 0 |
//! | `ρ₂₀` | resistivity of annealed copper at 20 °C | Ω m | 1.7241e-8 |
//! | `α` | temperature coefficient at 20 °C | 1/K | 0.00393 |
//! | `T` | conductor temperature | °C | 75 |
//! | `n` | American wire gauge | – | 0 to 30 |
//!
//! # Equation
//!
//! `R = 2 L ρ₂₀ (1 + α (T − 20)) / A`, and for a wire by gauge `A = π/4 (0.127 mm · 92^((36 − n)/39))²`.
//!
//! # Validity
//!
//! Solid copper; stranded wire of the same gauge has about 2 % more. The conductor is taken at 75 °C at all times, as
//! the common tables do: at 20 °C it has 18 % less, so the loss is overstated in cool weather (conservative).
//!
//! # Example
//!
//! ```
//! use dryspell::array::cable::{copper_ohm, gauge_area_m2};
//! // 30 m of 4 mm² one way: 60 m × 1.7241e-8 × 1.21615 / 4e-6 = 0.3145 Ω.
//! assert!((copper_ohm(30.0, 4e-6) - 0.3145).abs() < 1e-4);
//! // Gauge 10 is 2.588 mm thick: 5.261 mm².
//! assert!((gauge_area_m2(10) * 1e6 - 5.261).abs() < 1e-3);
//! ```
//!
//! # References
//!
//! - ASTM B258, standard nominal diameters of round wires by American wire gauge (from memory).
//! - IEC 60028, resistance of copper: the annealed copper standard (from memory).

/// Resistivity of annealed copper at 20 °C, Ω m.
const RESISTIVITY_20: f64 = 1.7241e-8;
/// Its relative rise for each kelvin.
const COEFFICIENT: f64 = 0.003_93;
/// Conductor temperature, °C.
pub(crate) const CONDUCTOR_DEGC: f64 = 75.0;

/// Resistance of both wires of a copper cable, Ω, from its length one way (m) and the section of one wire (m²).
#[must_use]
pub fn copper_ohm(length_m: f64, area_m2: f64) -> f64 {
    2.0 * length_m * RESISTIVITY_20 * (1.0 + COEFFICIENT * (CONDUCTOR_DEGC - 20.0)) / area_m2
}

/// Section of a wire by American wire gauge, m².
#[must_use]
pub fn gauge_area_m2(gauge: u32) -> f64 {
    let diameter_m = 0.127e-3 * libm::pow(92.0, (36.0 - f64::from(gauge)) / 39.0);
    std::f64::consts::FRAC_PI_4 * diameter_m * diameter_m
}
