//! Keys of the weather.

use super::{free, key};
use crate::keys::Range::{Any, Between};
use crate::keys::{KeyDoc, Kind, Presence};
use crate::record::MOST_YEARS;
use crate::units::Quantity as Q;

const FROM_FILE: Presence = free("as the weather file says");

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "weather",
        "file",
        Kind::Files,
        Any,
        free("either this or climate"),
        "\"weather.csv\"",
        "the weather file, a list of files or a folder, with paths from the scheme's folder",
    ),
    key(
        "weather",
        "climate",
        Kind::Text,
        Any,
        free("either this or file"),
        "\"climate.toml\"",
        "a climate file of twelve monthly means, from which synthetic years are generated",
    ),
    key(
        "weather",
        "seed",
        Kind::Count,
        Between(0.0, 4_294_967_295.0),
        free("1; only with climate"),
        "2026",
        "random seed of the synthetic years: the same seed gives the same years",
    ),
    key(
        "weather",
        "made_years",
        Kind::Count,
        Between(1.0, MOST_YEARS as f64),
        free("1; only with climate"),
        "30",
        "number of synthetic years",
    ),
    key(
        "weather",
        "latitude",
        Kind::Quantity(Q::Angle),
        Between(-90.0, 90.0),
        FROM_FILE,
        "\"42.1 deg\"",
        "latitude, north positive",
    ),
    key(
        "weather",
        "longitude",
        Kind::Quantity(Q::Angle),
        Between(-180.0, 180.0),
        FROM_FILE,
        "\"-109.5 deg\"",
        "longitude, east positive",
    ),
    key(
        "weather",
        "elevation",
        Kind::Quantity(Q::Length),
        Between(-500.0, 9000.0),
        FROM_FILE,
        "\"1250 m\"",
        "height above sea level",
    ),
    key(
        "weather",
        "utc_offset",
        Kind::Quantity(Q::Duration),
        Between(-12.0, 14.0),
        FROM_FILE,
        "\"-7 h\"",
        "local standard time minus UTC, all year",
    ),
    key(
        "weather",
        "stamps",
        Kind::Word(&["start", "middle", "end"]),
        Any,
        FROM_FILE,
        "\"start\"",
        "whether a row's time marks the start, middle or end of its interval",
    ),
    key(
        "weather",
        "years",
        Kind::Word(&["typical", "calendar", "synthetic", "projected"]),
        Any,
        FROM_FILE,
        "\"calendar\"",
        "kind of years in the file (typical, synthetic and projected years allow no return period)",
    ),
    key(
        "weather",
        "part_of_year",
        Kind::Flag,
        Any,
        free("false: whole years only"),
        "true",
        "whether whole days that do not make a whole year are accepted",
    ),
    key(
        "weather",
        "accept_shift",
        Kind::Flag,
        Any,
        free("false: stamps more than 10 minutes off the sun are refused"),
        "true",
        "whether times that disagree with the sun are shifted to the best fit",
    ),
    key(
        "weather",
        "fill_long_gaps",
        Kind::Flag,
        Any,
        free("false: gaps of more than 3 hours are refused"),
        "true",
        "whether longer gaps are filled from the same hours of neighbouring days",
    ),
];
