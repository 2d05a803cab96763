//! Storage needed: the sequent peak.

use crate::tank::ledger::Flows;

/// The smallest usable volume that is never short over a record, and the spell that sets it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StorageNeeded {
    /// Storage needed, m³; `None` when supply is below draw, so that no tank is enough.
    pub storage_m3: Option<f64>,
    /// What the record's supply lacks against its draw, m³; zero when supply covers it.
    pub missing_m3: f64,
    /// The critical spell; `None` when inflow covers the draw of every hour.
    pub critical: Option<CriticalSpell>,
}

/// The spell that sets the storage, as hours of the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CriticalSpell {
    /// The hour in which the draw-down began.
    pub began: usize,
    /// The hour at whose end the draw-down was deepest; the earliest on ties.
    pub deepest: usize,
    /// The hour at whose end it was made good; `None` when it never was.
    pub refilled: Option<usize>,
}

/// Works out the storage needed by the sequent peak, hour by hour.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | Q, W | available, and demand, in the hour | m³ | ≥ 0, on the grid |
/// | K | what storage must have held to come this far | m³ | ≥ 0 |
///
/// # Equation
/// `K_t = max(0, K_{t−1} + W_t − Q_t)`; the storage needed is the largest `K`. With `wraps` the record is gone through
/// twice, since a spell may run over its end.
///
/// # Validity
/// No carry-over of thirst, no tolerance, no losses, no float band. A tank of this size that starts full is never
/// short in the record; one grid step smaller is.
///
/// # Example
/// ```
/// use dryspell::{reliability::storage::needed, tank::ledger::Flows};
/// let inflow = [1.0, 3.0, 3.0, 5.0, 8.0, 6.0, 7.0, 2.0, 1.0];
/// let found = needed(&Flows::lossless(&inflow, &[3.5; 9]), true);
/// assert_eq!(found.storage_m3, Some(7.5));
/// ```
///
/// # References
/// W. Rippl, "The capacity of storage-reservoirs for water-supply", Min. Proc. Inst. Civ. Eng. 71 (1883); H. A. Thomas
/// and R. P. Burden, Operations Research in Water Quality Management (1963); both from memory.
#[must_use]
pub fn needed(flows: &Flows, wraps: bool) -> StorageNeeded {
    let n = flows.hours();
    let available: f64 = flows.available_m3.iter().sum();
    let demand: f64 = flows.requested_m3.iter().sum();
    let passes = if wraps { 2 } else { 1 };
    let mut k = 0.0_f64;
    let mut began = None;
    let mut peak = 0.0_f64;
    let mut critical: Option<(usize, usize, Option<usize>)> = None;
    for step in 0..n * passes {
        let h = step % n;
        k += flows.requested_m3[h] - flows.available_m3[h];
        if k <= 0.0 {
            k = 0.0;
            began = None;
            if let Some((_, _, refilled @ None)) = &mut critical {
                *refilled = Some(step);
            }
            continue;
        }
        let start = *began.get_or_insert(step);
        if k > peak {
            peak = k;
            critical = Some((start, step, None));
        }
    }
    // With supply below draw the peak only says how long the record is.
    let runs_down = available < demand;
    StorageNeeded {
        storage_m3: (!runs_down).then_some(peak),
        missing_m3: if runs_down { demand - available } else { 0.0 },
        critical: critical.map(|(began, deepest, refilled)| CriticalSpell {
            began: began % n,
            deepest: deepest % n,
            refilled: refilled.map(|step| step % n),
        }),
    }
}
