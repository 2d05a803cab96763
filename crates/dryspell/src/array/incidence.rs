//! Light lost at the module's glass: beam by its angle, diffuse light by where it comes from.

use libm::{acos, cos, sincos};
use std::f64::consts::{FRAC_PI_2, PI};

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
/// One plain cover, clean, no coating, no second reflection; zero from 90 degrees on.
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

/// Share of beam light that enters the glass, by the one-coefficient formula.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | cos θ | `cos_incidence` | – | −1 to 1 |
/// | b0 | `coefficient` | – | 0 to 1, usually 0.05 |
/// | | result | – | 0 to 1 |
///
/// # Equation
///
/// `1 − b0·(1/cos θ − 1)`, zero where that is below zero
///
/// # Validity
///
/// Below 80 degrees; beyond, it falls to zero too soon.
///
/// # Example
///
/// At 60 degrees 1/cos θ is 2: with b0 0.05 the share is 0.95.
///
/// ```
/// assert!((dryspell::array::incidence::ashrae_share(0.5, 0.05) - 0.95).abs() < 1e-12);
/// ```
///
/// # References
///
/// A. F. Souka and H. H. Safwat, *Determination of the optimum orientations for the double-exposure, flat-plate collector
/// and its reflectors*, Solar Energy 10 (1966) 170, doi 10.1016/0038-092X(66)90004-1; adopted in ASHRAE Standard 93
/// (from memory).
#[must_use]
pub fn ashrae_share(cos_incidence: f64, coefficient: f64) -> f64 {
    if cos_incidence <= 0.0 { 0.0 } else { (1.0 - coefficient * (1.0 / cos_incidence - 1.0)).max(0.0) }
}

/// What the glass is taken to do.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub enum Glass {
    /// Nothing: all light enters.
    Clear,
    /// One plain cover by Fresnel ([`beam_share`]).
    Fresnel,
    /// The one-coefficient formula ([`ashrae_share`]).
    Ashrae {
        /// Coefficient b0.
        coefficient: f64,
    },
}

impl Glass {
    /// Share of the beam that enters, by the cosine of its angle.
    #[must_use]
    pub fn beam(self, cos_incidence: f64) -> f64 {
        match self {
            Self::Clear => 1.0,
            Self::Fresnel => share(cos_incidence),
            Self::Ashrae { coefficient } => ashrae_share(cos_incidence, coefficient),
        }
    }

