//! Text with a unit to a number.

use std::fmt;

use super::number::{better_number, number_value, plain, split};
use super::{Quantity, Unit};
use crate::fault::{FaultKind, quoted};
use crate::nearest::nearest;

/// What is wrong with a text that should hold a number and a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitErrorKind {
    /// The number cannot be read.
    NotANumber,
    /// There is no unit.
    Missing,
    /// The unit belongs to another quantity, named here.
    OtherKind(Quantity),
    /// The unit is not known.
    Unknown,
}

/// A text that is not a number with a unit of the quantity asked for. Prints as one line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitError {
    /// Which kind.
    pub kind: UnitErrorKind,
    /// What was found.
    pub found: String,
    /// What is accepted.
    pub accepted: String,
    /// The way out.
    pub way_out: String,
}

impl UnitError {
    /// The kind of fault that this makes in a scheme.
    #[must_use]
    pub const fn fault_kind(&self) -> FaultKind {
        match self.kind {
            UnitErrorKind::NotANumber => FaultKind::NotANumber,
            UnitErrorKind::Missing => FaultKind::UnitMissing,
            UnitErrorKind::OtherKind(_) | UnitErrorKind::Unknown => FaultKind::UnitWrong,
        }
    }

    /// The error for a bare number where a unit is needed.
    #[must_use]
    pub fn missing(number: &str, quantity: Quantity) -> Self {
        Self {
            kind: UnitErrorKind::Missing,
            found: format!("{} has no unit", quoted(number)),
            accepted: accepted(quantity),
            way_out: offer(number, quantity),
        }
    }
}

impl fmt::Display for UnitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}; {}", self.found, self.accepted, self.way_out)
    }
}

impl std::error::Error for UnitError {}

/// Reads text such as `4200 L`, `1 1/4 in` or `-0.32 %/K` as a number in the base unit of `quantity`.
///
/// The number is plain: digits with a decimal point, an exponent (`2e-10`), a fraction (`3/4`) or a mixed fraction
/// (`1 1/4`). Separators of thousands and decimal commas are refused, because `4,200` means two things.
///
/// # Errors
/// A [`UnitError`] that says what was found, which units are accepted and what to write instead.
pub fn parse(text: &str, quantity: Quantity) -> Result<f64, UnitError> {
    let plain = plain(text);
    let (number, unit) = split(&plain);
    let not_a_number = |way_out: String| UnitError {
        kind: UnitErrorKind::NotANumber,
        found: format!("{} does not begin with a number that can be read", quoted(text)),
        accepted: accepted(quantity),
        way_out,
    };
    let Some(value) = number_value(number) else {
        return Err(match better_number(number, unit) {
            Some(better) => UnitError {
                kind: UnitErrorKind::NotANumber,
                found: format!("{} has a separator in its number", quoted(text)),
                accepted: "digits with at most one decimal point, then the unit".to_string(),
                way_out: format!("write {}", quoted(&better)),
            },
            None if number.is_empty() => not_a_number(offer(number, quantity)),
            None => not_a_number("write the number with digits and one decimal point".to_string()),
        });
    };
    if unit.is_empty() {
        return Err(UnitError::missing(number, quantity));
    }
    if let Some(u) = find(unit, quantity) {
        let value = (value + u.shift) * u.scale;
        return if value.is_finite() {
            Ok(value)
        } else {
            Err(not_a_number("write a number of ordinary size".to_string()))
        };
    }
    // "4 200 L": the rest of the number was taken for the unit.
    if let Some(better) = better_number(number, unit) {
        return Err(UnitError {
            kind: UnitErrorKind::NotANumber,
            found: format!("{} has a separator in its number", quoted(text)),
            accepted: "digits with at most one decimal point, then the unit".to_string(),
            way_out: format!("write {}", quoted(&better)),
        });
    }
    if let Some(other) = Quantity::ALL.into_iter().find(|q| find(unit, *q).is_some()) {
        return Err(UnitError {
            kind: UnitErrorKind::OtherKind(other),
            found: format!("{} is {}", quoted(text), other.name()),
            accepted: accepted(quantity),
            way_out: match cut_short(unit, quantity) {
                Some(whole) => format!("did you mean {}?", quoted(&format!("{number} {whole}"))),
                // The number was meant for something else: it is no hint for this one.
                None => format!("give {}, or move it to where {} belongs", quantity.name(), other.name()),
            },
        });
    }
    let near = if is_made_of_units(unit) || unit.len() < SHORTEST_MISSPELT {
        None
    } else {
        nearest(unit, spellings(quantity))
    };
    Err(UnitError {
        kind: UnitErrorKind::Unknown,
        found: format!("{} has the unknown unit {}", quoted(text), quoted(unit)),
        accepted: accepted(quantity),
        way_out: match near {
            Some(near) => format!("did you mean {}?", quoted(&format!("{number} {near}"))),
            None => "convert it to one of these".to_string(),
        },
    })
}

