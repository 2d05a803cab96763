//! Density and viscosity of water.

/// Density of water at atmospheric pressure.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | t | temperature | °C | 0 to 40; held at the ends beyond |
/// | ρ | density | kg/m³ | |
///
/// # Equation
/// `ρ = 999.974950 (1 − (t − 3.983035)² (t + 301.797) / (522528.9 (t + 69.34881)))`
///
/// # Validity
/// Air-free pure water at 101.325 kPa, within 1 part in 10⁶. Dissolved salts add a few tenths of a percent.
///
/// # Example
/// ```
/// use dryspell::pipe::water_density_kg_per_m3;
/// assert!((water_density_kg_per_m3(20.0) - 998.207).abs() < 0.001);
/// ```
///
/// # References
/// M. Tanaka, G. Girard, R. Davis, A. Peuto, N. Bignell, *Recommended table for the density of water between 0 °C and
/// 40 °C based on recent experimental reports*, Metrologia 38:301–309 (2001), DOI 10.1088/0026-1394/38/4/3, eq. 1
/// (coefficients and DOI from memory; the values are checked against IAPWS-95).
#[must_use]
pub fn water_density_kg_per_m3(water_degc: f64) -> f64 {
    let t = water_degc.clamp(0.0, 40.0);
    let d = t - 3.983_035;
    999.974_950 * (1.0 - d * d * (t + 301.797) / (522_528.9 * (t + 69.348_81)))
}

/// Kinematic viscosity of water at atmospheric pressure.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | T | temperature | K | 273.15 to 313.15; held at the ends beyond |
/// | μ | dynamic viscosity | Pa s | |
/// | ν | kinematic viscosity, μ/ρ | m²/s | |
///
/// # Equation
/// `μ = 10⁻⁶ (280.68 τ⁻¹·⁹ + 511.45 τ⁻⁷·⁷ + 61.131 τ⁻¹⁹·⁶ + 0.45903 τ⁻⁴⁰)`, `τ = T / 300 K`
///
/// # Validity
/// Pure liquid water at 0.1 MPa; the formula itself holds from −20 to 110 °C.
///
/// # Example
/// ```
/// use dryspell::pipe::water_viscosity_m2_per_s;
/// assert!((water_viscosity_m2_per_s(15.0) * 1e6 - 1.1386).abs() < 0.0003);
/// ```
///
/// # References
/// IAPWS SR6-08(2011), *Revised Supplementary Release on Properties of Liquid Water at 0.1 MPa*, eq. 7 and table 6
/// (coefficients and their places from memory; the values are checked against IAPWS R12-08).
#[must_use]
pub fn water_viscosity_m2_per_s(water_degc: f64) -> f64 {
    let tau = (water_degc.clamp(0.0, 40.0) + 273.15) / 300.0;
    let term = |a: f64, b: f64| a * libm::pow(tau, b);
    let micro = term(280.68, -1.9) + term(511.45, -7.7) + term(61.131, -19.6) + term(0.459_03, -40.0);
    micro * 1e-6 / water_density_kg_per_m3(water_degc)
}
