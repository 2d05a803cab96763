//! Every key of a scheme: kind, range, default, source, meaning. The reader, the page of keys, the tests of the starter
//! scheme and the check of a plan ([`crate::plan::Plan::check`]) all use this one table.

#[cfg(feature = "scheme")]
mod named;
mod page;
#[cfg(feature = "scheme")]
mod renamed;
#[cfg(feature = "scheme")]
mod schema;
mod table;

#[cfg(feature = "scheme")]
pub(crate) use named::{COMPASS, MONTHS, compass_deg, folded, month_number};
pub use page::page;
#[cfg(feature = "scheme")]
pub(crate) use renamed::{old_names, renamed};
#[cfg(feature = "scheme")]
pub use schema::schema;
pub use table::{KEYS, SECTIONS};

use crate::units::{Quantity, System, show};

/// Tables about the scheme's own values: their keys are its keys, as they stand in it.
pub const ABOUT_VALUES: [&str; 2] = ["sources", "uncertain"];

/// What a key holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Any text.
    Text,
    /// One file name or a list of them.
    Files,
    /// One name of something in the scheme, or a list of them.
    Names,
    /// One setting as `--set` takes it, or a list of them.
    Settings,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A material of `pipe::MATERIALS`.
    Material,
    /// A number with a unit, as text.
    Quantity(Quantity),
    /// One number with a unit for the whole year, or a list of twelve from January.
    Months(Quantity),
    /// A change with temperature, absolute (of this quantity) or in `%/K`.
    Coefficient(Quantity),
    /// A share as a number from 0 to 1, or as text with `%`.
    Ratio,
    /// A number without unit.
    Number,
    /// A whole number.
    Count,
    /// `true` or `false`.
    Flag,
    /// A direction: degrees from north, clockwise, as a number or with its unit, or a point of the compass.
    Direction,
    /// A month: its name or its number.
    Month,
    /// Dates without a year: `"11-15"`, `"11-01 to 04-30"`, or a list of these.
    Dates,
    /// One date without a year: `"05-01"`.
    MonthDay,
    /// Four lengths in days.
    Stages,
    /// A list of clock hours.
    Hours,
    /// Rows of a place and the dates at it.
    Places,
    /// Rows of dates and the heads on them.
    Counts,
    /// A preset's name or 24 shares that sum to 1.
    Pattern,
    /// Rows of azimuth and elevation.
    Horizon,
    /// Rows of dates and tilt.
    Seasons,
    /// Rows of head, power and flow.
    Duty,
    /// Rows of values, and what they hold.
    Rows(&'static str),
    /// A table of fittings and how many there are of each.
    Fittings,
}

/// Valid values, in base units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Range {
    /// Anything of the kind.
    Any,
    /// From the first to the second, both allowed.
    Between(f64, f64),
    /// Above the first, up to the second.
    Above(f64, f64),
    /// From the first, but below the second.
    Below(f64, f64),
}

impl Range {
    /// Whether a value lies in the range; a value that is no number does not.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        match self {
            Self::Any => value.is_finite(),
            Self::Between(low, high) => (low..=high).contains(&value),
            Self::Above(low, high) => value > low && value <= high,
            Self::Below(low, high) => value >= low && value < high,
        }
    }

    /// Least and greatest valid value; infinite where anything goes.
    #[must_use]
    pub const fn ends(self) -> (f64, f64) {
        match self {
            Self::Any => (f64::NEG_INFINITY, f64::INFINITY),
            Self::Between(low, high) => (low, high),
            Self::Above(low, high) => (low.next_up(), high),
            Self::Below(low, high) => (low, high.next_down()),
        }
    }

    /// The range in words, in the units of a system; empty when anything goes.
    #[must_use]
    pub fn text(self, kind: Kind, system: System) -> String {
        let number = |v: f64| match kind {
            Kind::Quantity(q) | Kind::Months(q) => show(v, q, system),
            Kind::Coefficient(_) => show(v, Quantity::FractionPerKelvin, system),
            Kind::Direction => format!("{v}°"),
            _ => format!("{v}"),
        };
        match self {
            Self::Any => String::new(),
            Self::Between(low, high) => format!("{} to {}", number(low), number(high)),
            Self::Above(low, high) => format!("above {}, at most {}", number(low), number(high)),
            Self::Below(low, high) => format!("from {}, below {}", number(low), number(high)),
        }
    }
}

