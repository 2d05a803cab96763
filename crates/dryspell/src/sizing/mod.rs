//! The smallest size that meets a target, searched over every step.
//!
//! More tank does not always serve better: with a float band a larger tank can start the pump later and go short where a
//! smaller one did not (tests hold an example). Halving the interval would then report a size by luck. So every step of
//! the grid is run, and the size reported is the smallest from which *all* larger tried sizes meet the target.

pub mod dry_years;
mod enough;

pub use dry_years::{Chance, Group};
pub use enough::{EnoughTank, enough_tank, usual_sizes};

use crate::grid;
use crate::simulate::TankResult;

/// What a scheme must come to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// At most so many days of shortfall in a mean year.
    Days(f64),
    /// At least so many percent of the demand is served.
    Served(f64),
    /// A full tank lasts at least so many days from the worst start hour.
    Autonomy(f64),
    /// At most this share of tank years, 0 to 1, has a day of shortfall: of the record's whole ones, or of years made from
    /// it ([`dry_years`]).
    DryYears(f64),
    /// At least so much water stands in the tank, or in all together, at the end of every hour, m³.
    LowestLevel(f64),
    /// At most so many dry hours in a row; 0 is no dry hour at all.
    DryHoursInARow(u32),
    /// The scheme's own goal is met as a whole ([`crate::reliability::goal`]).
    Goal,
}

impl Target {
    /// What a tank comes to, in the target's own measure; `None` where the record cannot tell. A [`crate::simulate::Run`]
    /// rests on such a result and can stand in its place.
    #[must_use]
    pub fn measure(self, found: &TankResult) -> Option<f64> {
        match self {
            Self::Days(_) => Some(f64::from(found.outcome.counts.shortfall_days) / found.calendar.years()),
            Self::Served(_) => found.volume_served_percent(),
            Self::Autonomy(_) => found.full_tank.worst,
            Self::LowestLevel(_) => Some(found.outcome.lowest_m3),
            Self::DryHoursInARow(_) => Some(f64::from(found.outcome.counts.longest_dry_hours)),
            // 0 where it is met, 1 where it is not.
            Self::Goal => found.goal().map(|judged| f64::from(u8::from(!judged.met()))),
            Self::DryYears(_) => {
                let whole: Vec<_> = found.outcome.years.iter().filter(|(year, _)| year.whole).collect();
                if found.calendar.is_one_year() || whole.is_empty() {
                    return None;
                }
                let dry = whole.iter().filter(|(_, counts)| counts.shortfall_days > 0).count();
                #[expect(clippy::cast_precision_loss, reason = "years of a record")]
                Some(dry as f64 / whole.len() as f64)
            }
        }
    }

    /// Whether a tank meets it.
    #[must_use]
    pub fn met(self, found: &TankResult) -> bool {
        self.measure(found).is_some_and(|measured| self.met_by(measured))
    }

    /// Whether a value in the target's own measure meets it.
    ///
    /// ```
    /// use dryspell::sizing::Target;
    /// assert!(Target::DryYears(0.05).met_by(0.03) && !Target::Served(99.5).met_by(99.0));
    /// ```
    #[must_use]
    pub fn met_by(self, found: f64) -> bool {
        match self {
            Self::Days(most) | Self::DryYears(most) => found <= most,
            Self::Served(least) | Self::Autonomy(least) => found >= least,
            // A level lies on the grid: what is asked is held against it there, so that just full is full.
            Self::LowestLevel(least) => found >= grid::volume_m3(least),
            Self::DryHoursInARow(most) => found <= f64::from(most),
            Self::Goal => found <= 0.0,
        }
    }
}

/// The smallest size from which all larger tried ones meet the target: its index in a list that rises.
///
/// # Example
/// ```
/// // The third size fails although the second does not: the answer is the fourth.
/// assert_eq!(dryspell::sizing::smallest(&[false, true, false, true, true]), Some(3));
/// assert_eq!(dryspell::sizing::smallest(&[true, true, false]), None);
/// ```
#[must_use]
pub fn smallest(met: &[bool]) -> Option<usize> {
    let failing = met.iter().rposition(|m| !m).map_or(0, |last| last + 1);
    (failing < met.len()).then_some(failing)
}
