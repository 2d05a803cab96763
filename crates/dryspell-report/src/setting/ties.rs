//! Units that stay on the line of their number.

/// The units.
const UNITS: [&str; 46] = [
    "m", "mm", "cm", "km", "m²", "mm²", "ft²", "m³", "m³/h", "m³/d", "m³/day", "L", "L/d", "L/day", "L/h",
    "L/min", "L/s", "W", "W/m²", "kW", "kWh", "kWh/m²", "Wh", "V", "A", "Ah", "Ω", "h", "d", "%", "°", "°C",
    "°F", "K", "ft", "in", "gal", "gal/day", "gpm", "psi", "kPa", "ha", "deg", "degC", "ohm", "min",
];

/// Whether a line must not end between `before`, which ends in a space, and `after`.
pub(super) fn tied(before: &str, after: &str) -> bool {
    let amount = before.strip_suffix(' ').is_some_and(|b| b.ends_with(|c: char| c.is_ascii_digit()));
    let unit = after.split(' ').next().unwrap_or(after).trim_end_matches([',', '.', ';', ':', ')']);
    amount && UNITS.contains(&unit)
}

/// Text in which spaces between numbers and their units are such at which no line ends.
pub(super) fn with_ties(text: &str) -> String {
    text.char_indices()
        .map(|(at, letter)| {
            let (before, after) = text.split_at_checked(at + 1).unwrap_or((text, ""));
            if letter == ' ' && tied(before, after) { '\u{a0}' } else { letter }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::with_ties;

    #[test]
    fn numbers_keep_their_units() {
        assert_eq!(with_ties("of 12 m³/h, for 3 people"), "of 12\u{a0}m³/h, for 3 people");
        assert_eq!(with_ties("größer als 98.2 %."), "größer als 98.2\u{a0}%.");
        assert_eq!(with_ties(""), "");
    }
}
