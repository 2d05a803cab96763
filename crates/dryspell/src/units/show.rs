//! Numbers to text for reports.

use super::table::{CUBIC_FOOT_M3, FOOT_M, MILE_M, POUND_KG, PSI_PA, US_GALLON_M3};
use super::{Quantity, System};

/// How a quantity stands in a report: unit, size of the unit in base units, shift, decimals in a column.
struct Face {
    unit: &'static str,
    scale: f64,
    shift: f64,
    decimals: usize,
}

const fn face(unit: &'static str, scale: f64, decimals: usize) -> Face {
    Face { unit, scale, shift: 0.0, decimals }
}

/// The face of a column: the same whatever the size of its numbers.
const fn column(quantity: Quantity, system: System) -> Face {
    use Quantity as Q;
    use System::{Si, Us};
    match (quantity, system) {
        (Q::Length, Si) => face("m", 1.0, 2),
        (Q::Length, Us) => face("ft", FOOT_M, 1),
        (Q::Area, Si) => face("m²", 1.0, 2),
        (Q::Area, Us) => face("ft²", FOOT_M * FOOT_M, 1),
        (Q::Volume, Si) => face("m³", 1.0, 2),
        (Q::Volume, Us) => face("gal", US_GALLON_M3, 0),
        (Q::Flow, Si) => face("L/min", 0.06, 1),
        (Q::Flow, Us) => face("gpm", US_GALLON_M3 * 60.0, 2),
        (Q::DailyVolume, Si) => face("m³/day", 1.0, 2),
        (Q::DailyVolume, Us) => face("gal/day", US_GALLON_M3, 0),
        (Q::SpecificCapacity, Si) => face("L/min/m", 0.06, 1),
        (Q::SpecificCapacity, Us) => face("gpm/ft", US_GALLON_M3 * 60.0 / FOOT_M, 2),
        (Q::WellLoss, Si) => face("h²/m⁵", 1.0, 4),
        (Q::WellLoss, Us) => face("ft/gpm²", FOOT_M / (US_GALLON_M3 * 60.0 * US_GALLON_M3 * 60.0), 4),
        (Q::Power, _) => face("W", 1.0, 0),
        (Q::Energy, _) => face("kWh", 1.0, 1),
        (Q::Voltage, _) => face("V", 1.0, 1),
        (Q::Current, _) => face("A", 1.0, 2),
        (Q::Resistance, _) => face("Ω", 1.0, 3),
        (Q::Mass, Si) => face("kg", 1.0, 0),
        (Q::Mass, Us) => face("lb", POUND_KG, 0),
        (Q::DailyMass, Si) => face("kg/day", 1.0, 1),
        (Q::DailyMass, Us) => face("lb/day", POUND_KG, 1),
        (Q::Pressure, Si) => face("kPa", 1e3, 0),
        (Q::Pressure, Us) => face("psi", PSI_PA, 1),
        (Q::Angle, _) => face("°", 1.0, 1),
        (Q::Temperature, Si) => face("°C", 1.0, 1),
        (Q::Temperature, Us) => Face { unit: "°F", scale: 5.0 / 9.0, shift: 32.0, decimals: 0 },
        (Q::TemperatureDifference, Si) => face("K", 1.0, 1),
        (Q::TemperatureDifference, Us) => face("°F", 5.0 / 9.0, 1),
        (Q::Fraction, _) => face("%", 0.01, 1),
        (Q::FractionPerKelvin, _) => face("%/K", 0.01, 3),
        (Q::CurrentPerKelvin, _) => face("mA/K", 1e-3, 2),
        (Q::VoltagePerKelvin, _) => face("mV/K", 1e-3, 1),
        (Q::Irradiance, _) => face("W/m²", 1.0, 0),
        (Q::DailyIrradiation, _) => face("kWh/m²/day", 1.0, 2),
        (Q::Speed, Si) => face("m/s", 1.0, 1),
        (Q::Speed, Us) => face("mph", MILE_M / 3600.0, 1),
        (Q::Duration, _) => face("h", 1.0, 1),
        (Q::HeatLoss, _) => face("W/m²/K", 1.0, 2),
        (Q::WindHeatLoss, _) => face("W s/m³/K", 1.0, 2),
        (Q::Displacement, _) => face("mL/rev", 1e-6, 2),
        (Q::Torque, _) => face("N m", 1.0, 3),
        (Q::TorqueConstant, _) => face("N m/A", 1.0, 4),
        (Q::Turning, _) => face("rpm", 2.0 * std::f64::consts::PI / 60.0, 0),
        (Q::DegreeDays, Si) => face("°C·days", 1.0, 0),
        (Q::DegreeDays, Us) => face("°F·days", 5.0 / 9.0, 0),
        (Q::Conductivity, _) => face("W/m/K", 1.0, 2),
        (Q::Density, Si) => face("kg/m³", 1.0, 0),
        (Q::Density, Us) => face("lb/ft³", POUND_KG / CUBIC_FOOT_M3, 0),
        (Q::Charge, _) => face("Ah", 1.0, 1),
    }
}

