//! Keys of how days of shortfall are counted.

use super::{default, free, key, without};
use crate::keys::Range::{Any, Between};
use crate::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "rules",
        "pipe_friction",
        Kind::Word(&["darcy-weisbach", "hazen-williams"]),
        Any,
        free("darcy-weisbach"),
        "\"hazen-williams\"",
        "pipe friction law, hazen-williams for comparison with printed tables",
    ),
    key(
        "rules",
        "tolerance",
        Kind::Quantity(Q::Fraction),
        Between(0.0, 1.0),
        default("\"1 %\"", "dryspell's definition of a day of shortfall"),
        "\"5 %\"",
        "share of a day's draw that may be short before the day counts as a day of shortfall",
    ),
    key(
        "rules",
        "carry",
        Kind::Word(&["within day", "none"]),
        Any,
        default("\"within day\"", "dryspell's definition: animals drink later the same day if they can"),
        "\"none\"",
        "what happens to thirst the tank could not meet in its hour",
    ),
    key(
        "rules",
        "tank_year_starts",
        Kind::Month,
        Any,
        without(
            "chosen by the run",
            "the month in which the tank is most often full or, if full in no hour, the one that begins with most water",
        ),
        "\"may\"",
        "first month of the tank year",
    ),
];
