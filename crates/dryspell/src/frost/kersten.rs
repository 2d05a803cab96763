//! Conductivity of soil.

/// Size of a soil's grains, for [`kersten_w_per_m_k`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub enum Grain {
    /// Sand and gravel.
    Coarse,
    /// Silt and clay.
    Fine,
}

/// One Btu·in/(ft²·h·°F) in W/(m·K): 1055.05585 J · 0.0254 m / (0.3048² m² · 3600 s · 5/9 K).
const US_W_PER_M_K: f64 = 1_055.055_852_62 * 0.0254 / (0.3048 * 0.3048 * 3600.0 * 5.0 / 9.0);
/// One pound per cubic foot in kg/m³.
const PCF_KG_PER_M3: f64 = 0.453_592_37 / (0.3048 * 0.3048 * 0.3048);

/// Conductivity of a soil, frozen and thawed, from its density and water.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | γ | dry density | kg/m³ (lb/ft³ in the equation) | 1200 to 2200 |
/// | w | water over dry mass | – (percent in the equation) | fine grains 0.07 to 0.5, coarse 0.01 to 0.25 |
/// | k | conductivity | W/(m·K) (Btu·in/(ft²·h·°F) in the equation) | |
///
/// # Equation
/// - fine, frozen: `k = 0.01·10^(0.022 γ) + 0.085·10^(0.008 γ)·w`; thawed: `k = (0.9 log₁₀ w − 0.2)·10^(0.01 γ)`
/// - coarse, frozen: `k = 0.076·10^(0.013 γ) + 0.032·10^(0.0146 γ)·w`; thawed: `k = (0.7 log₁₀ w + 0.4)·10^(0.01 γ)`
///
/// # Validity
/// Mineral soils, within about 25 %; not peat. Sand of much quartz conducts better. Outside the ranges of w the nearest
/// end is taken.
///
/// # Example
/// ```
/// use dryspell::frost::{Grain, kersten_w_per_m_k};
/// // Silt, 100 lb/ft³ and 15 %: 9.63 and 8.58 Btu·in/(ft²·h·°F), by 0.1442 W/(m·K).
/// let (frozen, thawed) = kersten_w_per_m_k(Grain::Fine, 1601.85, 0.15);
/// assert!((frozen - 1.389).abs() < 0.001 && (thawed - 1.238).abs() < 0.001);
/// ```
///
/// # References
/// M. S. Kersten, *Thermal Properties of Soils*, University of Minnesota, Engineering Experiment Station Bulletin 28
/// (1949). Coefficients from memory; the two values for silt are checked.
#[must_use]
pub fn kersten_w_per_m_k(grain: Grain, dry_density_kg_per_m3: f64, water_share: f64) -> (f64, f64) {
    let density = dry_density_kg_per_m3 / PCF_KG_PER_M3;
    let ten = |exponent: f64| libm::pow(10.0, exponent);
    let (frozen, thawed) = match grain {
        Grain::Fine => {
            let w = 100.0 * water_share.clamp(0.07, 0.5);
            (
                0.01 * ten(0.022 * density) + 0.085 * ten(0.008 * density) * w,
                (0.9 * libm::log10(w) - 0.2) * ten(0.01 * density),
            )
        }
        Grain::Coarse => {
            let w = 100.0 * water_share.clamp(0.01, 0.25);
            (
                0.076 * ten(0.013 * density) + 0.032 * ten(0.0146 * density) * w,
                (0.7 * libm::log10(w) + 0.4) * ten(0.01 * density),
            )
        }
    };
    (frozen * US_W_PER_M_K, thawed * US_W_PER_M_K)
}
