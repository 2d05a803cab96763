//! A scheme as tables of keys, before it is text: so that it can be written in other units, in another order, with a table in
//! a file, or with a part cut in two.

use std::collections::BTreeMap;
use std::fmt::Write;

use dryspell::units::{Quantity, Unit};

use super::super::random::three_digits;

/// What stands behind a key.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// In quotes.
    Text(String),
    /// As it is.
    Bare(String),
    /// A number with a unit.
    Quantity(f64, &'static Unit, Quantity),
    List(Vec<Value>),
    /// A table in one line.
    Inline(Vec<(String, Value)>),
}

/// Units in which a scheme is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Units {
    /// As it was drawn.
    Si,
    /// Feet, US gallons, degrees Fahrenheit.
    Us,
}

pub fn unit_of(quantity: Quantity, symbol: &str) -> &'static Unit {
    quantity.units().iter().find(|u| u.symbol == symbol).unwrap_or_else(|| panic!("{quantity:?} in {symbol}"))
}

pub fn quantity(number: f64, symbol: &str, quantity: Quantity) -> Value {
    Value::Quantity(number, unit_of(quantity, symbol), quantity)
}

/// A list of rows.
pub fn rows(list: Vec<Vec<Value>>) -> Value {
    Value::List(list.into_iter().map(Value::List).collect())
}

/// A length or a head.
pub fn head(m: f64) -> Value {
    quantity(m, "m", Quantity::Length)
}

/// A flow.
pub fn flow(l_per_min: f64) -> Value {
    quantity(l_per_min, "L/min", Quantity::Flow)
}

/// A share, as percent.
pub fn percent(share: f64) -> Value {
    quantity(three_digits(100.0 * share), "%", Quantity::Fraction)
}

pub fn text(word: impl Into<String>) -> Value {
    Value::Text(word.into())
}

pub fn bare(literal: impl ToString) -> Value {
    Value::Bare(literal.to_string())
}

/// The unit in US use for one of the metric ones; the same where there is none.
fn us(quantity: Quantity, unit: &'static Unit) -> &'static Unit {
    let symbol = match (quantity, unit.symbol) {
        (Quantity::Length, "m" | "km") => "ft",
        (Quantity::Length, _) => "in",
        (Quantity::Area, "mm2" | "cm2") => "in2",
        (Quantity::Area, _) => "ft2",
        (Quantity::Volume, "mL" | "L") => "gal",
        (Quantity::Volume, _) => "ft3",
        (Quantity::Flow, "L/day") => "gpd",
        (Quantity::Flow, _) => "gpm",
        (Quantity::DailyVolume, _) => "gal/day",
        (Quantity::SpecificCapacity, _) => "gpm/ft",
        (Quantity::WellLoss, _) => "ft/gpm2",
        (Quantity::Power, _) => "hp",
        (Quantity::Mass, _) => "lb",
        (Quantity::DailyMass, _) => "lb/day",
        (Quantity::Pressure, _) => "psi",
        (Quantity::Temperature, _) => "degF",
        (Quantity::FractionPerKelvin, _) => "%/degF",
        (Quantity::Displacement, _) => "in3/rev",
        (Quantity::Torque, _) => "lbf ft",
        (Quantity::TorqueConstant, _) => "V/krpm",
        (Quantity::DegreeDays, _) => "degF days",
        (Quantity::Conductivity, _) => "Btu/h/ft/degF",
        (Quantity::Density, _) => "lb/ft3",
        (_, symbol) => symbol,
    };
    unit_of(quantity, symbol)
}

impl Value {
    fn written(&self, units: Units) -> String {
        match self {
            Self::Text(text) => format!("\"{text}\""),
            Self::Bare(literal) => literal.clone(),
            Self::Quantity(..) => {
                let (number, symbol) = self.number_in(units);
                format!("\"{number} {symbol}\"")
            }
            Self::List(list) => {
                format!("[{}]", list.iter().map(|v| v.written(units)).collect::<Vec<_>>().join(", "))
            }
            Self::Inline(keys) => {
                let keys: Vec<String> =
                    keys.iter().map(|(k, v)| format!("{k} = {}", v.written(units))).collect();
                format!("{{ {} }}", keys.join(", "))
            }
        }
    }

    /// Number and unit of a quantity.
    fn number_in(&self, units: Units) -> (f64, &'static str) {
        let Self::Quantity(number, unit, quantity) = self else { panic!("{self:?} is no quantity") };
        let other = us(*quantity, unit);
        if units == Units::Si || other.symbol == unit.symbol {
            return (*number, unit.symbol);
        }
        ((*number + unit.shift) * unit.scale / other.scale - other.shift, other.symbol)
    }

    /// In the base unit.
    pub fn base(&self) -> f64 {
        match self {
            Self::Quantity(number, unit, _) => (number + unit.shift) * unit.scale,
            Self::Bare(literal) => literal.parse().unwrap(),
            other => panic!("{other:?} is not a number"),
        }
    }

    /// The same quantity, so many times.
    pub fn times(&self, factor: f64) -> Self {
        match self {
            Self::Quantity(number, unit, quantity) => Self::Quantity(number * factor, unit, *quantity),
            Self::Bare(literal) => bare(literal.parse::<f64>().unwrap() * factor),
            other => panic!("{other:?} is not a number"),
        }
    }
}

/// A table and its keys.
#[derive(Debug, Clone, PartialEq)]
pub struct Table {
    /// Dotted; empty for the top of the file.
    pub path: String,
    pub keys: Vec<(String, Value)>,
}

impl Table {
    pub fn get(&self, key: &str) -> Option<&Value> {
        self.keys.iter().find(|(name, _)| name == key).map(|(_, value)| value)
    }

    pub fn set(&mut self, key: &str, value: Value) {
        match self.keys.iter_mut().find(|(name, _)| name == key) {
            Some((_, old)) => *old = value,
            None => self.keys.push((key.to_owned(), value)),
        }
    }

    pub fn remove(&mut self, key: &str) {
        self.keys.retain(|(name, _)| name != key);
    }
}

/// A whole scheme.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Draft {
    pub tables: Vec<Table>,
    /// Texts of files beside the scheme, by name.
    pub files: BTreeMap<String, String>,
}

