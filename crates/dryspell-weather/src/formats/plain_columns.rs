//! Names of the plain format's columns: a quantity and the unit that its values are in.

use crate::quantity::Quantity;

/// A column's name, what it holds, and how its values become the record's: `(value + offset) × scale`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Name {
    pub(super) name: &'static str,
    pub(super) quantity: Quantity,
    pub(super) offset: f64,
    pub(super) scale: f64,
}

const fn name(name: &'static str, quantity: Quantity, offset: f64, scale: f64) -> Name {
    Name { name, quantity, offset, scale }
}

/// Every name that is read. Those that are written are among them ([`Quantity::name`]).
///
/// Lengths are exact (inch 25.4 mm, mile 1609.344 m, nautical mile 1852 m); the inch of mercury is the conventional one,
/// 3386.389 Pa (NIST SP 811, 2008, appendix B.8).
const NAMES: [Name; 21] = [
    name("ghi_w_per_m2", Quantity::Ghi, 0.0, 1.0),
    name("dni_w_per_m2", Quantity::Dni, 0.0, 1.0),
    name("dhi_w_per_m2", Quantity::Dhi, 0.0, 1.0),
    name("air_degc", Quantity::Air, 0.0, 1.0),
    name("air_degf", Quantity::Air, -32.0, 5.0 / 9.0),
    name("wind_m_per_s", Quantity::Wind, 0.0, 1.0),
    name("wind_km_per_h", Quantity::Wind, 0.0, 1.0 / 3.6),
    name("wind_mph", Quantity::Wind, 0.0, 0.447_04),
    name("wind_knots", Quantity::Wind, 0.0, 1852.0 / 3600.0),
    name("albedo", Quantity::Albedo, 0.0, 1.0),
    name("snow_depth_m", Quantity::Snow, 0.0, 1.0),
    name("snow_depth_cm", Quantity::Snow, 0.0, 0.01),
    name("snow_depth_in", Quantity::Snow, 0.0, 0.0254),
    name("precipitation_mm", Quantity::Precipitation, 0.0, 1.0),
    name("precipitation_in", Quantity::Precipitation, 0.0, 25.4),
    name("relative_humidity_percent", Quantity::Humidity, 0.0, 0.01),
    name("relative_humidity_fraction", Quantity::Humidity, 0.0, 1.0),
    name("pressure_pa", Quantity::Pressure, 0.0, 1.0),
    name("pressure_hpa", Quantity::Pressure, 0.0, 100.0),
    name("pressure_kpa", Quantity::Pressure, 0.0, 1000.0),
    name("pressure_inhg", Quantity::Pressure, 0.0, 3386.389),
];

/// The name in the list; capitals do not count.
pub(super) fn find(column: &str) -> Option<Name> {
    NAMES.into_iter().find(|n| n.name.eq_ignore_ascii_case(column))
}

/// All names that begin with the same word as an unknown one, each a unit of the same quantity.
pub(super) fn alike(column: &str) -> Vec<&'static str> {
    let word = |name: &str| name.split('_').next().unwrap_or("").to_ascii_lowercase();
    NAMES.iter().map(|n| n.name).filter(|n| word(n) == word(column)).collect()
}

/// Names of a quantity, for the message that it is missing.
pub(super) fn of(quantity: Quantity) -> String {
    let names: Vec<&str> = NAMES.iter().filter(|n| n.quantity == quantity).map(|n| n.name).collect();
    names.join(" or ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_name_that_is_written_is_read_in_the_records_unit() {
        for quantity in Quantity::ALL {
            let found = find(quantity.name()).unwrap();
            assert_eq!(found.quantity, quantity);
            assert_eq!(
                found.scale.to_bits(),
                if quantity == Quantity::Humidity { 0.01_f64 } else { 1.0 }.to_bits()
            );
        }
    }

    #[test]
    fn names_are_documented() {
        let guide = concat!(env!("CARGO_MANIFEST_DIR"), "/../dryspell-cli/docs/weather.md");
        let guide = std::fs::read_to_string(guide).unwrap();
        let page = include_str!("plain.rs");
        for n in NAMES {
            for (what, text) in [("guide", guide.as_str()), ("page of the format", page)] {
                assert!(text.contains(&format!("`{}`", n.name)), "{} is not in the {what}", n.name);
            }
        }
    }
}
