//! Beam light lost at the module's glass.

use libm::cos;

/// Refractive index of the glass.
const INDEX: f64 = 1.526;
/// Extinction of the glass, 1/m.
const EXTINCTION_PER_M: f64 = 4.0;
/// Thickness of the glass, m.
const THICKNESS_M: f64 = 0.002;

/// Share of beam light that enters one glass cover, against light that falls on it squarely.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | θ | `incidence_deg` | degrees | 0 to 180 |
/// | | result | – | 0 to 1 |
///
/// # Equation
///
/// Refraction `sin θr = sin θ/n`; reflection of both polarisations by Fresnel; absorption `exp(−K·L/cos θr)`;
/// divided by the same at normal incidence. n 1.526, K 4 /m, L 2 mm.
///
/// # Validity
///
/// One plain cover, clean, no coating, no second reflection; zero from 90 degrees on. Beam only: diffuse light, which
/// loses about 4 %, is not reduced.
///
/// # Example
///
/// ```
/// use dryspell::array::incidence::beam_share;
/// assert!((beam_share(0.0) - 1.0).abs() < 1e-12);
/// assert!((beam_share(60.0) - 0.94600).abs() < 5e-6);
/// ```
///
/// # References
///
/// W. De Soto, S. A. Klein and W. A. Beckman, *Improvement and validation of a model for photovoltaic array performance*,
/// Solar Energy 80 (2006) 78, doi 10.1016/j.solener.2005.06.010, equations 12 to 15.
#[must_use]
pub fn beam_share(incidence_deg: f64) -> f64 {
    share(cos(incidence_deg.to_radians()))
}

/// The same from the cosine of the incidence angle.
pub(crate) fn share(cos_incidence: f64) -> f64 {
    if cos_incidence <= 0.0 {
        return 0.0;
    }
    let c = cos_incidence.min(1.0);
    let cos_refracted = (1.0 - (1.0 - c * c) / (INDEX * INDEX)).sqrt();
    let across = (c - INDEX * cos_refracted) / (c + INDEX * cos_refracted);
    let along = (cos_refracted - INDEX * c) / (cos_refracted + INDEX * c);
    let square = (1.0 - INDEX) / (1.0 + INDEX);
    let through = 1.0 - 0.5 * (across * across + along * along);
    // Absorption relative to that of the straight way.
    let depth = EXTINCTION_PER_M * THICKNESS_M * (1.0 / cos_refracted - 1.0);
    // exp(-depth) by its series: the depth is below 0.003, so the first term left out is below 1e-12.
    let absorbed = 1.0 - depth * (1.0 - 0.5 * depth * (1.0 - depth / 3.0));
    through * absorbed / (1.0 - square * square)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_enters_from_behind_and_less_with_every_degree() {
        let mut last = 1.0 + 1e-12;
        for degree in 0..=89 {
            let share = beam_share(f64::from(degree));
            assert!(share < last && share > 0.0, "{degree}");
            last = share;
        }
        assert!(beam_share(90.0) < 1e-12 && beam_share(120.0).abs() < 1e-12);
    }
}
