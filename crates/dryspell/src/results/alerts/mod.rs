//! What the reader must know before using the answer: one list, the worst first.
//!
//! Whatever finds something to say adds it here with a [`Severity`]; every output prints this list, or its first part.

mod plausible;
mod pressure;
mod unused;
mod usual;

use super::words;
use crate::simulate::Run;
use crate::units::System;

/// How much an alert matters, the worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// It can hurt stock or people.
    Danger,
    /// It bears on every figure.
    EveryFigure,
    /// An input that looks like a slip, or that does nothing.
    Input,
    /// What would make the scheme better, or a figure surer.
    Advice,
    /// What was taken for granted.
    Note,
}

/// Something that the reader must know, with what to do about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alert {
    /// How much it matters.
    pub severity: Severity,
    /// The sentence.
    pub text: String,
}

/// Alerts as they are found.
#[derive(Debug, Default)]
pub(super) struct Alerts(Vec<Alert>);

impl Alerts {
    /// One more.
    pub(super) fn add(&mut self, severity: Severity, text: String) {
        self.0.push(Alert { severity, text });
    }

    /// Several of one severity.
    pub(super) fn add_all(&mut self, severity: Severity, texts: impl IntoIterator<Item = String>) {
        self.0.extend(texts.into_iter().map(|text| Alert { severity, text }));
    }
}

/// Every alert of a run: the worst first, and among equals those that were found first.
#[must_use]
pub fn alerts(run: &Run, system: System) -> Vec<Alert> {
    let mut found = Alerts::default();
    words::warnings(&mut found, run, system);
    pressure::add(&mut found, run, system);
    unused::add(&mut found, run, system);
    plausible::add(&mut found, run, system);
    found.0.sort_by_key(|alert| alert.severity);
    found.0
}