/// The face of one value: a unit that suits its size.
fn single(value: f64, quantity: Quantity, system: System) -> Face {
    use Quantity as Q;
    use System::{Si, Us};
    let size = value.abs();
    match (quantity, system) {
        (Q::Length, Si) if size != 0.0 && size < 0.2 => face("mm", 1e-3, 1),
        (Q::Length, Si) if size >= 10_000.0 => face("km", 1e3, 1),
        (Q::Length, Us) if size != 0.0 && size < FOOT_M => face("in", 0.0254, 2),
        (Q::Length, Us) if size >= 2.0 * MILE_M => face("mi", MILE_M, 1),
        (Q::Area, Si) if size != 0.0 && size < 0.01 => face("mm²", 1e-6, 1),
        (Q::Area, Us) if size != 0.0 && size < 0.01 => face("in²", 0.0254 * 0.0254, 3),
        (Q::Volume, Si) if size < 10.0 => face("L", 1e-3, 0),
        (Q::DailyVolume, Si) if size < 10.0 => face("L/day", 1e-3, 0),
        (Q::Flow, Si) if size >= 6.0 => face("m³/h", 1.0, 2),
        // A leak: a slow flow is told by the day.
        (Q::Flow, Si) if size != 0.0 && size < 0.006 => face("L/day", 1e-3 / 24.0, 1),
        (Q::Flow, Us) if size != 0.0 && size < 0.006 => face("gal/day", US_GALLON_M3 / 24.0, 1),
        (Q::Flow, Us) if size >= 1000.0 * US_GALLON_M3 * 60.0 => face("ft³/s", CUBIC_FOOT_M3 * 3600.0, 2),
        (Q::Power, _) if size >= 10_000.0 => face("kW", 1e3, 1),
        (Q::Energy, _) if size != 0.0 && size < 1.0 => face("Wh", 1e-3, 0),
        (Q::Resistance, _) if size != 0.0 && size < 0.1 => face("mΩ", 1e-3, 1),
        (Q::Current, _) if size != 0.0 && size < 0.01 => face("mA", 1e-3, 3),
        (Q::Duration, _) if size >= 72.0 => face("days", 24.0, 1),
        _ => column(quantity, system),
    }
}

/// A value in the base unit as text with a unit that suits its size.
///
/// Numbers have four significant digits, those of whole numbers all. A number that only the conversion to a US unit made
/// long has three (40 m are `131 ft`, not `131.2336`); one that was written so is shown as written (`62.34 ft`). Inches
/// keep four, as tables of pipe have them.
///
/// ```
/// use dryspell::units::{Quantity, System, show};
/// assert_eq!(show(0.6, Quantity::Flow, System::Si), "10 L/min");
/// assert_eq!(show(36.576, Quantity::Length, System::Us), "120 ft");
/// assert_eq!(show(5.0, Quantity::Temperature, System::Us), "41 °F");
/// assert_eq!(show(42.5, Quantity::Volume, System::Si), "42.5 m³");
/// ```
#[must_use]
pub fn show(value: f64, quantity: Quantity, system: System) -> String {
    written(value, quantity, system, &single(value, quantity, system))
}

/// Values of one quantity as text, all in the unit that suits the largest.
///
/// ```
/// use dryspell::units::{Quantity, System, show_alike};
/// assert_eq!(show_alike([10.5, 9.0], Quantity::Volume, System::Si), ["10.5 m³", "9 m³"]);
/// ```
#[must_use]
pub fn show_alike<const N: usize>(values: [f64; N], quantity: Quantity, system: System) -> [String; N] {
    let largest = values.iter().fold(0.0, |m: f64, v| if v.abs() > m { v.abs() } else { m });
    let face = single(largest, quantity, system);
    values.map(|value| written(value, quantity, system, &face))
}

fn written(value: f64, quantity: Quantity, system: System, face: &Face) -> String {
    let space = if face.unit == "°" { "" } else { " " };
    let number = value / face.scale + face.shift;
    format!("{}{space}{}", significant(number, digits(number, quantity, system, face)), face.unit)
}

/// A percentage as a number with so many decimals. What is less than the whole is never rounded up to it.
///
/// ```
/// use dryspell::units::percent_number;
/// assert_eq!(percent_number(98.26, 1), "98.3");
/// assert_eq!(percent_number(99.98, 1), "99.9");
/// assert_eq!(percent_number(100.0, 1), "100.0");
/// ```
#[must_use]
pub fn percent_number(percent: f64, decimals: usize) -> String {
    // A millionth is the rounding of a sum, not a shortage.
    const WHOLE: f64 = 100.0 * (1.0 - 1e-6);
    let step = libm::pow(10.0, -f64::from(u8::try_from(decimals).unwrap_or(0)));
    let shown = if percent < WHOLE { percent.min(100.0 - step) } else { percent };
    format!("{shown:.decimals$}")
}

