//! Frost depth by latent heat alone.

/// Seconds in a day.
pub(super) const DAY_S: f64 = 86_400.0;

/// Depth to which a freezing (or thawing) index freezes (or thaws) a ground by latent heat alone.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | k | conductivity | W/(m·K) | > 0 |
/// | I | index at the surface | °C·day | ≥ 0 |
/// | L | latent heat by volume | J/m³ | > 0 |
/// | X | depth | m | |
///
/// # Equation
/// `X = √(2 k · 86400 I / L)`
///
/// # Validity
/// No heat comes from below and none is stored: an upper bound of the depth.
///
/// # Example
/// ```
/// use dryspell::frost::stefan_depth_m;
/// // √(2 · 1.3154 · 86400 · 277.8 / 80.48e6)
/// assert!((stefan_depth_m(1.3154, 277.8, 80.48e6) - 0.8857).abs() < 1e-4);
/// ```
///
/// # References
/// J. Stefan, *Über die Theorie der Eisbildung*, Annalen der Physik 278:269–286 (1891), from memory; UFC 3-130-06 (2004).
#[must_use]
pub fn stefan_depth_m(conductivity_w_per_m_k: f64, index_degc_days: f64, fusion_j_per_m3: f64) -> f64 {
    (2.0 * conductivity_w_per_m_k * DAY_S * index_degc_days.max(0.0) / fusion_j_per_m3).sqrt()
}
