//! The goal of a scheme: what is asked of it, and whether it comes to that.
//!
//! One judgement serves every page: `run`, `size`, `sweep`, `odds` and the document. It knows nothing of a backup: what it is
//! given are the figures without one.

use super::interval::clopper_pearson::clopper_pearson;
use super::interval::{Interval, Level, Tally};
use crate::grid;

/// Fewest measured years, whole tank years of them, from which a number of dry years in ten is judged.
pub const FEWEST_YEARS: u32 = 10;

/// What is asked; what is not asked is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
pub struct Settings {
    /// Most days of shortfall in a mean year of the record.
    pub short_days: Option<f64>,
    /// Most dry hours in a row.
    pub dry_hours_in_a_row: Option<u32>,
    /// Least water in the tank, or in all tanks together, at the end of any hour, m³.
    pub lowest_level_m3: Option<f64>,
    /// Fewest days that a full tank lasts, from the worst start hour.
    pub autonomy_days: Option<f64>,
    /// Most years in ten with a day of shortfall.
    pub dry_years_in_ten: Option<f64>,
}

/// One thing that can be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Days of shortfall in a mean year.
    ShortDays,
    /// Dry hours in a row.
    DryHoursInARow,
    /// Lowest level of the record.
    LowestLevel,
    /// Autonomy of a full tank.
    Autonomy,
    /// Years in ten with a day of shortfall.
    DryYearsInTen,
}

impl Asked {
    /// In words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::ShortDays => "days of shortfall a year",
            Self::DryHoursInARow => "dry hours in a row",
            Self::LowestLevel => "lowest level",
            Self::Autonomy => "autonomy of a full tank",
            Self::DryYearsInTen => "dry years in ten",
        }
    }

    /// Its key of the scheme's table `goal`.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::ShortDays => "short_days",
            Self::DryHoursInARow => "dry_hours_in_a_row",
            Self::LowestLevel => "lowest_level",
            Self::Autonomy => "autonomy",
            Self::DryYearsInTen => "dry_years_in_ten",
        }
    }

    /// Its unit.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::ShortDays | Self::Autonomy => "days",
            Self::DryHoursInARow => "h",
            Self::LowestLevel => "m3",
            Self::DryYearsInTen => "years",
        }
    }

    /// Whether more is better: what is asked is then the least, else the most.
    #[must_use]
    pub const fn at_least(self) -> bool {
        matches!(self, Self::LowestLevel | Self::Autonomy)
    }
}

/// What a scheme comes to, without its backup.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Found {
    /// Days of shortfall in a mean year of the record.
    pub short_days: f64,
    /// Longest run of dry hours.
    pub dry_hours_in_a_row: u32,
    /// Least water at the end of any hour, m³.
    pub lowest_level_m3: f64,
    /// Days that a full tank lasts from the worst start hour; `None` where the record cannot tell.
    pub autonomy_days: Option<f64>,
    /// Whole tank years of the record with a day of shortfall, of all of them; `None` where the years were not measured.
    pub measured_years: Option<Tally>,
}

/// What came of one thing asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// The scheme comes to what is asked, or just to it.
    Met,
    /// It does not.
    NotMet,
    /// The record does not tell. Such a goal is not met.
    CannotTell,
}

impl Verdict {
    /// In words.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Met => "MET",
            Self::NotMet => "NOT MET",
            Self::CannotTell => "cannot be told from this record",
        }
    }
}

/// One thing asked, with what was found. Values are in the unit of [`Asked::unit`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// What is asked.
    pub asked: Asked,
    /// How much of it: at most, or at least where [`Asked::at_least`] says so.
    pub limit: f64,
    /// What was found; `None` where the record does not tell.
    pub found: Option<f64>,
    /// What came of it.
    pub verdict: Verdict,
    /// Between which numbers of dry years in ten the chance of one lies, as far as the record tells: the 95 % interval of
    /// Clopper and Pearson. The verdict does not rest on it.
    pub interval: Option<Interval>,
    /// The years that dry years were counted in, with their number of dry ones; `None` for all else, and where the years were
    /// not measured.
    pub years: Option<Tally>,
}

impl Row {
    /// What was found less what is asked.
    #[must_use]
    pub fn margin(&self) -> Option<f64> {
        Some(self.found? - self.limit)
    }
}

/// Everything asked, each with what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// One for each thing asked, in the order of [`Settings`].
    pub rows: Vec<Row>,
}

impl Judgement {
    /// Whether the whole goal is met: each thing asked is.
    #[must_use]
    pub fn met(&self) -> bool {
        !self.rows.is_empty() && self.rows.iter().all(|row| row.verdict == Verdict::Met)
    }

