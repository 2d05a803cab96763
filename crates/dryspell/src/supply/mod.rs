//! Supply: where the pump meets the well and the pipe, hour by hour.

use crate::{pipe, pump, well};

/// Settings of the supply stage.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// The pump.
    pub pump: pump::Settings,
    /// The well.
    pub well: well::Settings,
    /// The pipe line.
    pub pipe: pipe::Settings,
}
