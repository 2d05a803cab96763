//! Keys of gardens.

use super::{default, free, key};
use crate::draw::garden::crops;
use crate::keys::Presence::Needed;
use crate::keys::Range::{Above, Any, Between};
use crate::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

pub(super) const KEYS: &[KeyDoc] = &[
    key("garden.*", "area", Kind::Quantity(Q::Area), Between(0.0, 1e6), Needed, "\"120 m2\"", "watered area"),
    key(
        "garden.*",
        "tank",
        Kind::Text,
        Any,
        free("the tank that the pump fills"),
        "\"main\"",
        "name of the tank from which it is watered",
    ),
    key(
        "garden.*",
        "crop",
        Kind::Word(crops::NAMES),
        Any,
        free("either this or kc"),
        "\"tomato\"",
        "the crop, from the table of crop coefficients",
    ),
    key(
        "garden.*",
        "kc",
        Kind::Number,
        Between(0.0, 1.5),
        free("either this or crop"),
        "0.9",
        "your own crop coefficient, constant over the season",
    ),
    key(
        "garden.*",
        "planted",
        Kind::MonthDay,
        Any,
        free("the crop's mid-season coefficient holds over the season"),
        "\"05-01\"",
        "first day of the crop's initial stage",
    ),
    key(
        "garden.*",
        "stages",
        Kind::Stages,
        Between(0.0, 365.0),
        free("those in the crop table, if given"),
        "[30, 40, 40, 25]",
        "days of the initial, development, mid-season and late stages",
    ),
    key(
        "garden.*",
        "season",
        Kind::Dates,
        Any,
        free("all year, unless planted is given"),
        "[\"04-15 to 10-15\"]",
        "growing season, in place of planted",
    ),
    key(
        "garden.*",
        "efficiency",
        Kind::Quantity(Q::Fraction),
        Above(0.0, 1.0),
        default("\"90 %\"", "drip lines; common practice, from memory (sprinklers 75 %)"),
        "\"75 %\"",
        "irrigation efficiency: share of the water that reaches the roots",
    ),
    key(
        "garden.*",
        "hours",
        Kind::Hours,
        Between(0.0, 23.0),
        default("[5, 6, 7]", "early morning, when losses are least; our own choice"),
        "[5, 6, 7]",
        "clock hours of watering, each named by its start",
    ),
    key(
        "garden.*",
        "soil_storage",
        Kind::Quantity(Q::Length),
        Between(0.0, 1.0),
        default("\"20 mm\"", "readily available water in about 25 cm of loam; our own judgement"),
        "\"30 mm\"",
        "depth of rain the soil stores for later days",
    ),
    key(
        "garden.*",
        "evapotranspiration",
        Kind::Word(&["penman-monteith", "penman-monteith hourly", "hargreaves"]),
        Any,
        default("\"penman-monteith\"", "FAO-56; Hargreaves where the record lacks humidity or wind"),
        "\"hargreaves\"",
        "method for evapotranspiration",
    ),
];
