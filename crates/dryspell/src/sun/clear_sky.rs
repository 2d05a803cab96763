//! Global light under a clear sky: the yardstick by which an hour's brightness is told and carried to another day.

/// Cosine of the zenith angle (84.3 degrees) below which an hour's light says little about its clouds.
pub(crate) const LEAST_COS_ZENITH: f64 = 0.1;

/// Global light on the level under a clear sky.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | cos θz | `cos_zenith`, of the apparent zenith angle | – | −1 to 1 |
/// | G | result | W/m² | 0 to 1036 |
///
/// # Equation
/// `G = 1098·cos θz·exp(−0.059/cos θz)`; 0 with the sun down.
///
/// # Validity
/// A mean clear sky near sea level: no haze, no elevation. Here it only says how clear light falls off with the sun's
/// height; what it lacks in brightness goes into the index that is formed with it and comes back out.
///
/// # Example
/// With the sun overhead 1098·exp(−0.059) = 1035.1 W/m².
/// ```
/// assert!((dryspell::sun::clear_sky::haurwitz_w_per_m2(1.0) - 1035.09).abs() < 0.01);
/// ```
///
/// # References
/// B. Haurwitz, "Insolation in relation to cloudiness and cloud density", J. Meteorol. 2 (1945) 154; constants as in the
/// library pvlib (`clearsky.haurwitz`).
#[must_use]
pub fn haurwitz_w_per_m2(cos_zenith: f64) -> f64 {
    if cos_zenith > 0.0 { 1098.0 * cos_zenith * libm::exp(-0.059 / cos_zenith) } else { 0.0 }
}
