//! Water that stands in a pipe in cold air.

use std::f64::consts::PI;

/// Density of water near 0 °C, kg/m³.
pub(super) const WATER_KG_PER_M3: f64 = 1000.0;
/// Heat capacity of water near 0 °C, J/(kg·K).
pub(super) const WATER_J_PER_KG_K: f64 = 4186.0;
/// Heat capacity of ice near 0 °C, J/(kg·K).
pub(super) const ICE_J_PER_KG_K: f64 = 2100.0;
/// Latent heat of fusion of water, J/kg.
pub(super) const FUSION_J_PER_KG: f64 = 334_000.0;

/// A pipe in the open air.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | D₁, D₂ | `bore_m`, `outside_m` | m | 0 < D₁ ≤ D₂ |
/// | D₃ | outside of the insulation, D₂ and twice `insulation_m` | m | |
/// | k | `insulation_w_per_m_k` | W/(m·K) | > 0 |
/// | h | `film_w_per_m2_k`, heat passed on by air at the outside | W/(m²·K) | > 0; `None` leaves the film out |
/// | R | resistance of one metre of pipe | m·K/W | |
/// | t_i, t_a | temperature of the water at first, of the air | °C | |
///
/// # Equation
/// - `R = ln(D₃/D₂)/(2π k) + 1/(h π D₃)`
/// - to 0 °C: `θ = ρ c π (D₁/2)² R ln((t_i − t_a)/(0 − t_a))`
/// - from there to solid ice: `θ = ρ L π (D₁/2)² R / (0 − t_a)`
///
/// # Validity
/// Steady air below 0 °C; water at rest and evenly warm; heat of the pipe's wall, its resistance, and that of the ice
/// inside left out (on the quick side). Water may cool below 0 °C before it freezes and then freezes at once, so the
/// second time is not to be counted on. Wind raises h: 10 in a still place, 25 in wind.
///
/// # Example
/// ```
/// use dryspell::frost::BarePipe;
/// // 32/40 mm pipe, h 25: R = 1/(25 π 0.04) = 0.318; 4.4 min from 5 °C at −18 °C, then 79 min to solid.
/// let pipe = BarePipe { bore_m: 0.032, outside_m: 0.040, insulation_m: 0.0, insulation_w_per_m_k: 0.04,
///     film_w_per_m2_k: Some(25.0) };
/// assert!((60.0 * pipe.cooling_h(5.0, -18.0).ok_or("never")? - 4.38).abs() < 0.01);
/// assert!((60.0 * pipe.freezing_h(-18.0).ok_or("never")? - 79.0).abs() < 0.5);
/// assert_eq!(pipe.cooling_h(5.0, 0.0), None);
/// # Ok::<(), &str>(())
/// ```
///
/// # References
/// ASHRAE Handbook, *Fundamentals* (2009, 2019), chapter 23, eq. 1 (insulation alone).
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct BarePipe {
    /// Inside diameter, m.
    pub bore_m: f64,
    /// Outside diameter of the pipe, m.
    pub outside_m: f64,
    /// Thickness of the insulation, m, ≥ 0.
    pub insulation_m: f64,
    /// Conductivity of the insulation, W/(m·K).
    pub insulation_w_per_m_k: f64,
    /// Heat passed on by the air at the outside, W/(m²·K); `None` leaves its resistance out.
    pub film_w_per_m2_k: Option<f64>,
}

impl BarePipe {
    /// Resistance of one metre of pipe, m·K/W.
    #[must_use]
    pub fn resistance_m_k_per_w(&self) -> f64 {
        let outer = self.outside_m + 2.0 * self.insulation_m;
        let insulation = libm::log(outer / self.outside_m) / (2.0 * PI * self.insulation_w_per_m_k);
        insulation + self.film_w_per_m2_k.map_or(0.0, |h| 1.0 / (h * PI * outer))
    }

    /// Mass of the water in one metre, kg/m.
    fn water_kg_per_m(&self) -> f64 {
        WATER_KG_PER_M3 * PI * self.bore_m * self.bore_m / 4.0
    }

    /// Time in which the difference between water and air falls to 1/e, h.
    #[must_use]
    pub fn time_constant_h(&self) -> f64 {
        self.water_kg_per_m() * WATER_J_PER_KG_K * self.resistance_m_k_per_w() / 3600.0
    }

    /// Time in which one degree of frost freezes the water solid, K·h.
    #[must_use]
    pub fn solid_k_h(&self) -> f64 {
        self.water_kg_per_m() * FUSION_J_PER_KG * self.resistance_m_k_per_w() / 3600.0
    }

    /// Time in which standing water cools to 0 °C, h; `None` where it never does.
    #[must_use]
    pub fn cooling_h(&self, water_degc: f64, air_degc: f64) -> Option<f64> {
        (air_degc < 0.0)
            .then(|| self.time_constant_h() * libm::log((water_degc.max(0.0) - air_degc) / -air_degc))
    }

    /// Time from 0 °C until the water is solid, h; `None` where it never is.
    #[must_use]
    pub fn freezing_h(&self, air_degc: f64) -> Option<f64> {
        (air_degc < 0.0).then(|| self.solid_k_h() / -air_degc)
    }
}
