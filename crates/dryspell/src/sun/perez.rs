//! A sky with a bright part around the sun and one along the horizon, by clearness and brightness.

use crate::sun::sky_light::SkyLight;

/// Upper bounds of the first seven clearness bins; the eighth has none.
const BINS: [f64; 7] = [1.065, 1.23, 1.5, 1.95, 2.8, 4.5, 6.2];

/// Coefficients by clearness bin: f11, f12, f13, f21, f22, f23 (all sites composite).
const COEFFICIENTS: [[f64; 6]; 8] = [
    [-0.008, 0.588, -0.062, -0.060, 0.072, -0.022],
    [0.130, 0.683, -0.151, -0.019, 0.066, -0.029],
    [0.330, 0.487, -0.221, 0.055, -0.064, -0.026],
    [0.568, 0.187, -0.295, 0.109, -0.152, -0.014],
    [0.873, -0.392, -0.362, 0.226, -0.462, 0.001],
    [1.132, -1.237, -0.412, 0.288, -0.823, 0.056],
    [1.060, -1.600, -0.359, 0.264, -1.127, 0.131],
    [0.678, -0.327, -0.250, 0.156, -1.377, 0.251],
];

/// κ of the clearness formula, for zenith angles in radians.
const KAPPA: f64 = 1.041;
/// cos 85°, below which the circumsolar ratio's denominator is held.
const COS_85: f64 = 0.087_155_742_747_658_17;

/// What the sky itself says, whatever the plane: brightness coefficients of the two bright parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Brightness {
    /// Sky clearness ε, ≥ 1.
    pub sky_clearness: f64,
    /// Sky brightness Δ, ≥ 0.
    pub sky_brightness: f64,
    /// Circumsolar coefficient F1, 0 to 1.
    pub around_sun: f64,
    /// Horizon coefficient F2.
    pub along_horizon: f64,
}

/// Brightness coefficients of the sky.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Gd, Gb | `dhi`, `dni` | W/m² (or any unit, kept) | Gd > 0, Gb ≥ 0 |
/// | Gon | `extraterrestrial_normal` | as Gb | > 0 |
/// | θz | `zenith_rad` | rad | 0 to π/2 |
/// | m | `air_mass`, relative | – | ≥ 1 |
///
/// # Equation
///
/// `Δ = m·Gd/Gon`, `ε = [(Gd + Gb)/Gd + κθz³]/(1 + κθz³)`, κ = 1.041; in the bin of ε `F1 = f11 + f12 Δ + f13 θz`, at least 0,
/// and `F2 = f21 + f22 Δ + f23 θz`
///
/// # Validity
///
/// Sun above the horizon. The bins make small steps. F1 is a share: it is also held at 1, which only a file with more
/// diffuse light than low sun can give reaches.
///
/// # Example
///
/// The textbook hour of [`perez_sky`]: ε 1.28 falls in the third bin; F1 is 0.256 and F2 0.005.
///
/// ```
/// let zenith = 62.202_f64.to_radians();
/// let b = dryspell::sun::perez::brightness(0.7961, 0.52298, 5.0249, zenith, 2.1443);
/// assert!((b.around_sun - 0.2555).abs() < 5e-4 && (b.along_horizon - 0.0050).abs() < 5e-4);
/// ```
///
/// # References
///
/// R. Perez, P. Ineichen, R. Seals, J. Michalsky and R. Stewart, *Modeling daylight availability and irradiance components
/// from direct and global irradiance*, Solar Energy 44 (1990) 271, doi 10.1016/0038-092X(90)90055-H, equations 1, 2, 9
/// and table 1.
#[must_use]
pub fn brightness(
    dhi: f64,
    dni: f64,
    extraterrestrial_normal: f64,
    zenith_rad: f64,
    air_mass: f64,
) -> Brightness {
    let cube = KAPPA * zenith_rad * zenith_rad * zenith_rad;
    let clearness = ((dhi + dni) / dhi + cube) / (1.0 + cube);
    let brightness = air_mass * dhi / extraterrestrial_normal;
    let [f11, f12, f13, f21, f22, f23] = COEFFICIENTS[BINS.partition_point(|&b| b <= clearness)];
    Brightness {
        sky_clearness: clearness,
        sky_brightness: brightness,
        around_sun: (f11 + f12 * brightness + f13 * zenith_rad).clamp(0.0, 1.0),
        along_horizon: f21 + f22 * brightness + f23 * zenith_rad,
    }
}

/// Diffuse light on a tilted plane from a sky of known brightness.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Gd | `dhi` | W/m² (or any unit, kept) | ≥ 0 |
/// | F1, F2 | [`Brightness`] | – | |
/// | θ, θz | incidence and zenith, by their cosines | – | sun above the horizon |
/// | β | tilt, by `cos_tilt` and `sin_tilt` | – | 0 to 180 degrees |
///
/// # Equation
///
/// `Gd·[(1 − F1)(1 + cos β)/2 + F1·a/b + F2 sin β]`, `a = max(0, cos θ)`, `b = max(cos 85°, cos θz)`; a negative sum counts
/// as zero
///
/// # Validity
///
/// Fitted to planes without obstacles; the horizon part may be negative.
///
/// # Example
///
/// 40 N, 20 February, 9 to 10 h, slope 60 degrees south, 0.7961 MJ/m² diffuse: the sky gives 0.797 MJ/m².
///
/// ```
/// use dryspell::sun::perez::{brightness, perez_sky};
/// let b = brightness(0.7961, 0.52298, 5.0249, 62.202_f64.to_radians(), 2.1443);
/// let sky = perez_sky(0.7961, &b, 0.79900, 0.46635, 0.5, 0.866025);
/// assert!((sky.total() - (0.4445 + 0.3485 + 0.0035)).abs() < 5e-4);
/// ```
///
/// # References
///
/// Perez et al. 1990, equation 9; the 85 degrees from the same paper.
#[must_use]
pub fn perez_sky(
    dhi: f64,
    sky: &Brightness,
    cos_incidence: f64,
    cos_zenith: f64,
    cos_tilt: f64,
    sin_tilt: f64,
) -> SkyLight {
    let ratio = cos_incidence.max(0.0) / cos_zenith.max(COS_85);
    let light = SkyLight {
        isotropic: dhi * 0.5 * (1.0 - sky.around_sun) * (1.0 + cos_tilt),
        circumsolar: dhi * sky.around_sun * ratio,
        horizon: dhi * sky.along_horizon * sin_tilt,
    };
    if light.total() > 0.0 { light } else { SkyLight::default() }
}
