//! Keys of inflows besides the pump.

use super::{default, free, key};
use crate::keys::Range::{Above, Any, Between};
use crate::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "inflow.*",
        "flow",
        Kind::Months(Q::Flow),
        Between(0.0, 1000.0),
        free("one of flow, file and catchment_area"),
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
        free("one of flow, file and catchment_area"),
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
        "catchment_area",
        Kind::Quantity(Q::Area),
        Above(0.0, 1e6),
        free("one of flow, file and catchment_area"),
        "\"60 m2\"",
        "area that catches rain, such as a roof, as seen from above",
    ),
    key(
        "inflow.*",
        "runoff_coefficient",
        Kind::Ratio,
        Above(0.0, 1.0),
        free("needed with catchment_area"),
        "0.85",
        "share of the rain on this area that arrives (0.75 to 0.9 is common for a roof)",
    ),
    key(
        "inflow.*",
        "first_flush",
        Kind::Quantity(Q::Length),
        Between(0.0, 0.1),
        free("none, which is listed"),
        "\"1 mm\"",
        "depth of rain lost at the beginning of each rain, after 6 dry hours",
    ),
    key(
        "inflow.*",
        "into",
        Kind::Text,
        Any,
        free("the only tank; needed where there are several"),
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
