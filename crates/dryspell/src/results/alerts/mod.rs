//! What the reader must know before using the answer: one list, the worst first.
//!
//! Whatever finds something to say adds it here with a [`Severity`]; every output prints this list, or its first part.

pub(super) mod list;
pub(super) mod modules;
mod of_plan;
mod plausible;
mod pressure;
mod unused;
mod usual;
mod usual_range;

pub use list::{Alert, Severity};

use super::words;
use crate::simulate::Run;
use crate::units::{System, retold};

/// Every alert of a run: the worst first, and among equals those that were found first.
///
/// # Example
/// ```
/// # use dryspell::{calendar::{Calendar, Day}, plan::Plan, record::Record, simulate::simulate, tank};
/// # let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 10);
/// # let (available, demand) = (vec![0.02; 240], vec![0.05; 240]);
/// # let plan = Plan::of_columns(available, demand, tank::Settings::open("main", 4.0));
/// # let record = Record::without_weather(calendar);
/// use dryspell::{results::alerts, units::System};
/// // The worst first: the tank stands empty for longer than stock can go without water.
/// let alerts = alerts(&simulate(&plan, &record)?, System::Si);
/// assert!(alerts.iter().any(|alert| alert.text.contains("WELFARE ALARM")));
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
#[must_use]
pub fn alerts(run: &Run, system: System) -> Vec<Alert> {
    let mut found = list::Alerts::default();
    words::warnings(&mut found, run, system);
    pressure::add(&mut found, run, system);
    unused::add(&mut found, run, system);
    plausible::add(&mut found, run, system);
    let mut alerts = found.worst_first();
    // Advice and sources are written in the units of their own trade.
    alerts.iter_mut().for_each(|alert| alert.text = retold(&alert.text, system));
    alerts
}
