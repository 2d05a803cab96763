//! Intervals: between which values a chance lies, given how often something happened in so many years.
//!
//! The trial is the year, never the hour or the day: dull weather lasts, so hours and days are not independent. These
//! intervals are for years that were measured. Years that were made from a record are not trials: for them see
//! [`crate::resample::interval`].

pub mod binomial;
pub mod clopper_pearson;
pub mod coverage;
pub mod normal;
pub mod wilson;

use crate::fault::{Fault, FaultKind};

/// An interval, both ends included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// Whether a value lies in it.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

/// How often an interval is to hold the truth: a share above 0 and below 1, 0.95 by default.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Level(f64);

impl Default for Level {
    fn default() -> Self {
        Self(0.95)
    }
}

impl Level {
    /// A level.
    ///
    /// # Errors
    /// It is not above 0 and below 1.
    pub fn new(share: f64) -> Result<Self, Fault> {
        if share > 0.0 && share < 1.0 {
            return Ok(Self(share));
        }
        Err(Fault::at_key(
            "level",
            FaultKind::OutOfRange,
            format!("{share}"),
            "a level is a share above 0 and below 1",
            "write 0.95 for 95 %",
        ))
    }

    /// The share.
    #[must_use]
    pub const fn share(self) -> f64 {
        self.0
    }

    /// What is left outside, on both sides together.
    #[must_use]
    pub fn outside(self) -> f64 {
        1.0 - self.0
    }
}

/// So many years with something, out of so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tally {
    with: u32,
    of: u32,
}

impl Tally {
    /// A tally: `with` out of `of`.
    ///
    /// # Errors
    /// More years with it than there are years.
    pub fn new(with: u32, of: u32) -> Result<Self, Fault> {
        if with <= of {
            return Ok(Self { with, of });
        }
        Err(Fault::at_key(
            "years",
            FaultKind::Contradiction,
            format!("{with} of {of} years"),
            "at most as many years with it as there are years",
            "count each year once",
        ))
    }

    /// A tally of the values for which `counts` says yes; `None` beyond 2³² values.
    pub fn of_values<T>(values: &[T], counts: impl Fn(&T) -> bool) -> Option<Self> {
        let of = u32::try_from(values.len()).ok()?;
        let with = u32::try_from(values.iter().filter(|v| counts(v)).count()).ok()?;
        Some(Self { with, of })
    }

    /// Years with it.
    #[must_use]
    pub const fn with(self) -> u32 {
        self.with
    }

    /// Years in all.
    #[must_use]
    pub const fn of(self) -> u32 {
        self.of
    }

    /// The share of years with it; `None` of no years.
    #[must_use]
    pub fn share(self) -> Option<f64> {
        (self.of > 0).then(|| f64::from(self.with) / f64::from(self.of))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bad_level_and_a_bad_tally_are_faults_of_one_line() {
        for share in [0.0, 1.0, -0.5, 95.0, f64::NAN, f64::INFINITY] {
            let fault = Level::new(share).unwrap_err();
            assert_eq!(fault.kind, FaultKind::OutOfRange);
            assert!(!fault.to_string().contains('\n') && fault.to_string().contains("0.95"), "{fault}");
        }
        assert!(Tally::new(4, 3).unwrap_err().to_string().contains("4 of 3 years"));
        assert_eq!(Tally::new(0, 0).unwrap().share(), None);
        assert_eq!(Tally::of_values(&[0, 2, 1], |v| *v > 0).unwrap(), Tally::new(2, 3).unwrap());
    }
}
