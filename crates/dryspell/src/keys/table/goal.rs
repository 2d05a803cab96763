//! Keys of what is asked of the scheme.

use super::{free, key};
use crate::keys::Range::Between;
use crate::keys::{KeyDoc, Kind, Presence};
use crate::units::Quantity as Q;

const NOT_ASKED: Presence = free("not asked");

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "goal",
        "short_days",
        Kind::Number,
        Between(0.0, 366.0),
        NOT_ASKED,
        "0",
        "most days of shortfall in a mean year of the record",
    ),
    key(
        "goal",
        "dry_hours_in_a_row",
        Kind::Count,
        Between(0.0, 8784.0),
        NOT_ASKED,
        "12",
        "most dry hours in a row",
    ),
    key(
        "goal",
        "lowest_level",
        Kind::Quantity(Q::Volume),
        Between(0.0, 100_000.0),
        NOT_ASKED,
        "\"2 m3\"",
        "least water at the end of any hour, in the tank or in all tanks together",
    ),
    key(
        "goal",
        "autonomy",
        Kind::Quantity(Q::Duration),
        Between(0.0, 87_840.0),
        NOT_ASKED,
        "\"4 days\"",
        "shortest time that a full tank lasts, from the worst start hour",
    ),
    key(
        "goal",
        "dry_years_in_ten",
        Kind::Number,
        Between(0.0, 10.0),
        NOT_ASKED,
        "1",
        "most years in ten with a day of shortfall, told only by ten measured years or more",
    ),
];
