//! Varied keys as columns of numbers: a table of cases that programs can work with.

use super::Axis;
use crate::keys::{self, Kind, compass_deg, month_number};
use crate::results::Content;
use crate::uncertain::number_and_unit;
use crate::units::{self, Quantity};

/// One column that a varied key has in a table of results.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// The key, with the unit of its numbers behind it.
    pub name: String,
    /// Base unit of its numbers; empty where they have none.
    pub unit: &'static str,
    /// What the key means.
    pub meaning: &'static str,
    /// What the cells are.
    pub content: Content,
    kind: Option<Kind>,
    /// Which month, from 0, where each month has a column.
    month: Option<usize>,
}

/// What the numbers of a kind measure; `None` where they have no unit.
const fn quantity(kind: Kind) -> Option<Quantity> {
    match kind {
        Kind::Quantity(q) | Kind::Months(q) => Some(q),
        Kind::Ratio => Some(Quantity::Fraction),
        Kind::Direction => Some(Quantity::Angle),
        _ => None,
    }
}

/// The columns of a key: one, or twelve where any of its values is a list by months.
#[must_use]
pub fn columns(axis: &Axis) -> Vec<Column> {
    let doc = keys::of_path(&axis.key);
    let kind = doc.map(|doc| doc.kind);
    let content = match kind {
        Some(Kind::Quantity(_) | Kind::Months(_) | Kind::Ratio | Kind::Direction | Kind::Number) => {
            Content::Number
        }
        Some(Kind::Count | Kind::Month) => Content::Count,
        Some(Kind::Flag) => Content::Flag,
        _ => Content::Text,
    };
    let quantity = kind.and_then(quantity);
    let suffix = quantity.map_or("", Quantity::in_names);
    let name = if suffix.is_empty() { axis.key.clone() } else { format!("{}_{suffix}", axis.key) };
    let column = |month: Option<usize>| Column {
        name: month.map_or_else(|| name.clone(), |month| format!("{name}_{}", month + 1)),
        unit: quantity.map_or("", Quantity::written_unit),
        meaning: doc.map_or("", |doc| doc.meaning),
        content,
        kind,
        month,
    };
    let by_month = matches!(kind, Some(Kind::Months(_))) && axis.literals.iter().any(|l| l.starts_with('['));
    if by_month { (0..12).map(|month| column(Some(month))).collect() } else { vec![column(None)] }
}

/// The key that the name of such a column stands for, and the unit of its numbers: `tank.main.capacity_m3` and
/// `tank.main.capacity` are both that key.
#[must_use]
pub fn of_column(name: &str) -> Option<(&str, Option<&'static str>)> {
    if keys::of_path(name).is_some() {
        return Some((name, None));
    }
    name.match_indices('_').find_map(|(at, _)| {
        let (key, suffix) = (&name[..at], &name[at + 1..]);
        let quantity = quantity(keys::of_path(key)?.kind).filter(|q| q.in_names() == suffix)?;
        Some((key, Some(quantity.written_unit())))
    })
}

impl Column {
    /// The cell of a value; empty where the scheme's own stays, or where the value is none that the column can hold (its case then
    /// has a fault).
    #[must_use]
    pub fn cell(&self, literal: &str) -> String {
        let text = match self.month {
            Some(month) if literal.starts_with('[') => {
                literal.trim_matches(['[', ']']).split(',').nth(month).unwrap_or_default().trim()
            }
            _ => literal,
        };
        let shown = text.trim_matches('"');
        let number = |x: f64| if x.is_finite() { format!("{x}") } else { String::new() };
        match (self.content, self.kind, self.kind.and_then(quantity)) {
            (Content::Text | Content::Date, ..) => shown.to_owned(),
            (Content::Number, Some(Kind::Direction), _) => compass_deg(shown)
                .or_else(|| shown.parse().ok())
                .or_else(|| units::parse(shown, Quantity::Angle).ok())
                .map_or_else(String::new, number),
            (Content::Number, _, Some(Quantity::Fraction)) => percent(shown).map_or_else(String::new, number),
            (Content::Number, _, Some(q)) => units::parse(shown, q).map_or_else(|_| String::new(), number),
            (Content::Number, _, None) => shown.parse().map_or_else(|_| String::new(), number),
            (Content::Count, Some(Kind::Month), _) => {
                month_number(shown).or_else(|| shown.parse().ok()).map_or_else(String::new, |m| m.to_string())
            }
            (Content::Count, ..) => shown.parse::<u64>().map_or_else(|_| String::new(), |n| n.to_string()),
            (Content::Flag, ..) => shown.parse::<bool>().map_or_else(|_| String::new(), |b| b.to_string()),
        }
    }
}

