//! A sky equally bright all over, and the light that the ground throws back.

/// Diffuse light of an evenly bright sky on a tilted plane.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Gd | `dhi` | W/m² (or any unit, kept) | ≥ 0 |
/// | β | tilt, by `cos_tilt` | – | −1 to 1 |
///
/// # Equation
///
/// `Gd·(1 + cos β)/2`
///
/// # Validity
///
/// Overcast skies. On clear days it lacks the bright part around the sun.
///
/// # Example
///
/// A vertical plane sees half of the sky.
///
/// ```
/// assert_eq!(dryspell::sun::isotropic::isotropic_sky(100.0, 0.0), 50.0);
/// ```
///
/// # References
///
/// B. Y. H. Liu and R. C. Jordan, *The long-term average performance of flat-plate solar-energy collectors*, Solar
/// Energy 7 (1963) 53, doi 10.1016/0038-092X(63)90006-9.
#[must_use]
pub fn isotropic_sky(dhi: f64, cos_tilt: f64) -> f64 {
    dhi * 0.5 * (1.0 + cos_tilt)
}

/// Light thrown back by the ground onto a tilted plane.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | G | `ghi` | W/m² (or any unit, kept) | ≥ 0 |
/// | ρ | `albedo` | – | 0 to 1 |
/// | β | tilt, by `cos_tilt` | – | −1 to 1 |
///
/// # Equation
///
/// `ρ·G·(1 − cos β)/2`
///
/// # Validity
///
/// Level ground, evenly bright, out to the horizon.
///
/// # Example
///
/// A vertical plane over snow (0.6): 0.6·500·0.5 = 150.
///
/// ```
/// assert_eq!(dryspell::sun::isotropic::ground_reflected(500.0, 0.6, 0.0), 150.0);
/// ```
///
/// # References
///
/// Liu and Jordan 1963 (above).
#[must_use]
pub fn ground_reflected(ghi: f64, albedo: f64, cos_tilt: f64) -> f64 {
    albedo * ghi * 0.5 * (1.0 - cos_tilt)
}
