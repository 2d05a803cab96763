//! What was tried beside a run: single changes that mend it, stresses that break it, and what the scheme itself asks.

use dryspell::fault::Faults;
use dryspell::mends::{Mend, mends};
use dryspell::record::Record;
use dryspell::sensitivity::Line;
use dryspell::simulate::Run;
use dryspell::stress::{Bearing, bearing};
use dryspell::units::System;

/// Runs beside a run.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tried {
    /// What would mend it.
    pub mends: Vec<Mend>,
    /// What it bears; `None` where that was not tried.
    pub bearing: Option<Bearing>,
    /// The scheme's own questions: a line each.
    pub what_if: Vec<Line>,
}

impl Tried {
    /// Nothing.
    pub const NOTHING: Self = Self { mends: Vec::new(), bearing: None, what_if: Vec::new() };

    /// All that can be tried of a run on its record; the scheme's own questions need its file, and are put in by hand.
    ///
    /// # Errors
    /// What keeps the scheme itself from running.
    pub fn of(run: &Run, record: &Record, system: System) -> Result<Self, Faults> {
        Ok(Self {
            mends: mends(&run.plan, record, system)?,
            bearing: Some(bearing(&run.plan, record)?),
            what_if: Vec::new(),
        })
    }
}