/// A share in percent, with the digits that were written.
fn percent(shown: &str) -> Option<f64> {
    match number_and_unit(shown)? {
        (x, "%") => Some(x),
        (x, "") => Some(100.0 * x),
        _ => units::parse(shown, Quantity::Fraction).ok().map(|share| 100.0 * share),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str) -> Vec<(String, Vec<String>)> {
        let axis = Axis::parse(text).unwrap_or_else(|f| panic!("{f}"));
        columns(&axis)
            .iter()
            .map(|c| (c.name.clone(), axis.literals.iter().map(|l| c.cell(l)).collect()))
            .collect()
    }

    #[test]
    fn numbers_are_in_the_unit_that_the_name_says() {
        for (text, name, expected) in [
            ("tank.main.capacity = 6000, 7500.5 L", "tank.main.capacity_m3", ["6", "7.5005"]),
            ("array.shed.soiling = 3, 7 %", "array.shed.soiling_percent", ["3", "7"]),
            ("array.shed.azimuth = south-west, 182.5", "array.shed.azimuth_deg", ["225", "182.5"]),
            ("herd.cows.count = 40, 46", "herd.cows.count", ["40", "46"]),
            ("site.albedo = 0.2, 0.25", "site.albedo_percent", ["20", "25"]),
            ("weather.file = a.csv, b.csv", "weather.file", ["a.csv", "b.csv"]),
            ("rules.tank_year_starts = april, 7", "rules.tank_year_starts", ["4", "7"]),
            ("well.static_level = 20 m, deep", "well.static_level_m", ["20", ""]),
        ] {
            let found = cells(text);
            assert_eq!(found, [(name.to_owned(), expected.map(str::to_owned).to_vec())], "{text}");
        }
    }

    #[test]
    fn a_list_by_months_has_twelve_columns() {
        let mut literals = super::super::Literals::default();
        literals.push("[\"1 m\", \"2 m\", \"3 m\", \"4 m\", \"5 m\", \"6 m\", \"7 m\", \"8 m\", \"9 m\", \"10 m\", \"11 m\", \"12 m\"]");
        literals.push("\"20 m\"");
        let axis = Axis { key: "well.static_level".into(), literals };
        let columns = columns(&axis);
        assert_eq!((columns.len(), columns[11].name.as_str()), (12, "well.static_level_m_12"));
        assert_eq!(columns[11].cell(axis.literals.get(0)), "12");
        assert_eq!(columns[11].cell(axis.literals.get(1)), "20");
    }

    #[test]
    fn every_quantity_is_read_in_the_unit_in_which_it_is_written() {
        let mut names = std::collections::BTreeSet::new();
        for q in Quantity::ALL {
            let found = units::parse(&format!("1 {}", q.written_unit()), q);
            let expected = if q == Quantity::Fraction { 0.01 } else { 1.0 };
            assert!(found.as_ref().is_ok_and(|x| (x - expected).abs() < 1e-12), "{q:?}: {found:?}");
            assert!(names.insert(q.in_names()), "{q:?}");
        }
    }

    #[test]
    fn names_lead_back_to_their_keys() {
        assert_eq!(of_column("tank.main.capacity_m3"), Some(("tank.main.capacity", Some("m\u{b3}"))));
        assert_eq!(of_column("tank.main.float_stop_m3").map(|(key, _)| key), Some("tank.main.float_stop"));
        assert_eq!(of_column("tank.main.capacity"), Some(("tank.main.capacity", None)));
        assert_eq!(of_column("tank.main.capacity_ft"), None);
        assert_eq!(of_column("shortfall_days"), None);
    }
}
