//! The tank's ledger: what comes in, what is drawn, what is short, hour by hour.

pub mod balance;
pub(crate) mod hour;
pub mod ledger;

use crate::draw::Carry;

/// Settings of the tank.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Settings {
    /// Name in the scheme, such as `main`.
    pub name: String,
    /// Usable volume between outlet and overflow, m³, > 0.
    pub capacity_m3: f64,
    /// Volume at which a float stops the pump, m³, 0 < stop ≤ capacity; `None` without a float.
    pub float_stop_m3: Option<f64>,
    /// Volume at which the float lets the pump start again, m³, ≤ stop; `None` when the float only holds the level.
    pub float_start_m3: Option<f64>,
    /// Leak, m³ an hour, ≥ 0.
    pub leak_m3_per_h: f64,
    /// Area of its water under the open sky, m², ≥ 0; 0 is a closed tank.
    pub open_surface_m2: f64,
    /// Volume that gardens leave to the stock, m³, ≥ 0.
    pub garden_reserve_m3: f64,
    /// What becomes of unmet thirst.
    pub carry: Carry,
    /// Share of a day's stock draw that may be short before the day counts, 0 to 1.
    pub tolerance: f64,
    /// First month of the tank year, 1 to 12; `None` lets the run choose (the month in which the tank is most often
    /// full).
    pub year_starts_in_month: Option<u8>,
}

impl Settings {
    /// A tank without a float, losses or band, with the default rules: what does not fit goes over the top.
    #[must_use]
    pub fn open(name: impl Into<String>, capacity_m3: f64) -> Self {
        Self {
            name: name.into(),
            capacity_m3,
            float_stop_m3: None,
            float_start_m3: None,
            leak_m3_per_h: 0.0,
            open_surface_m2: 0.0,
            garden_reserve_m3: 0.0,
            carry: Carry::WithinDay,
            tolerance: 0.01,
            year_starts_in_month: None,
        }
    }

    /// The same tank with another usable volume; the float's levels keep their share of it.
    ///
    /// ```
    /// use dryspell::tank::Settings;
    /// let ten = Settings { float_stop_m3: Some(9.5), float_start_m3: Some(9.0), ..Settings::open("main", 10.0) };
    /// let twenty = ten.resized(20.0);
    /// assert_eq!((twenty.capacity_m3, twenty.float_stop_m3, twenty.float_start_m3), (20.0, Some(19.0), Some(18.0)));
    /// ```
    #[must_use]
    pub fn resized(&self, capacity_m3: f64) -> Self {
        // A rounding must not lift the float above the rim.
        let follow = |level: f64| (level * (capacity_m3 / self.capacity_m3)).min(capacity_m3);
        Self {
            capacity_m3,
            float_stop_m3: self.float_stop_m3.map(follow),
            float_start_m3: self.float_start_m3.map(follow),
            ..self.clone()
        }
    }

    /// The fullest the tank gets by itself, m³: the float's stop level, or the overflow.
    #[must_use]
    pub fn full_m3(&self) -> f64 {
        self.float_stop_m3.unwrap_or(self.capacity_m3)
    }
}
