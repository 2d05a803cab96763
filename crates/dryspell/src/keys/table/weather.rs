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
        "the weather file, a list of files or a folder, from the scheme's own folder",
    ),
    key(
        "weather",
        "climate",
        Kind::Text,
        Any,
        free("either this or file"),
        "\"climate.toml\"",
        "a climate of twelve monthly means from which synthetic years are made",
    ),
    key(
        "weather",
        "seed",
        Kind::Count,
        Between(0.0, 4_294_967_295.0),
        free("1; only with climate"),
        "2026",
        "where the made years start from: the same seed gives the same years",
    ),
    key(
        "weather",
        "made_years",
        Kind::Count,
        Between(1.0, MOST_YEARS as f64),
        free("1; only with climate"),
        "30",
        "how many years are made",
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
        "local standard time minus UTC, the year round",
    ),
    key(
        "weather",
        "stamps",
        Kind::Word(&["start", "middle", "end"]),
        Any,
        FROM_FILE,
        "\"start\"",
        "which end of its hour a row's time names",
    ),
    key(
        "weather",
        "years",
        Kind::Word(&["typical", "calendar", "synthetic", "projected"]),
        Any,
        FROM_FILE,
        "\"calendar\"",
        "what kind of years the file holds (typical, synthetic and projected years allow no return period)",
    ),
    key(
        "weather",
        "part_of_year",
        Kind::Flag,
        Any,
        free("false: whole years only"),
        "true",
        "whether whole days that make no whole year are accepted",
    ),
    key(
        "weather",
        "accept_shift",
        Kind::Flag,
        Any,
        free("false: stamps more than 10 minutes off the sun are refused"),
        "true",
        "whether a clock that does not fit the sun is shifted to the best fit",
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