/// So many of a thing in words: its name has an `s`, or `es` behind another, unless there is one.
///
/// ```
/// use dryspell::units::counted;
/// assert_eq!(counted(1, "day"), "1 day");
/// assert_eq!(counted(0, "day"), "0 days");
/// assert_eq!(counted(2, "pass"), "2 passes");
/// ```
#[must_use]
pub fn counted<N: std::fmt::Display + PartialEq + From<u8>>(n: N, thing: &str) -> String {
    let ending = match (n == N::from(1), thing.ends_with('s')) {
        (true, _) => "",
        (false, true) => "es",
        (false, false) => "s",
    };
    format!("{n} {thing}{ending}")
}

/// Significant digits worth showing.
fn digits(number: f64, quantity: Quantity, system: System, face: &Face) -> usize {
    const ALL: usize = 4;
    let same_unit = column(quantity, System::Si).unit == column(quantity, System::Us).unit;
    if system == System::Si || same_unit || face.unit == "in" || number.abs() < f64::MIN_POSITIVE {
        return ALL;
    }
    // A number of four digits that is met this closely was written, not converted.
    let step = libm::pow(10.0, libm::floor(libm::log10(number.abs())) + 1.0 - 4.0);
    let steps = number / step;
    if (steps - libm::round(steps)).abs() <= 1e-9 * steps.abs() { ALL } else { 3 }
}

/// The unit at the head of a column.
#[must_use]
pub const fn column_unit(quantity: Quantity, system: System) -> &'static str {
    column(quantity, system).unit
}

/// A value in the unit of its column.
#[must_use]
pub fn column_value(value: f64, quantity: Quantity, system: System) -> f64 {
    let face = column(quantity, system);
    value / face.scale + face.shift
}

/// A value in the unit of its column as text, with the column's decimals.
///
/// ```
/// use dryspell::units::{Quantity, System, column_number, column_unit};
/// assert_eq!(column_number(4.2, Quantity::Volume, System::Si), "4.20");
/// assert_eq!(column_unit(Quantity::Volume, System::Si), "m³");
/// assert_eq!(column_number(4.2, Quantity::Volume, System::Us), "1110");
/// ```
#[must_use]
pub fn column_number(value: f64, quantity: Quantity, system: System) -> String {
    let decimals = column(quantity, system).decimals;
    unsigned_zero(format!("{:.decimals$}", column_value(value, quantity, system)))
}

