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

/// A word to be compared: without regard to case, with `_` and spaces alike.
pub(crate) fn folded(word: &str) -> String {
    word.trim().to_lowercase().replace('_', " ")
}

/// Degrees from north, clockwise, of a point of the compass: `"southwest"` as well as `"south-west"` and `"sw"`.
pub(crate) fn compass_deg(text: &str) -> Option<f64> {
    let word = folded(text).replace(' ', "-");
    let at = COMPASS
        .iter()
        .position(|(long, short)| word == *long || word == *short || word == long.replace('-', ""))?;
    #[expect(clippy::cast_precision_loss, reason = "one of sixteen")]
    Some(22.5 * at as f64)
}

/// The number of a month, 1 to 12, by its name or its first three letters.
pub(crate) fn month_number(text: &str) -> Option<u8> {
    let word = folded(text);
    (1_u8..).zip(MONTHS).find(|(_, m)| *m == word || m.get(..3) == Some(&*word)).map(|(n, _)| n)
}
