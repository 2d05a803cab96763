//! How much air the sun's rays cross.

use libm::{cos, exp, log};

/// Relative optical air mass: the way through the air against the way straight up.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | θz | `zenith_deg`, apparent | degrees | 0 to 90 (held there) |
/// | m | result | – | 1 to 37.9 |
///
/// # Equation
///
/// `m = 1 / (cos θz + 0.50572·(96.07995 − θz)^−1.6364)`
///
/// # Validity
///
/// Sea level; no sun below the horizon. Pressure is not applied: the sky model wants the relative air mass.
///
/// # Example
///
/// ```
/// use dryspell::sun::airmass::relative_air_mass;
/// assert!((relative_air_mass(60.0) - 1.99429).abs() < 1e-5);
/// assert!((relative_air_mass(90.0) - 37.91961).abs() < 1e-4);
/// ```
///
/// # References
///
/// F. Kasten and A. T. Young, *Revised optical air mass tables and approximation formula*, Applied Optics 28 (1989)
/// 4735, doi 10.1364/AO.28.004735, equation 3.
#[must_use]
pub fn relative_air_mass(zenith_deg: f64) -> f64 {
    let z = zenith_deg.clamp(0.0, 90.0);
    air_mass(z, cos(z.to_radians()))
}

/// The same where the cosine is known; the zenith angle lies in range.
pub(crate) fn air_mass(zenith_deg: f64, cos_zenith: f64) -> f64 {
    // A power by its logarithm: half the time of `pow`, and 1e-14 of accuracy are plenty here.
    1.0 / (cos_zenith + 0.505_72 * exp(-1.6364 * log(96.079_95 - zenith_deg)))
}
