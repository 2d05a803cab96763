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
    /// Let in from inflows besides the pump's.
    pub inflow_m3: f64,
    /// Brought by a backup.
    pub backup_m3: f64,
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
    /// Requested of the tank for the stock; where each herd has its own book, what herds and extras wanted.
    pub requested_m3: f64,
    /// What they had of it: as drawn, but behind troughs that have a book of their own what was drunk from them.
    pub drunk_m3: f64,
    /// Requested and not there in time, for want of water in the tank.
    pub short_m3: f64,
    /// Wanted by herds with books of their own and short between tank and animals.
    pub delivery_shortage_m3: f64,
    /// Drunk by extras, where herds have books of their own.
    pub extra_drunk_m3: f64,
    /// Wanted by extras and not there in its hour.
    pub extra_short_m3: f64,
    /// In troughs that have a book of their own when the run began.
    pub troughs_start_m3: f64,
    /// In them when it ended.
    pub troughs_end_m3: f64,
    /// Requested for gardens.
    pub garden_requested_m3: f64,
    /// Requested for gardens and not there.
    pub garden_short_m3: f64,
    /// Usable volume of the tank, for the scale.
    pub capacity_m3: f64,
}

impl Ledgers {
    /// What is left over in each ledger, m³: source, tank, demand, garden, troughs.
    ///
    /// # Equation
    /// - source: available − pumped − curtailed
    /// - tank: start + pumped + inflow + backup − drawn − garden − spilled − evaporated − leaked − end
    /// - demand: requested − drunk − short − delivery shortage − short of extras
    /// - garden: requested − drawn − short, of the garden
    /// - troughs: start + drawn − drunk − end
    #[must_use]
    pub fn left_over_m3(&self) -> [f64; 5] {
        [
            self.available_m3 - self.pumped_m3 - self.curtailed_m3,
            self.start_m3 + self.pumped_m3 + self.inflow_m3 + self.backup_m3
                - self.drawn_m3
                - self.garden_m3
                - self.spilled_m3
                - self.evaporated_m3
                - self.leaked_m3
                - self.end_m3,
            self.requested_m3
                - self.drunk_m3
                - self.short_m3
                - self.delivery_shortage_m3
                - self.extra_short_m3,
            self.garden_requested_m3 - self.garden_m3 - self.garden_short_m3,
            self.troughs_start_m3 + self.drawn_m3 - self.drunk_m3 - self.troughs_end_m3,
        ]
    }

    /// The largest left-over as a share of the largest of pumped, drawn and capacity.
    #[must_use]
    pub fn residual(&self) -> f64 {
        let scale = self.pumped_m3.max(self.inflow_m3).max(self.drawn_m3).max(self.capacity_m3);
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
            "m3: available {}, pumped {}, curtailed {}; inflow {}, backup {}; start {}, drawn {}, garden {}, spilled {}, evaporated {}, \
             leaked {}, end {}; requested {}, drunk {}, short {}, on the way {}, extras {}; garden requested {}, short {}; \
             troughs from {} to {}",
            self.available_m3,
            self.pumped_m3,
            self.curtailed_m3,
            self.inflow_m3,
            self.backup_m3,
            self.start_m3,
            self.drawn_m3,
            self.garden_m3,
            self.spilled_m3,
            self.evaporated_m3,
            self.leaked_m3,
            self.end_m3,
            self.requested_m3,
            self.drunk_m3,
            self.short_m3,
            self.delivery_shortage_m3,
            self.extra_short_m3,
            self.garden_requested_m3,
            self.garden_short_m3,
            self.troughs_start_m3,
            self.troughs_end_m3
        )
    }
}
