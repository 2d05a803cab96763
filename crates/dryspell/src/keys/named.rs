//! Names that values of several keys may have: points of the compass, months.

/// Points of the compass, clockwise from north, 22.5 degrees apart.
pub(crate) const COMPASS: [(&str, &str); 16] = [
    ("north", "n"),
    ("north-north-east", "nne"),
    ("north-east", "ne"),
    ("east-north-east", "ene"),
    ("east", "e"),
    ("east-south-east", "ese"),
    ("south-east", "se"),
    ("south-south-east", "sse"),
    ("south", "s"),
    ("south-south-west", "ssw"),
    ("south-west", "sw"),
    ("west-south-west", "wsw"),
    ("west", "w"),
    ("west-north-west", "wnw"),
    ("north-west", "nw"),
    ("north-north-west", "nnw"),
];

/// The months, from the first.
pub(crate) const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];
