//! Keys of pipes.

use super::{free, key, without};
use crate::keys::Presence::Needed;
use crate::keys::Range::{Above, Any, Between};
use crate::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "pipe.*",
        "length",
        Kind::Quantity(Q::Length),
        Between(0.0, 100_000.0),
        Needed,
        "\"120 ft\"",
        "length of the run",
    ),
    key(
        "pipe.*",
        "bore",
        Kind::Quantity(Q::Length),
        Above(0.0, 2.0),
        Needed,
        "\"26 mm\"",
        "inside diameter, not the nominal size",
    ),
    key(
        "pipe.*",
        "material",
        Kind::Material,
        Any,
        free("either this or roughness"),
        "\"plastic\"",
        "material of new pipe",
    ),
    key(
        "pipe.*",
        "roughness",
        Kind::Quantity(Q::Length),
        Between(0.0, 0.01),
        free("either this or material"),
        "\"0.0015 mm\"",
        "roughness of the wall",
    ),
    key(
        "pipe.*",
        "fittings",
        Kind::Fittings,
        Between(0.0, 1000.0),
        without("none", "straight pipe, no fittings"),
        "{ elbow = 2 }",
        "number of fittings of each kind",
    ),
    key(
        "pipe.*",
        "hazen_williams_c",
        Kind::Number,
        Between(20.0, 200.0),
        free("that of the material; 140 where only a roughness is given"),
        "150",
        "Hazen-Williams coefficient, used if rules.pipe_friction selects that law",
    ),
    key(
        "pipe.*",
        "pressure_class",
        Kind::Quantity(Q::Pressure),
        Above(0.0, 1e8),
        free("not checked"),
        "\"160 psi\"",
        "pressure class of the pipe",
    ),
    key(
        "pipe.*",
        "weep_hole",
        Kind::Quantity(Q::Length),
        Above(0.0, 0.1),
        free("none: the pipe stays full"),
        "\"1/16 in\"",
        "diameter of a hole in the run that ends at the wellhead, through which the pipe above drains when the pump \
         stops",
    ),
    key(
        "pipe.*",
        "weep_hole_depth",
        Kind::Quantity(Q::Length),
        Between(0.0, 2000.0),
        free("needed with weep_hole"),
        "\"4 ft\"",
        "depth of the weep hole below the wellhead",
    ),
    key(
        "pipe.*",
        "weep_hole_coefficient",
        Kind::Number,
        Above(0.0, 1.0),
        free("0.8"),
        "0.61",
        "discharge coefficient of the weep hole: 0.61 for a sharp edge",
    ),
    key(
        "pipe.*",
        "drains_back",
        Kind::Flag,
        Any,
        free("false: the run stays full"),
        "true",
        "whether this run drains through the weep hole below it",
    ),
];
