//! How warmth goes with clearness: the tie of [`super::air`], over the season.

/// Lag-one correlation of the middles; days made of hours that run from one middle to the next have about 0.65.
pub(super) const PERSISTENCE: f64 = 0.55;

/// Correlation of clearness with what is new in a day's temperature, where days are shortest, at twelve hours and where they are longest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Tie {
    pub(super) dark: f64,
    pub(super) even: f64,
    pub(super) bright: f64,
}

impl Tie {
    /// Where no record of years says otherwise.
    pub(super) const COMMON: Self = Self { dark: -0.55, even: 0.0, bright: 0.55 };

    /// At a season, −1 to 1.
    pub(super) fn at(self, season: f64) -> f64 {
        let end = if season < 0.0 { self.dark } else { self.bright };
        self.even + (end - self.even) * season.abs()
    }
}

/// Season by the length of the day, −1 to 1.
pub(super) fn season(day_length_h: f64) -> f64 {
    ((day_length_h - 12.0) / 4.0).clamp(-1.0, 1.0)
}

/// The tie that makes a correlation of warmth with clearness, both with their memories.
pub(super) fn tie_of(correlation: f64, day_memory: f64) -> f64 {
    let (warmth, day) = (PERSISTENCE * PERSISTENCE, day_memory * day_memory);
    correlation * ((1.0 - warmth * day) / (1.0 - warmth)).sqrt()
}
