//! Pipes that empty themselves.

/// Longest drain-down time that is safe at any temperature, h.
pub(crate) const SAFE_DRAIN_H: f64 = 0.25;
/// Time after which water standing in an exposed pipe must be thought frozen whenever the air is below 0 °C, h.
pub(crate) const UNSAFE_STANDING_H: f64 = 0.5;

/// What a drain-down time is worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Drains {
    /// Empty before it can freeze.
    InTime,
    /// Between the two limits: counted as standing.
    Doubtful,
    /// Too slow: counted as standing.
    TooSlow,
}

/// Whether a pipe empties itself in time.
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | t | drain-down time, for example [`crate::pipe::drain_down_h`] | h | ≥ 0 |
///
/// # Equation
/// In time at `t ≤ 15 min`, too slow at `t > 30 min`, doubtful between.
///
/// # Validity
/// A pipe that falls all the way, without a sag, with no closed valve or float valve that holds the water up, and with a
/// hole that is kept clean.
///
/// # Example
/// ```
/// use dryspell::frost::{Drains, drains};
/// assert_eq!(drains(10.5 / 60.0), Drains::InTime);
/// assert_eq!(drains(0.4), Drains::Doubtful);
/// ```
///
/// # References
/// A judgement, from the times of [`super::BarePipe`]: thin bare pipe in hard frost reaches 0 °C in minutes and is solid
/// in an hour or more, but water may cool below 0 °C and freeze at once. No publication.
#[must_use]
pub fn drains(drain_h: f64) -> Drains {
    if drain_h <= SAFE_DRAIN_H {
        Drains::InTime
    } else if drain_h <= UNSAFE_STANDING_H {
        Drains::Doubtful
    } else {
        Drains::TooSlow
    }
}
