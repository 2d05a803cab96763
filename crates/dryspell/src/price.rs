//! What parts cost, to order the changes that would mend a scheme.

/// Prices, all in one currency, whichever it is, each ≥ 0; what is not known is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
pub struct Prices {
    /// A module with its mount.
    pub module: Option<f64>,
    /// A cubic metre of tank more.
    pub tank_per_m3: Option<f64>,
    /// A current booster.
    pub current_booster: Option<f64>,
    /// A controller that tracks the array's maximum power.
    pub tracker: Option<f64>,
    /// An ampere-hour of the booster pump's battery.
    pub battery_per_ah: Option<f64>,
    /// A rack made to stand steeper.
    pub steeper_rack: Option<f64>,
    /// Panels swept for as long as the scheme shall stand.
    pub sweeping: Option<f64>,
}

impl Prices {
    /// Each with its key.
    #[must_use]
    pub const fn by_key(&self) -> [(&'static str, Option<f64>); 7] {
        [
            ("module", self.module),
            ("tank_per_m3", self.tank_per_m3),
            ("current_booster", self.current_booster),
            ("tracker", self.tracker),
            ("battery_per_ah", self.battery_per_ah),
            ("steeper_rack", self.steeper_rack),
            ("sweeping", self.sweeping),
        ]
    }
}
