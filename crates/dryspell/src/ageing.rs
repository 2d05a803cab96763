//! What a year takes of a scheme.

/// What a year takes, as shares.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Ageing {
    /// Current of the modules lost a year, 0 to 0.1.
    pub modules: f64,
    /// Flow of the pump lost a year, 0 to 0.1.
    pub pump: f64,
    /// Heads more a year, of those at the start, 0 to 0.1.
    pub herd: f64,
}

impl Default for Ageing {
    /// Modules lose 0.5 % a year, the pump 1 % of its flow, the herd stays.
    ///
    /// # References
    /// Modules: D. C. Jordan and S. R. Kurtz, *Photovoltaic Degradation Rates: an Analytical Review*, Progress in Photovoltaics 21
    /// (2013) 12, doi 10.1002/pip.1182: median 0.5 % a year (from memory). Pump: common practice, no source.
    fn default() -> Self {
        Self { modules: 0.005, pump: 0.01, herd: 0.0 }
    }
}
