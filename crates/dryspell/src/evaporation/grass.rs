//! Evapotranspiration of the reference grass on a day: FAO-56 Penman-Monteith.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `R_n`, `G` | net radiation, soil heat | MJ/m² a day | |
//! | `T` | mean of the day's greatest and least temperature | °C | −40 to 60 |
//! | `u_2` | wind at 2 m | m/s | ≥ 0 |
//! | `e_s`, `e_a` | saturation and actual vapour pressure | kPa | ≥ 0 |
//! | `Δ`, `γ` | slope of saturation, psychrometric constant | kPa/K | > 0 |
//! | `ET_o` | reference evapotranspiration | mm a day | ≥ 0 |
//!
//! # Equation
//!
//! `ET_o = [0.408 Δ (R_n − G) + γ 900/(T + 273) u_2 (e_s − e_a)] / [Δ + γ (1 + 0.34 u_2)]` (6), with `R_n = 0.77 R_s − R_nl`
//! (38, 40)
//!
//! # Validity
//!
//! Clipped grass of 0.12 m that never lacks water. A value below zero (dew, a deep frost) is taken as zero.
//!
//! # Example
//!
//! ```
//! use dryspell::evaporation::{air, grass::Day};
//! // FAO-56 example 18, Uccle on 6 July: 3.9 mm.
//! let day = Day {
//!     latitude_deg: 50.8,
//!     elevation_m: 100.0,
//!     day_of_year: 187,
//!     greatest_degc: 21.5,
//!     least_degc: 12.3,
//!     vapour_kpa: air::day_vapour_kpa(21.5, 12.3, 0.84, 0.63),
//!     wind_m_per_s: air::wind_at_2_m(2.7778, 10.0),
//!     global_mj: 22.07,
//!     soil_heat_mj: 0.0,
//! };
//! assert!((day.grass_mm() - 3.88).abs() < 0.005);
//! ```
//!
//! # References
//!
//! - Allen, R. G., Pereira, L. S., Raes, D. and Smith, M. (1998). Crop evapotranspiration. FAO Irrigation and Drainage
//!   Paper 56, equation 6.

use super::air::{day_saturation_kpa, pressure_kpa, psychrometric_kpa_per_k, slope_kpa_per_k};
use super::radiation::{FAO_ZERO_K, Sun, clear_sky_mj, clearness, net_longwave_mj};

/// Share of light that grass throws back (38).
const ALBEDO: f64 = 0.23;

/// The weather of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// Latitude, °, north positive.
    pub latitude_deg: f64,
    /// Elevation above sea level, m.
    pub elevation_m: f64,
    /// Day of the year, 1 to 366.
    pub day_of_year: u32,
    /// Greatest air temperature, °C.
    pub greatest_degc: f64,
    /// Least air temperature, °C.
    pub least_degc: f64,
    /// Vapour pressure, kPa.
    pub vapour_kpa: f64,
    /// Wind at 2 m, m/s.
    pub wind_m_per_s: f64,
    /// Global radiation, MJ/m².
    pub global_mj: f64,
    /// Heat that goes into the soil, MJ/m²; zero over a day.
    pub soil_heat_mj: f64,
}

/// All that leads to the reference evapotranspiration of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Steps {
    /// Saturation vapour pressure, kPa.
    pub saturation_kpa: f64,
    /// Slope of the saturation vapour pressure, kPa/K.
    pub slope_kpa_per_k: f64,
    /// Psychrometric constant, kPa/K.
    pub psychrometric_kpa_per_k: f64,
    /// Extraterrestrial radiation, MJ/m².
    pub extraterrestrial_mj: f64,
    /// Clear-sky radiation, MJ/m².
    pub clear_mj: f64,
    /// Net shortwave radiation, MJ/m².
    pub net_shortwave_mj: f64,
    /// Net outgoing longwave radiation, MJ/m².
    pub net_longwave_mj: f64,
    /// Net radiation, MJ/m².
    pub net_mj: f64,
    /// The radiation's part of the result, mm.
    pub radiation_mm: f64,
    /// The wind's part of the result, mm.
    pub wind_mm: f64,
}

impl Day {
    /// Every intermediate result.
    #[must_use]
    pub fn steps(&self) -> Steps {
        let mean = 0.5 * (self.greatest_degc + self.least_degc);
        let saturation_kpa = day_saturation_kpa(self.greatest_degc, self.least_degc);
        let slope = slope_kpa_per_k(mean);
        let gamma = psychrometric_kpa_per_k(pressure_kpa(self.elevation_m));
        let extraterrestrial_mj = Sun::new(self.latitude_deg, self.day_of_year).extraterrestrial_mj();
        let clear_mj = clear_sky_mj(extraterrestrial_mj, self.elevation_m);
        let net_shortwave_mj = (1.0 - ALBEDO) * self.global_mj;
        let longwave = net_longwave_mj(
            self.greatest_degc,
            self.least_degc,
            self.vapour_kpa,
            clearness(self.global_mj, clear_mj),
            FAO_ZERO_K,
        );
        let net_mj = net_shortwave_mj - longwave;
        let below = slope + gamma * (1.0 + 0.34 * self.wind_m_per_s);
        let deficit_kpa = saturation_kpa - self.vapour_kpa;
        Steps {
            saturation_kpa,
            slope_kpa_per_k: slope,
            psychrometric_kpa_per_k: gamma,
            extraterrestrial_mj,
            clear_mj,
            net_shortwave_mj,
            net_longwave_mj: longwave,
            net_mj,
            radiation_mm: 0.408 * slope * (net_mj - self.soil_heat_mj) / below,
            wind_mm: gamma * 900.0 / (mean + 273.0) * self.wind_m_per_s * deficit_kpa / below,
        }
    }

    /// Reference evapotranspiration, mm.
    #[must_use]
    pub fn grass_mm(&self) -> f64 {
        let steps = self.steps();
        (steps.radiation_mm + steps.wind_mm).max(0.0)
    }
}