/// Letters from which a unit that is not known may be a misspelling: in shorter ones a letter more or less is another unit.
const SHORTEST_MISSPELT: usize = 4;

/// The unit of a quantity of which this one is the beginning: `mm` of `mm2`, `L/min` of `L/min/m`. A volume is not the
/// beginning of a flow: who leaves the time out must say which.
fn cut_short(unit: &str, quantity: Quantity) -> Option<&'static str> {
    if matches!(quantity, Quantity::Flow) {
        return None;
    }
    quantity.units().iter().map(|u| u.symbol).find(|symbol| {
        symbol
            .strip_prefix(unit)
            .is_some_and(|rest| rest.starts_with(|c: char| c == '/' || c.is_ascii_digit()))
    })
}

/// Whether each part between strokes is a unit by itself: then nothing is misspelt, and the nearest spelling would be
/// another size (`L/h/m` is not `L/s/m`).
fn is_made_of_units(unit: &str) -> bool {
    const TIMES: [&str; 11] = ["s", "sec", "min", "h", "hr", "hour", "d", "day", "week", "month", "year"];
    let known =
        |part: &str| TIMES.contains(&part) || Quantity::ALL.into_iter().any(|q| find(part, q).is_some());
    unit.contains('/') && unit.split('/').all(known)
}

fn spellings(quantity: Quantity) -> impl Iterator<Item = &'static str> {
    quantity.units().iter().flat_map(|u| std::iter::once(u.symbol).chain(u.also.iter().copied()))
}

/// The unit with this spelling: letter for letter, else whatever the case.
fn find(unit: &str, quantity: Quantity) -> Option<&'static Unit> {
    let by = |same: fn(&str, &str) -> bool| {
        quantity.units().iter().find(|u| same(u.symbol, unit) || u.also.iter().any(|a| same(a, unit)))
    };
    by(|a, b| a == b).or_else(|| by(str::eq_ignore_ascii_case))
}

fn accepted(quantity: Quantity) -> String {
    let symbols: Vec<&str> = quantity.units().iter().map(|u| u.symbol).collect();
    format!("{} carries its unit: {}", quantity.name(), symbols.join(", "))
}

/// `write "18 m" or "18 ft"`.
fn offer(number: &str, quantity: Quantity) -> String {
    let number = if number.is_empty() { example(quantity) } else { number };
    let mut units = quantity.units().iter();
    let first = units.next().map_or(String::new(), |u| quoted(&format!("{number} {}", u.symbol)));
    // The first two units of a table are the SI and the US one, where both are in use.
    match units.next() {
        Some(us) if quantity.has_us_unit() => {
            format!("write {first} or {}", quoted(&format!("{number} {}", us.symbol)))
        }
        _ => format!("write {first}"),
    }
}

/// Number and unit of a text as they stand, without a check of either.
#[cfg(feature = "scheme")]
pub(crate) fn parts(text: &str) -> (String, String) {
    let plain = plain(text);
    let (number, unit) = split(&plain);
    (number.to_string(), unit.to_string())
}

