//! What the cells of a column are, for tables that have types.

use super::{COLUMNS, DAYS, Field, MONTHS, YEARS};
use crate::simulate::{Run, TankResult};

/// What the cells of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Content {
    /// Whole numbers.
    Count,
    /// Numbers.
    Number,
    /// `true` or `false`.
    Flag,
    /// Days as `2000-01-31`.
    Date,
    /// Text.
    Text,
}

impl Content {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Count => "count",
            Self::Number => "number",
            Self::Flag => "flag",
            Self::Date => "date",
            Self::Text => "text",
        }
    }
}

/// Columns of a table that are no plain numbers.
struct Kinds {
    counts: &'static [&'static str],
    flags: &'static [&'static str],
    dates: &'static [&'static str],
    texts: &'static [&'static str],
}

impl Kinds {
    fn of(&self, name: &str) -> Content {
        let is = |names: &[&str]| names.contains(&name);
        if is(self.counts) {
            Content::Count
        } else if is(self.flags) {
            Content::Flag
        } else if is(self.dates) {
            Content::Date
        } else if is(self.texts) {
            Content::Text
        } else {
            Content::Number
        }
    }
}

/// Among the headlines.
const OF_HEADLINES: Kinds = Kinds {
    counts: &[
        "tank_year_starts_in_month",
        "stock_days",
        "shortfall_days",
        "spells",
        "longest_spell_days",
        "dry_hours",
        "longest_dry_hours",
        "longest_nothing_drawn_hours",
        "full_tank_autonomy_days.starts_left_out",
        "shortfall_days_without_frost",
        "shortfall_days_with_backup",
        "dry_hours_with_backup",
        "backup.running_h",
        "backup.loads",
        "backup.days",
        "passes",
        "shortfall_days_if_started_empty",
        "start_power_ends.zero_days",
        "start_power_ends.best_line_days",
        "snow_by_rain.least_days",
        "snow_by_rain.most_days",
        "panels_covered_shortfall_days.for_3_days",
        "panels_covered_shortfall_days.for_7_days",
        "panels_covered_shortfall_days.for_14_days",
        "limit_hours.night",
        "limit_hours.sun_below_start",
        "limit_hours.sun",
        "limit_hours.pump_limit",
        "limit_hours.table_end",
        "limit_hours.well",
        "limit_hours.cut_out",
        "limit_hours.frozen",
        "limit_hours.float_full",
    ],
    flags: &["delivery_settled", "settled", "snow_not_modelled", "goal_met"],
    dates: &["worst_day", "haul_by_day", "backup.first_day"],
    texts: &[
        "schema",
        "year_kind",
        "full_tank_autonomy_days.by_month",
        "critical_spell.began",
        "critical_spell.deepest",
        "critical_spell.refilled",
        "answered_by",
        "design_point.start",
        "frost_depth_rests_on",
    ],
};
/// Among the columns of hours.
const OF_HOURS: Kinds = Kinds {
    counts: &["hour_of_record", "source_year"],
    flags: &[],
    dates: &[],
    texts: &["start", "limited_by"],
};
/// Among those of days.
const OF_DAYS: Kinds =
    Kinds { counts: &["dry_hours"], flags: &["shortfall"], dates: &["date"], texts: &["state"] };
/// Among those of months.
const OF_MONTHS: Kinds =
    Kinds { counts: &["month"], flags: &["full_tank_outlasts_stay"], dates: &[], texts: &[] };
/// Among those of tank years.
const OF_YEARS: Kinds = Kinds {
    counts: &[
        "days",
        "stock_days",
        "shortfall_days",
        "spells",
        "longest_spell_days",
        "dry_hours",
        "longest_dry_hours",
    ],
    flags: &["whole"],
    dates: &["from"],
    texts: &[],
};

/// What the cells of a headline are.
#[must_use]
pub fn content(headline: &Field<TankResult>) -> Content {
    OF_HEADLINES.of(headline.name)
}

/// A table of a run, a row for each hour, day, month or tank year.
#[derive(Clone, Copy)]
pub struct RunTable {
    /// What its rows are: `hours`, `days`, `months`, `years`.
    pub name: &'static str,
    /// Its columns.
    pub fields: &'static [Field],
    kinds: &'static Kinds,
    rows: fn(&Run) -> usize,
}

/// Every hour.
pub const HOUR_TABLE: RunTable =
    RunTable { name: "hours", fields: COLUMNS, kinds: &OF_HOURS, rows: |run| run.calendar.hours() };
/// Every day.
pub const DAY_TABLE: RunTable =
    RunTable { name: "days", fields: DAYS, kinds: &OF_DAYS, rows: |run| run.days.len() };
/// The months, from January on.
pub const MONTH_TABLE: RunTable =
    RunTable { name: "months", fields: MONTHS, kinds: &OF_MONTHS, rows: |_| 12 };
/// The tank years.
pub const YEAR_TABLE: RunTable =
    RunTable { name: "years", fields: YEARS, kinds: &OF_YEARS, rows: |run| run.outcome.years.len() };

/// The tables of a run.
pub const RUN_TABLES: [RunTable; 4] = [HOUR_TABLE, DAY_TABLE, MONTH_TABLE, YEAR_TABLE];

impl std::fmt::Debug for RunTable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the table of {}", self.name)
    }
}

impl RunTable {
    /// What each column holds, in their order.
    #[must_use]
    pub fn contents(&self) -> Vec<Content> {
        self.fields.iter().map(|field| self.kinds.of(field.name)).collect()
    }

    /// How many rows it has for a run.
    #[must_use]
    pub fn rows(&self, run: &Run) -> usize {
        (self.rows)(run)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    #[cfg(feature = "scheme")]
    use crate::calendar::Calendar;
    use crate::results::{Figure, HEADLINES};

    /// Whether a figure may stand in a column of a kind.
    fn fits(figure: &Figure, content: Content) -> bool {
        matches!(
            (figure, content),
            (Figure::Null, _)
                | (Figure::Count(_), Content::Count)
                | (Figure::Number(_), Content::Number)
                | (Figure::Flag(_), Content::Flag)
                | (Figure::Date(..), Content::Date)
                | (Figure::Text(_) | Figure::List(_), Content::Text)
        )
    }

    #[test]
    fn every_name_is_that_of_a_column() {
        let named = |kinds: &Kinds, names: &[&str]| {
            for name in [kinds.counts, kinds.flags, kinds.dates, kinds.texts].concat() {
                assert!(names.contains(&name), "{name}");
            }
        };
        named(&OF_HEADLINES, &HEADLINES.iter().map(|h| h.name).collect::<Vec<_>>());
        for table in RUN_TABLES {
            named(table.kinds, &table.fields.iter().map(|f| f.name).collect::<Vec<_>>());
        }
    }

    #[cfg(feature = "scheme")]
    #[test]
    fn every_figure_is_of_its_columns_kind() {
        let plan = crate::scheme::Scheme::from_toml(crate::scheme::STARTER).unwrap().plan();
        let run = crate::simulate::simulate(
            &plan,
            &crate::sun::tests::record(45.0, Calendar::year(2003).days().to_vec()),
        )
        .unwrap();
        for table in RUN_TABLES {
            let contents = table.contents();
            for row in 0..table.rows(&run) {
                for (field, content) in table.fields.iter().zip(&contents) {
                    let figure = (field.get)(&run, row);
                    assert!(fits(&figure, *content), "{} {}: {figure:?}", table.name, field.name);
                }
            }
        }
        for headline in HEADLINES {
            assert!(fits(&(headline.get)(&run, 0), content(headline)), "{}", headline.name);
        }
    }
}
