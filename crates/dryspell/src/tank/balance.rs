//! The ledgers, and the refusal of a run whose ledgers do not close.

use std::fmt;

use crate::fault::Fault;
use crate::residual;

/// Every term of the ledgers, m³ over the run. Each was accumulated on its own; none comes from a balance.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Ledgers {
    /// What the pump could have lifted.
    pub available_m3: f64,
    /// Refused by the float.
    pub curtailed_m3: f64,
    /// Lifted into the tank.
    pub pumped_m3: f64,
    /// In the tank when the run began.
    pub start_m3: f64,
    /// In the tank when the run ended.
    pub end_m3: f64,
    /// Drawn for the stock.
    pub drawn_m3: f64,
    /// Drawn for gardens.
    pub garden_m3: f64,
    /// Over the top.
    pub spilled_m3: f64,
    /// To the air.
    pub evaporated_m3: f64,
    /// Through leaks.
    pub leaked_m3: f64,
    /// Requested of the tank for the stock.
    pub requested_m3: f64,
    /// Requested and not there in time.
    pub short_m3: f64,
    /// Requested for gardens.
    pub garden_requested_m3: f64,
    /// Requested for gardens and not there.
    pub garden_short_m3: f64,
    /// Usable volume of the tank, for the scale.
    pub capacity_m3: f64,
}

impl Ledgers {
    /// What is left over in each ledger, m³: source, tank, demand, garden.
    ///
    /// # Equation
    /// - source: available − pumped − curtailed
    /// - tank: start + pumped − drawn − garden − spilled − evaporated − leaked − end
    /// - demand: requested − drawn − short
    /// - garden: requested − drawn − short, of the garden
    #[must_use]
    pub fn left_over_m3(&self) -> [f64; 4] {
        [
            self.available_m3 - self.pumped_m3 - self.curtailed_m3,
            self.start_m3 + self.pumped_m3
                - self.drawn_m3
                - self.garden_m3
                - self.spilled_m3
                - self.evaporated_m3
                - self.leaked_m3
                - self.end_m3,
            self.requested_m3 - self.drawn_m3 - self.short_m3,
            self.garden_requested_m3 - self.garden_m3 - self.garden_short_m3,
        ]
    }

    /// The largest left-over as a share of the largest of pumped, drawn and capacity.
    #[must_use]
    pub fn residual(&self) -> f64 {
        let scale = self.pumped_m3.max(self.drawn_m3).max(self.capacity_m3);
        self.left_over_m3().into_iter().fold(0.0, |worst: f64, left_over| {
            let share = left_over.abs() / scale;
            // A term that is not a number, or endless, must not pass as "not larger".
            if share.is_finite() { worst.max(share) } else { f64::INFINITY }
        })
    }

    /// The residual, if the ledgers close.
    ///
    /// # Errors
    /// A [`crate::fault::FaultKind::Ledger`] fault with all terms when the residual is above 1e-9.
    pub fn close(&self) -> Result<f64, Fault> {
        residual::close(self.residual(), "ledger", "the ledgers do not close", &self.to_string())
    }
}

impl fmt::Display for Ledgers {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "m3: available {}, pumped {}, curtailed {}; start {}, drawn {}, garden {}, spilled {}, evaporated {}, \
             leaked {}, end {}; requested {}, short {}; garden requested {}, short {}",
            self.available_m3,
            self.pumped_m3,
            self.curtailed_m3,
            self.start_m3,
            self.drawn_m3,
            self.garden_m3,
            self.spilled_m3,
            self.evaporated_m3,
            self.leaked_m3,
            self.end_m3,
            self.requested_m3,
            self.short_m3,
            self.garden_requested_m3,
            self.garden_short_m3
        )
    }
}