const fn example(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Fraction => "3",
        Quantity::Temperature | Quantity::TemperatureDifference => "10",
        _ => "20",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn reads(text: &str, quantity: Quantity, expected: f64) {
        let found = parse(text, quantity).unwrap();
        assert!(
            (found - expected).abs() <= 1e-12 * expected.abs().max(1e-9),
            "{text}: {found}, not {expected}"
        );
    }

    #[track_caller]
    fn refuses(text: &str, quantity: Quantity, kind: UnitErrorKind, line: &str) {
        let error = parse(text, quantity).unwrap_err();
        assert_eq!(error.to_string(), line);
        assert_eq!(error.kind, kind);
    }

    #[test]
    fn text_is_read_in_both_systems() {
        reads("4200 L", Quantity::Volume, 4.2);
        reads("55L", Quantity::Volume, 0.055);
        reads("1100 gal", Quantity::Volume, 1100.0 * 231.0 * 0.0254 * 0.0254 * 0.0254);
        reads("1100 imp gal", Quantity::Volume, 5.000_699);
        reads("120 ft", Quantity::Length, 36.576);
        reads("1 1/4 in", Quantity::Length, 0.031_75);
        reads("1¼ in", Quantity::Length, 0.031_75);
        reads("3/4 in", Quantity::Length, 0.019_05);
        reads("-1 1/2 ft", Quantity::Length, -0.4572);
        reads("25 mm", Quantity::Length, 0.025);
        reads("6 gpm", Quantity::Flow, 6.0 * 60.0 * 3.785_411_784e-3);
        reads("10 L/min", Quantity::Flow, 0.6);
        reads("2.5 m³/h", Quantity::Flow, 2.5);
        reads("24 L per day", Quantity::Flow, 0.001);
        reads("55 L", Quantity::DailyVolume, 0.055);
        reads("15 gal / day", Quantity::DailyVolume, 15.0 * 3.785_411_784e-3);
        reads("0.5 gpm/ft", Quantity::SpecificCapacity, 0.5 * 0.227_124_707_04 / 0.3048);
        reads("41 degF", Quantity::Temperature, 5.0);
        reads("-40 °F", Quantity::Temperature, -40.0);
        reads("18 °F", Quantity::TemperatureDifference, 10.0);
        reads("3 %", Quantity::Fraction, 0.03);
        reads("−0.32 %/°C", Quantity::FractionPerKelvin, -0.0032);
        reads("-70 mV/K", Quantity::VoltagePerKelvin, -0.07);
        reads("2e-10 A", Quantity::Current, 2e-10);
        reads("4 mm2", Quantity::Area, 4e-6);
        reads("1100 LB", Quantity::Mass, 498.951_607);
        reads("20 psi", Quantity::Pressure, 137_895.145_863_367_22);
        reads("10 m water", Quantity::Pressure, 98_066.5);
    }

    #[test]
    fn refusals_name_the_way_out() {
        refuses(
            "4,200 L",
            Quantity::Volume,
            UnitErrorKind::NotANumber,
            "\"4,200 L\" has a separator in its number; digits with at most one decimal point, then the unit; \
             write \"4200 L\"",
        );
        refuses(
            "18",
            Quantity::Length,
            UnitErrorKind::Missing,
            "\"18\" has no unit; a length carries its unit: m, ft, mm, cm, km, in, yd, mi; \
             write \"18 m\" or \"18 ft\"",
        );
        refuses(
            "6 gal",
            Quantity::Length,
            UnitErrorKind::OtherKind(Quantity::Volume),
            "\"6 gal\" is a volume; a length carries its unit: m, ft, mm, cm, km, in, yd, mi; \
             give a length, or move it to where a volume belongs",
        );
        refuses(
            "6 galons",
            Quantity::Volume,
            UnitErrorKind::Unknown,
            "\"6 galons\" has the unknown unit \"galons\"; \
             a volume carries its unit: L, gal, m3, mL, imp gal, ft3; did you mean \"6 gallons\"?",
        );
        for (text, better) in [
            ("4 200 L", "\"4200 L\""),
            ("1,234,567.5 L", "\"1234567.5 L\""),
            ("4,5 L", "\"4.5 L\""),
            ("1.234,5 L", "\"1234.5 L\""),
            ("1_100 L", "\"1100 L\""),
        ] {
            let line = parse(text, Quantity::Volume).unwrap_err().to_string();
            assert!(line.ends_with(&format!("write {better}")), "{text}: {line}");
        }
        for text in [
            "",
            "L",
            "many L",
            "1.2.3 L",
            "1e999 L",
            "nan L",
            "inf L",
            "1/0 L",
            "--3 L",
            "1 2/3/4 L",
            "5-6 L",
        ] {
            assert!(parse(text, Quantity::Volume).is_err(), "{text}");
        }
        let line = parse("5\n6 \u{1b}[31m L", Quantity::Volume).unwrap_err().to_string();
        assert!(!line.contains(char::is_control), "{line}");
    }
}
