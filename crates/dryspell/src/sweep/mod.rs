//! Many cases of one scheme: axes of values, each case a run.
//!
//! An [`Axis`] changes one value of the scheme's text; several may go together, row by row, such as those of a table of cases or
//! values drawn from a law ([`Drawn`]). Cases are every combination; those axes that only change the size
//! of the tank or its float are the quickest to work out, so they run fastest in the order of cases. Sun, panels, pump and
//! herd are worked out once for all tanks ([`crate::simulate::Memo`]).
//!
//! ```no_run
//! use dryspell::sweep::{Axis, Sweep};
//! # fn example(record: dryspell::record::Record) -> Result<(), dryspell::fault::Faults> {
//! let text = std::fs::read_to_string("scheme.toml").unwrap_or_default();
//! let axes = vec![
//!     Axis::parse("tank.main.capacity = 2 to 10 by 0.5 m3").map_err(|f| vec![f])?,
//!     Axis::parse("herd.cows.count = 40, 60, 80").map_err(|f| vec![f])?,
//! ];
//! let sweep = Sweep::new(&text, &|_| Err("no files".into()), axes)?;
//! let record = dryspell::edition::Edition::new(record);
//! let mut memo = dryspell::simulate::Memo::default();
//! for case in 0..sweep.cases() {
//!     let run = sweep.run(case, &mut memo, &record)?;
//!     println!("{:?}: {} days of shortfall", sweep.values(case), run.outcome.counts.shortfall_days);
//! }
//! # Ok(())
//! # }
//! ```

mod axis;
mod drawn;
mod edit;
mod grid;
mod literals;
mod pump;
mod set;
mod table;
mod typed;

pub use axis::Axis;
pub use drawn::{Drawn, axes_together};
pub(crate) use edit::with_values;
pub use grid::{CaseResult, MOST_CASES, Sweep, TankFound};
pub use literals::Literals;
pub use pump::with_pump;
pub use set::set;
pub use table::{ABOUT_A_CASE, AboutACase, CASE, CaseTable};
pub use typed::{Column, columns, of_column};

pub use crate::uncertain::Law;

#[cfg(test)]
mod tests;
