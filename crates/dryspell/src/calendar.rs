//! Hours, days and years of a record, in local standard time.
//!
//! A record is a run of whole days of 24 hours. Hour `h` belongs to day `h / 24` and covers
//! `[start, start + 1 h)` of local **standard** time: a fixed offset from UTC, never daylight saving. Typical years
//! are stitched from months of different years, so a day keeps the year it came from, and nothing here relies on
//! days following each other in absolute time.

use chrono::{Datelike, NaiveDate};

/// Hours in a day of a record.
pub const HOURS_PER_DAY: usize = 24;

/// A day of a record: the local date that it came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day {
    /// The year the data came from (months of a typical year come from different years).
    pub year: i32,
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, from 1.
    pub day: u8,
}

impl Day {
    /// The day as a civil date; `None` if there is no such date.
    #[must_use]
    pub fn date(self) -> Option<NaiveDate> {
        NaiveDate::from_ymd_opt(self.year, u32::from(self.month), u32::from(self.day))
    }

    /// Day of the year of the source year, 1 to 366.
    #[must_use]
    pub fn day_of_year(self) -> u32 {
        self.date().map_or(1, |d| d.ordinal())
    }

    /// The day so many days later; the day itself where it is no civil date.
    ///
    /// ```
    /// use dryspell::calendar::Day;
    /// let eve = Day { year: 2023, month: 12, day: 31 };
    /// assert_eq!(eve.later(1), Day { year: 2024, month: 1, day: 1 });
    /// ```
    #[must_use]
    pub fn later(self, days: usize) -> Self {
        Calendar::starting(self, days + 1).days().last().copied().unwrap_or(self)
    }

    /// Month and day without the year.
    #[must_use]
    pub const fn month_day(self) -> MonthDay {
        MonthDay { month: self.month, day: self.day }
    }
}

/// A date without a year, such as `11-15`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
pub struct MonthDay {
    /// Month, 1 to 12.
    pub month: u8,
    /// Day of the month, from 1; 29 February is allowed.
    pub day: u8,
}

impl MonthDay {
    /// The date so many days later, in a year without 29 February.
    #[must_use]
    pub fn later(self, days: usize) -> Self {
        Day { year: 2001, month: self.month, day: self.day }.later(days).month_day()
    }

    /// Reads month and day, such as `11-15`; `None` for what no year has.
    ///
    /// ```
    /// use dryspell::calendar::MonthDay;
    /// assert_eq!(MonthDay::read("2-29"), Some(MonthDay { month: 2, day: 29 }));
    /// assert_eq!(MonthDay::read("02-30"), None);
    /// ```
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let (month, day) = text.trim().split_once('-')?;
        let small = |t: &str| -> Option<u8> {
            if (1..=2).contains(&t.len()) && t.bytes().all(|b| b.is_ascii_digit()) {
                t.parse().ok()
            } else {
                None
            }
        };
        let (month, day) = (small(month)?, small(day)?);
        let days = match month {
            2 => 29,
            4 | 6 | 9 | 11 => 30,
            1..=12 => 31,
            _ => return None,
        };
        (1..=days).contains(&day).then_some(Self { month, day })
    }

    /// The same of a date whose year may stand before it and does not count: `2026-11-15`.
    #[must_use]
    pub fn read_date(text: &str) -> Option<Self> {
        let text = text.trim();
        match text.split_once('-') {
            Some((year, rest)) if year.len() == 4 && year.bytes().all(|b| b.is_ascii_digit()) => {
                Self::read(rest)
            }
            _ => Self::read(text),
        }
    }
}

/// A run of dates in every year, both ends included; it may run over the year's end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
pub struct DateSpan {
    /// First day.
    pub from: MonthDay,
    /// Last day, included.
    pub to: MonthDay,
}

impl DateSpan {
    /// Whether the date lies in the span.
    #[must_use]
    pub fn contains(&self, date: MonthDay) -> bool {
        if self.from <= self.to {
            self.from <= date && date <= self.to
        } else {
            date >= self.from || date <= self.to
        }
    }
}

/// The days of a record and where its hours lie on the clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Calendar {
    days: Vec<Day>,
    start_minute: i8,
}

