//! Inputs that look like a slip of the pen: a wrong unit, a lost decimal point, a mistaken column.
//!
//! One list of the ranges in which schemes of this kind lie. Nothing outside is refused: a range here is what is usual, not
//! what is possible; a key's own range is what is possible.

use super::usual::USUAL;
use super::{Alerts, Severity};
use crate::simulate::Run;
use crate::units::{Quantity, System, show};

/// What a value is shown in.
#[derive(Debug, Clone, Copy)]
pub(super) enum Shown {
    /// A quantity with its unit.
    As(Quantity),
    /// A number, and what it counts.
    Number(&'static str),
}

/// A value of a scheme and the range in which it usually lies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Usual {
    /// What the value is.
    pub(super) what: &'static str,
    /// How it is shown.
    pub(super) shown: Shown,
    /// The least that is usual.
    pub(super) low: f64,
    /// The most; infinite where nothing is too much.
    pub(super) high: f64,
    /// Where the range comes from.
    pub(super) source: &'static str,
    /// What to look at.
    pub(super) look: &'static str,
    /// Each such value of a run, with its place in the scheme.
    pub(super) values: fn(&Run) -> Vec<(String, f64)>,
}

pub(super) fn add(list: &mut Alerts, run: &Run, system: System) {
    for usual in USUAL {
        for (key, value) in (usual.values)(run) {
            if !(usual.low..=usual.high).contains(&value) {
                list.add(Severity::Input, usual.sentence(&key, value, system));
            }
        }
    }
}

impl Usual {
    fn sentence(&self, key: &str, value: f64, system: System) -> String {
        let text = |value: f64| match self.shown {
            Shown::As(quantity) => show(value, quantity, system),
            Shown::Number(unit) => format!("{value:.2} {unit}"),
        };
        let range = match (self.low > f64::NEG_INFINITY, self.high < f64::INFINITY) {
            (true, true) => format!("{} to {}", text(self.low), text(self.high)),
            (true, false) => format!("at least {}", text(self.low)),
            _ => format!("at most {}", text(self.high)),
        };
        format!("{key}: {} {}; usual: {range} ({}); {}", self.what, text(value), self.source, self.look)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_range_is_one_and_says_where_it_comes_from() {
        for usual in USUAL {
            assert!(usual.low < usual.high, "{}", usual.what);
            assert!(usual.low.is_finite() || usual.high.is_finite(), "{}", usual.what);
            assert!(!usual.source.is_empty() && !usual.look.is_empty(), "{}", usual.what);
        }
    }
}
