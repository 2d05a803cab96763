//! Keys at the top of the file.

use super::{default, free, key};
use crate::keys::Range::Any;
use crate::keys::{KeyDoc, Kind};

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "",
        "name",
        Kind::Text,
        Any,
        free("the scheme has no name"),
        "\"North paddock\"",
        "a name for the reports",
    ),
    key(
        "",
        "units",
        Kind::Word(&["si", "us"]),
        Any,
        default("\"si\"", "output only; input may use either"),
        "\"us\"",
        "units of the reports: metres and litres, or feet and US gallons",
    ),
];