    /// In words.
    #[must_use]
    pub fn text(&self) -> &'static str {
        if self.met() { Verdict::Met.text() } else { Verdict::NotMet.text() }
    }
}

impl Settings {
    /// Whether nothing is asked.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// What is asked, with its limit.
    pub fn limits(&self) -> impl Iterator<Item = (Asked, f64)> {
        let all = [
            (Asked::ShortDays, self.short_days),
            (Asked::DryHoursInARow, self.dry_hours_in_a_row.map(f64::from)),
            (Asked::LowestLevel, self.lowest_level_m3),
            (Asked::Autonomy, self.autonomy_days),
            (Asked::DryYearsInTen, self.dry_years_in_ten),
        ];
        all.into_iter().filter_map(|(asked, limit)| Some((asked, limit?)))
    }

    /// Holds what a scheme comes to against what is asked.
    ///
    /// # Units
    /// | symbol | name | unit | valid range |
    /// | --- | --- | --- | --- |
    /// | D, a | days of shortfall a year: found, asked at most | days | ≥ 0 |
    /// | H, a | dry hours in a row: found, asked at most | h | ≥ 0 |
    /// | S, a | lowest level: found, asked at least | m³ | ≥ 0 |
    /// | A, a | autonomy of a full tank: found, asked at least | days | ≥ 0 |
    /// | k, n, a | dry years, measured years, dry years in ten asked at most | years | 0 ≤ k ≤ n; 0 ≤ a ≤ 10 |
    ///
    /// # Equation
    /// MET where `D ≤ a`, `H ≤ a`, `S ≥ a` (`a` on the grid of volumes), `A ≥ a`, `10 k / n ≤ a`; just equal is MET. The margin is
    /// what was found less what is asked. The whole is MET where each thing asked is.
    ///
    /// # Validity
    /// `D` is the days of shortfall of the record over its years, as [`crate::sizing::Target::Days`] counts them: whole and incomplete
    /// tank years alike. `k` and `n` count whole tank years alone. With `n` below [`FEWEST_YEARS`], and for years that nobody
    /// measured (typical, synthetic, projected, resampled), dry years in ten cannot be told, which is not MET: more made years
    /// are no more evidence. The interval beside the count holds for years that are independent and alike.
    ///
    /// # Example
    /// Two days in ten years are 0.2 a year; one dry year in ten is just what is asked, and the record still allows 4.45.
    /// ```
    /// use dryspell::reliability::goal::{Found, Settings};
    /// use dryspell::reliability::interval::Tally;
    /// let goal = Settings { short_days: Some(0.5), dry_years_in_ten: Some(1.0), ..Settings::default() };
    /// let found = Found {
    ///     short_days: 0.2,
    ///     dry_hours_in_a_row: 9,
    ///     lowest_level_m3: 0.0,
    ///     autonomy_days: Some(3.5),
    ///     measured_years: Tally::new(1, 10).ok(),
    /// };
    /// let judged = goal.judge(&found);
    /// assert!(judged.met());
    /// assert_eq!(judged.rows[1].margin(), Some(0.0));
    /// assert!((judged.rows[1].interval.unwrap().high - 4.450_16).abs() < 1e-5);
    /// // Nine years do not tell.
    /// assert!(!goal.judge(&Found { measured_years: Tally::new(0, 9).ok(), ..found }).met());
    /// ```
    ///
    /// # References
    /// The definitions are this project's. For the interval see [`clopper_pearson`].
    #[must_use]
    pub fn judge(&self, found: &Found) -> Judgement {
        let years = found.measured_years;
        let enough = years.filter(|years| years.of() >= FEWEST_YEARS);
        let row = |(asked, limit): (Asked, f64)| {
            let of_years = asked == Asked::DryYearsInTen;
            let value = match asked {
                Asked::ShortDays => Some(found.short_days),
                Asked::DryHoursInARow => Some(f64::from(found.dry_hours_in_a_row)),
                Asked::LowestLevel => Some(found.lowest_level_m3),
                Asked::Autonomy => found.autonomy_days,
                Asked::DryYearsInTen => {
                    enough.map(|years| TEN * f64::from(years.with()) / f64::from(years.of()))
                }
            };
            let interval = enough.filter(|_| of_years).and_then(|y| clopper_pearson(y, Level::default()));
            Row {
                asked,
                limit,
                found: value,
                verdict: verdict(asked, limit, value),
                interval: interval.map(|i| Interval { low: TEN * i.low, high: TEN * i.high }),
                years: years.filter(|_| of_years),
            }
        };
        Judgement { rows: self.limits().map(row).collect() }
    }
}