/// What happens when a key is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presence {
    /// It may not be left out.
    Needed,
    /// It is read as this TOML literal, and listed with the assumptions of the run.
    Default {
        /// The literal, as it would stand in the file.
        literal: &'static str,
        /// Where the value comes from.
        source: &'static str,
    },
    /// The scheme then has no such thing, which is listed with the assumptions of the run.
    Without {
        /// The word that stands for it in the list.
        value: &'static str,
        /// What that means.
        means: &'static str,
    },
    /// Nothing to list: another key takes its place, or nothing hangs on it.
    Free {
        /// When it is needed, or what is used then.
        note: &'static str,
    },
}

/// One key.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KeyDoc {
    /// Table that it stands in; `*` stands for a name that the user chooses, empty is the top of the file.
    pub section: &'static str,
    /// Its name.
    pub name: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// Valid values.
    pub range: Range,
    /// What happens when it is left out.
    pub presence: Presence,
    /// An example, as it would stand in the file.
    pub example: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

impl KeyDoc {
    /// This key's documentation, read as another kind.
    #[cfg(feature = "scheme")]
    pub(crate) const fn with(&self, kind: Kind, range: Range) -> Self {
        Self { kind, range, ..*self }
    }

    /// The documentation of a part of its value: a number in a list or row.
    #[cfg(feature = "scheme")]
    pub(crate) const fn part(
        &self,
        kind: Kind,
        range: Range,
        meaning: &'static str,
        example: &'static str,
    ) -> Self {
        Self { kind, range, meaning, example, ..*self }
    }

    /// Dotted path, such as `array.*.tilt`.
    #[must_use]
    pub fn path(&self) -> String {
        if self.section.is_empty() {
            self.name.to_string()
        } else {
            format!("{}.{}", self.section, self.name)
        }
    }
}

/// One table of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SectionDoc {
    /// Path; a last part `*` is a name that the user chooses.
    pub path: &'static str,
    /// Whether a scheme must have it.
    pub needed: bool,
    /// Another path whose keys these are; `None` for keys of its own.
    pub like: Option<&'static str>,
    /// What it describes.
    pub meaning: &'static str,
}

/// The path under which the keys of a table are listed: its own, or that of the table it is like.
fn listed_under(section: &str) -> &str {
    SECTIONS.iter().find(|s| s.path == section).and_then(|s| s.like).unwrap_or(section)
}

/// The key of a table, if there is one.
#[must_use]
pub fn find(section: &str, name: &str) -> Option<&'static KeyDoc> {
    let section = listed_under(section);
    KEYS.iter().find(|k| k.section == section && k.name == name)
}

/// The key that a dotted path of a scheme means, such as `tank.main.capacity`.
#[must_use]
pub fn of_path(path: &str) -> Option<&'static KeyDoc> {
    let (table, name) = path.rsplit_once('.').unwrap_or(("", path));
    if table.is_empty() {
        return find("", name);
    }
    SECTIONS.iter().find(|section| fits(section.path, table)).and_then(|section| find(section.path, name))
}

/// Whether the dotted path of a table is one of those that `section` stands for.
pub(crate) fn fits(section: &str, table: &str) -> bool {
    let (own, parts): (Vec<&str>, Vec<&str>) = (section.split('.').collect(), table.split('.').collect());
    own.len() == parts.len() && own.iter().zip(&parts).all(|(a, b)| *a == "*" || a == b)
}

/// Names that may stand in a table: its keys and the tables inside it.
#[cfg(feature = "scheme")]
pub(crate) fn names_in(section: &str) -> Vec<&'static str> {
    let keys = KEYS.iter().filter(|k| k.section == listed_under(section)).map(|k| k.name);
    let inner = SECTIONS.iter().filter_map(|s| {
        let rest =
            if section.is_empty() { Some(s.path) } else { s.path.strip_prefix(section)?.strip_prefix('.') }?;
        let (first, after) = rest.split_once('.').unwrap_or((rest, ""));
        (first != "*" && matches!(after, "" | "*")).then_some(first)
    });
    keys.chain(inner).collect()
}