impl Calendar {
    /// A calendar of whole days.
    ///
    /// `start_minute` is the minute at which each hour begins, counted from the full clock hour: 0 in nearly every
    /// file, −30 to 29 where rows in UTC meet a zone that is not a whole number of hours (the local day is that of
    /// the hour's middle).
    #[must_use]
    pub fn new(days: Vec<Day>, start_minute: i8) -> Self {
        Self { days, start_minute }
    }

    /// A calendar of consecutive days from the first of January of `year`, all of that calendar year.
    #[must_use]
    pub fn year(year: i32) -> Self {
        let days = (1..=366)
            .filter_map(|n| NaiveDate::from_yo_opt(year, n))
            .map(|d| Day { year, month: small(d.month()), day: small(d.day()) })
            .collect();
        Self::new(days, 0)
    }

    /// A calendar of so many days in a row from a first one; none from a day that no year has.
    ///
    /// ```
    /// use dryspell::calendar::{Calendar, Day};
    /// let calendar = Calendar::starting(Day { year: 2023, month: 12, day: 31 }, 2);
    /// assert_eq!(calendar.days()[1], Day { year: 2024, month: 1, day: 1 });
    /// ```
    #[must_use]
    pub fn starting(first: Day, days: usize) -> Self {
        let first = NaiveDate::from_ymd_opt(first.year, u32::from(first.month), u32::from(first.day));
        let days = first
            .into_iter()
            .flat_map(|first| first.iter_days().take(days))
            .map(|d| Day { year: d.year(), month: small(d.month()), day: small(d.day()) })
            .collect();
        Self::new(days, 0)
    }

    /// The minute at which each hour begins, counted from the full clock hour.
    #[must_use]
    pub const fn start_minute(&self) -> i8 {
        self.start_minute
    }

    /// The days, in order.
    #[must_use]
    pub fn days(&self) -> &[Day] {
        &self.days
    }

    /// Number of hours: 24 a day.
    #[must_use]
    pub fn hours(&self) -> usize {
        self.days.len() * HOURS_PER_DAY
    }

    /// The day that hour `h` belongs to.
    ///
    /// # Panics
    /// If `h` lies outside the record.
    #[must_use]
    pub fn day_of(&self, h: usize) -> Day {
        self.days[h / HOURS_PER_DAY]
    }

    /// Minutes from local midnight of the hour's day to the start of hour `h`; may be negative (see
    /// [`Calendar::new`]).
    #[must_use]
    pub fn start_minute_of_day(&self, h: usize) -> i32 {
        i32::try_from(h % HOURS_PER_DAY).unwrap_or(0) * 60 + i32::from(self.start_minute)
    }

    /// Start of hour `h` as text, `YYYY-MM-DDTHH:MM`, with the source year.
    #[must_use]
    pub fn start_text(&self, h: usize) -> String {
        let day = self.day_of(h);
        let minute = self.start_minute_of_day(h);
        let (date, minute) = if minute < 0 {
            (day.date().and_then(|d| d.pred_opt()), minute + 1440)
        } else {
            (day.date(), minute)
        };
        let date = date.map_or_else(String::new, |d| d.format("%Y-%m-%d").to_string());
        format!("{date}T{:02}:{:02}", minute / 60, minute % 60)
    }

    /// Whether the record is one year, 365 or 366 days: it is then repeated until it settles, and it wraps round.
    #[must_use]
    pub fn is_one_year(&self) -> bool {
        matches!(self.days.len(), 365 | 366)
    }

    /// Years in the record: 1 for one year or a part of one, else days / 365.25, a whole number where it is within 1 % of one.
    #[must_use]
    pub fn years(&self) -> f64 {
        // Part of a year is shown as it is, not blown up to a whole one.
        if self.days.len() <= 366 {
            return 1.0;
        }
        #[allow(clippy::cast_precision_loss, reason = "days of a record are far below 2^53")]
        let years = self.days.len() as f64 / 365.25;
        let whole = years.round();
        if whole >= 1.0 && (years - whole).abs() < 0.01 { whole } else { years }
    }
}

/// A month or day number, which always fits.
fn small(n: u32) -> u8 {
    u8::try_from(n).unwrap_or(u8::MAX)
}
