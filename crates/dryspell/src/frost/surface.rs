//! What lies on the ground.

/// n-factors: freezing index of the ground's surface over that of the air, by what lies on the ground.
///
/// `air` is no cover at all and the dry side: the surface as cold as the air. Snow that lies is warmer below; the
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
