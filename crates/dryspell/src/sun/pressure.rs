//! Air pressure from elevation, in the standard atmosphere.

use libm::pow;

/// Air pressure at an elevation in the international standard atmosphere.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | z | `elevation_m` | m | −500 to 11 000 (held there) |
/// | p | result | Pa | |
///
/// # Equation
///
/// `p = 100·((44331.514 − z) / 11880.516)^(1 / 0.1902632)`
///
/// # Validity
///
/// A mean atmosphere: weather moves the pressure by some 3 %. Here it only scales the bending of light near the
/// horizon, where 3 % is 0.02 degrees.
///
/// # Example
///
/// ```
/// let p = dryspell::sun::pressure::standard_pressure_pa(1000.0);
/// assert!((p - 89_874.75).abs() < 0.01);
/// ```
///
/// # References
///
/// Portland State Aerospace Society, *A Quick Derivation relating altitude to air pressure*, version 1.03, 2004; the
/// constants are those of the library pvlib (`alt2pres`).
#[must_use]
pub fn standard_pressure_pa(elevation_m: f64) -> f64 {
    let z = elevation_m.clamp(-500.0, 11_000.0);
    100.0 * pow((44_331.514 - z) / 11_880.516, 1.0 / 0.190_263_2)
}
