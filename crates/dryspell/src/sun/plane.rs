//! What falls on a tilted plane in one hour.

use crate::sun::airmass::air_mass;
use crate::sun::hay_davies::hay_davies_sky;
use crate::sun::horizon::sky_seen;
use crate::sun::isotropic::{ground_reflected, isotropic_sky};
use crate::sun::perez::{brightness, perez_sky};
pub use crate::sun::sky_light::SkyLight;
use crate::sun::{Horizon, SkyHour, SkyModel};
use libm::{acos, sincos};

/// A plane that panels lie in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plane {
    cos_tilt: f64,
    sin_tilt: f64,
    normal: [f64; 3],
    sky_seen: f64,
}

impl Plane {
    /// A plane by its tilt from the level and the azimuth it faces, degrees from north, clockwise.
    #[must_use]
    pub fn new(tilt_deg: f64, azimuth_deg: f64) -> Self {
        Self::within(tilt_deg, azimuth_deg, None)
    }

    /// The same within a horizon, which hides part of the sky from the plane ([`sky_seen`]).
    #[must_use]
    pub fn within(tilt_deg: f64, azimuth_deg: f64, horizon: Option<&Horizon>) -> Self {
        let (sin_tilt, cos_tilt) = sincos(tilt_deg.to_radians());
        let (sin_azimuth, cos_azimuth) = sincos(azimuth_deg.to_radians());
        Self {
            cos_tilt,
            sin_tilt,
            normal: [sin_tilt * sin_azimuth, sin_tilt * cos_azimuth, cos_tilt],
            sky_seen: horizon.map_or(1.0, |horizon| sky_seen(horizon, tilt_deg, azimuth_deg)),
        }
    }

    /// Cosine of the angle between a direction (east, north, up) and the plane's normal.
    #[must_use]
    pub fn cos_incidence(&self, direction: &[f64; 3]) -> f64 {
        let [e, n, u] = self.normal;
        (e * direction[0] + n * direction[1] + u * direction[2]).clamp(-1.0, 1.0)
    }
}

/// Light on a plane in one hour, W/m².
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlaneLight {
    /// Beam; zero when the sun is behind the plane, below the horizon or behind a hill.
    pub beam: f64,
    /// Diffuse light of the sky.
    pub sky: SkyLight,
    /// Light thrown back by the ground.
    pub ground: f64,
    /// Cosine of the angle between the sun's rays and the plane's normal; negative when the sun is behind.
    pub cos_incidence: f64,
}

impl PlaneLight {
    /// So many times as bright.
    #[must_use]
    pub(crate) fn times(self, factor: f64) -> Self {
        Self { beam: self.beam * factor, sky: self.sky.times(factor), ground: self.ground * factor, ..self }
    }

    /// All of it, W/m².
    #[must_use]
    pub fn total(&self) -> f64 {
        self.beam + self.sky.total() + self.ground
    }

    /// Angle between the sun's rays and the plane's normal, degrees, 0 to 180.
    #[must_use]
    pub fn incidence_deg(&self) -> f64 {
        acos(self.cos_incidence).to_degrees()
    }
}

/// Light on a plane from one hour of the sky.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | | fields of [`SkyHour`] | W/m², degrees | |
/// | | fields of [`PlaneLight`] | W/m², degrees | ≥ 0 but for the horizon part |
///
/// # Equation
///
/// beam `Gb·max(cos θ, 0)`, plus the sky by the chosen model, plus [`ground_reflected`]
///
/// # Validity
///
/// With the sun below the flat horizon there is no beam and the sky counts as evenly bright, whatever the model. Behind a
/// hill beam and circumsolar light are zero. Hills hide their part of the even sky ([`sky_seen`]); the bright band along the
/// horizon and the ground are not reduced.
///
/// # Example
///
/// A level plane gets the global light back: 700·cos 60° + 100.
///
/// ```
/// use dryspell::sun::{SkyHour, SkyModel, plane::{Plane, plane_light}};
/// let hour = SkyHour { zenith_deg: 60.0, direction: [0.0, -0.75_f64.sqrt(), 0.5],
///     extraterrestrial_normal_w_per_m2: 1360.0, ghi_w_per_m2: 450.0, dni_w_per_m2: 700.0, dhi_w_per_m2: 100.0,
///     albedo: 0.2, sun_seen: true };
/// let light = plane_light(SkyModel::Perez, &hour, &Plane::new(0.0, 180.0));
/// assert!((light.total() - 450.0).abs() < 1e-9);
/// ```
///
/// # References
///
/// Those of the models: [`isotropic_sky`], [`hay_davies_sky`], [`perez_sky`].
#[must_use]
pub fn plane_light(model: SkyModel, hour: &SkyHour, plane: &Plane) -> PlaneLight {
    let cos_incidence = plane.cos_incidence(&hour.direction);
    let cos_zenith = hour.direction[2];
    let (dni, dhi) = (hour.dni_w_per_m2, hour.dhi_w_per_m2);
    let up = hour.zenith_deg < 90.0;
    let mut sky = if dhi <= 0.0 {
        SkyLight::default()
    } else if up && model == SkyModel::HayDavies {
        let outside = hour.extraterrestrial_normal_w_per_m2;
        hay_davies_sky(dhi, dni, outside, cos_incidence, cos_zenith, plane.cos_tilt)
    } else if up && model == SkyModel::Perez {
        let mass = air_mass(hour.zenith_deg.max(0.0), cos_zenith);
        let outside = hour.extraterrestrial_normal_w_per_m2;
        let bright = brightness(dhi, dni, outside, hour.zenith_deg.to_radians(), mass);
        perez_sky(dhi, &bright, cos_incidence, cos_zenith, plane.cos_tilt, plane.sin_tilt)
    } else {
        SkyLight { isotropic: isotropic_sky(dhi, plane.cos_tilt), ..SkyLight::default() }
    };
    sky.isotropic *= plane.sky_seen;
    let beam = if hour.sun_seen {
        dni * cos_incidence.max(0.0)
    } else {
        sky.circumsolar = 0.0;
        // What is left may be less than nothing where the horizon part is negative.
        if sky.total() < 0.0 {
            sky = SkyLight::default();
        }
        0.0
    };
    PlaneLight {
        beam,
        sky,
        ground: ground_reflected(hour.ghi_w_per_m2, hour.albedo, plane.cos_tilt),
        cos_incidence,
    }
}
