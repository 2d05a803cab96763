//! Keys of what lies between array and pump.

use super::{free, key};
use crate::scheme::keys::Range::{Above, Any, Between};
use crate::scheme::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "coupling",
        "kind",
        Kind::Word(&["maximum power tracking", "linear current booster", "direct"]),
        Any,
        free("maximum power tracking"),
        "\"linear current booster\"",
        "what lies between array and pump",
    ),
    key(
        "coupling",
        "efficiency",
        Kind::Ratio,
        Above(0.0, 1.0),
        free("pump.tracking_efficiency of a tracker, 0.95 of a booster"),
        "0.94",
        "efficiency of tracker or booster",
    ),
    key(
        "coupling",
        "efficiency_curve",
        Kind::Rows("rows of load and efficiency"),
        Any,
        free("in place of efficiency, of a tracker"),
        "[[\"10 %\", \"80 %\"], [\"50 %\", \"96 %\"], [\"100 %\", \"94 %\"]]",
        "rows of load (share of the rated power) and efficiency",
    ),
    key(
        "coupling",
        "rated_power",
        Kind::Quantity(Q::Power),
        Above(0.0, 1e6),
        free("no limit"),
        "\"500 W\"",
        "the most that the tracker takes from the array",
    ),
    key(
        "coupling",
        "lowest_tracking_voltage",
        Kind::Quantity(Q::Voltage),
        Between(0.0, 2000.0),
        free("no window"),
        "\"30 V\"",
        "lowest voltage at which it tracks",
    ),
    key(
        "coupling",
        "highest_tracking_voltage",
        Kind::Quantity(Q::Voltage),
        Above(0.0, 2000.0),
        free("no window"),
        "\"120 V\"",
        "highest voltage at which it tracks",
    ),
    key(
        "coupling",
        "highest_voltage",
        Kind::Quantity(Q::Voltage),
        Above(0.0, 2000.0),
        free("not checked"),
        "\"150 V\"",
        "highest voltage that the controller bears, held against the array's open-circuit voltage in the cold",
    ),
    key(
        "coupling",
        "record_low",
        Kind::Quantity(Q::Temperature),
        Between(-90.0, 40.0),
        free("needed with highest_voltage"),
        "\"-30 degC\"",
        "lowest air temperature on record at the place",
    ),
    key(
        "coupling",
        "bypass",
        Kind::Flag,
        Any,
        free("true, of a booster"),
        "false",
        "whether the booster lets the array's own current through where that is more",
    ),
    key(
        "coupling",
        "current_limit",
        Kind::Quantity(Q::Current),
        Above(0.0, 1000.0),
        free("no limit"),
        "\"20 A\"",
        "the most current that the booster gives",
    ),
];
