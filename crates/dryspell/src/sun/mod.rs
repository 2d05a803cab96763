//! The sun: where it stands, what arrives outside the air, how the ground's radiation splits and falls on a plane.

/// How diffuse light from the sky is put on a tilted plane.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SkyModel {
    /// Equal from all of the sky.
    Isotropic,
    /// Isotropic with a circumsolar part (Hay and Davies 1980).
    HayDavies,
    /// Circumsolar and horizon parts by sky clearness and brightness (Perez et al. 1990).
    #[default]
    Perez,
}

/// Height of the horizon around the site.
#[derive(Debug, Clone, PartialEq)]
pub struct Horizon {
    /// Pairs of azimuth (degrees from north, clockwise, 0 ≤ a < 360, rising) and elevation (degrees, 0 to 90), joined
    /// by straight lines round the circle.
    pub points_deg: Vec<(f64, f64)>,
}

/// Settings of the sun stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Sky model for tilted planes.
    pub sky_model: SkyModel,
    /// Ground albedo where the record has none, 0 to 1.
    pub albedo: f64,
    /// Horizon profile; `None` is the flat horizon.
    pub horizon: Option<Horizon>,
}

impl Default for Settings {
    fn default() -> Self {
        Self { sky_model: SkyModel::Perez, albedo: 0.2, horizon: None }
    }
}
