//! What the numbers of a key are in, read from a text and written as they would stand in a scheme.

use crate::keys::{KeyDoc, Kind};
use crate::units::{self, Quantity};

/// What the numbers of a key are in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scale {
    /// The base unit of a quantity.
    Of(Quantity),
    /// A number without unit; a whole one for counts.
    Plain {
        /// Whether it is a whole number.
        whole: bool,
    },
}

impl Scale {
    /// That of a key; `None` where it holds no single number, nor one for each month.
    pub(crate) const fn of(doc: &KeyDoc) -> Option<Self> {
        match doc.kind {
            Kind::Quantity(q) | Kind::Months(q) => Some(Self::Of(q)),
            Kind::Ratio => Some(Self::Of(Quantity::Fraction)),
            Kind::Number | Kind::Direction => Some(Self::Plain { whole: false }),
            Kind::Count => Some(Self::Plain { whole: true }),
            _ => None,
        }
    }

    /// A value in the base unit.
    pub(crate) fn value(self, text: &str) -> Option<f64> {
        match self {
            Self::Plain { .. } => number_and_unit(text).filter(|(_, unit)| unit.is_empty()).map(|(x, _)| x),
            Self::Of(Quantity::Fraction) => {
                text.parse().ok().or_else(|| units::parse(text, Quantity::Fraction).ok())
            }
            Self::Of(q) => units::parse(text, q).ok(),
        }
        .filter(|x: &f64| x.is_finite())
    }

    /// How far values lie apart, in the base unit.
    pub(crate) fn spread(self, text: &str) -> Option<f64> {
        match self {
            Self::Of(Quantity::Temperature) => units::parse(text, Quantity::TemperatureDifference).ok(),
            _ => self.value(text),
        }
    }

    /// A value as it would stand in a scheme.
    pub(crate) fn literal(self, x: f64) -> String {
        match self {
            Self::Plain { whole: false } => format!("{x}"),
            Self::Plain { whole: true } => format!("{:.0}", x.round()),
            Self::Of(Quantity::Fraction) => format!("\"{} %\"", 100.0 * x),
            Self::Of(q) => format!("\"{x} {}\"", q.written_unit()),
        }
    }
}

/// A number and the unit behind it; `None` where it does not begin with a number.
pub(crate) fn number_and_unit(text: &str) -> Option<(f64, &str)> {
    // "1e3 m3": what stands before the first space may be a number with an exponent.
    let (word, rest) = text.split_once(' ').unwrap_or((text, ""));
    if let Ok(number) = word.parse::<f64>()
        && number.is_finite()
    {
        return Some((number, rest.trim()));
    }
    let end = text
        .char_indices()
        .find(|(i, c)| !(c.is_ascii_digit() || *c == '.' || (*i == 0 && (*c == '-' || *c == '+'))))
        .map_or(text.len(), |(i, _)| i);
    let number = text[..end].parse().ok()?;
    Some((number, text[end..].trim()))
}
