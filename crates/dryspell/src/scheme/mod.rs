//! A scheme: one TOML file that describes where the water comes from and who drinks it.
//!
//! [`Scheme::from_toml`] gives a [`Scheme`], or **all** the faults of the text at once, each with its line and column.
//!
//! ```
//! use dryspell::scheme::{STARTER, Scheme};
//!
//! let scheme = Scheme::from_toml(STARTER).unwrap();
//! assert_eq!(scheme.plan().tank.name, "main");
//!
//! let faults = Scheme::from_toml("[tank.main]\ncapasity = \"4,200 L\"\n").unwrap_err();
//! let first = faults.iter().find(|f| f.location.line == Some(2)).unwrap();
//! assert_eq!(first.way_out, "did you mean capacity?");
//! ```
//!
#![doc = include_str!("keys.md")]

mod build;
mod called;
mod lines;
mod reader;
mod section;
mod sources;
mod starter;
mod syntax;
mod tables;
#[cfg(test)]
mod tests;
mod uncertain;
mod values;
mod words;
mod written;

pub use crate::keys;
use std::collections::BTreeMap;

use toml::de::DeTable;

use crate::fault::{Fault, Faults, Location};
use crate::plan::Plan;
use crate::record::YearKind;
use crate::uncertain::Unknown;
use crate::units::{System, retold_fault};
use reader::Reader;
pub use sources::Sources;
pub use starter::starter;
pub use written::{WrittenTable, written};

/// A commented scheme of an invented place, which runs once a weather file is named.
pub const STARTER: &str = include_str!("starter.toml");

/// Which end of its hour a row's time names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StampedAt {
    /// The hour begins at the stamp.
    Start,
    /// The stamp lies in the middle of the hour.
    Middle,
    /// The hour ends at the stamp.
    End,
}

/// What a scheme says about its weather. Whatever is given prevails over the file.
#[derive(Debug, Clone, PartialEq)]
pub struct WeatherEntry {
    /// What it is read or made from.
    pub origin: WeatherOrigin,
    /// Latitude, degrees, north positive.
    pub latitude_deg: Option<f64>,
    /// Longitude, degrees, east positive.
    pub longitude_deg: Option<f64>,
    /// Elevation above sea level, m.
    pub elevation_m: Option<f64>,
    /// Local standard time minus UTC, h.
    pub utc_offset_h: Option<f64>,
    /// What the time stamps mean.
    pub stamps: Option<StampedAt>,
    /// Kind of years.
    pub years: Option<YearKind>,
    /// Whether whole days that do not make a whole year are accepted.
    pub part_of_year: bool,
    /// Whether a clock that does not fit the sun is shifted to the best fit.
    pub accept_shift: bool,
    /// Whether gaps of more than three hours are filled from neighbouring days.
    pub fill_long_gaps: bool,
}

/// A key that the user left out, and what was used in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DefaultUsed {
    /// Dotted key.
    pub key: String,
    /// Value as text, with its unit; `none` where the scheme has no such thing.
    pub value: String,
    /// Where the value comes from, or what it means.
    pub why: String,
}

/// What weather is read or made from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WeatherOrigin {
    /// Files as named in the scheme, relative to its folder; at least one.
    Files(Vec<String>),
    /// Synthetic years of a climate.
    Climate {
        /// The climate file as named in the scheme, relative to its folder.
        file: String,
        /// Where the made years start from.
        seed: u32,
        /// How many years are made, 1 to 999.
        years: u32,
    },
}

/// A question that a scheme asks of itself: the same with something set anew.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WhatIf {
    /// Its name.
    pub name: String,
    /// What is set anew, each as [`mod@crate::sweep`] takes it.
    pub set: Vec<String>,
}

/// A scheme without faults.
#[derive(Debug, Clone, PartialEq)]
pub struct Scheme {
    /// Name for reports.
    pub name: Option<String>,
    /// Units of reports.
    pub units: System,
    /// Where the weather is.
    pub weather: WeatherEntry,
    /// Keys that were left out, in the order of [`keys::KEYS`] as far as tables go.
    pub defaults_used: Vec<DefaultUsed>,
    /// What should be changed in the text although it was read, such as the old name of a key: a line each.
    pub hints: Vec<String>,
    /// Its own questions.
    pub what_ifs: Vec<WhatIf>,
    /// Names and numbers that are shown and not reckoned with, by their dotted keys: who applies, the contract, the
    /// well's number, make and model.
    pub labels: BTreeMap<String, String>,
    /// How sure the values are, as far as `[uncertain]` says.
    pub unknowns: Vec<Unknown>,
    /// Where values come from, as far as `[sources]` says.
    pub sources: Sources,
    plan: Plan,
    places: BTreeMap<String, Location>,
}

