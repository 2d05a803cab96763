//! Where a group is on a date, and how many heads it has.

use super::Group;
use crate::calendar::{DateSpan, MonthDay};
use crate::fault::{Fault, FaultKind};

/// The first date, from the start of `b`, that two spans share; `None` if they share none.
#[must_use]
pub fn shared(a: DateSpan, b: DateSpan) -> Option<MonthDay> {
    if a.contains(b.from) {
        Some(b.from)
    } else if b.contains(a.from) {
        Some(a.from)
    } else {
        None
    }
}

/// A span as it stands in a scheme.
#[must_use]
pub fn text(span: DateSpan) -> String {
    let day = |d: MonthDay| format!("{:02}-{:02}", d.month, d.day);
    if span.from == span.to { day(span.from) } else { format!("{} to {}", day(span.from), day(span.to)) }
}

/// Pairs of spans of a list, by number, that share a date, and that date.
pub(crate) fn overlaps(spans: &[DateSpan]) -> Vec<(usize, usize, MonthDay)> {
    let mut out = Vec::new();
    for (j, b) in spans.iter().enumerate() {
        for (i, a) in spans[..j].iter().enumerate() {
            out.extend(shared(*a, *b).map(|day| (i, j, day)));
        }
    }
    out
}

/// Where a group is on a date.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whereabouts<'a> {
    /// Not on the scheme.
    Away,
    /// There, at no place in particular.
    Here,
    /// At a named place.
    At(&'a str),
}

impl Group {
    /// Where the group is on a date.
    #[must_use]
    pub fn whereabouts(&self, date: MonthDay) -> Whereabouts<'_> {
        if !self.places.is_empty() {
            return self
                .places
                .iter()
                .find(|(_, span)| span.contains(date))
                .map_or(Whereabouts::Away, |(name, _)| Whereabouts::At(name));
        }
        if self.present.is_empty() || self.present.iter().any(|s| s.contains(date)) {
            Whereabouts::Here
        } else {
            Whereabouts::Away
        }
    }

    /// Heads on a date, wherever they are.
    #[must_use]
    pub fn count_on(&self, date: MonthDay) -> f64 {
        self.counts.iter().find(|(span, _)| span.contains(date)).map_or(self.count, |(_, n)| *n)
    }
}

/// What is wrong with the dates of a group: two places or two counts on one date, or dates said twice over.
pub(super) fn faults(group: &Group) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut check = |key: &str, what: &str, spans: &[DateSpan]| {
        for (i, j, day) in overlaps(spans) {
            faults.push(Fault::at_key(
                format!("herd.{}.{key}[{}]", group.name, j + 1),
                FaultKind::Contradiction,
                format!(
                    "{} is in both \"{}\" and \"{}\"",
                    text(DateSpan { from: day, to: day }),
                    text(spans[i]),
                    text(spans[j])
                ),
                format!("a group has one {what} on a date"),
                "let one span end on the day before the other begins",
            ));
        }
    };
    let places: Vec<DateSpan> = group.places.iter().map(|p| p.1).collect();
    check("at", "place", &places);
    let counts: Vec<DateSpan> = group.counts.iter().map(|c| c.0).collect();
    check("counts", "count", &counts);
    if !group.places.is_empty() && !group.present.is_empty() {
        faults.push(Fault::at_key(
            format!("herd.{}.present", group.name),
            FaultKind::Contradiction,
            "present given as well as places",
            "either present, or places with their dates",
            "keep one of them: a group with places is present on the dates of its places",
        ));
    }
    faults
}
