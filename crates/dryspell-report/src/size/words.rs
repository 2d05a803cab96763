//! Words that the parts of the page share.

use dryspell::scheme::keys::{self, Kind};
use dryspell::sizing::{Chance, Target};
use dryspell::sweep::Axis;
use dryspell::units::{Quantity, System, counted, show};

use crate::odds::percent;

/// A target in words; `goal` is what the scheme's own goal asks.
pub(crate) fn words(target: Target, goal: &str, system: System) -> String {
    match target {
        Target::Days(d) => format!("at most {d} days of shortfall in a mean year"),
        Target::Served(p) => format!("at least {p} % of the water served"),
        Target::Autonomy(d) => format!("a full tank lasts at least {d} days"),
        Target::LowestLevel(m3) => {
            format!("at least {} in the tank at the end of every hour", show(m3, Quantity::Volume, system))
        }
        Target::DryHoursInARow(0) => "no dry hour".to_owned(),
        Target::DryHoursInARow(most) => format!("at most {} in a row", counted(most, "dry hour")),
        Target::Goal => format!("the scheme's goal: {goal}"),
        Target::DryYears(s) => format!("at most {} % of the tank years with a day of shortfall", 100.0 * s),
    }
}

pub(super) fn tried(axis: &Axis) -> String {
    let n = axis.literals.len();
    format!("{} of {}: {} to {}", n, axis.key, axis.shown(0), axis.shown(n - 1))
}

/// Whether there is anything smaller than the first value of an axis: a count ends at 1.
pub(super) fn smaller_exist(axis: &Axis) -> bool {
    let count = keys::of_path(&axis.key).is_some_and(|key| key.kind == Kind::Count);
    !(count && axis.shown(0) == "1")
}

/// The share of made years, with two standard errors. Where none or all are dry these would be 0: there the bound is 3/n, the
/// rule of three.
pub(super) fn share_and_error(chance: Chance) -> String {
    let Some(share) = chance.share() else { return String::new() };
    let bound = 3.0 / f64::from(chance.years);
    if chance.dry == 0 {
        return format!("0 % (< {})", percent(bound));
    }
    if chance.dry == chance.years {
        return format!("100 % (> {})", percent((1.0 - bound).max(0.0)));
    }
    let error = chance.standard_error().map_or_else(|| "-".to_owned(), |e| percent(2.0 * e));
    format!("{} +- {error}", percent(share))
}
