//! Keys of water that is brought when the tank is low.

use super::{default, free, key};
use crate::keys::Presence::Needed;
use crate::keys::Range::{Above, Any, Between};
use crate::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "backup",
        "into",
        Kind::Text,
        Any,
        free("the tank that the pump fills"),
        "\"main\"",
        "name of the tank that it fills",
    ),
    key("backup", "name", Kind::Text, Any, free("\"backup\""), "\"hauled water\"", "what it is"),
    key(
        "backup",
        "flow",
        Kind::Quantity(Q::Flow),
        Above(0.0, 1000.0),
        free("either this or load"),
        "\"30 L/min\"",
        "flow of a generator-driven pump or a main",
    ),
    key(
        "backup",
        "load",
        Kind::Quantity(Q::Volume),
        Above(0.0, 1000.0),
        free("either this or flow"),
        "\"4 m3\"",
        "water of one hauled load",
    ),
    key(
        "backup",
        "starts_below",
        Kind::Quantity(Q::Volume),
        Between(0.0, 100_000.0),
        Needed,
        "\"2 m3\"",
        "stored volume at or below which it is called, looked at once an hour",
    ),
    key(
        "backup",
        "stops_at",
        Kind::Quantity(Q::Volume),
        Above(0.0, 100_000.0),
        Needed,
        "\"6 m3\"",
        "stored volume up to which it fills",
    ),
    key(
        "backup",
        "delay",
        Kind::Quantity(Q::Duration),
        Between(0.0, 8760.0),
        default("\"0 h\"", "it is there at once"),
        "\"6 h\"",
        "time from the call to its first water, and to each further load",
    ),
    key(
        "backup",
        "daily_limit",
        Kind::Quantity(Q::Volume),
        Above(0.0, 100_000.0),
        free("no limit"),
        "\"8 m3\"",
        "most that it brings in a day",
    ),
    key(
        "backup",
        "dates",
        Kind::Dates,
        Any,
        free("all year"),
        "[\"11-01 to 04-30\"]",
        "dates on which it may be called",
    ),
    key(
        "backup",
        "cost_per_m3",
        Kind::Number,
        Between(0.0, 1e6),
        free("0"),
        "2.5",
        "cost of a cubic metre, in any currency",
    ),
    key(
        "backup",
        "cost_per_hour",
        Kind::Number,
        Between(0.0, 1e6),
        free("0"),
        "9",
        "cost of an hour in which it runs",
    ),
    key("backup", "cost_per_load", Kind::Number, Between(0.0, 1e6), free("0"), "120", "cost of a load"),
];
