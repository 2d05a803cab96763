//! A range in which a value of a scheme usually lies.

use crate::simulate::Run;
use crate::units::{Quantity, System, show};

/// What a value is shown in.
#[derive(Debug, Clone, Copy)]
pub(super) enum Display {
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
    pub(super) shown: Display,
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

impl Usual {
    /// That a value lies outside.
    pub(super) fn sentence(&self, key: &str, value: f64, system: System) -> String {
        let text = |value: f64| match self.shown {
            Display::As(quantity) => show(value, quantity, system),
            Display::Number(unit) => format!("{value:.2} {unit}"),
        };
        let range = match (self.low > f64::NEG_INFINITY, self.high < f64::INFINITY) {
            (true, true) => format!("{} to {}", text(self.low), text(self.high)),
            (true, false) => format!("at least {}", text(self.low)),
            _ => format!("at most {}", text(self.high)),
        };
        format!("{key}: {} {}; usual: {range} ({}); {}", self.what, text(value), self.source, self.look)
    }
}
