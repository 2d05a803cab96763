//! A column of one's own: m³ in each hour, measured or worked out elsewhere.

use crate::calendar::{Calendar, MonthDay};
use crate::edition::Edition;
use crate::fault::FaultKind;

/// What arrives in each hour, kept once however often the settings are copied.
///
/// Two are equal when their values are, so that a scheme read twice gives equal plans.
///
/// # Units
/// m³ in each hour, ≥ 0, an hour of the record each.
///
/// # Validity
/// The record's own hours, from its first to its last: a year is not repeated, and no hour is left out.
///
/// # Example
/// ```
/// use dryspell::inflow::Hourly;
/// let spring = Hourly::new(vec![0.25; 8760]);
/// assert_eq!(spring, Hourly::new(vec![0.25; 8760]));
/// assert_ne!(spring, Hourly::new(vec![0.24; 8760]));
/// ```
#[derive(Debug, Clone, serde::Serialize)]
pub struct Hourly {
    m3: Edition<Vec<f64>>,
    first_day: Option<MonthDay>,
}

impl PartialEq for Hourly {
    fn eq(&self, other: &Self) -> bool {
        self.first_day == other.first_day && (self.m3 == other.m3 || *self.m3 == *other.m3)
    }
}

impl Hourly {
    /// A column that begins with the record.
    #[must_use]
    pub fn new(m3: Vec<f64>) -> Self {
        Self { m3: Edition::new(m3), first_day: None }
    }

    /// The same column with the date of its first hour, which must then be that of the record.
    #[must_use]
    pub fn beginning(self, first_day: MonthDay) -> Self {
        Self { first_day: Some(first_day), ..self }
    }

    /// The same column so many times over, for a record that is its own year as often.
    #[must_use]
    pub fn repeated(&self, times: usize) -> Self {
        Self { m3: Edition::new(self.m3.repeat(times)), first_day: self.first_day }
    }

    /// The volumes, m³ in each hour.
    #[must_use]
    pub fn m3(&self) -> &[f64] {
        &self.m3
    }

    /// The first value that is negative or no number: what was found, and what is accepted.
    pub(crate) fn wrong_value(&self) -> Option<(FaultKind, String, String)> {
        let hour = self.m3.iter().position(|m3| !(m3.is_finite() && *m3 >= 0.0))?;
        let found = format!("{} m3 in hour {hour} of the column", self.m3[hour]);
        Some((FaultKind::OutOfRange, found, "values of 0 or more".to_owned()))
    }

    /// What keeps it from standing for the hours of a record: what was found, and what is accepted.
    pub(crate) fn misfit(&self, calendar: &Calendar) -> Option<(FaultKind, String, String)> {
        let hours = calendar.hours();
        if self.m3.len() != hours {
            let found = format!("a column of {} hours on a record of {hours}", self.m3.len());
            return Some((
                FaultKind::WrongLength,
                found,
                format!("{hours} values, one an hour of the record"),
            ));
        }
        let (own, first) = (self.first_day?, calendar.days().first()?.month_day());
        let text = |date: MonthDay| format!("{:02}-{:02}", date.month, date.day);
        (own != first).then(|| {
            let found = format!("a column that begins on {} on a record from {}", text(own), text(first));
            (FaultKind::Contradiction, found, format!("a column that begins on {}", text(first)))
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calendar::Day;

    #[test]
    fn what_does_not_fit_is_told() {
        let day = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 1);
        let column = Hourly::new(vec![1.0; 24]);
        assert_eq!(column.misfit(&day), None);
        assert_eq!(column.clone().beginning(MonthDay { month: 3, day: 1 }).misfit(&day), None);
        let late = column.beginning(MonthDay { month: 7, day: 1 }).misfit(&day).unwrap();
        assert_eq!(late.1, "a column that begins on 07-01 on a record from 03-01");
        let short = Hourly::new(vec![1.0; 23]);
        assert_eq!(short.misfit(&day).unwrap().1, "a column of 23 hours on a record of 24");
        assert_eq!(short.wrong_value(), None);
        for wrong in [-1e-9, f64::NAN, f64::INFINITY] {
            let column = Hourly::new(vec![0.0, wrong]);
            assert!(column.wrong_value().unwrap().1.contains("in hour 1"), "{wrong}");
        }
    }
}
