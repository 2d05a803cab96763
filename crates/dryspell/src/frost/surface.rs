//! What lies on the ground.

/// n-factors: freezing index of the ground's surface over that of the air, by what lies on the ground.
///
/// `air` is no cover at all and conservative: the surface as cold as the air. Snow that lies is warmer below; the
/// table's value for `snow` is that of its own surface.
///
/// Source: US Army and Air Force, *Arctic and Subarctic Construction: Foundations for Structures*, TM 5-852-4 (1983),
/// table 4-1, freezing.
pub const SURFACES: &[(&str, f64)] = &[
    ("air", 1.0),
    ("snow", 1.0),
    ("shaded", 0.9),
    ("concrete", 0.75),
    ("asphalt", 0.7),
    ("bare soil", 0.7),
    ("turf", 0.5),
    ("trees", 0.3),
];

/// The names of [`SURFACES`], for lists of words.
pub const SURFACE_NAMES: &[&str] =
    &["air", "snow", "shaded", "concrete", "asphalt", "bare soil", "turf", "trees"];

#[cfg(test)]
mod tests {
    use super::super::{SOIL_NAMES, SOILS};
    use super::{SURFACE_NAMES, SURFACES};

    #[test]
    fn the_lists_of_names_are_those_of_the_tables() {
        assert!(SURFACES.iter().map(|s| s.0).eq(SURFACE_NAMES.iter().copied()));
        assert!(SOILS.iter().map(|s| s.0).eq(SOIL_NAMES.iter().copied()));
    }
}
