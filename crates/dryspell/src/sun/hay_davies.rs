//! A sky with a bright part around the sun.

use crate::sun::sky_light::SkyLight;

/// Cosine of the zenith angle is held above this in the beam ratio (89 degrees).
const LEAST_COS_ZENITH: f64 = 0.017_45;

/// Diffuse light on a tilted plane: a circumsolar part as bright as the air is clear for the beam, the rest even.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Gd, Gb | `dhi`, `dni` | W/m² (or any unit, kept) | ≥ 0 |
/// | Gon | `extraterrestrial_normal` | as Gb | > 0 |
/// | θ, θz | incidence and zenith, by their cosines | – | sun above the horizon |
/// | β | tilt, by `cos_tilt` | – | −1 to 1 |
///
/// # Equation
///
/// `Gd·[A·Rb + (1 − A)·(1 + cos β)/2]`, `A = Gb/Gon`, `Rb = max(cos θ, 0)/max(cos θz, 0.01745)`
///
/// # Validity
///
/// No brightening towards the horizon.
///
/// # Example
///
/// Half of the extraterrestrial arrives as beam, the plane faces a sun at 60 degrees from the zenith (Rb 2): the bright
/// half doubles, the other half is cut to (1 + 0.5)/2.
///
/// ```
/// let sky = dryspell::sun::hay_davies::hay_davies_sky(100.0, 680.0, 1360.0, 1.0, 0.5, 0.5);
/// assert!((sky.circumsolar - 100.0).abs() < 1e-9 && (sky.isotropic - 37.5).abs() < 1e-9);
/// ```
///
/// # References
///
/// J. E. Hay and J. A. Davies, *Calculations of the solar radiation incident on an inclined surface*, Proc. First Canadian
/// Solar Radiation Data Workshop, 1980, 59; the floor 0.01745 is that of the library pvlib (`haydavies`).
#[must_use]
pub fn hay_davies_sky(
    dhi: f64,
    dni: f64,
    extraterrestrial_normal: f64,
    cos_incidence: f64,
    cos_zenith: f64,
    cos_tilt: f64,
) -> SkyLight {
    let anisotropy = dni / extraterrestrial_normal;
    let beam_ratio = cos_incidence.max(0.0) / cos_zenith.max(LEAST_COS_ZENITH);
    SkyLight {
        isotropic: (dhi * (1.0 - anisotropy) * 0.5 * (1.0 + cos_tilt)).max(0.0),
        circumsolar: (dhi * anisotropy * beam_ratio).max(0.0),
        horizon: 0.0,
    }
}
