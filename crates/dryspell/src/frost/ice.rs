//! Ice on open water.

use super::pipe_cooling::{FUSION_J_PER_KG, WATER_J_PER_KG_K, WATER_KG_PER_M3};

/// Conductivity of ice, W/(m·K).
pub(crate) const ICE_W_PER_M_K: f64 = 2.24;
/// Density of ice, kg/m³.
pub(crate) const ICE_KG_PER_M3: f64 = 917.0;
/// Thickness from which cattle do not reliably break ice, m (2 in; from memory).
pub const UNBROKEN_ICE_M: f64 = 0.05;

/// Thickness of ice after a time of steady frost, from a thickness before.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | h₀, h | thickness before and after | m | ≥ 0 |
/// | H | heat passed on by the air, `film_w_per_m2_k` | W/(m²·K) | > 0; infinite is Stefan's law |
/// | k, ρ, L | of ice: 2.24 W/(m·K), 917 kg/m³, 334 kJ/kg | | |
/// | ΔT | frost: 0 °C less the air's temperature | K | ≥ 0 |
/// | t | time | h (s in the equation) | ≥ 0 |
///
/// # Equation
/// `h = −k/H + √((h₀ + k/H)² + 2 k ΔT t/(ρ L))`
///
/// # Validity
/// No snow on the ice, no heat from the water below, no sun. Snow makes it thinner.
///
/// # Example
/// ```
/// use dryspell::frost::ice_m;
/// // A day at −10 °C, H 20: 4.67 cm; without the air's resistance 11.2.
/// assert!((100.0 * ice_m(0.0, 20.0, 10.0, 24.0) - 4.67).abs() < 0.01);
/// assert!((100.0 * ice_m(0.0, f64::INFINITY, 10.0, 24.0) - 11.24).abs() < 0.01);
/// ```
///
/// # References
/// - J. Stefan (1891), as [`super::stefan_depth_m`].
/// - G. D. Ashton, *Thin Ice Growth*, Water Resources Research 25:564–566 (1989), DOI 10.1029/WR025i003p00564 (title,
///   pages and DOI from memory).
#[must_use]
pub fn ice_m(before_m: f64, film_w_per_m2_k: f64, frost_k: f64, hours: f64) -> f64 {
    let air_m = ICE_W_PER_M_K / film_w_per_m2_k;
    let from = before_m + air_m;
    let grown = 2.0 * ICE_W_PER_M_K * frost_k * hours * 3600.0 / (ICE_KG_PER_M3 * FUSION_J_PER_KG);
    (from * from + grown).sqrt() - air_m
}

/// A trough or tank open to the sky.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct OpenWater {
    /// Surface, m², > 0.
    pub area_m2: f64,
    /// Mean depth of the water, m, > 0.
    pub depth_m: f64,
    /// Heat that passes to the air, W/(m²·K): 15 open, 1 to 2 under a floating cover (from memory).
    pub film_w_per_m2_k: f64,
    /// Temperature of the water that flows in, °C, ≥ 0.
    pub inflow_degc: f64,
}

/// Open water at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water {
    /// Temperature below the ice, °C.
    pub degc: f64,
    /// Ice, m.
    pub ice_m: f64,
}

impl OpenWater {
    /// Heat that the air takes from open water at 0 °C, W.
    ///
    /// # Example
    /// ```
    /// use dryspell::frost::OpenWater;
    /// // 7.07 m² at −10 °C and 10 W/(m²·K): 707 W.
    /// let tank = OpenWater { area_m2: 7.07, depth_m: 0.6, film_w_per_m2_k: 10.0, inflow_degc: 10.0 };
    /// assert!((tank.loss_w(-10.0) - 707.0).abs() < 1e-9);
    /// // Cooling 1000 L from 10 to 0 °C in an hour gives 41.9 MJ.
    /// assert!((tank.inflow_w(1.0) * 3600.0 / 1e6 - 41.86).abs() < 0.01);
    /// ```
    #[must_use]
    pub fn loss_w(&self, air_degc: f64) -> f64 {
        self.film_w_per_m2_k * self.area_m2 * (-air_degc).max(0.0)
    }

    /// Heat that an inflow brings above 0 °C, W.
    #[must_use]
    pub fn inflow_w(&self, inflow_m3_per_h: f64) -> f64 {
        WATER_KG_PER_M3 * WATER_J_PER_KG_K * inflow_m3_per_h * self.inflow_degc.max(0.0) / 3600.0
    }

    /// The inflow whose warmth keeps the water open in steady frost, m³/h; infinite where it has none.
    #[must_use]
    pub fn keeps_open_m3_per_h(&self, air_degc: f64) -> f64 {
        let loss = self.loss_w(air_degc);
        if loss > 0.0 { loss / self.inflow_w(1.0) } else { 0.0 }
    }