impl Scheme {
    /// Reads a scheme.
    ///
    /// # Example
    /// ```
    /// use dryspell::scheme::{STARTER, Scheme};
    /// let scheme = Scheme::from_toml(STARTER)?;
    /// assert!(!scheme.plan().draw.groups.is_empty());
    /// // All that is wrong is told at once, a line each.
    /// let faults = Scheme::from_toml(&STARTER.replace("count", "cuont")).unwrap_err();
    /// assert!(faults.to_string().contains("did you mean count?"));
    /// # Ok::<(), dryspell::fault::Faults>(())
    /// ```
    ///
    /// # Errors
    /// All faults, in the order in which they stand in the text. Faults of syntax hide the others.
    pub fn from_toml(text: &str) -> Result<Self, Faults> {
        Self::from_toml_with(text, &|_| Err("files are not read here".into()))
    }

    /// Reads one tank of a scheme and the rules of counting, whatever else its text holds or lacks.
    ///
    /// # Errors
    /// All faults of these tables.
    pub(crate) fn tank_alone(text: &str, name: &str) -> Result<crate::tank::Settings, Faults> {
        let (tree, errors) = DeTable::parse_recoverable(text);
        if !errors.is_empty() {
            return Err(syntax::faults(text, &errors).into());
        }
        let mut reader = Reader::new(text, &|_| Err("files are not read here".into()));
        let root = reader.root(tree.get_ref());
        match build::tank_alone(&mut reader, &root, name) {
            Some(tank) if reader.faults.is_empty() => Ok(tank),
            _ => Err(reader.faults.into()),
        }
    }

    /// Reads a scheme; `files` gives the text of a file by its name in the scheme (a pump's table as CSV), or says what
    /// is wrong with it.
    ///
    /// # Errors
    /// As [`Scheme::from_toml`].
    pub fn from_toml_with(
        text: &str,
        files: &dyn Fn(&str) -> Result<String, String>,
    ) -> Result<Self, Faults> {
        let (tree, errors) = DeTable::parse_recoverable(text);
        if !errors.is_empty() {
            return Err(syntax::faults(text, &errors).into());
        }
        let mut reader = Reader::new(text, files);
        let root = reader.root(tree.get_ref());
        let built = build::build(&mut reader, &root);
        let sources = sources::sources(&mut reader, &root);
        let unknowns = uncertain::uncertain(&mut reader, &root);
        let mut faults = std::mem::take(&mut reader.faults);
        match built {
            Some(built) if faults.is_empty() => Ok(Self {
                name: built.name,
                units: reader.system,
                weather: built.weather,
                defaults_used: reader.defaults,
                hints: reader.hints,
                what_ifs: built.what_ifs,
                labels: reader.labels,
                unknowns,
                sources,
                plan: built.plan,
                places: reader.places,
            }),
            _ => {
                // Faults without a line (tables that are missing) come last.
                faults.sort_by_key(|f| (f.location.line.is_none(), f.location.line, f.location.column));
                faults.dedup();
                Err(faults.into())
            }
        }
    }

    /// The settings of each stage, to look at.
    pub(crate) const fn as_plan(&self) -> &Plan {
        &self.plan
    }

    /// The settings of each stage.
    #[must_use]
    pub fn plan(&self) -> Plan {
        self.plan.clone()
    }

    /// Where a dotted key stands, such as `pump.duty` or, for its second row, `pump.duty[2]`. A key that was left out
    /// has the place of the table that it would stand in.
    #[must_use]
    pub fn place_of(&self, key: &str) -> Option<Location> {
        place_in(&self.places, key)
    }

    /// The fault in the units of the scheme, with the line and column of its key, where it has a key and no line yet.
    #[must_use]
    pub fn locate(&self, fault: Fault) -> Fault {
        let mut fault = retold_fault(fault, self.units);
        if fault.location.line.is_none()
            && let Some(place) = fault.location.key.as_deref().and_then(|key| self.place_of(key))
        {
            fault.location.line = place.line;
            fault.location.column = place.column;
        }
        fault
    }
}

/// The place of a dotted key, or of the nearest table or list that holds it.
fn place_in(places: &BTreeMap<String, Location>, key: &str) -> Option<Location> {
    let mut path = key;
    loop {
        if let Some(place) = places.get(path) {
            return Some(Location { key: Some(key.to_string()), ..place.clone() });
        }
        path = &path[..path.rfind(['.', '['])?];
    }
}
