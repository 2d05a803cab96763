//! Keys of inflows besides the pump.

use super::{default, free, key};
use crate::keys::Range::{Any, Between};
use crate::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "inflow.*",
        "flow",
        Kind::Months(Q::Flow),
        Between(0.0, 1000.0),
        free("either this or file"),
        "\"2 L/min\"",
        "flow that reaches the tank, such as that of a spring",
    ),
    key(
        "inflow.*",
        "hours",
        Kind::Hours,
        Between(0.0, 23.0),
        free("all day"),
        "[6, 7]",
        "clock hours in which flow runs, each named by its start",
    ),
    key(
        "inflow.*",
        "dates",
        Kind::Dates,
        Any,
        free("all year"),
        "[\"04-01 to 10-31\"]",
        "dates on which flow runs",
    ),
    key(
        "inflow.*",
        "file",
        Kind::Text,
        Any,
        free("either this or flow"),
        "\"spring.csv\"",
        "a CSV file with one row for each hour of the weather record",
    ),
    key(
        "inflow.*",
        "column",
        Kind::Text,
        Any,
        free("the column with the inflow's own name"),
        "\"spring\"",
        "the column of this file, whose header carries its unit, such as spring L/min",
    ),
    key(
        "inflow.*",
        "into",
        Kind::Text,
        Any,
        free("the only tank"),
        "\"main\"",
        "name of the tank into which it runs",
    ),
    key(
        "inflow.*",
        "when_full",
        Kind::Word(&["spill", "shut off"]),
        Any,
        default("\"spill\"", "no valve shuts it: what does not fit goes over the rim"),
        "\"shut off\"",
        "what happens at a full tank: it runs on, or a valve shuts it at the float's stop",
    ),
];