    /// Open water for one hour of steady air and inflow.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// |---|---|---|---|
    /// | T, h | temperature, ice | °C, m | T 0 while there is ice |
    /// | H, A, d | film, surface, depth | W/(m²·K), m², m | |
    /// | Q, T_w | inflow and its temperature | m³/h, °C | ≥ 0 |
    /// | t_a | air | °C | |
    ///
    /// # Equation
    /// Without ice `ρ c d dT/dt = H (t_a − T) + ρ c (Q/A) (T_w − T)`, exact, until 0 °C. From there ice grows by
    /// [`ice_m`] in frost, or thaws at `H t_a/(ρ_i L)` above 0 °C, and the inflow's warmth melts `ρ c Q T_w/(A ρ_i L)`.
    /// Air above 0 °C that has thawed the last ice warms the water only from the next hour on.
    ///
    /// # Validity
    /// Mixed water of one depth; as much flows out as in, at its temperature. No sun, no snow, no heat from ground or
    /// walls. Real water keeps 4 °C below and freezes at the top earlier; moving water freezes later.
    ///
    /// # References
    /// A heat balance; [`ice_m`].
    #[must_use]
    pub fn hour(&self, before: Water, air_degc: f64, inflow_m3: f64) -> Water {
        let capacity = WATER_KG_PER_M3 * WATER_J_PER_KG_K * self.depth_m;
        let inflow = WATER_KG_PER_M3 * WATER_J_PER_KG_K * inflow_m3.max(0.0) / self.area_m2 / 3600.0;
        let (mut water, mut left_h) = (before, 1.0);
        if water.ice_m <= 0.0 {
            let pull = self.film_w_per_m2_k + inflow;
            let rest = (self.film_w_per_m2_k * air_degc + inflow * self.inflow_degc) / pull;
            let tau_h = capacity / pull / 3600.0;
            let to_zero = if rest < 0.0 {
                tau_h * libm::log((water.degc.max(0.0) - rest) / -rest)
            } else {
                f64::INFINITY
            };
            if to_zero >= left_h {
                water.degc = rest + (water.degc - rest) * libm::exp(-left_h / tau_h);
                return water;
            }
            water.degc = 0.0;
            left_h -= to_zero;
        }
        let melt = |heat_w_per_m2: f64| heat_w_per_m2 * left_h * 3600.0 / (ICE_KG_PER_M3 * FUSION_J_PER_KG);
        let grown = if air_degc < 0.0 {
            ice_m(water.ice_m, self.film_w_per_m2_k, -air_degc, left_h)
        } else {
            water.ice_m - melt(self.film_w_per_m2_k * air_degc)
        };
        water.ice_m = (grown - melt(inflow * self.inflow_degc)).max(0.0);
        water
    }
}

/// Ice on open water at the end of each hour, m. A one-year record is repeated; others begin at the inflow's
/// temperature.
#[must_use]
pub fn ice_hours(open: &OpenWater, air_degc: &[f64], inflow_m3: Option<&[f64]>, wraps: bool) -> Vec<f64> {
    let mut water = Water { degc: open.inflow_degc.max(0.0), ice_m: 0.0 };
    let inflow = |h: usize| inflow_m3.and_then(|q| q.get(h)).copied().unwrap_or(0.0);
    if wraps {
        for (h, t) in air_degc.iter().enumerate() {
            water = open.hour(water, *t, inflow(h));
        }
    }
    air_degc
        .iter()
        .enumerate()
        .map(|(h, t)| {
            water = open.hour(water, *t, inflow(h));
            water.ice_m
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const TROUGH: OpenWater =
        OpenWater { area_m2: 3.0, depth_m: 0.5, film_w_per_m2_k: 15.0, inflow_degc: 10.0 };

    proptest! {
        #[test]
        fn more_inflow_or_warmer_air_never_makes_more_ice(
            air in proptest::collection::vec(-20.0_f64..8.0, 24..96),
            inflow in 0.0_f64..0.3,
            more in 0.0_f64..0.3,
            warmer in 0.0_f64..5.0,
        ) {
            let ice = |air: &[f64], q: f64| ice_hours(&TROUGH, air, Some(&vec![q; air.len()]), false);
            let here = ice(&air, inflow);
            let fed = ice(&air, inflow + more);
            let warm: Vec<f64> = air.iter().map(|t| t + warmer).collect();
            let warm = ice(&warm, inflow);
            for h in 0..air.len() {
                prop_assert!(fed[h] <= here[h] + 1e-12);
                prop_assert!(warm[h] <= here[h] + 1e-12);
            }
        }

        #[test]
        fn ice_grows_the_same_in_one_step_or_two(h0 in 0.0_f64..0.2, frost in 0.0_f64..30.0, t in 0.0_f64..48.0) {
            let two = ice_m(ice_m(h0, 15.0, frost, t), 15.0, frost, t);
            prop_assert!((two - ice_m(h0, 15.0, frost, 2.0 * t)).abs() < 1e-12);
        }
    }

    #[test]
    fn the_inflow_that_keeps_it_open_is_where_ice_begins() {
        let q = TROUGH.keeps_open_m3_per_h(-10.0);
        // 15 · 3 · 10 = 450 W over 11.63 kW for each m³/h of 10 °C water.
        assert!((q - 0.0387).abs() < 1e-4, "{q}");
        let ice = |q: f64| ice_hours(&TROUGH, &[-10.0; 400], Some(&[q; 400]), false)[399];
        assert!(ice(1.01 * q) <= 0.0);
        assert!(ice(0.8 * q) > 0.0);
    }
}
