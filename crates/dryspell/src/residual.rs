//! What a ledger may miss, and the refusal of one that misses more.

use crate::fault::{Fault, FaultKind};

/// Largest residual of a ledger, as a share of its scale, at which a run still counts as closed.
pub(crate) const LARGEST_RESIDUAL: f64 = 1e-9;

/// The residual, if it is small enough; else a fault at `key` that says `what` and shows the `terms`.
pub(crate) fn close(residual: f64, key: &str, what: &str, terms: &str) -> Result<f64, Fault> {
    if residual <= LARGEST_RESIDUAL {
        return Ok(residual);
    }
    Err(Fault::at_key(
        key,
        FaultKind::Ledger,
        format!("{what}: residual {residual:.3e} ({terms})"),
        format!("a run is shown only with a residual of at most {LARGEST_RESIDUAL:e}"),
        "this is a fault in the program: keep the scheme and the weather file and report it",
    ))
}
