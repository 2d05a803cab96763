//! Keys of the site and of snow.

use super::{default, free, key, without};
use crate::keys::Range::{Any, Between};
use crate::keys::{KeyDoc, Kind};
use crate::units::Quantity as Q;

pub(super) const KEYS: &[KeyDoc] = &[
    key(
        "site",
        "albedo",
        Kind::Ratio,
        Between(0.0, 1.0),
        default("0.2", "grass or bare ground; common practice, from memory"),
        "0.25",
        "ground albedo (share of sunlight reflected), if the weather file has none",
    ),
    key(
        "site",
        "sky",
        Kind::Word(&["perez", "hay-davies", "isotropic"]),
        Any,
        default("\"perez\"", "Perez et al. 1990, the most widely tested of the three"),
        "\"hay-davies\"",
        "transposition model for diffuse light on a tilted plane",
    ),
    key(
        "site",
        "inside_hour",
        Kind::Word(&["as measured", "hourly mean", "distribution"]),
        Any,
        free("as measured: at the weather file's own step; whole hours at their mean"),
        "\"distribution\"",
        "how the light moves inside an hour: at the file's own step, not at all, or by the distribution of Skartveit and Olseth 1992",
    ),
    key(
        "site",
        "horizon",
        Kind::Horizon,
        Any,
        without("flat", "the horizon is flat: no hill or tree shades the panels"),
        "[[\"0 deg\", \"2 deg\"], [\"180 deg\", \"10 deg\"]]",
        "height of the horizon: pairs of azimuth (rising) and elevation",
    ),
    key(
        "snow",
        "covered",
        Kind::Dates,
        Any,
        without("none", "no dates: snow covers the panels only where the weather file has snow depth"),
        "[\"12-20 to 01-05\", \"02-10\"]",
        "dates on which snow covers all panels and they give no power",
    ),
    key(
        "snow",
        "covered_days",
        Kind::Months(Q::Duration),
        Between(0.0, 744.0),
        free("none; counted from the first of the month"),
        "[\"6 d\", \"4 d\", \"1 d\", \"0 d\", \"0 d\", \"0 d\", \"0 d\", \"0 d\", \"0 d\", \"0 d\", \"1 d\", \"5 d\"]",
        "days in each month on which snow covers all panels, consecutive from the first of the month",
    ),
    key(
        "snow",
        "from_weather",
        Kind::Flag,
        Any,
        default("true", "where the weather file has snow depth, by Marion et al. 2013"),
        "false",
        "whether snow in the weather file settles on the panels and slides off",
    ),
    key(
        "snow",
        "from_rain",
        Kind::Word(&["least", "most"]),
        Any,
        free("rain and frost put no snow on the panels; the report shows both ends of what they leave open"),
        "\"most\"",
        "where the weather file has rain and no snow depth: which end of what rain and temperature say about snow counts",
    ),
    key(
        "snow",
        "swept",
        Kind::Dates,
        Any,
        free("panels are not swept"),
        "[\"12-20 to 01-05\", \"02-10\"]",
        "dates on which the panels are swept by hand and stay clear for the rest of the day",
    ),
    key(
        "snow",
        "swept_at",
        Kind::Quantity(Q::Duration),
        Between(0.0, 24.0),
        free("needed with swept"),
        "\"10 h\"",
        "clock hour (standard time) at which the panels are swept",
    ),
];
