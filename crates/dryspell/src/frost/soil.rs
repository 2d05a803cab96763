//! Soils.

use super::kersten::{Grain, kersten_w_per_m_k};

/// Latent heat of fusion per mass of water that the frost-depth method uses: 144 Btu/lb, in J/kg.
pub(crate) const SOIL_FUSION_J_PER_KG: f64 = 144.0 * 2326.0;
/// Heat capacity of water, J/(kg·K), in the same method: 1 Btu/(lb·°F).
const WATER_J_PER_KG_K: f64 = 4186.8;

/// A soil, as frost meets it.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | γ | `dry_density_kg_per_m3` | kg/m³ | > 0; 1200 to 2200 is usual |
/// | w | `water_share`, water over dry mass | – | > 0; 0.02 to 0.4 is usual |
/// | k | mean of `frozen_w_per_m_k` and `thawed_w_per_m_k` | W/(m·K) | > 0 |
/// | L | latent heat by volume | J/m³ | |
/// | C | heat capacity by volume | J/(m³·K) | |
///
/// # Equation
/// `L = 144 Btu/lb · γ w`; `C = 4186.8 γ (0.17 + 0.75 w)`; `k = (k_frozen + k_thawed)/2`
///
/// # Validity
/// All water freezes at 0 °C: clay keeps some liquid below it, so its frost goes somewhat deeper. C is the mean of the
/// frozen and the thawed soil's.
///
/// # Example
/// ```
/// use dryspell::frost::Soil;
/// let silt = Soil::named("silt").ok_or("no such soil")?;
/// // 1601.85 kg/m³ · 0.15 · 334.944 kJ/kg
/// assert!((silt.fusion_j_per_m3() / 1e6 - 80.48).abs() < 0.01);
/// # Ok::<(), &str>(())
/// ```
///
/// # References
/// UFC 3-130-06 (2004), as [`super::frost_depth`].
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Soil {
    /// Grains, by which conductivity follows from density and water.
    pub grain: Grain,
    /// Dry density, kg/m³.
    pub dry_density_kg_per_m3: f64,
    /// Mass of water over dry mass.
    pub water_share: f64,
    /// Conductivity when frozen, W/(m·K).
    pub frozen_w_per_m_k: f64,
    /// Conductivity when thawed, W/(m·K).
    pub thawed_w_per_m_k: f64,
}

/// A soil by name: grains, dry density in kg/m³, water over dry mass.
///
/// Dry soil freezes deepest: it has the least water to freeze. Silt is 100 lb/ft³ at 15 %, the soil of the checks; the
/// densities and water contents of the others are usual ones, from memory. Conductivities are those of
/// [`kersten_w_per_m_k`].
pub const SOILS: &[(&str, Grain, f64, f64)] = &[
    ("gravel", Grain::Coarse, 1900.0, 0.04),
    ("dry sand", Grain::Coarse, 1600.0, 0.02),
    ("sand", Grain::Coarse, 1650.0, 0.06),
    ("loam", Grain::Fine, 1450.0, 0.18),
    ("silt", Grain::Fine, 1_601.846_337_4, 0.15),
    ("clay", Grain::Fine, 1500.0, 0.25),
];

/// The names of [`SOILS`], for lists of words.
pub const SOIL_NAMES: &[&str] = &["gravel", "dry sand", "sand", "loam", "silt", "clay"];

impl Soil {
    /// A soil from its grains, density and water.
    #[must_use]
    pub fn new(grain: Grain, dry_density_kg_per_m3: f64, water_share: f64) -> Self {
        let (frozen, thawed) = kersten_w_per_m_k(grain, dry_density_kg_per_m3, water_share);
        Self { grain, dry_density_kg_per_m3, water_share, frozen_w_per_m_k: frozen, thawed_w_per_m_k: thawed }
    }

    /// The same grains with another density and water.
    #[must_use]
    pub fn with(&self, dry_density_kg_per_m3: f64, water_share: f64) -> Self {
        Self::new(self.grain, dry_density_kg_per_m3, water_share)
    }

    /// A soil of [`SOILS`].
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let (_, grain, density, water) = SOILS.iter().find(|s| s.0 == name)?;
        Some(Self::new(*grain, *density, *water))
    }

    /// Latent heat by volume, J/m³.
    #[must_use]
    pub fn fusion_j_per_m3(&self) -> f64 {
        SOIL_FUSION_J_PER_KG * self.dry_density_kg_per_m3 * self.water_share
    }

    /// Heat capacity by volume, mean of frozen and thawed, J/(m³·K).
    #[must_use]
    pub fn heat_j_per_m3_k(&self) -> f64 {
        WATER_J_PER_KG_K * self.dry_density_kg_per_m3 * (0.17 + 0.75 * self.water_share)
    }

    /// Mean conductivity, W/(m·K).
    #[must_use]
    pub fn mean_w_per_m_k(&self) -> f64 {
        0.5 * (self.frozen_w_per_m_k + self.thawed_w_per_m_k)
    }
}
