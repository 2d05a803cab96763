//! The tank's ledger: what comes in, what is drawn, what is short, hour by hour.

/// What becomes of thirst that the tank could not meet in its hour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Carry {
    /// It stays owed until midnight, then it is booked as short.
    #[default]
    WithinDay,
    /// It is booked as short in its hour.
    None,
}

/// Settings of the tank.
#[derive(Debug, Clone, PartialEq)]
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
    /// What becomes of unmet thirst.
    pub carry: Carry,
    /// Share of a day's stock draw that may be short before the day counts, 0 to 1.
    pub tolerance: f64,
    /// First month of the tank year, 1 to 12; `None` lets the run choose (the month in which the tank is most often
    /// full).
    pub year_starts_in_month: Option<u8>,
}
