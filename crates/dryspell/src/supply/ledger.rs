//! The source's ledger: where the lifted water went.

use super::Hour;
use crate::fault::Fault;
use crate::residual;

/// Water of a record by where it went, m³. Each term is summed on its own; none is made from the others.
///
/// # Equation
/// `lifted = weep + riser refill + available`
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SourceLedger {
    /// Lifted by the pump.
    pub lifted_m3: f64,
    /// Lost through the weep hole while pumping.
    pub weep_m3: f64,
    /// Used to fill the drained pipe at starts.
    pub riser_refill_m3: f64,
    /// Available to the tank.
    pub available_m3: f64,
}

impl SourceLedger {
    pub(super) fn add(&mut self, hour: &Hour) {
        self.lifted_m3 += hour.lifted_m3;
        self.weep_m3 += hour.weep_m3;
        self.riser_refill_m3 += hour.riser_refill_m3;
        self.available_m3 += hour.available_m3;
    }

    /// What is missing, as a share of the water lifted.
    #[must_use]
    pub fn residual(&self) -> f64 {
        let missing = self.lifted_m3 - self.weep_m3 - self.riser_refill_m3 - self.available_m3;
        let share = missing.abs() / self.lifted_m3.max(1e-9);
        // A term that is not a number, or endless, must not pass.
        if share.is_finite() { share } else { f64::INFINITY }
    }

    /// The residual, if the ledger closes.
    ///
    /// # Errors
    /// A [`crate::fault::FaultKind::Ledger`] fault when the residual is above 1e-9.
    pub fn close(&self) -> Result<f64, Fault> {
        let terms = format!(
            "m3: lifted {}, weep {}, riser refill {}, available {}",
            self.lifted_m3, self.weep_m3, self.riser_refill_m3, self.available_m3
        );
        residual::close(self.residual(), "ledger", "the well's ledger does not close", &terms)
    }
}
