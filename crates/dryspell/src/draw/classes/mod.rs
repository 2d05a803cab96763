//! Classes of animals with a need of their own: one list, one file a law.
//!
//! [`CLASSES`] holds all that a reader wants to know of a class: its formula, what it asks of the animal and in which
//! range, where it comes from, what of it is remembered and what is our own. A group of a scheme is of one of these
//! classes or gives its own litres by month, which always win.

pub mod beef_cow;
pub mod broiler;
pub mod bull;
mod curve;
pub mod dairy_cow;
pub mod dairy_others;
pub mod ewe;
pub mod finishing_cattle;
pub mod goat;
pub mod growing_cattle;
pub mod heat;
pub mod horse;
pub mod lamb;
pub mod laying_hen;
pub mod nursing_beef_cow;
pub mod pig;
pub mod pullet;
pub mod sow;
pub mod wildlife;
pub mod winchester_morris;
pub mod wintering_beef_cow;

pub use curve::{Curve, DayAir, Follows};

use crate::fault::{Fault, FaultKind, Faults};
use std::fmt;

/// Litres in a US gallon, exact by definition.
pub(crate) const L_PER_GAL: f64 = 3.785_411_784;

/// Kilograms in a pound, exact by definition.
pub(crate) const KG_PER_LB: f64 = 0.453_592_37;

/// Every class, in the order in which they are listed.
pub const CLASSES: &[&Class] = &[
    &beef_cow::CLASS,
    &wintering_beef_cow::CLASS,
    &nursing_beef_cow::CLASS,
    &growing_cattle::CLASS,
    &finishing_cattle::CLASS,
    &bull::CLASS,
    &dairy_cow::CLASS,
    &dairy_others::DRY_COW,
    &dairy_others::HEIFER,
    &dairy_others::CALF,
    &ewe::DRY,
    &ewe::PREGNANT,
    &ewe::LACTATING,
    &lamb::CLASS,
    &goat::CLASS,
    &horse::CLASS,
    &pig::CLASS,
    &sow::GESTATING,
    &sow::NURSING,
    &pullet::CLASS,
    &laying_hen::CLASS,
    &broiler::CLASS,
    &wildlife::WHITE_TAILED_DEER,
    &wildlife::MULE_DEER,
    &wildlife::PRONGHORN,
    &wildlife::ELK,
];

/// Names of [`CLASSES`], in the same order.
pub const NAMES: &[&str] = &{
    let mut names = [""; CLASSES.len()];
    let mut i = 0;
    while i < CLASSES.len() {
        names[i] = CLASSES[i].name;
        i += 1;
    }
    names
};

/// The class of that name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Class> {
    CLASSES.iter().copied().find(|c| c.name == name)
}

/// What a class may ask about an animal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ask {
    /// Live mass, kg.
    Mass,
    /// Milk, kg a day.
    Milk,
    /// Dry matter eaten, kg a day.
    DryMatter,
    /// Sodium eaten, kg a day.
    Sodium,
    /// Age, weeks.
    Age,
    /// Share of hens that lay on a day.
    Laying,
}

impl Ask {
    /// Everything that may be asked.
    pub const ALL: [Self; 6] =
        [Self::Mass, Self::Milk, Self::DryMatter, Self::Sodium, Self::Age, Self::Laying];

    /// Its key in a scheme.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Mass => "mass",
            Self::Milk => "milk",
            Self::DryMatter => "dry_matter",
            Self::Sodium => "sodium",
            Self::Age => "age",
            Self::Laying => "laying",
        }
    }

    /// Its unit in messages and tables.
    #[must_use]
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Mass => "kg",
            Self::Milk | Self::DryMatter => "kg a day",
            Self::Sodium => "g a day",
            Self::Age => "weeks",
            Self::Laying => "%",
        }
    }

    /// The number as it is shown in [`Ask::unit`].
    #[must_use]
    pub fn shown(self, value: f64) -> f64 {
        match self {
            Self::Sodium => value * 1000.0,
            Self::Laying => value * 100.0,
            _ => value,
        }
    }
}