impl Draft {
    pub fn table(&self, path: &str) -> Option<&Table> {
        self.tables.iter().find(|t| t.path == path)
    }

    /// The table of that path, made where there is none.
    pub fn table_mut(&mut self, path: &str) -> &mut Table {
        let at = self.tables.iter().position(|t| t.path == path).unwrap_or_else(|| {
            self.tables.push(Table { path: path.to_owned(), keys: Vec::new() });
            self.tables.len() - 1
        });
        &mut self.tables[at]
    }

    pub fn set(&mut self, path: &str, key: &str, value: Value) {
        self.table_mut(path).set(key, value);
    }

    pub fn has(&self, path: &str, key: &str) -> bool {
        self.table(path).is_some_and(|t| t.get(key).is_some())
    }

    /// Names of the tables directly under a path, in their order.
    pub fn names(&self, above: &str) -> Vec<String> {
        let mut names: Vec<String> = Vec::new();
        for table in &self.tables {
            if let Some(rest) = table.path.strip_prefix(above).and_then(|r| r.strip_prefix('.')) {
                let name = rest.split('.').next().unwrap().to_owned();
                if !names.contains(&name) {
                    names.push(name);
                }
            }
        }
        names
    }

    /// The scheme's text.
    pub fn text(&self, units: Units) -> String {
        let mut out = String::new();
        let top = self.tables.iter().filter(|t| t.path.is_empty());
        for table in top.chain(self.tables.iter().filter(|t| !t.path.is_empty())) {
            if !table.path.is_empty() {
                writeln!(out, "\n[{}]", table.path).unwrap();
            }
            for (key, value) in &table.keys {
                writeln!(out, "{key} = {}", value.written(units)).unwrap();
            }
        }
        out
    }

    /// Puts rows into a CSV file of their own, with the units of the first row in its header. Whether the key was there as
    /// rows in the same units.
    pub fn put_into_file(&mut self, path: &str, key: &str, columns: &[&str]) -> bool {
        let Some(Value::List(rows)) = self.table(path).and_then(|t| t.get(key)).cloned() else {
            return false;
        };
        let cells = |row: &Value| -> Vec<(f64, &'static str)> {
            let Value::List(cells) = row else { panic!("{row:?} is no row") };
            cells.iter().map(|c| c.number_in(Units::Si)).collect()
        };
        let head: Vec<String> =
            columns.iter().zip(cells(&rows[0])).map(|(name, (_, unit))| format!("{name} {unit}")).collect();
        let mut csv = format!("# a table of its own\n{}\n", head.join(","));
        for row in &rows {
            let numbers: Vec<String> = cells(row).iter().map(|(n, _)| n.to_string()).collect();
            writeln!(csv, "{}", numbers.join(",")).unwrap();
        }
        let name = format!("{key}.csv");
        self.files.insert(name.clone(), csv);
        self.set(path, key, text(name));
        true
    }

    /// Each key that stands in the text, as `KEYS` has it: names that the user chooses are `*`.
    pub fn key_paths(&self) -> Vec<(String, String)> {
        let section = |path: &str| {
            let parts: Vec<&str> = if path.is_empty() { Vec::new() } else { path.split('.').collect() };
            dryspell::scheme::keys::SECTIONS
                .iter()
                .find(|s| {
                    let own: Vec<&str> = s.path.split('.').collect();
                    own.len() == parts.len() && own.iter().zip(&parts).all(|(a, b)| *a == "*" || a == b)
                })
                .map_or_else(String::new, |s| s.path.to_owned())
        };
        self.tables
            .iter()
            .flat_map(|t| {
                let at = section(&t.path);
                t.keys.iter().map(move |(key, _)| (at.clone(), key.clone()))
            })
            .collect()
    }
}
