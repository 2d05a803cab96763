//! How long water lasts: the same for every supply, so kept while draw and losses stay.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use crate::calendar::Calendar;
use crate::grid;
use crate::reliability::autonomy::{Autonomy, FullTank};
use crate::tank::Settings;
use crate::tank::ledger::Flows;

/// Most sizes of tanks of which the answer is kept.
const MOST_KEPT: usize = 4096;

/// How long water lasts from any hour, and what full tanks of a size came to.
#[derive(Debug)]
pub struct Endurance {
    autonomy: Autonomy,
    full: Mutex<BTreeMap<u64, FullTank>>,
}

impl Endurance {
    /// Makes draw and losses ready; inflow plays no part.
    pub(super) fn new(flows: &Flows, wraps: bool) -> Self {
        Self { autonomy: Autonomy::new(flows, wraps), full: Mutex::default() }
    }

    /// Autonomy from any hour and level.
    #[must_use]
    pub const fn autonomy(&self) -> &Autonomy {
        &self.autonomy
    }

    /// Autonomy of the full tank.
    #[must_use]
    pub fn full_tank(&self, tank: &Settings, calendar: &Calendar) -> FullTank {
        let full_m3 = grid::volume_m3(tank.full_m3());
        // What another thread left half done is at worst missing.
        let mut kept = self.full.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = kept.get(&full_m3.to_bits()) {
            return *found;
        }
        let found = FullTank::of(&self.autonomy, full_m3, calendar.days());
        if kept.len() < MOST_KEPT {
            kept.insert(full_m3.to_bits(), found);
        }
        found
    }
}