/// What a class does without an answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fallback {
    /// It must be given.
    Needed,
    /// This value is taken.
    Value(f64),
    /// The law works it out, in these words.
    Estimated(&'static str),
}

/// One thing asked, with its valid range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Input {
    /// What.
    pub ask: Ask,
    /// Least value of the published range.
    pub least: f64,
    /// Greatest value.
    pub most: f64,
    /// What happens without it.
    pub left_out: Fallback,
}

/// What is known of one animal.
#[derive(Debug, Clone, Copy, PartialEq, Default, serde::Serialize)]
pub struct Animal {
    /// Live mass, kg.
    pub mass_kg: Option<f64>,
    /// Milk, kg a day.
    pub milk_kg: Option<f64>,
    /// Dry matter eaten, kg a day.
    pub dry_matter_kg: Option<f64>,
    /// Sodium eaten, kg a day.
    pub sodium_kg: Option<f64>,
    /// Age, weeks.
    pub age_weeks: Option<f64>,
    /// Share of hens that lay on a day, 0 to 1.
    pub laying: Option<f64>,
}

impl Animal {
    /// Nothing known.
    pub const UNKNOWN: Self = Self {
        mass_kg: None,
        milk_kg: None,
        dry_matter_kg: None,
        sodium_kg: None,
        age_weeks: None,
        laying: None,
    };

    /// An animal of that mass.
    #[must_use]
    pub const fn of_mass(mass_kg: f64) -> Self {
        Self { mass_kg: Some(mass_kg), ..Self::UNKNOWN }
    }

    /// An animal of that mass (kg) and milk (kg a day).
    #[must_use]
    pub const fn in_milk(mass_kg: f64, milk_kg: f64) -> Self {
        Self { mass_kg: Some(mass_kg), milk_kg: Some(milk_kg), ..Self::UNKNOWN }
    }

    /// What is known of one thing.
    #[must_use]
    pub const fn get(&self, ask: Ask) -> Option<f64> {
        match ask {
            Ask::Mass => self.mass_kg,
            Ask::Milk => self.milk_kg,
            Ask::DryMatter => self.dry_matter_kg,
            Ask::Sodium => self.sodium_kg,
            Ask::Age => self.age_weeks,
            Ask::Laying => self.laying,
        }
    }

    /// The same animal with one thing known.
    #[must_use]
    pub const fn with(mut self, ask: Ask, value: f64) -> Self {
        match ask {
            Ask::Mass => self.mass_kg = Some(value),
            Ask::Milk => self.milk_kg = Some(value),
            Ask::DryMatter => self.dry_matter_kg = Some(value),
            Ask::Sodium => self.sodium_kg = Some(value),
            Ask::Age => self.age_weeks = Some(value),
            Ask::Laying => self.laying = Some(value),
        }
        self
    }
}

/// One class of animals.
#[derive(Clone, Copy)]
pub struct Class {
    /// Name in a scheme.
    pub name: &'static str,
    /// The law in one line.
    pub formula: &'static str,
    /// What it asks, with valid ranges.
    pub inputs: &'static [Input],
    /// Where it is published.
    pub source: &'static str,
    /// What of it is quoted from memory, if anything.
    pub from_memory: Option<&'static str>,
    /// What of it is our own, if anything.
    pub constructed: Option<&'static str>,
    /// Whether the figure counts water in the feed; only then may forage water be taken off.
    pub counts_feed_water: bool,
    /// An animal of the class, for tables.
    pub typical: Animal,
    /// The law.
    pub(crate) law: fn(&Animal) -> Curve,
}

impl fmt::Debug for Class {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Class").field(&self.name).finish()
    }
}

impl serde::Serialize for Class {
    /// By its name, as it compares.
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.name)
    }
}