/// So many significant digits, all digits of whole numbers, no trailing zeros; exponents only far from 1.
fn significant(value: f64, digits: usize) -> String {
    let size = value.abs();
    if !value.is_finite() {
        return value.to_string();
    }
    if size != 0.0 && !(1e-3..1e9).contains(&size) {
        let text = format!("{value:.*e}", digits - 1);
        let (number, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        return format!("{}e{exponent}", trimmed(number));
    }
    let mut decimals = digits - 1;
    let mut limit = 10.0;
    while decimals > 0 && size >= limit {
        decimals -= 1;
        limit *= 10.0;
    }
    let mut below = 1.0;
    while size != 0.0 && size < below && decimals < 6 {
        decimals += 1;
        below /= 10.0;
    }
    unsigned_zero(trimmed(&format!("{value:.decimals$}")).to_string())
}

fn trimmed(digits: &str) -> &str {
    if digits.contains('.') { digits.trim_end_matches('0').trim_end_matches('.') } else { digits }
}

/// `-0.00` reads as a sign error.
fn unsigned_zero(text: String) -> String {
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|b| matches!(b, b'0' | b'.')) => rest.to_string(),
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::units::parse;

    fn trimmed_number(number: f64, decimals: usize) -> String {
        trimmed(&format!("{number:.decimals$}")).to_string()
    }

    #[test]
    fn conversion_makes_no_digits() {
        let us = |v, q| show(v, q, System::Us);
        assert_eq!(us(40.0, Quantity::Length), "131 ft");
        assert_eq!(us(20.0, Quantity::Length), "65.6 ft");
        assert_eq!(us(980.0, Quantity::Length), "3215 ft");
        assert_eq!(us(0.026, Quantity::Length), "1.024 in");
        assert_eq!(us(0.15, Quantity::Flow), "0.66 gpm");
        assert_eq!(us(1.68, Quantity::Flow), "7.4 gpm");
        assert_eq!(us(0.0045, Quantity::DailyVolume), "1.19 gal/day");
        assert_eq!(us(11.0, Quantity::Volume), "2906 gal");
        assert_eq!(us(300e3, Quantity::Pressure), "43.5 psi");
        // Written in feet, shown as written; the same in both systems, shown alike.
        assert_eq!(us(62.34 * FOOT_M, Quantity::Length), "62.34 ft");
        assert_eq!(us(302.3, Quantity::Power), "302.3 W");
        assert_eq!(show(36.576, Quantity::Length, System::Si), "36.58 m");
    }

    #[test]
    fn values_side_by_side_share_a_unit() {
        assert_eq!(show_alike([0.15, 6.0], Quantity::Flow, System::Si), ["0.15 m³/h", "6 m³/h"]);
        assert_eq!(show_alike([9.0, -10.5, 0.0], Quantity::Volume, System::Si), ["9 m³", "-10.5 m³", "0 m³"]);
        assert_eq!(show_alike([0.1, 2.0], Quantity::Length, System::Us), ["0.328 ft", "6.56 ft"]);
    }

    #[test]
    fn sizes_choose_the_unit() {
        let si = |v, q| show(v, q, System::Si);
        let us = |v, q| show(v, q, System::Us);
        assert_eq!(si(0.0, Quantity::Volume), "0 L");
        assert_eq!(si(0.0254, Quantity::Length), "25.4 mm");
        assert_eq!(us(0.031_75, Quantity::Length), "1.25 in");
        assert_eq!(si(12.5, Quantity::Flow), "12.5 m³/h");
        assert_eq!(si(0.005 / 24.0, Quantity::Flow), "5 L/day");
        assert_eq!(us(100.0, Quantity::Volume), "26417 gal");
        assert_eq!(si(0.03, Quantity::Fraction), "3 %");
        assert_eq!(si(180.0, Quantity::Angle), "180°");
        assert_eq!(si(-0.0, Quantity::Temperature), "0 °C");
        assert_eq!(si(2e-10, Quantity::Current), "2e-7 mA");
        assert_eq!(si(999.96, Quantity::Power), "1000 W");
        assert_eq!(column_number(-0.001, Quantity::Volume, System::Si), "0.00");
        assert_eq!(column_number(0.0, Quantity::Temperature, System::Us), "32");
    }

    proptest! {
        /// What a report shows can be read again and is the same to the digits shown.
        #[test]
        fn shown_text_reads_back(
            which in 0..Quantity::ALL.len(),
            mantissa in -9.999_f64..9.999,
            exponent in -12_i32..9,
            us in any::<bool>(),
        ) {
            let quantity = Quantity::ALL[which];
            let system = if us { System::Us } else { System::Si };
            let value = mantissa * libm::pow(10.0, f64::from(exponent));
            let text = show(value, quantity, system);
            let back = parse(&text, quantity).map_err(|e| TestCaseError::fail(format!("{text}: {e}")))?;
            // A shifted scale has its digits on the shifted number.
            let shift = if quantity == Quantity::Temperature { 18.0 } else { 0.0 };
            // US units show one digit less of what was not written in them.
            let digits = if us { 5.1e-3 } else { 5.1e-4 };
            prop_assert!((back - value).abs() <= digits * (value.abs() + shift), "{value} -> {text} -> {back}");
        }

        /// What was written with at most four digits in the unit that a report uses is shown as it was written.
        #[test]
        fn written_text_is_shown_as_written(
            which in 0..Quantity::ALL.len(),
            number in 1_i32..9999,
            decimals in 0_usize..4,
            us in any::<bool>(),
        ) {
            let quantity = Quantity::ALL[which];
            let system = if us { System::Us } else { System::Si };
            let face = column(quantity, system);
            let text = trimmed_number(f64::from(number) / libm::pow(10.0, decimals as f64), decimals);
            let space = if face.unit == "°" { "" } else { " " };
            let typed = format!("{text}{space}{}", face.unit);
            let value = parse(&typed, quantity).map_err(|e| TestCaseError::fail(format!("{typed}: {e}")))?;
            // Only where the size chooses the same unit.
            prop_assume!(single(value, quantity, system).unit == face.unit);
            prop_assert_eq!(show(value, quantity, system), typed);
        }

        #[test]
        fn any_text_is_read_or_refused_in_one_line(text in ".{0,40}", which in 0..Quantity::ALL.len()) {
            if let Err(error) = parse(&text, Quantity::ALL[which]) {
                prop_assert!(!error.to_string().contains(char::is_control));
            }
        }

        #[test]
        fn numbers_with_units_never_read_as_infinite(
            text in "[-+]?[0-9.,_/ e]{1,12} ?(L|gal|m3|degF|ft|%|gpm/ft)?",
            which in 0..Quantity::ALL.len(),
        ) {
            if let Ok(value) = parse(&text, Quantity::ALL[which]) {
                prop_assert!(value.is_finite());
            }
        }
    }
}