/// Years that dry years are counted in.
const TEN: f64 = 10.0;

fn verdict(asked: Asked, limit: f64, found: Option<f64>) -> Verdict {
    let met = match (asked, found) {
        (_, None) => return Verdict::CannotTell,
        // A level lies on the grid: what is asked is held against it there, so that just full is full.
        (Asked::LowestLevel, Some(m3)) => m3 >= grid::volume_m3(limit),
        (_, Some(found)) if asked.at_least() => found >= limit,
        (_, Some(found)) => found <= limit,
    };
    if met { Verdict::Met } else { Verdict::NotMet }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: Settings = Settings {
        short_days: Some(2.0),
        dry_hours_in_a_row: Some(12),
        lowest_level_m3: Some(2.1),
        autonomy_days: Some(4.0),
        dry_years_in_ten: Some(2.0),
    };

    /// Just what [`ALL`] asks.
    fn just() -> Found {
        Found {
            short_days: 2.0,
            dry_hours_in_a_row: 12,
            lowest_level_m3: grid::volume_m3(2.1),
            autonomy_days: Some(4.0),
            measured_years: Tally::new(2, 10).ok(),
        }
    }

    fn verdicts(found: &Found) -> Vec<Verdict> {
        ALL.judge(found).rows.iter().map(|row| row.verdict).collect()
    }

    #[test]
    fn just_equal_is_met() {
        let judged = ALL.judge(&just());
        assert!(judged.met() && judged.text() == "MET", "{judged:?}");
        assert_eq!(judged.rows.len(), 5);
        assert!(judged.rows.iter().all(|row| row.margin().unwrap().abs() < 1e-6));
    }

    #[test]
    fn a_little_beyond_is_not_met_and_one_such_row_spoils_the_whole() {
        let beyond = [
            Found { short_days: 2.01, ..just() },
            Found { dry_hours_in_a_row: 13, ..just() },
            Found { lowest_level_m3: grid::volume_m3(2.1) - grid::STEP_M3, ..just() },
            Found { autonomy_days: Some(3.99), ..just() },
            Found { measured_years: Tally::new(3, 10).ok(), ..just() },
        ];
        for (place, found) in beyond.iter().enumerate() {
            let mut expected = [Verdict::Met; 5];
            expected[place] = Verdict::NotMet;
            assert_eq!(verdicts(found), expected, "{found:?}");
            assert_eq!(ALL.judge(found).text(), "NOT MET");
        }
    }

    #[test]
    fn dry_years_are_counted_in_ten_whatever_their_number() {
        // 5 of 25 are 2 in ten, 6 of 25 are 2.4.
        let of = |with, of| ALL.judge(&Found { measured_years: Tally::new(with, of).ok(), ..just() }).rows[4];
        assert_eq!((of(5, 25).found, of(5, 25).verdict), (Some(2.0), Verdict::Met));
        assert_eq!(of(6, 25).verdict, Verdict::NotMet);
        assert!((of(6, 25).margin().unwrap() - 0.4).abs() < 1e-12);
        // The interval narrows as years are added, and lies about the count.
        let (few, many) = (of(2, 10).interval.unwrap(), of(20, 100).interval.unwrap());
        assert!(few.holds(2.0) && many.holds(2.0) && many.high < few.high && few.low < many.low);
    }

    #[test]
    fn too_few_years_and_years_that_nobody_measured_cannot_tell() {
        for measured_years in [Tally::new(0, 9).ok(), Tally::new(0, 0).ok(), None] {
            let found = Found { measured_years, ..just() };
            let judged = ALL.judge(&found);
            let row = judged.rows[4];
            assert_eq!(row.verdict, Verdict::CannotTell);
            assert_eq!((row.found, row.margin(), row.interval), (None, None, None));
            assert!(!judged.met());
            // What the record does tell is judged all the same.
            assert!(judged.rows[..4].iter().all(|row| row.verdict == Verdict::Met));
        }
        let outlasts = Found { autonomy_days: None, ..just() };
        assert_eq!(verdicts(&outlasts)[3], Verdict::CannotTell);
    }

    #[test]
    fn only_what_is_asked_is_judged() {
        let goal = Settings { lowest_level_m3: Some(0.0), ..Settings::default() };
        let judged = goal.judge(&Found { short_days: 300.0, lowest_level_m3: 0.0, ..just() });
        assert!(judged.met() && judged.rows.len() == 1);
        assert!(Settings::default().is_empty() && !Settings::default().judge(&just()).met());
    }
}