impl PartialEq for Class {
    fn eq(&self, other: &Self) -> bool {
        self.name == other.name
    }
}

/// A value converted from other units may miss the edge of a range by a rounding, as a share of it.
const EDGE: f64 = 1e-8;

impl Class {
    /// The need of one animal against temperature.
    ///
    /// # Errors
    /// All that does not fit: a value outside the published range, one that is missing, one that the class does not
    /// ask. The keys are those of [`Ask::key`].
    pub fn curve(&self, animal: &Animal) -> Result<Curve, Faults> {
        let mut faults = Vec::new();
        let mut filled = *animal;
        for ask in Ask::ALL {
            let input = self.inputs.iter().find(|i| i.ask == ask);
            match (input, animal.get(ask)) {
                (None, Some(_)) => faults.push(Fault::at_key(
                    ask.key(),
                    FaultKind::Contradiction,
                    format!("{} has no effect on the class {}", ask.key(), self.name),
                    self.asks(),
                    "remove it, or choose another class",
                )),
                (Some(input), Some(value)) => match input.held(value) {
                    Some(value) => filled = filled.with(ask, value),
                    None => faults.push(Fault::at_key(
                        ask.key(),
                        FaultKind::OutOfRange,
                        format!("{} {}", ask.shown(value), ask.unit()),
                        format!("the class {} is valid {}", self.name, input.range()),
                        "give what one head drinks in a day instead, or choose another class",
                    )),
                },
                (Some(input), None) => match input.left_out {
                    Fallback::Needed => faults.push(Fault::at_key(
                        ask.key(),
                        FaultKind::MissingKey,
                        "this key is missing",
                        format!("needed by the class {}: {}", self.name, input.range()),
                        format!("add {}", ask.key()),
                    )),
                    Fallback::Value(value) => filled = filled.with(ask, value),
                    Fallback::Estimated(_) => {}
                },
                (None, None) => {}
            }
        }
        if faults.is_empty() { Ok((self.law)(&filled)) } else { Err(faults.into()) }
    }

    /// What the class asks, in words.
    #[must_use]
    pub fn asks(&self) -> String {
        if self.inputs.is_empty() {
            return "this class needs no keys".to_string();
        }
        let parts: Vec<String> =
            self.inputs.iter().map(|i| format!("{} {}", i.ask.key(), i.range())).collect();
        format!("this class needs {}", parts.join(", "))
    }

    /// Litres that the typical animal needs on a day on which the temperature does not change.
    #[must_use]
    pub fn typical_litres_at(&self, air_degc: f64) -> f64 {
        self.curve(&self.typical).map_or(f64::NAN, |curve| curve.litres_per_day(DayAir::steady(air_degc)))
    }
}

impl Input {
    /// The range in words, with its unit.
    #[must_use]
    pub fn range(&self) -> String {
        let [least, most] = [self.least, self.most].map(|v| {
            let text = format!("{:.2}", self.ask.shown(v));
            text.trim_end_matches('0').trim_end_matches('.').to_string()
        });
        format!("from {least} to {most} {}", self.ask.unit())
    }

    /// The value, brought to the edge where it misses it by a rounding; `None` outside the range.
    fn held(&self, value: f64) -> Option<f64> {
        let edge = EDGE * self.most.abs();
        (self.least - edge <= value && value <= self.most + edge).then(|| value.clamp(self.least, self.most))
    }
}

/// Linear interpolation in a table's nodes at `x`, held at its ends.
pub(crate) fn along<const N: usize>(nodes: &[(f64, f64); N], x: f64) -> f64 {
    let mut y = nodes[0].1;
    for pair in nodes.windows(2) {
        let [(x0, y0), (x1, y1)] = [pair[0], pair[1]];
        if x >= x0 {
            y = y0 + (y1 - y0) * ((x.min(x1) - x0) / (x1 - x0));
        }
    }
    y
}

#[cfg(test)]
mod tests;
