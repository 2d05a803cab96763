//! Frost depth.

use super::soil::Soil;
use super::stefan::stefan_depth_m;
use crate::root::falling_root;
use std::f64::consts::PI;

/// The share λ of Stefan's depth that frost reaches when the ground's own warmth is counted.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | μ | fusion parameter: mean frost below 0 °C times heat capacity, over latent heat | – | > 0 |
/// | α | thermal ratio: ground's mean above 0 °C, over the surface's mean below | – | ≥ 0 |
/// | λ | result | – | 0 to 1 |
///
/// # Equation
/// `λ = β √(2/μ)`, β the root of `e^(−β²) (1/erf β − α/erfc β) = √π β / μ`
///
/// # Validity
/// Neumann's solution with equal conductivity and heat capacity in both phases: a step of surface temperature on a deep,
/// even ground. The short form `1/√(1 + μ(α + ½))` that is sometimes seen is not used: it is too deep where winters are
/// mild.
///
/// # Example
/// ```
/// // Silt, 500 °F·days in 100 days, mean annual 45 °F: α 2.6, μ 0.0654.
/// assert!((dryspell::frost::lambda(0.0654, 2.6) - 0.734).abs() < 0.001);
/// ```
///
/// # References
/// - F. Neumann's lectures of the 1860s, as in H. S. Carslaw, J. C. Jaeger, *Conduction of Heat in Solids*, 2nd ed.
///   (1959), section 11.2 (from memory).
/// - H. P. Aldrich, H. M. Paynter, *Analytical Studies of Freezing and Thawing of Soils*, Arctic Construction and Frost
///   Effects Laboratory (1953), from memory: λ as a correction of Stefan's depth.
#[must_use]
pub fn lambda(fusion_parameter: f64, thermal_ratio: f64) -> f64 {
    let (mu, alpha) = (fusion_parameter, thermal_ratio.max(0.0));
    // Times erf β, so that it is 1 at β = 0; it falls, and λ is at most 1.
    let balance = |lambda: f64| {
        let beta = lambda * (0.5 * mu).sqrt();
        let erf = libm::erf(beta);
        libm::exp(-beta * beta) * (1.0 - alpha * erf / libm::erfc(beta)) - PI.sqrt() * beta * erf / mu
    };
    falling_root(balance, 0.0, 1.0, 1e-14)
}

/// How deep frost goes, with what led to it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FrostDepth {
    /// Depth, m.
    pub depth_m: f64,
    /// Stefan's depth, the upper bound, m.
    pub stefan_m: f64,
    /// Their ratio λ.
    pub lambda: f64,
    /// Thermal ratio α.
    pub thermal_ratio: f64,
    /// Fusion parameter μ.
    pub fusion_parameter: f64,
}

/// Depth of frost in a winter, by the modified Berggren method with the exact λ.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | nF | freezing index of the air times the surface's n-factor | °C·day | ≥ 0 |
/// | t | days that the ground freezes | day | > 0 |
/// | v₀ | mean annual temperature, of the ground or, on the deep side, of the air | °C | > 0 |
/// | k, L, C | of the soil, see [`Soil`] | | |
/// | X | depth | m | |
///
/// # Equation
/// `X = λ √(2 k · 86400 nF / L)`; `v_s = nF/t`, `α = v₀/v_s`, `μ = v_s C/L`, [`lambda`]
///
/// # Validity
/// One even soil, frozen from above, without ground water that moves. `None` where the mean annual temperature is at or
/// below 0 °C: ground may then stay frozen all year and no cover is safe. A pipe is colder than the ground where its
/// trench is drier or looser; frost follows metal risers and valve boxes down.
///
/// # Example
/// ```
/// use dryspell::frost::{Soil, frost_depth};
/// // Silt, 1500 °F·days in 150 days, mean annual 40 °F: 4.28 ft.
/// let silt = Soil::named("silt").ok_or("no such soil")?;
/// let silt = Soil { frozen_w_per_m_k: 1.3154, thawed_w_per_m_k: 1.3154, ..silt };
/// let frost = frost_depth(&silt, 1500.0 / 1.8, 150.0, 8.0 / 1.8).ok_or("frozen all year")?;
/// assert!((frost.depth_m / 0.3048 - 4.28).abs() < 0.005);
/// # Ok::<(), &str>(())
/// ```
///
/// # References
/// US Department of Defense, UFC 3-130-06 (2004; formerly TM 5-852-6, 1988): `X = λ √(48 k n F/L)` in feet and Btu.
#[must_use]
pub fn frost_depth(
    soil: &Soil,
    surface_index_degc_days: f64,
    days: f64,
    mean_annual_degc: f64,
) -> Option<FrostDepth> {
    if mean_annual_degc <= 0.0 {
        return None;
    }
    let fusion = soil.fusion_j_per_m3();
    let stefan_m = stefan_depth_m(soil.mean_w_per_m_k(), surface_index_degc_days, fusion);
    if surface_index_degc_days <= 0.0 || days <= 0.0 {
        let none = 0.0;
        return Some(FrostDepth {
            depth_m: none,
            stefan_m: none,
            lambda: none,
            thermal_ratio: f64::INFINITY,
            fusion_parameter: none,
        });
    }
    let below = surface_index_degc_days / days;
    let thermal_ratio = mean_annual_degc / below;
    let fusion_parameter = below * soil.heat_j_per_m3_k() / fusion;
    let lambda = lambda(fusion_parameter, thermal_ratio);
    Some(FrostDepth { depth_m: lambda * stefan_m, stefan_m, lambda, thermal_ratio, fusion_parameter })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::frost::SOILS;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn deeper_with_more_frost_and_shallower_with_a_warmer_ground(
            soil in 0..SOILS.len(),
            index in 1.0_f64..2500.0,
            days in 10.0_f64..200.0,
            mean in 0.1_f64..20.0,
            more in 1.001_f64..3.0,
        ) {
            let soil = Soil::named(SOILS[soil].0).unwrap();
            let depth = |f: f64, m: f64| frost_depth(&soil, f, days, m).unwrap();
            let here = depth(index, mean);
            prop_assert!(here.depth_m > 0.0 && here.depth_m < here.stefan_m);
            prop_assert!(depth(index * more, mean).depth_m > here.depth_m);
            prop_assert!(depth(index, mean * more).depth_m < here.depth_m);
        }

        #[test]
        fn lambda_solves_neumanns_equation(mu in 0.001_f64..2.0, alpha in 0.0_f64..50.0) {
            let beta = lambda(mu, alpha) * (0.5 * mu).sqrt();
            let left = libm::exp(-beta * beta) * (1.0 / libm::erf(beta) - alpha / libm::erfc(beta));
            prop_assert!((left * mu / (PI.sqrt() * beta) - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn ground_that_stays_frozen_has_no_safe_depth() {
        let silt = Soil::named("silt").unwrap();
        assert_eq!(frost_depth(&silt, 1000.0, 150.0, 0.0), None);
        assert!(frost_depth(&silt, 0.0, 0.0, 5.0).unwrap().depth_m.abs() < 1e-300);
    }
}
