//! The smallest tank that serves every day of a record, or meets the scheme's goal, and the sizes that are tried for it.

use std::sync::Arc;

use super::{Target, smallest};
use crate::plan::Plan;
use crate::simulate::{Run, down_sizes};
use crate::tank;

/// Sizes that are tried.
const SIZES: u16 = 48;
/// Parts of the storage needed that a step should be, at most.
const PARTS: f64 = 24.0;

/// What a search came to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnoughTank {
    /// Usable volume, m³; `None` where no size tried is enough.
    pub capacity_m3: Option<f64>,
    /// Hours in its longest dry run; 0 where none is enough.
    pub longest_dry_hours: u32,
    /// Step between the sizes tried, m³.
    pub step_m3: f64,
    /// The largest size tried, m³.
    pub largest_m3: f64,
    /// Whether it is the smallest that meets the scheme's goal; else that leaves no day short.
    pub for_goal: bool,
}

/// The sizes that are tried where nobody says which: 48 in equal steps, round in a unit.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | u | `unit_m3`: the unit in which the step is a round number | m³ | > 0 |
///
/// # Equation
/// Step = the storage needed ([`crate::reliability::storage`]), or the tank's own volume where none is needed or where there are several, over
/// 24, up to 1, 2 or 5 times a power of ten of `u`.
///
/// # References
/// The definition is this project's.
#[must_use]
pub fn usual_sizes(run: &Run, tank: &tank::Settings, unit_m3: f64) -> Vec<f64> {
    let needed = run.storage.storage_m3.filter(|m3| *m3 > 0.0).unwrap_or(tank.capacity_m3);
    let step_m3 = unit_m3 * round_up(needed / PARTS / unit_m3);
    (1..=SIZES).map(|n| step_m3 * f64::from(n)).collect()
}

/// The smallest of the usual sizes ([`usual_sizes`]) from which all larger ones tried go without a day of shortfall, or meet the goal
/// where the scheme has one, in the run's own record. It is what `dryspell size` finds for the scheme's own array.
///
/// # Units
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | u | `unit_m3`: the unit in which the step is a round number | m³ | > 0 |
/// | V | usable volume | m³ | step to 48 steps |
///
/// # Validity
/// All else as in the run; the float's levels keep their share of the volume; nothing is said of other years. A year that lacks water
/// has no tank that leaves no day short: one large enough only spends what it was filled with. Unlike the storage needed it counts
/// the float's band, leak, open water and the tolerance of a day, and carries thirst to midnight. More tank does not always serve
/// better ([`crate::sizing`]): every step is run.
///
/// # References
/// The definition is this project's.
#[must_use]
pub fn enough_tank(run: &Run, unit_m3: f64) -> EnoughTank {
    let sizes = usual_sizes(run, &run.plan.tank, unit_m3);
    let tanks: Vec<_> = sizes.iter().map(|m3| run.plan.tank.resized(*m3)).collect();
    let for_goal = run.plan.goal.is_some();
    let target = if for_goal { Target::Goal } else { Target::Days(0.0) };
    let plan = Plan { backup: None, ..run.plan.clone() };
    // The longest dry run of those that are enough.
    let upstream = Arc::new(run.upstream.columns().without_questions());
    let dry_hours = down_sizes(&upstream, &plan, &tanks, |found| {
        target.met(found).then_some(found.outcome.counts.longest_dry_hours)
    });
    // Where the year lacks water a tank only spends what it was filled with.
    let found = if run.storage.missing_m3 > 0.0 && !for_goal {
        None
    } else {
        smallest(&dry_hours.iter().map(Option::is_some).collect::<Vec<_>>())
    };
    EnoughTank {
        capacity_m3: found.map(|at| sizes[at]),
        longest_dry_hours: found.and_then(|at| dry_hours[at]).unwrap_or(0),
        step_m3: sizes[0],
        largest_m3: sizes[sizes.len() - 1],
        for_goal,
    }
}

/// 1, 2 or 5 times a power of ten, no less than `value`.
fn round_up(value: f64) -> f64 {
    let power = libm::pow(10.0, libm::floor(libm::log10(value)));
    [1.0, 2.0, 5.0]
        .into_iter()
        .map(|m| m * power)
        .find(|v| *v >= value * (1.0 - 1e-9))
        .unwrap_or(10.0 * power)
}

#[cfg(test)]
mod tests {
    use super::round_up;

    #[test]
    fn steps_are_round() {
        for (value, step) in [(0.7, 1.0), (1.0, 1.0), (1.01, 2.0), (0.021, 0.05), (51.0, 100.0), (0.2, 0.2)] {
            assert!((round_up(value) - step).abs() < 1e-12, "{value}");
        }
    }
}
