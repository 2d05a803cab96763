//! Keys of how the scheme ages.

use super::{free, key};
use crate::keys::Range::Between;
use crate::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

const SHARE: Kind = Kind::Quantity(Q::Fraction);

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "ageing",
        "modules",
        SHARE,
        Between(0.0, 0.1),
        free("0.5 %, the median of Jordan and Kurtz 2013"),
        "\"0.8 %\"",
        "current that the modules lose a year",
    ),
    key(
        "ageing",
        "pump",
        SHARE,
        Between(0.0, 0.1),
        free("1 %, common practice, no source"),
        "\"2 %\"",
        "flow that the pump loses a year",
    ),
    key(
        "ageing",
        "herd",
        SHARE,
        Between(0.0, 0.1),
        free("0 %, the herd stays as it is"),
        "\"1 %\"",
        "heads that the herd grows by a year, of those at the start",
    ),
];
