//! Alerts as they are found, each with its weight.

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
pub(in crate::results) struct Alerts(Vec<Alert>);

impl Alerts {
    /// One more.
    pub(in crate::results) fn add(&mut self, severity: Severity, text: String) {
        self.0.push(Alert { severity, text });
    }

    /// Several of one severity.
    pub(in crate::results) fn add_all(
        &mut self,
        severity: Severity,
        texts: impl IntoIterator<Item = String>,
    ) {
        self.0.extend(texts.into_iter().map(|text| Alert { severity, text }));
    }

    /// The worst first, and among equals those that were found first.
    pub(super) fn worst_first(mut self) -> Vec<Alert> {
        self.0.sort_by_key(|alert| alert.severity);
        self.0
    }
}
