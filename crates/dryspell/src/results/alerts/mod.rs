//! What the reader must know before using the answer: one list, the worst first.
//!
//! Whatever finds something to say adds it here with a [`Severity`]; every output prints this list, or its first part.

pub(super) mod list;
mod of_plan;
mod plausible;
mod pressure;
mod unused;
mod usual;
mod usual_range;

pub use list::{Alert, Severity};

use super::words;
use crate::simulate::Run;
use crate::units::System;

/// Every alert of a run: the worst first, and among equals those that were found first.
#[must_use]
pub fn alerts(run: &Run, system: System) -> Vec<Alert> {
    let mut found = list::Alerts::default();
    words::warnings(&mut found, run, system);
    pressure::add(&mut found, run, system);
    unused::add(&mut found, run, system);
    plausible::add(&mut found, run, system);
    found.worst_first()
}
