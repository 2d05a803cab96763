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
        "applicant",
        Kind::Text,
        Any,
        free("not shown"),
        "\"J. Miller, North Ranch\"",
        "who applies, for the document",
    ),
    key(
        "",
        "contract",
        Kind::Text,
        Any,
        free("not shown"),
        "\"grant 2024-117\"",
        "number of the contract or grant, for the document",
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
