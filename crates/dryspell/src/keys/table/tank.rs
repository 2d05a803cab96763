//! Keys of the tank.

use super::{default, free, key, without};
use crate::keys::Presence::Needed;
use crate::keys::Range::{Above, Any, Between};
use crate::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "tank.*",
        "capacity",
        Kind::Quantity(Q::Volume),
        Above(0.0, 100_000.0),
        Needed,
        "\"20 m3\"",
        "usable volume between outlet and overflow",
    ),
    key(
        "tank.*",
        "inlet_height",
        Kind::Quantity(Q::Length),
        Between(-1000.0, 1000.0),
        Needed,
        "\"4 m\"",
        "height of the inlet above the wellhead, negative if lower",
    ),
    key(
        "tank.*",
        "discharge_pressure",
        Kind::Quantity(Q::Pressure),
        Between(0.0, 1e7),
        default("\"0 kPa\"", "free discharge"),
        "\"20 kPa\"",
        "pressure held at the inlet, such as by a float valve",
    ),
    key(
        "tank.*",
        "float_stop",
        Kind::Quantity(Q::Volume),
        Above(0.0, 100_000.0),
        without("none", "no float stops the pump: the excess spills"),
        "\"19 m3\"",
        "stored volume at which a float stops the pump",
    ),
    key(
        "tank.*",
        "float_start",
        Kind::Quantity(Q::Volume),
        Between(0.0, 100_000.0),
        free("as float_stop: no float band"),
        "\"15 m3\"",
        "stored volume at which the float restarts the pump",
    ),
    key(
        "tank.*",
        "leak",
        Kind::Quantity(Q::Flow),
        Between(0.0, 1000.0),
        default("\"0 L/day\"", "no leak"),
        "\"5 L/day\"",
        "constant leak from the tank",
    ),
    key(
        "tank.*",
        "open_surface",
        Kind::Quantity(Q::Area),
        Between(0.0, 100_000.0),
        default("\"0 m2\"", "a closed tank: nothing evaporates, no rain is caught"),
        "\"6 m2\"",
        "area of the tank's water open to the sky, which evaporates",
    ),
    key(
        "tank.*",
        "rain_on_open_surface",
        Kind::Flag,
        Any,
        free("rain on it is not counted"),
        "true",
        "whether rain on the open surface is counted as water in the tank",
    ),
    key(
        "tank.*",
        "garden_reserve",
        Kind::Quantity(Q::Volume),
        Between(0.0, 100_000.0),
        free("0: gardens may take all the stock leaves in the hour"),
        "\"4 m3\"",
        "volume gardens must leave in the tank for the stock",
    ),
];
