//! Inks by their numbers.

use plotters::style::RGBColor;

/// Red, green and blue of an ink such as `#1a2b3c`.
pub(crate) fn rgb(ink: &str) -> (u8, u8, u8) {
    let part = |at: usize| ink.get(at..at + 2).and_then(|s| u8::from_str_radix(s, 16).ok()).unwrap_or(0);
    (part(1), part(3), part(5))
}

/// An ink as plotters knows it.
pub(crate) fn colour(ink: &str) -> RGBColor {
    let (r, g, b) = rgb(ink);
    RGBColor(r, g, b)
}
