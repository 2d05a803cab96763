//! Sentences told again in the units of the other system.
//!
//! What the physics finds wrong it tells in the base units, since it knows no reader. Whoever shows the sentence knows one.

use super::{Quantity, System, parse, show, show_alike};
use crate::fault::Fault;

/// A unit as sentences have it, and what it measures; a longer one before its own beginning.
type Spelling = (&'static str, Quantity);

const SI: &[Spelling] = &[
    ("m³/h per m", Quantity::SpecificCapacity),
    ("L/min/m", Quantity::SpecificCapacity),
    ("L/h/m", Quantity::SpecificCapacity),
    ("m³/day", Quantity::DailyVolume),
    ("m3/day", Quantity::DailyVolume),
    ("L/day", Quantity::DailyVolume),
    ("m³/h", Quantity::Flow),
    ("m3/h", Quantity::Flow),
    ("L/min", Quantity::Flow),
    ("L/h", Quantity::Flow),
    ("L/s", Quantity::Flow),
    ("m³", Quantity::Volume),
    ("m3", Quantity::Volume),
    ("L", Quantity::Volume),
    ("m²", Quantity::Area),
    ("m2", Quantity::Area),
    ("m/s", Quantity::Speed),
    ("m of water", Quantity::Length),
    ("mm", Quantity::Length),
    ("cm", Quantity::Length),
    ("km", Quantity::Length),
    ("m", Quantity::Length),
    ("kPa", Quantity::Pressure),
    ("bar", Quantity::Pressure),
    ("°C days", Quantity::DegreeDays),
    ("degC days", Quantity::DegreeDays),
    ("°C", Quantity::Temperature),
    ("degC", Quantity::Temperature),
    ("K", Quantity::TemperatureDifference),
    ("kg/day", Quantity::DailyMass),
    ("kg", Quantity::Mass),
];
const US: &[Spelling] = &[
    ("gpm/ft", Quantity::SpecificCapacity),
    ("gal/day", Quantity::DailyVolume),
    ("gpm", Quantity::Flow),
    ("gal", Quantity::Volume),
    ("ft²", Quantity::Area),
    ("ft2", Quantity::Area),
    ("ft/s", Quantity::Speed),
    ("ft", Quantity::Length),
    ("in", Quantity::Length),
    ("mi", Quantity::Length),
    ("mph", Quantity::Speed),
    ("psi", Quantity::Pressure),
    ("degF days", Quantity::DegreeDays),
    ("°F", Quantity::Temperature),
    ("degF", Quantity::Temperature),
    ("lb/day", Quantity::DailyMass),
    ("lb", Quantity::Mass),
];

/// A sentence with each number of the other system told in this one; what stands in quotes is somebody's own words and
/// stays. A unit stands behind its number and one space; of `2 to 3 m` both are told.
///
/// ```
/// use dryspell::units::{System, retold};
/// assert_eq!(retold("static head 22.00 m, at most 60.96 m", System::Us), "static head 72.2 ft, at most 200 ft");
/// assert_eq!(retold("\"5 m\" is out of range: 0 to 3 m", System::Us), "\"5 m\" is out of range: 0 to 9.84 ft");
/// assert_eq!(retold("constant below 41 degF", System::Si), "constant below 5 °C");
/// ```
#[must_use]
pub fn retold(text: &str, system: System) -> String {
    let foreign = match system {
        System::Si => US,
        System::Us => SI,
    };
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    let mut in_quotes = false;
    // A number inside a word, a version or a date is none.
    let mut within = false;
    while let Some(next) = rest.chars().next() {
        if !in_quotes
            && !within
            && let Some((told, after)) = measured(rest, foreign, system)
        {
            out.push_str(&told);
            rest = after;
            within = true;
            continue;
        }
        in_quotes ^= next == '"';
        within = next.is_alphanumeric() || matches!(next, '.' | '_' | '-' | '/' | ':');
        out.push(next);
        rest = &rest[next.len_utf8()..];
    }
    out
}

/// A fault with its numbers in the units of a system; what the user wrote stays as written.
#[must_use]
pub fn retold_fault(mut fault: Fault, system: System) -> Fault {
    for text in [&mut fault.found, &mut fault.accepted, &mut fault.way_out] {
        *text = retold(text, system);
    }
    fault
}

/// A number, or two with `to` between, with a unit at the beginning of a text: told in the system, and what follows.
fn measured<'t>(text: &'t str, foreign: &[Spelling], system: System) -> Option<(String, &'t str)> {
    let (first, after) = number(text)?;
    if let Some((second, after)) = after.strip_prefix(" to ").and_then(number)
        && let Some((spelling, after)) = unit(after, foreign)
    {
        let values = [base(first, spelling)?, base(second, spelling)?];
        let [low, high] = show_alike(values, spelling.1, system);
        let low = low.split_whitespace().next().unwrap_or(&low).to_owned();
        return Some((format!("{low} to {high}"), after));
    }
    let (spelling, after) = unit(after, foreign)?;
    Some((told(base(first, spelling)?, spelling.1, system), after))
}