    /// Shares of diffuse light that enter a tilted plane's glass.
    ///
    /// # Units
    ///
    /// | symbol | name | unit | valid range |
    /// |---|---|---|---|
    /// | β | `tilt_deg` | degrees | 0 to 180 |
    /// | K(θ) | share of the beam at incidence θ | – | 0 to 1 |
    /// | | [`DiffuseShares`] | – | 0 to 1 |
    ///
    /// # Equation
    ///
    /// The mean of K over all directions of a region, weighed by how squarely each falls on the plane:
    /// `∫K(θ) cos θ dΩ / ∫cos θ dΩ`. Round the plane's normal the ring at angle θ lies in the sky for the share
    /// `arccos(−cot θ cot β)/π` of its circle and on the ground for the rest, so one integral over θ is left:
    /// `∫K cos θ sin θ f dθ / ∫cos θ sin θ f dθ`, by midpoints. The horizon is the ring of level directions.
    ///
    /// # Validity
    ///
    /// Sky and ground evenly bright. Light from around the sun is treated as beam, not here.
    ///
    /// # Example
    ///
    /// A vertical plane sees half of the sky and half of the ground, at the same angles.
    ///
    /// ```
    /// use dryspell::array::incidence::Glass;
    /// let shares = Glass::Fresnel.diffuse(90.0);
    /// assert!((shares.sky - shares.ground).abs() < 1e-9 && (shares.sky - 0.94440).abs() < 5e-5);
    /// ```
    ///
    /// # References
    ///
    /// B. Marion, *Numerical method for angle-of-incidence correction factors for diffuse radiation incident photovoltaic
    /// modules*, Solar Energy 147 (2017) 344, doi 10.1016/j.solener.2017.03.027 (there as a sum over patches of the sky).
    #[must_use]
    pub fn diffuse(self, tilt_deg: f64) -> DiffuseShares {
        if self == Self::Clear {
            return DiffuseShares { sky: 1.0, horizon: 1.0, ground: 1.0 };
        }
        let (sin_tilt, cos_tilt) = sincos(tilt_deg.to_radians());
        let mean = |pair: (f64, f64)| if pair.1 > 0.0 { pair.0 / pair.1 } else { 1.0 };
        let (mut sky, mut ground, mut horizon) = ((0.0, 0.0), (0.0, 0.0), (0.0, 0.0));
        // Up to here the whole ring lies in the sky; beyond, part of it on the ground.
        let touches = (FRAC_PI_2 - tilt_deg.to_radians()).clamp(0.0, FRAC_PI_2);
        for (from, to) in [(0.0, touches), (touches, FRAC_PI_2)] {
            for k in 0..MIDPOINTS {
                let part = (f64::from(k) + 0.5) / f64::from(MIDPOINTS);
                let (sin, cos) = sincos(from + (to - from) * part);
                let across = sin * sin_tilt;
                let up = if across > 0.0 { -cos * cos_tilt / across } else { -cos_tilt.signum() };
                let in_sky = acos(up.clamp(-1.0, 1.0)) / PI;
                let share = self.beam(cos);
                let weight = sin * cos * (to - from);
                sky = (sky.0 + share * weight * in_sky, sky.1 + weight * in_sky);
                ground = (ground.0 + share * weight * (1.0 - in_sky), ground.1 + weight * (1.0 - in_sky));
            }
        }
        for k in 0..MIDPOINTS {
            // Level directions, by their angle from where the plane faces.
            let (_, along) = sincos(FRAC_PI_2 * (f64::from(k) + 0.5) / f64::from(MIDPOINTS));
            let level = sin_tilt * along;
            horizon = (horizon.0 + self.beam(level) * level, horizon.1 + level);
        }
        DiffuseShares { sky: mean(sky), horizon: mean(horizon), ground: mean(ground) }
    }
}

/// Midpoints of each part of the integrals over the incidence angle.
const MIDPOINTS: u32 = 180;

/// Shares of diffuse light that enter the glass, by where it comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiffuseShares {
    /// From all of the sky.
    pub sky: f64,
    /// From along the horizon.
    pub horizon: f64,
    /// From the ground.
    pub ground: f64,
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

    #[test]
    fn the_one_coefficient_formula_falls_with_every_degree_and_with_its_coefficient() {
        for coefficient in [0.0, 0.05, 0.1] {
            let mut last = 1.0 + 1e-12;
            for degree in 0..=120 {
                let share = ashrae_share(cos(f64::from(degree).to_radians()), coefficient);
                assert!(share <= last && share >= 0.0, "{coefficient} {degree}");
                assert!(share <= ashrae_share(cos(f64::from(degree).to_radians()), 0.5 * coefficient));
                last = share;
            }
        }
    }

    /// The same integrals by brute force over patches of the sphere.
    #[test]
    fn diffuse_shares_agree_with_patches_of_the_sphere() {
        for glass in [Glass::Fresnel, Glass::Ashrae { coefficient: 0.05 }] {
            for tilt_deg in [0.0_f64, 10.0, 35.0, 70.0, 90.0] {
                let (sin_tilt, cos_tilt) = sincos(tilt_deg.to_radians());
                let (mut sky, mut ground) = ((0.0, 0.0), (1e-30, 1e-30));
                for i in 0..720 {
                    let (up, level) = sincos((-90.0 + 0.25 * (f64::from(i) + 0.5)).to_radians());
                    for j in 0..360 {
                        let along = cos((f64::from(j) + 0.5).to_radians());
                        let c = up * cos_tilt + level * along * sin_tilt;
                        if c > 0.0 {
                            let side = if up > 0.0 { &mut sky } else { &mut ground };
                            *side = (side.0 + glass.beam(c) * c * level, side.1 + c * level);
                        }
                    }
                }
                let shares = glass.diffuse(tilt_deg);
                assert!((shares.sky - sky.0 / sky.1).abs() < 1e-4, "{glass:?} {tilt_deg}");
                assert!(
                    (shares.ground - ground.0 / ground.1).abs() < 3e-4,
                    "{glass:?} {tilt_deg}: {shares:?}"
                );
            }
        }
    }
}
