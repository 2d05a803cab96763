//! How warm the cells get.

use crate::array::Faiman;

/// Wind where a record has none, m/s.
pub(crate) const DEFAULT_WIND_M_PER_S: f64 = 1.0;

/// Cell temperature from air, light on the plane and wind.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | Ta | `air_degc` | °C | |
/// | G | `plane_w_per_m2` | W/m² | ≥ 0 |
/// | v | `wind_m_per_s` | m/s | ≥ 0 |
/// | u0, u1 | [`Faiman`] | W/(m²·K), W·s/(m³·K) | u0 > 0, u1 ≥ 0 |
///
/// # Equation
///
/// `T = Ta + G/(u0 + u1·v)`
///
/// # Validity
///
/// Steady heat flow of a free-standing module; no night-time cooling to the sky, so at night the cells are as warm as the
/// air. The coefficients were measured with wind at module height; the record's wind at 10 m is taken as it is, which
/// cools a little more. Without wind in the record `DEFAULT_WIND_M_PER_S` is taken.
///
/// # Example
///
/// 1000 W/m², 25 °C, 1 m/s: 25 + 1000/31.84.
///
/// ```
/// use dryspell::array::{Faiman, faiman::cell_degc};
/// assert!((cell_degc(&Faiman::default(), 25.0, 1000.0, 1.0) - 56.40704).abs() < 1e-5);
/// ```
///
/// # References
///
/// D. Faiman, *Assessing the outdoor operating temperature of photovoltaic modules*, Progress in Photovoltaics 16 (2008)
/// 307, doi 10.1002/pip.813.
#[must_use]
pub fn cell_degc(heat_loss: &Faiman, air_degc: f64, plane_w_per_m2: f64, wind_m_per_s: f64) -> f64 {
    air_degc + plane_w_per_m2 / (heat_loss.u0 + heat_loss.u1 * wind_m_per_s)
}
