//! The light of the sky, by where it comes from.

/// Diffuse light of the sky on a plane, by where it comes from, W/m².
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SkyLight {
    /// From all of the sky.
    pub isotropic: f64,
    /// From around the sun.
    pub circumsolar: f64,
    /// From along the horizon; may be negative.
    pub horizon: f64,
}

impl SkyLight {
    /// So many times as bright.
    #[must_use]
    pub(crate) fn times(self, factor: f64) -> Self {
        Self {
            isotropic: self.isotropic * factor,
            circumsolar: self.circumsolar * factor,
            horizon: self.horizon * factor,
        }
    }

    /// Sum of the parts, W/m².
    #[must_use]
    pub fn total(&self) -> f64 {
        self.isotropic + self.circumsolar + self.horizon
    }
}