fn told(value: f64, quantity: Quantity, system: System) -> String {
    match (quantity, system) {
        // Sentences tell the speed of water, not that of wind.
        (Quantity::Speed, System::Us) => format!("{:.2} ft/s", value / super::table::FOOT_M),
        _ => show(value, quantity, system),
    }
}

fn base(number: &str, spelling: Spelling) -> Option<f64> {
    let symbol = match spelling.0 {
        "m of water" => "m",
        symbol => symbol,
    };
    parse(&format!("{number} {symbol}"), spelling.1).ok()
}

/// A decimal number at the beginning of a text, and what follows.
fn number(text: &str) -> Option<(&str, &str)> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let sign = text.len() - digits.len();
    let whole = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
    if whole == 0 {
        return None;
    }
    let fraction = digits[whole..].strip_prefix('.').map_or(0, |f| {
        let length = f.find(|c: char| !c.is_ascii_digit()).unwrap_or(f.len());
        if length > 0 { length + 1 } else { 0 }
    });
    Some(text.split_at(sign + whole + fraction))
}

/// The unit behind a number and a space, and what follows.
fn unit<'t>(text: &'t str, foreign: &[Spelling]) -> Option<(Spelling, &'t str)> {
    let text = text.strip_prefix(' ')?;
    foreign.iter().find_map(|spelling| {
        let after = text.strip_prefix(spelling.0)?;
        let ends = !after
            .starts_with(|c: char| c.is_alphanumeric() || matches!(c, '/' | '²' | '³' | '·' | '^' | '('));
        // `3 in a row` and `2 in series` are no inches.
        let word = spelling.0 == "in" && after.starts_with(' ');
        (ends && !word).then_some((*spelling, after))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_look_like_units_stay() {
        for text in [
            "12 hours in a row, 3 in a row, 2 in series",
            "30 W/m² on the plane, 5 W/m2/K, 2 m/s²",
            "K 3.4 in total",
            "year 2003 m",
            "SHA-256 12 mmm",
        ] {
            assert_eq!(retold(text, System::Si), text);
        }
        assert_eq!(retold("5 W/m2/K, 2 m/s²", System::Us), "5 W/m2/K, 2 m/s²");
        assert_eq!(retold("scheme-2 m", System::Us), "scheme-2 m");
    }

    #[test]
    fn each_unit_is_told_in_the_other_system_and_back() {
        let pairs = [
            ("10 m", "32.8 ft"),
            ("3785.411784 L", "1000 gal"),
            ("3.785411784 m³/h", "16.7 gpm"),
            ("2 to 4 °C", "35.6 to 39.2 °F"),
            ("2 K warmer", "3.6 °F warmer"),
            ("-3.5 degC", "25.7 °F"),
            ("6.894757293168361 kPa,", "1 psi,"),
            ("1.5 m/s at most", "4.92 ft/s at most"),
            ("45.359237 kg a day", "100 lb a day"),
        ];
        for (si, us) in pairs {
            assert_eq!(retold(si, System::Us), us);
            assert_eq!(retold(us, System::Us), us, "what is told stays");
        }
        assert_eq!(retold("900 lb, 1 in.", System::Si), "408.2 kg, 25.4 mm.");
    }
}
